"""Pages printed with a tiny mark at both ends of each row, drawing and picture.

Where both marks of one are read on one page of the PDF file, nothing was cut.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from tests.site.conftest import Watched
from tests.site.paper import printing

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

    @property
    def cut(self) -> dict[int, tuple[list[int], list[int]]]:
        """Marked things whose two ends are not read on one page."""
        first, last = self.marks("A"), self.marks("B")
        ends = {name: (first.get(name, []), last.get(name, [])) for name in {*first, *last}}
        return {name: found for name, found in ends.items() if found[0] != found[1]}

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
    pages = printing.printed(page, file, size)
    return Paper(file.read_bytes(), pages, kinds["row"], kinds["figure"])
