"""A sheet on a phone: its whole result in two screens, few stops, targets for a fingertip."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from specgen.archive.model.build import Archive
from tests import fonts
from tests.site.conftest import DESK, PHONE, visitor
from tests.site.kinds import KINDS
from tests.site.measures import SMALL, STOPS

pytestmark = pytest.mark.browser

#: Two screens [px]; they hold the result of so many setups, and each further one takes as much.
_SCREENS, _SETUPS, _FURTHER = 2 * PHONE["height"], 4, 84
#: Fewer stops of the tabulator, and fewer elements, than these.
_STOPS, _NODES = 60, 5_000
#: No letter is shrunk below this to make room [px].
_LEAST = 10.0

#: Where the result ends: title, large figures, picture, ladder with its notes, the nearest limit;
#: what of it is not seen; the smallest letters of it.
_RESULT = """() => {
  const last = ['near-its-limits', 'the-ladder-of-setups', 'the-setup']
    .map(it => document.getElementById(it)).find(Boolean);
  const end = last.nextElementSibling.getBoundingClientRect();
  const wanted = ['.sg-summary', '.sg-line', '.sg-large', '.sg-beneath', '.sg-ladder tbody tr',
    '.sg-ladder .sg-verdict'];
  const words = [...document.querySelectorAll('.md-content__inner *')].filter(it => {
    const box = it.getBoundingClientRect();
    return it.checkVisibility() && box.height && box.bottom <= end.bottom
      && [...it.childNodes].some(part => part.nodeType === 3 && part.data.trim());
  });
  const unseen = wanted.flatMap(where => [...document.querySelectorAll(where)]
    .filter(it => it.textContent.trim() && (!it.checkVisibility()
      || it.getBoundingClientRect().height < 10))
    .map(() => where));
  const drawn = [...document.querySelectorAll('.sg-choice svg')].filter(it => it.checkVisibility());
  const setups = document.querySelectorAll('.sg-ladder tbody tr').length;
  return { end: end.bottom + scrollY, unseen, setups,
    drawn: drawn.map(it => it.getBoundingClientRect().width),
    least: Math.min(...words.map(it => parseFloat(getComputedStyle(it).fontSize))) };
}"""


def opened(page: Page, home: str, build: str) -> Page:
    """A sheet whose scripts have run; no matter whether its pictures are there."""
    page.goto(f"{home}builds/{build}/", wait_until="domcontentloaded")
    return page


@pytest.mark.parametrize("family", [fonts.USUAL, *fonts.DEBIAN])
def test_the_result_takes_two_screens(
    family: str, browser_with: Callable[[str], Browser], address: str, archive: Archive
) -> None:
    """Every sheet of up to four setups: nothing left out, nothing shrunk, the nearest limit a line.

    Measured to the end of that line. With more setups each may take as much as one takes before.
    """
    wrong: dict[str, Any] = {}
    with visitor(browser_with(family), address) as visit:
        page = visit(viewport=PHONE).page
        for build in archive.builds:
            found = opened(page, address, build).evaluate(_RESULT)
            room = _SCREENS + _FURTHER * max(found["setups"] - _SETUPS, 0)
            drawn = min(found["drawn"] or [340]) >= 340
            if found["end"] > room or found["unseen"] or found["least"] < _LEAST or not drawn:
                wrong[build] = found
    assert wrong == {}


def test_a_result_that_runs_on_is_seen(browser: Browser, address: str, archive: Archive) -> None:
    """The measure sees opened limits, a row that is hidden, and letters that are too small."""
    with visitor(browser, address) as visit:
        page = visit(viewport=PHONE).page
        build = KINDS["ladder"](archive).split("/")[1]
        before = opened(page, address, build).evaluate(_RESULT)
        page.evaluate(
            """() => {
              for (const it of document.querySelectorAll('details')) it.open = true;
              document.querySelector('.sg-ladder tbody tr').style.display = 'none';
              document.querySelector('.sg-beneath').style.fontSize = '8px';
            }"""
        )
        after = page.evaluate(_RESULT)
    assert after["end"] > before["end"] + 200
    assert set(after["unseen"]) == {".sg-ladder tbody tr", ".sg-ladder .sg-verdict"}
    assert after["least"] <= 8


def test_a_sheet_has_few_stops_and_no_small_targets(
    browser: Browser, address: str, archive: Archive
) -> None:
    """Every sheet, on phone and desk: under sixty stops and 5 000 elements, targets of 24 px."""
    wrong: dict[str, Any] = {}
    with visitor(browser, address) as visit:
        page = visit(viewport=PHONE).page
        for build in archive.builds:
            opened(page, address, build)
            for width, size in (("phone", PHONE), ("desk", DESK)):
                page.set_viewport_size(size)
                stops, small = page.evaluate(STOPS), page.evaluate(SMALL)
                if not 10 < stops < _STOPS or (small and width == "phone"):
                    wrong[f"{build}, {width}"] = (stops, small)
            page.set_viewport_size(PHONE)
            if (nodes := page.evaluate("document.querySelectorAll('*').length")) >= _NODES:
                wrong[f"{build}, elements"] = nodes
    assert wrong == {}
