"""Tables with a unit beside each figure, as a page copied by hand has them: `2000 rpm;80,5 kW`.

Such units are put into the head, where every table of ours has them. The figures stay at their
place in the line, so that whatever is told of them has their column.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from specgen.archive.delimited.cells import delimiter_of, looks_like_number, part
from specgen.archive.delimited.heads import heading
from specgen.archive.delimited.spelling import spelled

#: A figure and what stands behind it up to the end of its cell.
_FIGURE = re.compile(
    r"(?<![\w:/-])([-+\u2212]?\d[\d.,'\u2019\u00a0\u202f]*)([ \u00a0\u202f]?)"
    r"""((?<=\s)1/min|[^\d\s.;,\t|"'][^;,\t|"]{0,11}?)(?=\s*(?:[";,\t|]|\s\s|$))"""
)
#: So many lines have units beside their figures, or the table is no such one.
_FEWEST = 3
_LOOKED_AT = 60


def units_in_head(text: str) -> str:
    """Give a text whose figures have their units in the head alone; other texts as they are."""
    lines = text.split("\n")
    step = max(1, len(lines) // _LOOKED_AT)
    some = [*lines[:_LOOKED_AT], *lines[_LOOKED_AT::step]]
    if sum(_bared(line) is not None for line in some) < _FEWEST:
        return text
    bare = {at: found for at, line in enumerate(lines) if (found := _bared(line)) is not None}
    delimiter = delimiter_of([*bare.values()])
    if delimiter is None or delimiter == " ":
        return text
    first = min(bare)
    above = [at for at in range(first) if lines[at].strip()]
    if not above:
        return text
    head = above[-1]
    units = _units(lines, head, delimiter)
    for at in bare:
        lines[at] = _without(lines[at], units, delimiter)
    lines[head] = _with(lines[head], units, delimiter)
    return "\n".join(lines)


def _bared(line: str) -> str | None:
    """Give a row of figures without the units behind them; None where it is none or has none."""
    found = _FIGURE.sub(lambda it: it[1] if _is_unit(it[3]) else it[0], line)
    if found == line or re.search(r"[^\W\d_]", found):
        return None
    return found


def _is_unit(text: str) -> bool:
    unit = spelled(text.strip())
    return unit is not None and bool(unit.text)


def _units(lines: Sequence[str], head: int, delimiter: str) -> dict[int, str]:
    """Tell the one unit of each column that goes into the head, or stands there already.

    A head without a unit takes one that no figure lacks; a column with two, or with another than
    its head, is left as it is.
    """
    seen: dict[int, set[str]] = {}
    lacking: set[int] = set()
    for line in lines[head + 1 :]:
        cells = part(line, delimiter)
        for column, cell in enumerate(cells):
            found = _FIGURE.fullmatch(cell)
            if found and _is_unit(found[3]):
                seen.setdefault(column, set()).add(found[3].strip())
            elif looks_like_number(cell):
                lacking.add(column)
    heads = [heading([cell]).unit for cell in part(lines[head], delimiter)]
    units = {}
    for column, texts in seen.items():
        own = heads[column] if column < len(heads) else None
        symbols = {told.symbol for it in texts if (told := spelled(it)) is not None}
        if len(symbols) == 1 and (column not in lacking if own is None else own.symbol in symbols):
            units[column] = min(texts)
    return units


def _columns(line: str, delimiter: str) -> Iterator[tuple[int, int, int]]:
    """Where each cell of a line begins and ends, by its number."""
    mark = re.escape(delimiter) if delimiter else r"\s{2,}"
    cells = re.compile(rf'\s*"[^"]*"\s*(?=$|{mark})|.*?(?=$|{mark})')
    start = number = 0
    while (found := cells.match(line, start)) is not None:
        yield number, found.start(), found.end()
        gap = re.compile(mark).match(line, found.end())
        if gap is None:
            return
        start, number = gap.end(), number + 1


def _without(line: str, units: dict[int, str], delimiter: str) -> str:
    """Put spaces where the units of a row stood."""
    found = line
    for column, start, end in _columns(line, delimiter):
        if column in units:
            cell = _FIGURE.sub(_spaced, line[start:end])
            found = found[:start] + cell + found[end:]
    return found


def _spaced(it: re.Match[str]) -> str:
    return it[1].ljust(len(it[0])) if _is_unit(it[3]) else it[0]


def _with(line: str, units: dict[int, str], delimiter: str) -> str:
    """Put units behind the names of a head that has none there."""
    found = line
    for column, start, end in reversed(list(_columns(line, delimiter))):
        text = line[start:end].strip().strip('"')
        if column in units and text and heading([text]).unit is None:
            quoted = line[start:end].rstrip().endswith('"')
            at = start + len(line[start:end].rstrip()) - quoted
            found = f"{found[:at]} [{units[column]}]{found[at:]}"
    return found
