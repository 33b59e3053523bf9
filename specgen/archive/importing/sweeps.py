"""Sweeps in a log: which rows belong to a pull, in which order, and how many are thinned to few."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

#: A turn of the engine speed counts from this share of its whole range on.
_TURN = 0.12
#: A sweep covers at least this share of what the longest one covers, under this share of its load.
_LONG, _LOADED = 0.5, 0.5
#: Rows of a curve beyond which it is thinned, and the most steps it is thinned to.
_MANY, _STEPS = 300, 150
#: Steps of engine speed that a log is averaged by [rpm].
_STEP_SIZES = (5, 10, 20, 25, 50, 100, 200, 250, 500)
#: Where the speed stands still a stretch of this share of the range holds too many rows.
_STILL = 0.02
#: So many rows beside them tell whether those were under the same load, within this share.
_BESIDE, _ALIKE = 20, 0.08
FEWEST = 3


@dataclass(frozen=True, slots=True)
class Sweep:
    """One pull in a log: its rows by rising speed, or groups of rows that are averaged.

    `groups` gives for each of `rows` the step it belongs to; None where each row stands alone.
    """

    rows: Rows
    method: str
    groups: NDArray[np.intp] | None = None

    def averaged(self, values: Floats) -> Floats:
        """Give a column at the sweep's points; NaN where no row of a step has a number."""
        own = values[self.rows]
        if self.groups is None:
            return own
        size = int(self.groups[-1]) + 1
        there = np.isfinite(own)
        sums = np.bincount(self.groups[there], own[there], size)
        counts = np.bincount(self.groups[there], minlength=size)
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.where(counts > 0, sums / counts, np.nan)


def sweeps_of(speed: Floats, load: Floats) -> list[Sweep]:
    """Find the sweeps of a log [rpm, and any measure of torque], in the order of its rows."""
    there: Rows = np.flatnonzero(np.isfinite(speed) & np.isfinite(load))
    if len(there) < FEWEST:
        return []
    steps = np.diff(speed[there])
    if (steps > 0).all() or (steps < 0).all():
        return [_ordered(there, speed)]
    legs = _loaded([there[leg] for leg in _legs(speed[there])], speed, load)
    # a list of points is kept whole; only a log has rows before and behind its sweeps
    found = [_trimmed(leg, speed, load) for leg in legs]
    return [_ordered(rows, speed) for rows in found if len(rows) >= FEWEST]


def _legs(speed: Floats) -> list[slice]:
    """Part a log where the speed turns for good."""
    low, high = np.percentile(speed, (0.5, 99.5))
    turns = _turning_points(speed, _TURN * (high - low))
    return [slice(a, b + 1) for a, b in pairwise(turns)]


def _turning_points(speed: Floats, threshold: float) -> list[int]:
    """Give the rows at which the speed turns by more than a threshold, with both ends."""
    turns = [0]
    highest = lowest = 0
    rising: bool | None = None
    values = speed.tolist()
    for index, value in enumerate(values):
        if value > values[highest]:
            highest = index
        if value < values[lowest]:
            lowest = index
        if rising is not False and values[highest] - value > threshold:
            turns.append(highest)
            rising, lowest = False, index
        elif rising is not True and value - values[lowest] > threshold:
            turns.append(lowest)
            rising, highest = True, index
        elif rising is True:
            lowest = index
        elif rising is False:
            highest = index
    last, peak = len(values) - 1, highest if rising else lowest if rising is False else 0
    # what is held at the end belongs to the sweep; what falls away from its end does not
    held = abs(values[last] - values[peak]) <= threshold * _STILL / _TURN
    turns.append(last if rising is None or held else peak)
    return sorted(set(turns))


def _loaded(legs: list[Rows], speed: Floats, load: Floats) -> list[Rows]:
    """Keep the legs that are pulls: long, under load, and rising where any such rises."""
    legs = [leg for leg in legs if len(leg) >= FEWEST]
    if not legs:
        return []
    longest = max(_span(leg, speed) for leg in legs)
    legs = [leg for leg in legs if _span(leg, speed) >= _LONG * longest]
    heaviest = max(float(np.median(load[leg])) for leg in legs)
    legs = [leg for leg in legs if np.median(load[leg]) >= _LOADED * heaviest]
    rising = [leg for leg in legs if speed[leg[-1]] > speed[leg[0]]]
    return rising or legs


def _span(leg: Rows, speed: Floats) -> float:
    return float(abs(speed[leg[-1]] - speed[leg[0]]))


def _trimmed(leg: Rows, speed: Floats, load: Floats) -> Rows:
    """Take off the rows before and behind a sweep: without load, or at a standing speed."""
    falling = speed[leg[-1]] < speed[leg[0]]
    leg = leg[::-1] if falling else leg
    usual = float(np.median(load[leg]))
    light = np.flatnonzero(load[leg] < _LOADED * usual)
    middle = len(leg) // 2
    begin = int(light[light < middle][-1]) + 1 if (light < middle).any() else 0
    end = int(light[light >= middle][0]) if (light >= middle).any() else len(leg)
    begin, end = _settled(load[leg], begin, end)
    rows = leg[begin:end]
    if len(rows) < FEWEST:
        return rows
    begin, end = _moving(speed[rows], load[rows])
    rows = rows[begin:end]
    return rows[::-1] if falling else rows


def _settled(load: Floats, begin: int, end: int) -> tuple[int, int]:
    """Leave out the rows in which the throttle still opens, or closes, of a log with many rows."""
    if end - begin < 100:
        return begin, end
    most = max((end - begin) // 20, 1)
    first = begin
    while 0 < begin < first + most and load[begin + 1] > 1.02 * load[begin]:
        begin += 1
    last = end
    while last - most < end < len(load) and load[end - 2] > 1.02 * load[end - 1]:
        end -= 1
    return begin, end


def _moving(speed: Floats, load: Floats) -> tuple[int, int]:
    """Leave out the rows at either end in which the speed stands still, under another load.

    Rows of a step that was held under the sweep's own load are as good as any.
    """
    low, high = float(speed.min()), float(speed.max())
    width = _STILL * (high - low)
    usual = 3 * _STILL * len(speed) + 3
    begin, end = 0, len(speed)
    lower, upper = np.flatnonzero(speed <= low + width), np.flatnonzero(speed >= high - width)
    if len(lower) > usual and _other(load[: lower[-1] + 1], load[lower[-1] + 1 :][:_BESIDE]):
        begin = int(lower[-1]) + 1
    if len(upper) > usual and _other(load[upper[0] :], load[: upper[0]][-_BESIDE:]):
        end = int(upper[0])
    return (begin, end) if end - begin >= FEWEST else (0, len(speed))


def _other(still: Floats, beside: Floats) -> bool:
    """Whether rows at a standing speed were under another load than those beside them."""
    if not len(beside):
        return False
    usual = float(np.median(beside))
    return abs(float(np.median(still)) - usual) > _ALIKE * abs(usual)


def _ordered(rows: Rows, speed: Floats) -> Sweep:
    """Put a sweep's rows in the order of speed; average them by steps where they are many."""
    order = np.argsort(speed[rows], kind="stable")
    was_rising = (np.diff(speed[rows]) > 0).all()
    was_falling = (np.diff(speed[rows]) < 0).all()
    rows = rows[order]
    if (was_rising or was_falling) and len(rows) <= _MANY:
        turned = "the rows by rising engine speed, which fell in the file"
        return Sweep(rows, turned if was_falling else "the rows as they are")
    step = _step_for(speed[rows])
    groups = np.floor(speed[rows] / step + 0.5).astype(np.intp)
    _, groups = np.unique(groups, return_inverse=True)
    points = int(groups[-1]) + 1
    method = f"the mean of each {step} rpm of engine speed: {len(rows)} rows to {points} points"
    return Sweep(rows, method, groups.astype(np.intp))


def _step_for(speed: Floats) -> int:
    """Give the smallest step that leaves no more points than are worth keeping, few empty."""
    span = float(speed[-1] - speed[0])
    for step in _STEP_SIZES:
        count = span / step + 1
        filled = len(np.unique(np.floor(speed / step + 0.5)))
        if count <= _STEPS and filled >= 0.9 * count:
            return step
    return _STEP_SIZES[-1]
