"""How much room a planned pair has to each limit, and at which ratio each limit is reached."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from specgen.analysis.judging.limits import whole_grip
from specgen.analysis.judging.reach import excess
from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import SetupSheet, Workings

State = Literal["inside", "may be beyond", "beyond"]

#: title, row of the setup (a curve counts where it is highest), row of the limit
LIMITS = (
    ("Blower speed", "blower_speed_at_top", "blower_max_speed"),
    ("Belt speed", "belt_speed", "limit_belt_speed"),
    ("Boost", "estimated_boost", "limit_boost"),
    ("Power", "estimated_power", "limit_power"),
    ("Torque", "estimated_torque", "limit_torque"),
    ("Charge temperature", "estimated_charge_temperature", "limit_charge_temperature"),
    ("Injector duty", "injector_duty", "limit_injector_duty"),
    ("Belt grip", "grip_used", ""),
    ("Octane", "estimated_octane_asked", "fuel_octane"),
)


@dataclass(frozen=True, slots=True)
class Room:
    """A figure of a pair and the limit it is to stay below."""

    title: str
    value: Row
    limit: Row

    @property
    def state(self) -> State:
        """Inside the limit with its band (k = 2), beyond it with its band, or neither."""
        over = excess(self.value, self.limit)
        if over is None:
            return "inside"
        return "beyond" if over.certain else "may be beyond"

    @property
    def left(self) -> float:
        """What is left to the limit [SI of the figure]; below zero beyond it."""
        return self.limit.scalar - self.value.scalar


@dataclass(frozen=True, slots=True)
class Stop:
    """A limit and the drive ratio at which it is reached; `low` says that all pairs lie beyond."""

    title: str
    ratio: float
    limit: Row
    low: bool = False


def rooms_of(sheet: Workings, setup: SetupSheet) -> tuple[Room, ...]:
    """The room to every limit that is known, in the order of the table."""
    found = []
    for title, key, limit_key in LIMITS:
        row = setup.rows[key]
        value = highest(row, setup.rows["speed"]) if row.is_curve else row
        limit = setup.rows[limit_key] if limit_key else whole_grip(sheet)
        if value.present and limit.present:
            found.append(Room(title, value, limit))
    return tuple(found)


def highest(curve: Row, speeds: Row) -> Row:
    """The highest value of an estimated curve with its speed and its doubt there.

    Absent where the curve has gaps: the highest may lie in one of them.
    """
    values = curve.curve
    if not np.isfinite(values).all():
        reason = curve.reason or "not known at every speed"
        return replace(curve, basis="absent", value=None, spread={}, reason=reason)
    index = int(np.nanargmax(values))
    at = replace(speeds, value=float(speeds.curve[index]), title="Engine speed there")
    return point(curve, speeds, at, f"highest_{curve.key}", f"{curve.title}, highest")


def stops_of(pairs: Sequence[tuple[float, Sequence[Room]]]) -> tuple[Stop, ...]:
    """The ratio at which each limit is reached, the lowest first; what no pair reaches is left out.

    `pairs` are ratio and rooms by rising ratio; between two pairs the figure goes straight.
    """
    found = []
    for title in dict.fromkeys(room.title for _, rooms in pairs for room in rooms):
        line = [(ratio, room) for ratio, rooms in pairs for room in rooms if room.title == title]
        stop = _crossing(title, line)
        if stop is not None:
            found.append(stop)
    return tuple(sorted(found, key=lambda stop: stop.ratio))


def _crossing(title: str, line: Sequence[tuple[float, Room]]) -> Stop | None:
    first, room = line[0]
    if room.left < 0:
        return Stop(title, first, room.limit, low=True)
    for (before, one), (after, other) in itertools.pairwise(line):
        if other.left < 0:
            share = one.left / (one.left - other.left)
            return Stop(title, before + share * (after - before), other.limit)
    return None
