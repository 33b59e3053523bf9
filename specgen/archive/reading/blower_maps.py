"""Reading a blower's measured map: points at several speeds, and what they must say together.

A displacing blower's points run upwards in pressure ratio at each speed, a centrifugal one's in
air flow. Points of one speed belong to one line, and have the same figure for it.
"""

from __future__ import annotations

from collections.abc import Callable

from specgen.archive.model.kinds import KINDS
from specgen.archive.model.map import BlowerMap
from specgen.archive.phrases.suggestion import more
from specgen.archive.reading.head import read_head
from specgen.archive.reading.source import decode
from specgen.archive.reading.table import (
    Cell,
    Column,
    Table,
    judge_plausible,
    lines_of,
    read_rows,
)
from specgen.findings import Finding, Place

#: The columns of a map, with the quantity each is; the shaft efficiency may be left out.
DISPLACEMENT: dict[str, str] = {
    "blower speed": "blower_speed",
    "pressure ratio": "pressure_ratio",
    "volumetric efficiency": "volumetric_efficiency",
    "isentropic efficiency": "isentropic_efficiency",
    "shaft efficiency": "shaft_efficiency",
}
CENTRIFUGAL: dict[str, str] = {
    "blower speed": "blower_speed",
    "air flow": "air_mass_flow",
    "pressure ratio": "pressure_ratio",
    "isentropic efficiency": "isentropic_efficiency",
    "shaft efficiency": "shaft_efficiency",
}
#: What to write for a column that is at home in the other kind's map.
_DISPLACING_INSTEAD = {
    "air flow": "volumetric efficiency [%] in its place, or kind: centrifugal in the blower's file"
}
_CENTRIFUGAL_INSTEAD = {
    "volumetric efficiency": "air flow [kg/min] in its place, or another kind in the blower's file"
}
_EFFICIENCIES = ("volumetric_efficiency", "isentropic_efficiency", "shaft_efficiency")
#: No blower has so small an efficiency: a share was written under a head of per cent.
_LEAST = 0.01
#: Two speeds this near to one another were probably meant to be one line.
_NEAR = 0.02


def read_map(data: bytes, file: str, kind: str) -> tuple[BlowerMap | None, str, list[Finding]]:
    """Read a map file's bytes for a kind of blower: the map (None where it has errors), its text.

    The third are its findings.
    """
    text, faults = decode(data, file)
    if faults:
        return None, text, list(faults)
    wheel = not KINDS[kind].displaces
    names = CENTRIFUGAL if wheel else DISPLACEMENT
    instead = _CENTRIFUGAL_INSTEAD if wheel else _DISPLACING_INSTEAD
    table = Table(file, names, "bad-map", tuple(names.values()), instead)
    rows = lines_of(text)
    head = ",".join(table.example(name) for name in list(names)[:4])
    if not rows:
        table.fault(1, 1, "an empty file", "a head and rows", head)
        return None, text, table.findings
    below = read_head(table, rows, [(key,) for key in list(names.values())[:4]])
    read_rows(table, below)
    if len(rows) == 1:
        table.fault(rows[0][0], 1, "no row", "a row for each measured point", head)
    if not table.findings:
        _judge(table, "air_mass_flow" if wheel else "pressure_ratio")
    found = None if table.faulty else BlowerMap(Place(file), *table.arrays())
    return found, text, table.findings


def _judge(table: Table, along: str) -> None:
    """Check what the numbers say, once all of them could be read."""
    for key in _EFFICIENCIES:
        _beyond(
            table,
            key,
            lambda value: _LEAST < value <= 1.0,
            "above 1 and at most 100 %",
            "the right figure, in per cent: 88 for a share of 0.88; or no such row",
        )
    _beyond(
        table,
        "pressure_ratio",
        lambda value: value > 1.0,
        "above 1: outlet over inlet pressure, both absolute",
        "1.8 where an inlet of 100 kPa goes with an outlet of 180 kPa",
    )
    for item in table.known:
        if not table.faulty:
            judge_plausible(table, item)
    speed, rising = table.column("blower_speed"), table.column(along)
    assert speed is not None
    assert rising is not None
    _lines(table, speed, rising)


def _beyond(
    table: Table, key: str, sound: Callable[[float], bool], expected: str, hint: str
) -> None:
    """Report a column's first value that no blower has."""
    item = table.column(key)
    odd = [index for index, value in enumerate(item.values) if not sound(value)] if item else []
    if item is not None and odd:
        line, cell = item.cells[odd[0]]
        found = f"{table.name(key)} {cell.text} {item.unit.symbol}".rstrip()
        found += more(len(odd) - 1, "cell")
        table.fault(line, cell.column, found, expected, hint, "implausible")


def _lines(table: Table, speed: Column, rising: Column) -> None:
    """Check that the points make lines: two speeds or more, two points or more at each."""
    lines: dict[float, list[int]] = {}
    for index, value in enumerate(speed.values):
        lines.setdefault(value, []).append(index)
    for value, points in lines.items():
        if len(points) < 2:
            _lone(table, speed, points[0], [other for other in lines if other != value])
        else:
            _along(table, speed, rising, points)
    if len(lines) == 1:
        line, cell = speed.cells[0]
        found = f"one speed only, {cell.text} {speed.unit.symbol}"
        hint = "points at a second speed, or no performance in the blower's file"
        table.fault(line, cell.column, found, "points at two speeds or more", hint)


def _lone(table: Table, speed: Column, index: int, others: list[float]) -> None:
    """Report a point that is alone at its speed, and the line that it was perhaps meant for."""
    line, cell = speed.cells[index]
    value, symbol = speed.values[index], speed.unit.symbol
    near = min(others, key=lambda other: abs(other - value), default=None)
    hint = "a second point at this speed, or no such row"
    if near is not None and abs(near - value) <= _NEAR * value:
        before = speed.cells[speed.values.index(near)][1].text
        hint = f"{before}, if the point belongs to that line"
    found = f"one point only at {cell.text} {symbol}"
    table.fault(line, cell.column, found, "two points or more at each speed", hint)


def _along(table: Table, speed: Column, rising: Column, points: list[int]) -> None:
    """Report the first point of a line that repeats another or runs backwards."""
    name = table.name(rising.key)
    seen: dict[float, int] = {}
    for before, index in zip([None, *points], points, strict=False):
        line, cell = rising.cells[index]
        value, at = rising.values[index], _at(speed, index)
        if value in seen:
            found = f"a second point at {name} {cell.text} and {at}; line {seen[value]} has one"
            table.fault(line, cell.column, found, "each point once", "only the one that holds")
            return
        if before is not None and value < rising.values[before]:
            found = f"{name} {cell.text} after {_text(rising.cells[before])} at {at}"
            hint = f"the points of each speed sorted by {name}"
            table.fault(line, cell.column, found, f"{name} that rises along each speed", hint)
            return
        seen[value] = line


def _at(speed: Column, index: int) -> str:
    return f"{_text(speed.cells[index])} {speed.unit.symbol}"


def _text(placed: tuple[int, Cell]) -> str:
    return placed[1].text
