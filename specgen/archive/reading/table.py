"""Tables as people keep them: CSV with a head of "name [unit]" cells and one row a point.

The names are a closed list, so that a column means the same in every archive. Every fault has
the file's own line, and the column of the character at which the cell begins.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from specgen.archive.phrases.figures import plausible_words
from specgen.archive.phrases.suggestion import listed, more, nearest
from specgen.findings import MOST_TOLD, Finding, Place, Severity
from specgen.units import Unit, UnitError, unit, units_of
from specgen.vocabulary import Quantity, quantity

_NUMBER = re.compile(r"[-+]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][-+]?\d{1,2})?")

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
        self.columns: list[Column | None] = []

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
        return next((item for item in self.columns if item and item.key == key), None)

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
        for item in self.columns:
            if item is not None:
                columns[item.key] = np.array(item.values, dtype=np.float64)
                columns[item.key].flags.writeable = False
                headers[item.key] = item.cell.text
        return columns, headers


def lines_of(text: str) -> list[Line]:
    """Give the lines that have something in them."""
    return [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip()]


def cells_of(line: str) -> list[Cell]:
    """Part a line at its commas; quotes around a cell are dropped."""
    cells, start = [], 0
    for part in line.split(","):
        text = part.strip()
        column = start + len(part) - len(part.lstrip()) + 1
        start += len(part) + 1
        if len(text) > 1 and text[0] == text[-1] == '"':
            text = text[1:-1].strip()
        cells.append(Cell(text, column))
    return cells


def read_head(table: Table, line: int, text: str, wanted: Sequence[Sequence[str]]) -> bool:
    """Read the head; False where no row can make sense after it.

    `wanted` are the columns that must be there, each with others that may stand in for it.
    """
    for mark, name in ((";", "semicolons"), ("\t", "tabs")):
        if mark in text and "," not in text:
            hint = ",".join(part.strip() for part in text.split(mark))
            hint += ", and points in the numbers" if mark == ";" else ""
            table.fault(line, text.index(mark) + 1, f"cells parted by {name}", "commas", hint)
            return False
    for cell in cells_of(text)[: 5 * MOST_TOLD]:
        table.columns.append(_column(table, line, cell))
    if not table.findings:
        for keys in wanted:
            if not any(table.column(key) for key in keys):
                names = [table.name(key) for key in keys]
                words, example = listed(names), table.example(names[0])
                table.fault(line, 1, f"no column of {words}", f"a column of {words}", example)
    return True


def _column(table: Table, line: int, cell: Cell) -> Column | None:
    """Read one head cell, "name [unit]"."""
    found = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", cell.text)
    name = found.group(1) if found else cell.text
    key = table.names.get(name)
    if found is None or key is None:
        meant = nearest(re.sub(r"[\[(].*", "", name), table.names)
        hint = table.example(meant) if meant else "no such column"
        hint = table.instead.get(name, hint)
        words = f'the column "{cell.text}"' if cell.text else "a column without a name"
        table.fault(line, cell.column, words, f"one of: {', '.join(table.names)}", hint)
        return None
    if table.column(key):
        words = f'a second column "{name}"'
        table.fault(line, cell.column, words, "each quantity once", "only the one that holds")
        return None
    kind = quantity(key)
    symbol = found.group(2)
    if symbol is None and kind.kind != "ratio":
        words, example = f'"{cell.text}" without a unit', table.example(name)
        table.fault(line, cell.column, words, "name [unit]", example, "unknown-unit")
        return None
    try:
        return Column(cell, key, kind, unit(kind.kind, symbol or ""))
    except UnitError as error:
        hint = f"{name} [{error.hint}]" if error.meant else table.example(name)
        expected = f"one of the units {listed(item.symbol for item in units_of(kind.kind))}"
        table.fault(line, cell.column, f"{error}", expected, hint, "unknown-unit")
        return None


def read_rows(table: Table, rows: Sequence[Line]) -> None:
    """Read the rows into the columns."""
    width = len(table.columns)
    for line, text in rows:
        cells = cells_of(text)
        if len(cells) != width:
            hint = f"{width} cells, empty ones where nothing was recorded"
            if len(cells) > width:
                hint = f"{width} cells without quotes, decimals with a point"
            elif len(table.needed) == len(table.names):
                hint = f"{width} cells, or no such row"
            found = f"a row of {len(cells)} cells under a head of {width}"
            table.fault(line, 1, found, f"{width} cells", hint)
            continue
        for item, cell in zip(table.columns, cells, strict=True):
            if item is not None:
                _number(table, item, line, cell)


def _number(table: Table, item: Column, line: int, cell: Cell) -> None:
    """Read one cell; an empty one was not recorded."""
    needed = item.key in table.needed
    if cell.text == "" and not needed:
        value, step = float("nan"), 0.0
    elif found := _NUMBER.fullmatch(cell.text):
        value = item.unit.to_si(float(cell.text))
        decimals = len((found.group(2) or ".")[1:])
        step = 0.5 * 10.0**-decimals * item.unit.factor
    else:
        _not_a_number(table, item, line, cell)
        return
    item.values.append(value)
    item.steps.append(step)
    item.cells.append((line, cell))


def _not_a_number(table: Table, item: Column, line: int, cell: Cell) -> None:
    name, text = table.name(item.key), cell.text.replace('"', "'")
    words = f'"{text}" in the column "{item.cell.text}"' if text else f"no {name}"
    number = re.fullmatch(r"\W?([-+]?\d+(\.\d+)?)[^\d.]*", cell.text)
    hint = number.group(1) if number else "the number alone, or nothing where none was recorded"
    if item.key in table.needed and not number:
        hint = f"the {name} of this row, or no such row"
    whole = len(table.needed) == len(table.names)
    expected = "a number with a decimal point" + ("" if whole else ", or nothing")
    table.fault(line, cell.column, words, expected, hint)


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
