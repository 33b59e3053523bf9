"""Reading curve files: CSV tables with a head of "name [unit]" cells and one row a speed.

The names are a closed list, so that a column means the same in every archive. Every fault has
the file's own line, and the column of the character at which the cell begins.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from specgen.archive.figures import plausible_words
from specgen.archive.model import Curve
from specgen.archive.source import decode
from specgen.archive.suggestion import listed, more, nearest
from specgen.findings import Finding, Place, Severity
from specgen.physics.engine import power_from_torque
from specgen.units import Unit, UnitError, unit, units_of
from specgen.vocabulary import Quantity, quantity

#: The columns a curve file may have, with the quantity each is.
COLUMNS: dict[str, str] = {
    "engine speed": "engine_speed",
    "torque": "torque",
    "power": "power",
    "boost": "boost",
    "manifold pressure": "manifold_pressure",
    "air-fuel ratio": "air_fuel_ratio",
    "lambda": "lambda",
    "intake temperature": "intake_temperature",
    "discharge temperature": "discharge_temperature",
    "charge temperature": "charge_temperature",
    "blower speed": "blower_speed",
    "inlet pressure drop": "inlet_pressure_drop",
    "fuel flow": "fuel_mass_flow",
    "air flow": "air_mass_flow",
    "ignition advance": "ignition_advance",
}
#: A curve needs three points to be one.
FEWEST_ROWS = 3
#: Torque and power of one row may differ by this share before one of them must be wrong.
TOLERANCE = 0.02

_NUMBER = re.compile(r"[-+]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][-+]?\d{1,2})?")


@dataclass(frozen=True, slots=True)
class _Cell:
    """The text of a cell and the column of its first character, from 1."""

    text: str
    column: int


@dataclass(slots=True)
class _Column:
    """One column while it is read."""

    cell: _Cell
    key: str
    quantity: Quantity
    unit: Unit
    values: list[float] = field(default_factory=list)
    steps: list[float] = field(default_factory=list)  # half the last digit written, SI
    cells: list[tuple[int, _Cell]] = field(default_factory=list)


class _Table:
    """A curve file while it is read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.findings: list[Finding] = []
        self.columns: list[_Column | None] = []

    def fault(
        self,
        line: int,
        column: int,
        found: str,
        expected: str,
        hint: str,
        code: str = "bad-curve",
        severity: Severity = "error",
    ) -> None:
        """Note a finding."""
        place = Place(self.file, line, column)
        self.findings.append(Finding(code, severity, place, found, expected, hint))

    def column(self, key: str) -> _Column | None:
        """Give the column of a quantity, if there is one."""
        return next((item for item in self.columns if item and item.key == key), None)


def read_curve(data: bytes, file: str) -> tuple[Curve | None, str, tuple[Finding, ...]]:
    """Read a curve file's bytes: the curve (None where it has errors), its text, its findings."""
    text, faults = decode(data, file)
    if faults:
        return None, text, faults
    table = _Table(file)
    rows = [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip()]
    if not rows:
        table.fault(1, 1, "an empty file", "a head and rows", "engine speed [rpm],torque [N m]")
        return None, text, tuple(table.findings)
    if _head(table, *rows[0]):
        _rows(table, rows[1:])
        if not table.findings:
            _judge(table, rows[0][0])
    errors = any(item.severity == "error" for item in table.findings)
    return None if errors else _curve(table), text, tuple(table.findings)


def _curve(table: _Table) -> Curve:
    columns: dict[str, NDArray[np.float64]] = {}
    headers: dict[str, str] = {}
    for item in table.columns:
        if item is not None:
            columns[item.key] = np.array(item.values, dtype=np.float64)
            columns[item.key].flags.writeable = False
            headers[item.key] = item.cell.text
    return Curve(Place(table.file), columns, headers)


def _cells(line: str) -> list[_Cell]:
    """Part a line at its commas; quotes around a cell are dropped."""
    cells, start = [], 0
    for part in line.split(","):
        text = part.strip()
        column = start + len(part) - len(part.lstrip()) + 1
        start += len(part) + 1
        if len(text) > 1 and text[0] == text[-1] == '"':
            text = text[1:-1].strip()
        cells.append(_Cell(text, column))
    return cells


def _head(table: _Table, line: int, text: str) -> bool:
    """Read the head; False where no row can make sense after it."""
    for mark, name in ((";", "semicolons"), ("\t", "tabs")):
        if mark in text and "," not in text:
            hint = ",".join(part.strip() for part in text.split(mark))
            hint += ", and points in the numbers" if mark == ";" else ""
            table.fault(line, text.index(mark) + 1, f"cells parted by {name}", "commas", hint)
            return False
    for cell in _cells(text):
        table.columns.append(_column(table, line, cell))
    if not table.findings:
        for key, others in (("engine_speed", ()), ("torque", ("power",))):
            if not any(table.column(name) for name in (key, *others)):
                words = listed(quantity(name).title.lower() for name in (key, *others))
                example = {"engine_speed": "engine speed [rpm]"}.get(key, "torque [N m]")
                table.fault(line, 1, f"no column of {words}", f"a column of {words}", example)
    return True


def _column(table: _Table, line: int, cell: _Cell) -> _Column | None:
    """Read one head cell, "name [unit]"."""
    found = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", cell.text)
    name = found.group(1) if found else cell.text
    key = COLUMNS.get(name)
    if found is None or key is None:
        meant = nearest(re.sub(r"[\[(].*", "", name), COLUMNS)
        hint = _example(meant) if meant else "no such column"
        words = f'the column "{cell.text}"' if cell.text else "a column without a name"
        table.fault(line, cell.column, words, f"one of: {', '.join(COLUMNS)}", hint)
        return None
    if table.column(key):
        words = f'a second column "{name}"'
        table.fault(line, cell.column, words, "each quantity once", "only the one that holds")
        return None
    kind = quantity(key)
    symbol = found.group(2)
    if symbol is None and kind.kind != "ratio":
        words = f'"{cell.text}" without a unit'
        table.fault(line, cell.column, words, "name [unit]", _example(name), "unknown-unit")
        return None
    try:
        return _Column(cell, key, kind, unit(kind.kind, symbol or ""))
    except UnitError as error:
        hint = f"{name} [{error.hint}]" if error.meant else _example(name)
        expected = f"one of the units {listed(item.symbol for item in units_of(kind.kind))}"
        table.fault(line, cell.column, f"{error}", expected, hint, "unknown-unit")
        return None


def _example(name: str) -> str:
    symbol = quantity(COLUMNS[name]).metric.symbol
    return f"{name} [{symbol}]" if symbol else name


def _rows(table: _Table, rows: Sequence[tuple[int, str]]) -> None:
    """Read the rows into the columns."""
    width = len(table.columns)
    for line, text in rows:
        cells = _cells(text)
        if len(cells) != width:
            hint = f"{width} cells, empty ones where nothing was recorded"
            if len(cells) > width:
                hint = f"{width} cells without quotes, decimals with a point"
            found = f"a row of {len(cells)} cells under a head of {width}"
            table.fault(line, 1, found, f"{width} cells", hint)
            continue
        for item, cell in zip(table.columns, cells, strict=True):
            if item is not None:
                _number(table, item, line, cell)
    if len(rows) < FEWEST_ROWS:
        last = rows[-1][0] if rows else 1
        found = "no row" if not rows else f"only {len(rows)} row" + "s" * (len(rows) > 1)
        hint = "more rows, or the result as peaks in build.yaml"
        table.fault(last, 1, found, f"at least {FEWEST_ROWS} rows", hint)


def _number(table: _Table, item: _Column, line: int, cell: _Cell) -> None:
    """Read one cell; an empty one was not recorded."""
    if cell.text == "" and item.key != "engine_speed":
        value, step = float("nan"), 0.0
    elif found := _NUMBER.fullmatch(cell.text):
        value = item.unit.to_si(float(cell.text))
        decimals = len((found.group(2) or ".")[1:])
        step = 0.5 * 10.0**-decimals * item.unit.factor
    else:
        text = cell.text.replace('"', "'")
        words = f'"{text}" in the column "{item.cell.text}"' if text else "no engine speed"
        number = re.fullmatch(r"\W?([-+]?\d+(\.\d+)?)[^\d.]*", cell.text)
        hint = number.group(1) if number else "the number alone, or nothing where none was recorded"
        if item.key == "engine_speed" and not number:
            hint = "the engine speed of this row, or no such row"
        table.fault(line, cell.column, words, "a number with a decimal point, or nothing", hint)
        return
    item.values.append(value)
    item.steps.append(step)
    item.cells.append((line, cell))


def _judge(table: _Table, head_line: int) -> None:
    """Check what the numbers say, once all of them could be read."""
    speed = table.column("engine_speed")
    assert speed is not None
    _rising(table, speed)
    for item in table.columns:
        if item is not None:
            _plausible(table, item)
    torque, power = table.column("torque"), table.column("power")
    recorded = [np.isfinite(item.values).sum() for item in (torque, power) if item]
    if max(recorded) < FEWEST_ROWS:
        hint = "more rows, or the result as peaks in build.yaml"
        found = "torque or power in fewer than three rows"
        table.fault(head_line, 1, found, f"at least {FEWEST_ROWS} rows", hint)
    if torque and power and not any(item.severity == "error" for item in table.findings):
        _agreeing(table, speed, torque, power)


def _rising(table: _Table, speed: _Column) -> None:
    falls = [index for index, step in enumerate(np.diff(speed.values), 1) if step <= 0]
    if falls:
        line, cell = speed.cells[falls[0]]
        before = speed.cells[falls[0] - 1][1].text
        found = f"engine speed {cell.text} after {before}{more(len(falls) - 1, 'row')}"
        hint = "the rows sorted by engine speed, each speed once"
        table.fault(line, cell.column, found, "engine speed that rises from row to row", hint)


def _plausible(table: _Table, item: _Column) -> None:
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


def _agreeing(table: _Table, speed: _Column, torque: _Column, power: _Column) -> None:
    """Hold torque against power: P = 2 pi n T, within what their last digits allow."""
    T, P, n = (np.array(item.values) for item in (torque, power, speed))
    expected = np.asarray(power_from_torque(T, n))
    rounding = np.array(power.steps) + np.asarray(power_from_torque(np.array(torque.steps), n))
    apart = np.abs(P - expected) - rounding
    wrong = np.flatnonzero(np.nan_to_num(apart) > TOLERANCE * np.abs(expected))
    if wrong.size == 0:
        return
    row = int(wrong[0])
    line, cell = power.cells[row]
    due = power.unit.from_si(float(expected[row]))
    symbol, torque_text = power.unit.symbol, torque.cells[row][1].text
    found = f"power {cell.text} {symbol} beside torque {torque_text} {torque.unit.symbol}"
    found += more(int(wrong.size) - 1, "row")
    due_words = f"{due:.1f} {symbol}, since power is 2 pi times speed times torque"
    hint = "the right units in the head, or only the column that was measured"
    table.fault(line, cell.column, found, due_words, hint, "contradiction")
