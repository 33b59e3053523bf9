"""Sheets on A4 paper: nothing cut, everything opened, black on white."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from specgen.archive.model import Archive
from tests.site.conftest import Watched
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser

Visit = Callable[..., Watched]
#: Printable width of A4 between our margins, in pixels of 1/96 inch.
_A4 = round((210 - 2 * 14) / 25.4 * 96)
#: A sheet, its record and what it rests on fit in so many pages; a full record with a ladder of
#: five setups has most.
_MOST_PAGES = {"ladder": 40, "natural": 12, "peaks only": 14, "builds": 3}


@pytest.mark.parametrize("kind", _MOST_PAGES)
def test_sheet_prints_on_a_sane_number_of_pages(kind: str, visit: Visit, archive: Archive) -> None:
    """The PDF has pages, and not a pad of them."""
    page = visit().open(KINDS[kind](archive))
    paper = page.pdf(format="A4", prefer_css_page_size=True)
    pages = len(re.findall(rb"/Type\s*/Page\b", paper))
    assert 1 <= pages <= _MOST_PAGES[kind], f"{pages} pages"


@pytest.mark.parametrize("kind", ["ladder", "natural", "peaks only", "planned", "builds"])
def test_nothing_is_cut_on_paper(kind: str, visit: Visit, archive: Archive) -> None:
    """In print no frame scrolls and nothing reaches beyond the paper."""
    watched = visit(viewport={"width": _A4, "height": 1000})
    page = watched.open(KINDS[kind](archive))
    page.emulate_media(media="print")
    cut = page.evaluate(
        """width => [...document.querySelectorAll('.sg .sg-scroll, .sg table, .sg svg, .sg dl')]
          .filter(it => it.getBoundingClientRect().width > 0)
          .filter(it => it.getBoundingClientRect().right > width + 1
            || (it.matches('.sg-scroll') && getComputedStyle(it).overflowX !== 'visible'))
          .map(it => `${it.tagName} ${it.getAttribute('class')}: ${
            it.getBoundingClientRect().right} of ${width}`)""",
        _A4,
    )
    assert cut == []


def test_details_are_open_on_paper(visit: Visit, archive: Archive) -> None:
    """What stands behind each figure is printed, though the line was closed on the screen."""
    page = visit(java_script_enabled=False).open(KINDS["natural"](archive))
    page.emulate_media(media="print")
    heights = page.locator(".sg-prov-body").evaluate_all(
        "all => all.map(it => it.getBoundingClientRect().height)"
    )
    assert heights
    assert min(heights) > 0


def test_paper_is_black_on_white(visit: Visit, archive: Archive) -> None:
    """Even for a reader in the dark scheme, ink is dark and the ground is white."""
    page = visit(color_scheme="dark").open(KINDS["natural"](archive))
    page.emulate_media(media="print", color_scheme="dark")
    ink, ground = page.evaluate(
        """() => [getComputedStyle(document.querySelector('.sg-large')).color,
          getComputedStyle(document.body).backgroundColor]"""
    )
    assert ink == "rgb(0, 0, 0)"
    assert ground in ("rgba(0, 0, 0, 0)", "rgb(255, 255, 255)")


def test_tools_are_left_off_the_paper(visit: Visit, archive: Archive) -> None:
    """Switch, filter and links to other builds are of no use on paper."""
    for kind in ("ladder", "builds"):
        page = visit().open(KINDS[kind](archive))
        page.emulate_media(media="print")
        for tool in (".sg-units", ".sg-filter", ".sg-neighbours"):
            assert page.locator(tool).filter(visible=True).count() == 0, tool
