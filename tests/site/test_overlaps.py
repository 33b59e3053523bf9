"""No text over text, no page wider than its screen, nothing that jumps: every kind of page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser

from specgen.archive.model.build import Archive
from tests import fonts
from tests.site.conftest import Visit, visitor
from tests.site.kinds import KINDS
from tests.site.measures import BEYOND, OVERLAPS, SMALL

pytestmark = pytest.mark.browser

#: Each kind of page is opened once, and measured at each of these widths in turn.
WIDTHS = (360, 820, 1280, 1920)

#: How much of a page moved by itself while it came, as browsers count it.
_SHIFT = """() => new Promise(done => {
  let sum = 0;
  new PerformanceObserver(list => {
    for (const it of list.getEntries()) if (!it.hadRecentInput) sum += it.value;
  }).observe({ type: 'layout-shift', buffered: true });
  setTimeout(() => done(sum), 60);
})"""


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_lies_over_anything_at_any_width(kind: str, visit: Visit, archive: Archive) -> None:
    """From the smallest phone to a wide desk: texts apart, page within its screen, no jump."""
    page = visit(viewport={"width": 390, "height": 844}).open(KINDS[kind](archive))
    assert page.evaluate(_SHIFT) < 0.05, "the page moves while it comes"
    assert page.evaluate(SMALL) == []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(BEYOND) <= 1, f"wider than a screen of {width} px"
        assert page.evaluate(OVERLAPS) == [], f"{width} px"


@pytest.mark.parametrize("family", fonts.FAMILIES[1:])
def test_nothing_lies_over_anything_with_any_font(
    family: str, browser_with: Callable[[str], Browser], address: str, archive: Archive
) -> None:
    """The fullest pages, on a phone and at 1280, with each usual family."""
    with visitor(browser_with(family), address) as opening:
        watched = opening(viewport={"width": 360, "height": 844})
        for kind in ("builds", "ladder", "compare"):
            page = watched.open(KINDS[kind](archive))
            for width in (360, 1280):
                page.set_viewport_size({"width": width, "height": 900})
                assert page.evaluate(BEYOND) <= 1, f"{kind}, {width} px"
                assert page.evaluate(OVERLAPS) == [], f"{kind}, {width} px"


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
