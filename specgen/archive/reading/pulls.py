"""Reading curve files: tables with one row an engine speed, and what their numbers must say."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from specgen.archive.delimited.beside import units_in_head
from specgen.archive.delimited.cells import is_plain
from specgen.archive.delimited.grid import NoTable, grid_of
from specgen.archive.delimited.letters import NoText, decoded
from specgen.archive.model.session import Channel, Curve
from specgen.archive.phrases.suggestion import more
from specgen.archive.reading.head import judge_reference, read_head
from specgen.archive.reading.source import decode
from specgen.archive.reading.syntax import size_fault
from specgen.archive.reading.table import (
    Column,
    Line,
    Table,
    frozen,
    judge_plausible,
    lines_of,
    read_rows,
)
from specgen.findings import Finding, Place
from specgen.physics.engine import power_from_torque

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
    "coolant temperature": "coolant_temperature",
    "blower speed": "blower_speed",
    "inlet pressure drop": "inlet_pressure_drop",
    "fuel flow": "fuel_mass_flow",
    "air flow": "air_mass_flow",
    "ignition advance": "ignition_advance",
}
#: A curve needs three points to be one.
FEWEST_ROWS = 3
#: So many rows that fall are no slip: the file is a log over time.
MANY_FALLS = 10
#: Torque and power of one row may differ by this share before one of them must be wrong.
TOLERANCE = 0.02


def read_curve(data: bytes, file: str) -> tuple[Curve | None, str, tuple[Finding, ...]]:
    """Read a curve file's bytes: the curve (None where it has errors), its text, its findings."""
    text, faults = _text(data, file)
    if faults:
        return None, text, faults
    table = Table(file, COLUMNS, "bad-curve", ("engine_speed",))
    rows = lines_of(text)
    plain = is_plain([line for _, line in rows])
    rows = rows if plain else lines_of(units_in_head(text))
    if not rows:
        table.fault(1, 1, "an empty file", "a head and rows", "engine speed [rpm],torque [N m]")
        return None, text, tuple(table.findings)
    if not plain and _is_an_export(table, text):
        return None, text, tuple(table.findings)
    wanted = (("engine_speed",), ("torque", "power"))
    below = read_head(table, rows, wanted, known_words=True)
    if table.columns:
        read_rows(table, below)
        _enough(table, below)
        if not table.findings:
            _judge(table, rows[0][0])
    return None if table.faulty else _curve(table), text, tuple(table.findings)


def _text(data: bytes, file: str) -> tuple[str, tuple[Finding, ...]]:
    """Give the text, of a spreadsheet's own encoding too; what is no text is a finding."""
    text, faults = decode(data, file)
    if faults and faults[0].code == "unreadable-file" and b"\0" not in data:
        with contextlib.suppress(NoText):
            text = decoded(data)[0]
            fault = size_fault(text, file)
            return text, (fault,) if fault else ()
    return text, faults


def _is_an_export(table: Table, text: str) -> bool:
    """Tell a dyno's own export, whose head stands below other lines: that is for `import`."""
    try:
        grid = grid_of(text)
    except NoTable:
        return False
    known = {item.meaning.quantity for item in grid.blocks[0].headings}
    lines = len(grid.preamble)
    if not lines or "engine_speed" not in known:
        return False
    above = f"{lines} line{'s' * (lines > 1)} above the head"
    head = grid.blocks[0].head_line
    table.fault(head, 1, above, "the head in the first line", f"the file by itself: {_IMPORT}")
    return True


_IMPORT = "specgen import FILE --build BUILD --setup SETUP, which reads such exports"


def _curve(table: Table) -> Curve:
    """Make the curve; rows that fall all the way are turned round."""
    columns, headers = table.arrays()
    turn = slice(None, None, -1) if _falls(columns["engine_speed"]) else slice(None)
    extra = tuple(
        Channel(item.name, item.unit, frozen(item.values[turn])) for item in table.channels
    )
    turned = {key: values[turn] for key, values in columns.items()}
    return Curve(Place(table.file), turned, headers, extra)


def _falls(speed: NDArray[np.float64]) -> bool:
    return bool((np.diff(speed) < 0).all())


def _enough(table: Table, rows: Sequence[Line]) -> None:
    if len(rows) < FEWEST_ROWS:
        last = rows[-1][0] if rows else 1
        found = "no row" if not rows else f"only {len(rows)} row" + "s" * (len(rows) > 1)
        hint = "more rows, or the result as peaks in build.yaml"
        table.fault(last, 1, found, f"at least {FEWEST_ROWS} rows", hint)


def _judge(table: Table, head_line: int) -> None:
    """Check what the numbers say, once all of them could be read."""
    speed = table.column("engine_speed")
    assert speed is not None
    _rising(table, speed)
    judge_reference(table, head_line)
    for item in table.known:
        judge_plausible(table, item)
    torque, power = table.column("torque"), table.column("power")
    recorded = [np.isfinite(item.values).sum() for item in (torque, power) if item]
    if max(recorded) < FEWEST_ROWS:
        hint = "more rows, or the result as peaks in build.yaml"
        found = "torque or power in fewer than three rows"
        table.fault(head_line, 1, found, f"at least {FEWEST_ROWS} rows", hint)
    if torque and power and not table.faulty:
        _agreeing(table, speed, torque, power)


def _rising(table: Table, speed: Column) -> None:
    steps = np.diff(speed.values)
    falls = [index for index, step in enumerate(steps, 1) if step <= 0]
    if falls and not (steps < 0).all():
        line, cell = speed.cells[falls[0]]
        before = speed.cells[falls[0] - 1][1].text
        found = f"engine speed {cell.text} after {before}{more(len(falls) - 1, 'row')}"
        hint = "the rows sorted by engine speed, each speed once"
        hint = hint if len(falls) < MANY_FALLS else f"the log by itself: {_IMPORT}"
        table.fault(line, cell.column, found, "engine speed that rises from row to row", hint)


def _agreeing(table: Table, speed: Column, torque: Column, power: Column) -> None:
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
