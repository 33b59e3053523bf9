"""The layout holds with any usual system font, on the screen of a phone and on paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page

from specgen.archive.model.build import Archive
from tests import fonts
from tests.site.conftest import PHONE, Visit, visitor
from tests.site.kinds import KINDS
from tests.site.paper.printing import CUT, WIDTH

pytestmark = pytest.mark.browser

#: Kinds with the widest tables and the longest words.
_KINDS = ("ladder", "peaks only", "planned", "natural", "misfit", "builds", "blower", "compare")

#: The width that a page really takes.
_PAGE_WIDTH = "() => document.scrollingElement.scrollWidth"
#: What one line of letters takes with the page's own font, large, so that no pixel is rounded to.
_LINE = """() => {
  const line = document.createElement('span');
  line.style.fontSize = '100px';
  line.style.whiteSpace = 'nowrap';
  line.textContent = 'Handgloves and 0123456789';
  document.querySelector('.sg').append(line);
  const width = line.getBoundingClientRect().width;
  line.remove();
  return width;
}"""


@pytest.fixture(params=fonts.FAMILIES)
def visit_with(
    request: pytest.FixtureRequest, browser_with: Callable[[str], Browser], address: str
) -> Iterator[Visit]:
    """Open pages in a browser that knows one family only."""
    with visitor(browser_with(request.param), address) as opening:
        yield opening


def test_nothing_is_cut_with_any_font(visit_with: Visit, archive: Archive) -> None:
    """No page wider than a phone, and nothing beyond the paper, whatever the system's font."""
    watched = visit_with(viewport=PHONE)
    cut = []
    for kind in _KINDS:
        watched.open(f"{KINDS[kind](archive)}#result-first")
        page = watched.settle()
        if page.evaluate(_PAGE_WIDTH) > PHONE["width"]:
            cut.append(f"{kind}: the page is {page.evaluate(_PAGE_WIDTH)} px wide on a phone")
        page.emulate_media(media="print")
        for paper, width in WIDTH.items():
            page.set_viewport_size({"width": width, "height": 1000})
            cut += [f"{kind}, {paper}: {told}" for told in page.evaluate(CUT, width)]
        page.emulate_media(media="screen")
        page.set_viewport_size(PHONE)
    assert cut == []


def test_families_are_really_exchanged(
    browser_with: Callable[[str], Browser], address: str, archive: Archive
) -> None:
    """The wide family takes its 15 % more, so that the test above measures what it says."""

    def line(family: str) -> float:
        with visitor(browser_with(family), address) as opening:
            page: Page = opening().open(KINDS["natural"](archive))
            return float(page.evaluate(_LINE))

    assert line(fonts.WIDE) == pytest.approx(fonts.WIDER_BY * line(fonts.USUAL), rel=0.02)
