"""What counts as a number here, and the sentences that refuse what is outside the domain."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Real: TypeAlias = float | Array


class Unphysical(ValueError):  # noqa: N818 - the figures are wrong, not the program
    """A value outside the physical domain, or figures that no state of the engine satisfies.

    The only kind of error that physics raises; its text says in a plain sentence what is wrong.
    """


def plain(value: Any) -> Real:
    """Give a float for a single value and an array for several, whatever numpy made of it."""
    if isinstance(value, np.ndarray) and value.ndim > 0:
        return value
    return float(value)


def positive(**values: Real) -> None:
    """Refuse any named value that is zero or below."""
    for name, value in values.items():
        if _any(_comparable(value) <= 0.0):
            _refuse(name, value, _array(value) <= 0.0, "above zero")


def not_negative(**values: Real) -> None:
    """Refuse any named value below zero."""
    for name, value in values.items():
        if _any(_comparable(value) < 0.0):
            _refuse(name, value, _array(value) < 0.0, "zero or above")


def between(low: float, high: float, **values: Real) -> None:
    """Refuse any named value outside low to high, both included."""
    for name, value in values.items():
        known = _comparable(value)
        if _any(known < low) or _any(known > high):
            outside = (_array(value) < low) | (_array(value) > high)
            _refuse(name, value, outside, f"from {low:g} to {high:g}")


def at_least_one(**values: Real) -> None:
    """Refuse any named value below one."""
    for name, value in values.items():
        if _any(_comparable(value) < 1.0):
            _refuse(name, value, _array(value) < 1.0, "one or above")


def above(floor: Real, floor_name: str, **values: Real) -> None:
    """Refuse any named value that is not above the floor."""
    for name, value in values.items():
        if _any(_comparable(value) <= floor):
            _refuse(name, value, _array(value) <= floor, f"above {floor_name}")


def efficiency(**values: Real) -> None:
    """Refuse any named value that is not above zero and at most one."""
    positive(**values)
    between(0.0, 1.0, **values)


def _comparable(value: Real) -> Real:
    """Make an array of a list; most values are plain numbers, which need none."""
    return value if isinstance(value, float | int | np.ndarray) else _array(value)


def _any(holds: Any) -> bool:
    """Whether it holds anywhere."""
    return bool(np.count_nonzero(holds) if isinstance(holds, np.ndarray) else holds)


def _array(value: Real) -> Array:
    return np.asarray(value, dtype=np.float64)


def _refuse(name: str, value: Real, outside: NDArray[np.bool_], expected: str) -> None:
    value_array, outside = np.broadcast_arrays(_array(value), outside)
    first = float(value_array[outside].flat[0])
    raise Unphysical(f"{name.replace('_', ' ')} must be {expected}, but is {first:g}")
