"""No text over text, no page wider than its screen, nothing that jumps: every kind of page."""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser

from specgen.archive.model.build import Archive
from tests import fonts
from tests.site.conftest import Visit, visitor
from tests.site.kinds import KINDS
from tests.site.measures import CUT, OVERLAPS, SMALL, faults

pytestmark = pytest.mark.browser

#: How much of a page moved by itself while it came, as browsers count it.
_SHIFT = """() => new Promise(done => {
  let sum = 0;
  new PerformanceObserver(list => {
    for (const it of list.getEntries()) if (!it.hadRecentInput) sum += it.value;
  }).observe({ type: 'layout-shift', buffered: true });
  setTimeout(() => done(sum), 60);
})"""


#: Each kind of page is opened once: by turns light and dark, metric and imperial. All of it, with
#: every font: `python -m tests.long look`.
_SURROUNDINGS = [
    (kind, ("light", "dark")[at % 2], ("metric", "metric", "imperial")[at % 3])
    for at, kind in enumerate(KINDS)
]


@pytest.mark.parametrize(("kind", "scheme", "units"), _SURROUNDINGS)
def test_nothing_lies_over_anything_at_any_width(
    kind: str, scheme: str, units: str, visit: Visit, archive: Archive
) -> None:
    """From the smallest phone to a wide desk: texts apart, page within its screen, no jump."""
    path = KINDS[kind](archive)
    asked = f"{path}{'&' if '?' in path else '?'}units={units}"
    page = visit(viewport={"width": 390, "height": 844}, color_scheme=scheme).open(asked)
    assert page.evaluate(_SHIFT) < 0.05, "the page moves while it comes"
    assert page.evaluate(SMALL) == []
    assert list(faults(page)) == []


@pytest.mark.parametrize("family", fonts.FAMILIES[1:])
def test_nothing_lies_over_anything_with_any_font(
    family: str, browser_with: Callable[[str], Browser], address: str, archive: Archive
) -> None:
    """The fullest pages, on a phone and at 1280, with each usual family."""
    wide = (360, 820) if family == fonts.WIDE else (360, 1280)
    with visitor(browser_with(family), address) as opening:
        watched = opening(viewport={"width": 360, "height": 844})
        for kind in ("builds", "ladder", "compare"):
            assert list(faults(watched.open(KINDS[kind](archive)), wide)) == [], kind


def test_a_table_that_runs_on_has_a_sign(visit: Visit) -> None:
    """A shade at the edge that more lies beyond, gone where the end is seen; both are measured."""
    page = visit(viewport={"width": 390, "height": 844}).open("accuracy/")
    frame = page.locator("[aria-label='Predictions against measurements']")

    def shade() -> int:
        pixels = np.asarray(Image.open(io.BytesIO(frame.screenshot())).convert("L"))
        return int(np.median(pixels[:, -2]))

    assert shade() < 200
    frame.evaluate("it => { it.scrollLeft = it.scrollWidth; }")
    assert shade() > 240
    assert page.evaluate(CUT) == []
    frame.evaluate("it => { it.style.background = 'none'; }")
    assert len(page.evaluate(CUT)) == 1
    page.set_viewport_size({"width": 1280, "height": 900})
    frame.evaluate("it => { it.style.width = '300px'; }")
    assert len(page.evaluate(CUT)) == 1


def test_an_overlap_put_in_by_hand_is_found(visit: Visit, archive: Archive) -> None:
    """A label moved onto another, and a cell's words onto its neighbour's, are both reported."""
    page = visit().open(KINDS["ladder"](archive))
    assert page.evaluate(OVERLAPS) == []
    page.evaluate(
        """() => {
          const [first, second] = document.querySelectorAll('.sg-chart-wide .sg-c-label');
          second.setAttribute('y', first.getAttribute('y'));
          second.setAttribute('x', first.getAttribute('x'));
        }"""
    )
    assert len(page.evaluate(OVERLAPS)) >= 1
    page.reload()
    page.evaluate(
        """() => {
          const cell = document.querySelector('.sg-ladder tbody td.sg-num a');
          const next = document.querySelector('.sg-ladder tbody th');
          const away = next.getBoundingClientRect().left - cell.getBoundingClientRect().left;
          cell.style.setProperty('position', 'relative');
          cell.style.setProperty('left', `${away}px`);
        }"""
    )
    assert len(page.evaluate(OVERLAPS)) >= 1
