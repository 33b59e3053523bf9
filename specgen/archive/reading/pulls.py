"""Reading curve files: tables with one row an engine speed, and what their numbers must say."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from specgen.archive.model.build import Curve
from specgen.archive.phrases.suggestion import more
from specgen.archive.reading.source import decode
from specgen.archive.reading.table import (
    Column,
    Line,
    Table,
    judge_plausible,
    lines_of,
    read_head,
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
#: Torque and power of one row may differ by this share before one of them must be wrong.
TOLERANCE = 0.02


def read_curve(data: bytes, file: str) -> tuple[Curve | None, str, tuple[Finding, ...]]:
    """Read a curve file's bytes: the curve (None where it has errors), its text, its findings."""
    text, faults = decode(data, file)
    if faults:
        return None, text, faults
    table = Table(file, COLUMNS, "bad-curve", ("engine_speed",))
    rows = lines_of(text)
    if not rows:
        table.fault(1, 1, "an empty file", "a head and rows", "engine speed [rpm],torque [N m]")
        return None, text, tuple(table.findings)
    if read_head(table, *rows[0], (("engine_speed",), ("torque", "power"))):
        read_rows(table, rows[1:])
        _enough(table, rows[1:])
        if not table.findings:
            _judge(table, rows[0][0])
    curve = None if table.faulty else Curve(Place(file), *table.arrays())
    return curve, text, tuple(table.findings)


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
    for item in table.columns:
        if item is not None:
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
    falls = [index for index, step in enumerate(np.diff(speed.values), 1) if step <= 0]
    if falls:
        line, cell = speed.cells[falls[0]]
        before = speed.cells[falls[0] - 1][1].text
        found = f"engine speed {cell.text} after {before}{more(len(falls) - 1, 'row')}"
        hint = "the rows sorted by engine speed, each speed once"
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
