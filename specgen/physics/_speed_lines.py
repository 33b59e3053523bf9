"""Points measured at several speeds, and straight lines between them.

Between two points of one speed the line is straight. Between two speeds a point lies at the same
share of both lines: the lowest of one goes over into the lowest of the other, the highest into the
highest, and what lies between keeps its place. Where both lines have the same ends, that is a
straight line at an equal value. Nothing is said outside the lines.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.physics._domain import Array, Unphysical

#: Rounding of a speed or an end that still counts as on the map.
_EDGE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class SpeedLines:
    """All lines on one common row of shares, so that a look-up is the same for each.

    `low` and `high` are the ends of each line; `share` has every measured share of every line, so
    that no measured point is lost; a table in `values` has one row a speed, one column a share.
    """

    speed: Array
    low: Array
    high: Array
    share: Array
    values: Mapping[str, Array]

    def at(self, speed: Array) -> Columns:
        """Give the lines at these speeds; one beyond the outermost is taken to be that one."""
        held = np.clip(speed, self.speed[0], self.speed[-1])
        below = np.clip(np.searchsorted(self.speed, held, side="right") - 1, 0, None)
        below = np.minimum(below, len(self.speed) - 2)
        weight = (held - self.speed[below]) / (self.speed[below + 1] - self.speed[below])
        return Columns(
            self._mixed(self.low, below, weight),
            self._mixed(self.high, below, weight),
            self.share,
            {name: self._mixed(table, below, weight) for name, table in self.values.items()},
            np.asarray(speed < self.speed[0] * (1.0 - _EDGE), dtype=np.bool_),
            np.asarray(speed > self.speed[-1] * (1.0 + _EDGE), dtype=np.bool_),
        )

    @staticmethod
    def _mixed(table: Array, below: NDArray[np.intp], weight: Array) -> Array:
        share = weight if table.ndim == 1 else weight[:, np.newaxis]
        return np.asarray((1.0 - share) * table[below] + share * table[below + 1])


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """The lines at given speeds: their ends, and a row of each value for each speed."""

    low: Array
    high: Array
    share: Array
    values: Mapping[str, Array]
    too_slow: NDArray[np.bool_]
    too_fast: NDArray[np.bool_]

    def along(self, share: Array) -> Array:
        """Give the coordinate along the line at these shares."""
        return (1.0 - share) * self.low + share * self.high

    def share_of(self, along: Array) -> Array:
        """Give the share at a coordinate; not a number outside the lines."""
        share = (along - self.low) / (self.high - self.low)
        outside = (share < -_EDGE) | (share > 1.0 + _EDGE) | self.too_slow | self.too_fast
        return np.where(outside, np.nan, np.clip(share, 0.0, 1.0))

    def look_up(self, share: Array, *names: str) -> list[Array]:
        """Give the named values at these shares, which lie from 0 to 1 or are not a number."""
        known = np.where(np.isnan(share), 0.0, share)
        left = np.clip(np.searchsorted(self.share, known, side="right") - 1, 0, None)
        left = np.minimum(left, len(self.share) - 2)
        start = self.share[left]
        weight = (share - start) / (self.share[left + 1] - start)
        place = left + np.arange(self.low.size) * len(self.share)
        return [
            (1.0 - weight) * table.take(place) + weight * table.take(place + 1)
            for table in (self.values[name] for name in names)
        ]


def gathered(speed: Array, along: Array, name: str, values: Mapping[str, Array]) -> SpeedLines:
    """Gather points into lines; ValueError where they do not make at least two of them.

    `name` says what `along` is; it must rise along each line, in the order of the points.
    """
    lines = np.unique(speed)
    if len(lines) < 2:
        raise Unphysical(f"a map must have at least two speeds, but has {len(lines)}")
    parts = [np.flatnonzero(speed == line) for line in lines]
    for part in parts:
        if len(part) < 2:
            raise Unphysical(f"a map must have at least two points a speed, but has {len(part)}")
        if np.any(np.diff(along[part]) <= 0.0):
            raise Unphysical(f"{name} must rise along each speed of a map")
    low = np.array([along[part[0]] for part in parts])
    high = np.array([along[part[-1]] for part in parts])
    shares = [
        (along[part] - start) / (end - start)
        for part, start, end in zip(parts, low, high, strict=True)
    ]
    common = np.unique(np.concatenate(shares))
    tables = {
        key: np.array(
            [np.interp(common, own, column[part]) for own, part in zip(shares, parts, strict=True)]
        )
        for key, column in values.items()
    }
    return SpeedLines(lines, low, high, common, tables)
