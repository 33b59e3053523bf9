"""Full records on paper, A4 and Letter: nothing cut by a page's end, heads repeated, pages counted.

Rows, drawings and pictures get a tiny mark at their top and at their bottom before the page is
printed; where both are read on one page of the PDF file, nothing was cut.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest

from specgen.archive.model.build import Archive
from tests.site.conftest import Visit, Watched
from tests.site.kinds import KINDS
from tests.site.paper.printing import printed as text_of_pages

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("poppler")]


#: Sizes of paper in points (ISO 216, ANSI/ASME Y14.1).
_PAPER = {"A4": (595, 842), "Letter": (612, 792)}
#: The record itself, without results and sources, fits in so many pages.
_MOST = 12
#: A record with so many rows in its tables must break one of them.
_LONG = 120

#: Put marks into every row, drawing and picture, and into every table's head.
_MARK = """
() => {
  let count = 0;
  const mark = (host, letter, edge) => {
    const span = document.createElement('span');
    span.textContent = `Q${letter}${count}Q`;
    const place = edge ? { position: 'absolute', [edge]: '0', insetInlineStart: '0' } : {};
    Object.assign(span.style, { fontSize: '2px', lineHeight: '1', ...place });
    host.style.position = edge ? 'relative' : host.style.position;
    host.append(span);
  };
  const kinds = { row: 0, figure: 0 };
  for (const table of document.querySelectorAll('.sg table')) {
    if (!table.offsetParent) continue;
    count += 1;
    const head = table.tHead?.rows[0]?.cells[0];
    if (head) mark(head, 'H');
    for (const row of table.querySelectorAll('tbody tr')) {
      const cell = [...row.cells].find(it => it.rowSpan === 1) ?? row.cells[0];
      count += 1;
      mark(cell, 'A', 'top');
      mark(cell, 'B', 'bottom');
      kinds.row += 1;
    }
  }
  for (const figure of document.querySelectorAll('.sg figure, .sg-signatures')) {
    if (!figure.getClientRects().length) continue;
    count += 1;
    mark(figure, 'A', 'top');
    mark(figure, 'B', 'bottom');
    kinds.figure += 1;
  }
  return kinds;
}
"""


class Paper(NamedTuple):
    """A printed sheet: its bytes, the text of each page, and how many marks were put in."""

    data: bytes
    pages: list[str]
    rows: int
    figures: int

    def marks(self, letter: str) -> dict[int, list[int]]:
        """The pages on which each mark of a kind is read."""
        found: dict[int, list[int]] = {}
        for number, text in enumerate(self.pages):
            for name in re.findall(rf"Q{letter}(\d+)Q", text):
                found.setdefault(int(name), []).append(number)
        return found

    def page_of(self, words: str) -> int:
        """The first page that says something."""
        return next(number for number, text in enumerate(self.pages) if words in text)


def printed(watched: Watched, path: str, size: str, folder: Path, before: str = "0") -> Paper:
    """Print a page of the site with marks in it; `before` is a script that changes it first."""
    page = watched.open(path)
    page.emulate_media(media="print")
    page.evaluate(before)
    kinds = page.evaluate(_MARK)
    file = folder / "sheet.pdf"
    pages = text_of_pages(page, file, size)
    return Paper(file.read_bytes(), pages, kinds["row"], kinds["figure"])


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
    assert {name: (first[name], last[name]) for name in first if first[name] != last[name]} == {}
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
    first, last = paper.marks("A"), paper.marks("B")
    cut = [name for name in first if first[name] != last[name]]
    assert len(cut) == 1
    assert cut[0] == min(first)


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
