"""Where a falling surplus crosses zero, for many balances at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from specgen.physics._domain import Array

_GRID = np.linspace(0.0, 1.0, 17)[:, np.newaxis]
_MOST_STEPS = 60
#: A step this small ends the search: the method doubles its right digits with each step, so that
#: the point itself is right to the last few of a float.
_CLOSE = 1e-9


def first_crossing(
    surplus: Callable[[Array], Array], low: float, high: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """Lowest point of each balance where the surplus falls through zero.

    `surplus` gives the surplus of every balance at one point for each; the search runs from low to
    high. A coarse grid finds the first fall through zero, then Ridders' method (IEEE Transactions
    on Circuits and Systems 26, 1979, 979; from memory, checked against scipy 1.17.1) closes it in;
    both work on all balances together. Gives the points and whether there is a crossing; where
    there is none the point means nothing.
    """
    points = low + (high - low) * _GRID
    values = surplus(points)
    falls = (values[:-1] > 0.0) & (values[1:] <= 0.0)
    found = np.asarray(falls.any(axis=0))
    first, column = falls.argmax(axis=0), np.arange(high.size)
    left, right = points[first, column], points[first + 1, column]
    return _ridders(surplus, left, right, values[first, column], values[first + 1, column]), found


def _ridders(
    surplus: Callable[[Array], Array], left: Array, right: Array, at_left: Array, at_right: Array
) -> Array:
    """Close in on the crossing between left (surplus above zero) and right (zero or below)."""
    point = right
    for _ in range(_MOST_STEPS):
        middle = 0.5 * (left + right)
        at_middle = surplus(middle)
        spread = np.sqrt(np.maximum(at_middle**2 - at_left * at_right, np.finfo(float).tiny))
        previous, point = point, middle + (middle - left) * at_middle / spread
        point = np.clip(point, left, right)
        at_point = surplus(point)
        for place, value in ((middle, at_middle), (point, at_point)):
            inside = (place >= left) & (place <= right)
            above = inside & (value > 0.0)
            below = inside & ~(value > 0.0)
            left, at_left = np.where(above, place, left), np.where(above, value, at_left)
            right, at_right = np.where(below, place, right), np.where(below, value, at_right)
        if np.all(np.abs(point - previous) <= _CLOSE * (1.0 + np.abs(point))):
            break
    return point
