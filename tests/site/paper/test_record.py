"""Full records on paper, A4 and Letter: nothing cut by a page's end, heads repeated, pages counted.

Rows, drawings and pictures get a tiny mark at their top and at their bottom before the page is
printed; where both are read on one page of the PDF file, nothing was cut.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from specgen.archive.model.build import Archive
from tests.site.conftest import Visit
from tests.site.kinds import KINDS
from tests.site.paper.marking import Paper, printed

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("poppler")]


#: Sizes of paper in points (ISO 216, ANSI/ASME Y14.1).
_PAPER = {"A4": (595, 842), "Letter": (612, 792)}
#: The record itself, without results and sources, fits in so many pages.
_MOST = 12
#: A record with so many rows in its tables must break one of them.
_LONG = 120


def recorded(archive: Archive) -> list[str]:
    """Paths of the builds with a full record."""
    return [
        f"builds/{build.id}/"
        for build in archive.builds.values()
        if build.record and build.record.cam and build.record.clearances
    ]


@pytest.mark.parametrize("size", _PAPER)
@pytest.mark.parametrize("number", range(3))
def test_nothing_is_cut_by_the_end_of_a_page(
    number: int, size: str, visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """Each row, drawing and picture stands on one page; heads are repeated, pages counted."""
    path = recorded(archive)[number]
    order = "#record-first" if number % 2 else "#result-first"
    paper = printed(visit(), path + order, size, tmp_path)
    first, last = paper.marks("A"), paper.marks("B")
    assert paper.rows > 50
    assert paper.figures > 4
    assert len(first) == len(last) == paper.rows + paper.figures, "a mark was lost"
    assert paper.cut == {}
    ran_on = _check_heads(paper)
    assert ran_on or paper.rows < _LONG, "no table ran on: is the record still long enough to tell?"
    _check_pages(paper, size)


def _check_heads(paper: Paper) -> int:
    """A table that runs on over pages has its head on each, and only there; count such tables."""
    heads, rows = paper.marks("H"), paper.marks("A")
    tables = sorted(heads)
    ran_on = 0
    for table, following in pairwise(tables):
        pages = sorted({rows[name][0] for name in rows if table < name < following})
        assert sorted(set(heads[table])) == pages
        ran_on += len(pages) > 1
    return ran_on


def _check_pages(paper: Paper, size: str) -> None:
    """Every page has the size asked for and says which of how many it is."""
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", paper.data)
    total = len(paper.pages)
    assert len(boxes) == total
    assert {(int(float(wide)), int(float(high))) for wide, high in boxes} == {_PAPER[size]}
    for number, text in enumerate(paper.pages, 1):
        assert f"{number} of {total}" in text


def test_a_row_that_is_cut_is_seen(visit: Visit, tmp_path: Path) -> None:
    """The tests above can fail: a row made taller than the paper has its ends on two pages."""
    taller = "document.querySelector('.sg tbody tr').cells[0].style.height = '400mm'"
    paper = printed(visit(), "blowers/", "A4", tmp_path, taller)
    assert list(paper.cut) == [min(paper.marks("A"))]


def test_the_record_takes_few_pages_and_the_chosen_order(
    visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """It begins on a page of its own behind the results, or on the first page before them."""
    path = KINDS["record"](archive)
    usual = printed(visit(), f"{path}#result-first", "A4", tmp_path)
    record, tested = usual.page_of("The record\n"), usual.page_of("How it was tested")
    assert usual.page_of("Power and torque") == 0
    assert record > 0
    assert tested - record < _MOST
    turned = printed(visit(java_script_enabled=True), f"{path}#record-first", "A4", tmp_path)
    assert turned.page_of("The record\n") == 0
    assert turned.page_of("The record\n") < turned.page_of("Power and torque")
    assert "Power and torque" not in turned.pages[turned.page_of("Pictures\n")]


def test_pictures_and_lines_to_sign_are_on_the_paper(
    visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """Pictures that no screen ever showed are printed; each signature has its line and a date."""
    paper = printed(visit(), f"{KINDS['pictures'](archive)}#result-first", "A4", tmp_path)
    images = re.findall(rb"/Subtype\s*/Image", paper.data)
    assert len(images) >= 6
    whole = " ".join(paper.pages)
    asked = [word.value for word in archive.settings.signatures]
    assert asked, "the demo archive asks for no signature any more"
    for words in asked:
        assert words in whole


def test_tools_of_the_record_are_left_off_the_paper(visit: Visit, archive: Archive) -> None:
    """The choice of order and the way to each part are of no use on paper."""
    page = visit().open(f"{KINDS['record'](archive)}#result-first")
    assert page.locator(".sg-paper-order").is_visible()
    assert page.locator(".sg-signatures").first.is_hidden()
    page.emulate_media(media="print")
    for tool in (".sg-paper-order", ".sg-record-contents"):
        assert page.locator(tool).filter(visible=True).count() == 0, tool
    assert page.locator(".sg-signatures").first.is_visible()
