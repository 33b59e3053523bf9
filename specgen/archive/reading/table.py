"""Tables as people keep them: a head of "name [unit]" cells and one row a point.

Commas, semicolons or tabs part the cells, and decimals have a point or a comma, whichever the file
has. Every fault has the file's own line, and the column of the character at which the cell begins;
a cause is told once, with how many more such cells there are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from specgen.archive.delimited.cells import (
    NOTHING,
    Notation,
    delimiter_of,
    is_plain,
    looks_like_number,
    notations,
)
from specgen.archive.delimited.spelling import spelled
from specgen.archive.phrases.figures import plausible_words
from specgen.archive.phrases.suggestion import more
from specgen.findings import MOST_TOLD, Finding, Place, Severity
from specgen.units import Unit
from specgen.vocabulary import Quantity, quantity

_NUMBER = re.compile(r"[-+]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][-+]?\d{1,2})?")

#: Decimals behind a point and no thousands: a number is as a program reads it.
_USUAL = Notation()

#: A line of the file: its number, from 1, and its text.
Line = tuple[int, str]


@dataclass(frozen=True, slots=True)
class Cell:
    """The text of a cell and the column of its first character, from 1."""

    text: str
    column: int


@dataclass(slots=True)
class Column:
    """One column while it is read: its head cell, and the value and place of each row."""

    cell: Cell
    key: str
    quantity: Quantity
    unit: Unit
    values: list[float] = field(default_factory=list)
    steps: list[float] = field(default_factory=list)  # half the last digit written, SI
    cells: list[tuple[int, Cell]] = field(default_factory=list)
    unclear: bool = False  # a pressure whose name leaves open whether it is gauge or absolute
    odd: list[tuple[int, Cell]] = field(default_factory=list)  # cells that are no numbers


@dataclass(slots=True)
class Channel:
    """A column that no list knows, while it is read: kept with its name and unit as they stand."""

    cell: Cell
    name: str
    unit: str
    values: list[float] = field(default_factory=list)


class Table:
    """A file while it is read.

    `names` maps each column's name to its quantity; `code` is the finding's code where nothing
    closer fits; `needed` are the keys of columns in which no cell may be empty; `instead` says
    what to write for names that are at home in another table.
    """

    def __init__(
        self,
        file: str,
        names: Mapping[str, str],
        code: str,
        needed: Sequence[str],
        instead: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self.file, self.names, self.code, self.needed = file, names, code, needed
        self.instead = instead
        self.findings: list[Finding] = []
        self.columns: list[Column | Channel | None] = []
        self.delimiter, self.notation = ",", Notation()

    def fault(
        self,
        line: int,
        column: int,
        found: str,
        expected: str,
        hint: str,
        code: str = "",
        severity: Severity = "error",
    ) -> None:
        """Note a finding; beyond some hundreds nobody reads on."""
        if len(self.findings) >= 5 * MOST_TOLD:
            return
        place = Place(self.file, line, column)
        self.findings.append(Finding(code or self.code, severity, place, found, expected, hint))

    def column(self, key: str) -> Column | None:
        """Give the column of a quantity, if there is one."""
        return next((item for item in self.known if item.key == key), None)

    @property
    def known(self) -> list[Column]:
        """The columns that have a quantity."""
        return [item for item in self.columns if isinstance(item, Column)]

    @property
    def channels(self) -> list[Channel]:
        """The columns that no list knows."""
        return [item for item in self.columns if isinstance(item, Channel)]

    def name(self, key: str) -> str:
        """Give the name under which a quantity stands in a head."""
        return next(name for name, known in self.names.items() if known == key)

    def example(self, name: str) -> str:
        """Write a head cell as it should be."""
        symbol = quantity(self.names[name]).metric.symbol
        return f"{name} [{symbol}]" if symbol else name

    @property
    def faulty(self) -> bool:
        """Whether there is an error, not only a doubt."""
        return any(item.severity == "error" for item in self.findings)

    def arrays(self) -> tuple[dict[str, NDArray[np.float64]], dict[str, str]]:
        """Give the values of each column in SI, read-only, and the head cell of each."""
        columns: dict[str, NDArray[np.float64]] = {}
        headers: dict[str, str] = {}
        for item in self.known:
            columns[item.key] = frozen(item.values)
            headers[item.key] = item.cell.text
        return columns, headers


def frozen(values: Sequence[float]) -> NDArray[np.float64]:
    """Give numbers as an array that nobody can write to."""
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def lines_of(text: str) -> list[Line]:
    """Give the lines that have something in them."""
    return [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip()]


def cells_of(line: str, delimiter: str = ",") -> list[Cell]:
    """Part a line; quotes around a cell are dropped, and what parts cells may stand inside them."""
    if delimiter and '"' not in line:
        return list(_plain_cells(line, delimiter))
    mark = re.escape(delimiter) if delimiter else r"\s{2,}"
    cells, start = [], 0
    pattern = re.compile(rf'\s*"[^"]*"\s*(?=$|{mark})|.*?(?=$|{mark})')
    parting = re.compile(mark)
    while True:
        found = pattern.match(line, start)
        part = found.group() if found else ""
        text = part.strip()
        column = start + len(part) - len(part.lstrip()) + 1
        if len(text) > 1 and text[0] == text[-1] == '"':
            text = text[1:-1].strip()
        cells.append(Cell(text, column))
        gap = parting.match(line, start + len(part))
        if gap is None:
            return cells
        start = gap.end()


def _plain_cells(line: str, delimiter: str) -> Iterator[Cell]:
    """Part a line without quotes, as nearly all are: a curve has thousands of cells."""
    start = 0
    for part in line.split(delimiter):
        yield Cell(part.strip(), start + len(part) - len(part.lstrip()) + 1)
        start += len(part) + len(delimiter)


def tell_marks(table: Table, rows: Sequence[Line]) -> None:
    """Find out what parts the cells of a file, and how its numbers are written."""
    lines = [line for _, line in rows]
    if is_plain(lines):
        return
    found = delimiter_of(lines)
    if found is None or found == " ":
        found = next((mark for mark in ";\t," if mark in lines[0]), ",")
    table.delimiter = found
    below = [cell.text for line in lines[1:] for cell in cells_of(line, found)]
    ways = notations([text for text in below if looks_like_number(text)])
    # three digits behind every mark: only thousands of revolutions are a speed of an engine
    first = [cells_of(line, found)[0].text for line in lines[1:4]]
    small = [way for way in ways if all((way.number(text) or 0) >= 100 for text in first)]
    table.notation = (small or ways)[0]


def read_rows(table: Table, rows: Sequence[Line]) -> None:
    """Read the rows into the columns; what is wrong in many rows is told once."""
    width = len(table.columns)
    wrong: dict[bool, list[tuple[int, int]]] = {}
    for line, text in rows:
        cells = cells_of(text, table.delimiter)
        while len(cells) > width and not cells[-1].text:
            cells.pop()
        if len(cells) != width:
            wrong.setdefault(len(cells) > width, []).append((line, len(cells)))
            continue
        for item, cell in zip(table.columns, cells, strict=True):
            if isinstance(item, Column):
                _number(table, item, line, cell)
            elif item is not None:
                value = table.notation.number(cell.text)
                item.values.append(float("nan") if value is None else value)
    for long, places in wrong.items():
        _wrong_width(table, width, long, places)
    for item in table.known:
        if item.odd:
            _not_a_number(table, item)


def _wrong_width(table: Table, width: int, long: bool, places: list[tuple[int, int]]) -> None:
    line, count = places[0]
    hint = f"{width} cells, empty ones where nothing was recorded"
    if long:
        hint = f"{width} cells, with quotes around a cell that has a comma in it"
    elif len(table.needed) == len(table.names):
        hint = f"{width} cells, or no such row"
    found = f"a row of {count} cells under a head of {width}{more(len(places) - 1, 'row')}"
    table.fault(line, 1, found, f"{width} cells", hint)


def _number(table: Table, item: Column, line: int, cell: Cell) -> None:
    """Read one cell; an empty one was not recorded."""
    found = _NUMBER.fullmatch(cell.text) if table.notation == _USUAL else None
    plain = cell.text if found else _bare(table, item, cell.text)
    if cell.text.lower() in NOTHING and item.key not in table.needed:
        value, step = float("nan"), 0.0
    elif found := found or _NUMBER.fullmatch(plain):
        value = item.unit.to_si(float(plain))
        decimals = len((found.group(2) or ".")[1:])
        step = 0.5 * 10.0**-decimals * item.unit.factor
    else:
        item.odd.append((line, cell))
        return
    item.values.append(value)
    item.steps.append(step)
    item.cells.append((line, cell))


def _bare(table: Table, item: Column, text: str) -> str:
    """Give a cell's number as a program reads it, without the head's own unit behind it."""
    plain = table.notation.plain(text)
    if found := re.fullmatch(r"([-+]?[\d.]+)\s*([^\d.\s].*)", plain):
        unit = spelled(found.group(2))
        own = unit.of(item.quantity.kind) if unit else None
        return found.group(1) if own and own.symbol == item.unit.symbol else plain
    return plain


def _not_a_number(table: Table, item: Column) -> None:
    """Tell the first cell of a column that is no number, and how many there are."""
    line, cell = item.odd[0]
    name, text = table.name(item.key), cell.text.replace('"', "'")
    words = f'"{text}" in the column "{item.cell.text}"' if text else f"no {name}"
    number = re.fullmatch(r"\W?([-+]?\d+(\.\d+)?)[^\d.]*", cell.text)
    hint = number.group(1) if number else "the number alone, or nothing where none was recorded"
    if other := _in_unit(table, item, cell.text):
        hint = other
    elif item.key in table.needed and not number:
        hint = f"the {name} of this row, or no such row"
    whole = len(table.needed) == len(table.names)
    expected = "a number" + ("" if whole else ", or nothing")
    words += more(len(item.odd) - 1, "cell")
    table.fault(line, cell.column, words, expected, hint)


def _in_unit(table: Table, item: Column, text: str) -> str:
    """Give a figure with another unit than its head's in the head's; nothing where it is none."""
    found = re.fullmatch(r"([-+]?[\d.]+)\s*([^\d.\s].*)", table.notation.plain(text))
    unit = spelled(found[2]) if found else None
    other = unit.of(item.quantity.kind) if unit else None
    number = table.notation.number(found[1]) if found else None
    if other is None or number is None:
        return ""
    value = item.unit.from_si(other.to_si(number))
    return f"{value:.4g}, which is {text} in {item.unit.symbol}"


def judge_plausible(table: Table, item: Column) -> None:
    """Report a column's first value that hardly or never occurs, and how many there are."""
    kind = item.quantity
    odd = [
        index
        for index, value in enumerate(item.values)
        if value == value and not kind.is_plausible(value)  # NaN: not recorded
    ]
    if not odd:
        return
    impossible = [index for index in odd if not kind.is_possible(item.values[index])]
    line, cell = item.cells[(impossible or odd)[0]]
    verdict = "cannot be" if impossible else "hardly ever occurs"
    found = f"{kind.title.lower()} {cell.text} {item.unit.symbol}".rstrip()
    hint = "the unit it was read in, in the head; or the right figure"
    severity: Severity = "error" if impossible else "warning"
    expected = plausible_words(kind, item.unit.symbol)
    words = f"{found}, which {verdict}{more(len(odd) - 1, 'cell')}"
    table.fault(line, cell.column, words, expected, hint, "implausible", severity)
