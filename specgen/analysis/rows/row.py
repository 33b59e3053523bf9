"""One figure of a sheet with everything that stands behind it.

A row is made once, in `scope`, and never changed: pages, charts, JSON and the terminal all
print this object. Rows know nothing of how they are printed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.rows.formula import Formula
from specgen.findings import Place
from specgen.vocabulary import Quantity

Array = NDArray[np.float64]
Value = float | Array
#: Signed standard-uncertainty contribution of each independent root (GUM, first order). Kept by
#: root, so that two figures resting on the same reading stay correlated.
Spread = Mapping[str, Value]
#: How a figure of a pull stands towards standard air.
State = Literal["observed", "corrected", "reported"]
Basis = Literal["stated", "measured", "derived", "default", "fitted", "estimated", "absent"]

#: Coverage factor of the expanded uncertainty that pages show.
COVERAGE = 2.0


@dataclass(frozen=True, eq=False)
class Row:
    """A figure: SI value (scalar or curve), spread, where it stands, how it was got, or why not.

    A curve that has no value at some speeds may say why in `reason` too. `state` is how a pull's
    power or torque stands, `standing` the same in words, with the standard's name.
    """

    key: str
    scope: str
    title: str
    quantity: Quantity
    basis: Basis
    value: Value | None = None
    spread: Spread = field(default_factory=dict)
    formula: Formula | None = None
    inputs: tuple[Row, ...] = ()
    place: Place | None = None
    text: str = ""
    source: str = ""
    reason: str = ""
    state: State | None = None
    standing: str = ""
    at: Row | None = None

    @property
    def present(self) -> bool:
        """Whether there is a figure at all; if not, `reason` says why."""
        return self.value is not None

    @property
    def is_curve(self) -> bool:
        """Whether the value is an array over engine speed."""
        return isinstance(self.value, np.ndarray)

    @property
    def scalar(self) -> float:
        """The value where it is one number; TypeError for a curve or an absent row."""
        if not isinstance(self.value, int | float):
            raise TypeError(f"{self.scope} {self.key} is not one number")
        return float(self.value)

    @property
    def curve(self) -> Array:
        """The value where it is a curve; TypeError otherwise."""
        if not isinstance(self.value, np.ndarray):
            raise TypeError(f"{self.scope} {self.key} is not a curve")
        return self.value

    @cached_property
    def uncertainty(self) -> Value | None:
        """Standard uncertainty: root of the sum of squares over the roots; None if unknown."""
        if not self.spread or self.value is None:
            return None
        parts = list(self.spread.values())
        if not any(isinstance(part, np.ndarray) for part in parts):
            return math.hypot(*parts)
        shape = np.shape(self.value)
        if any(np.shape(part) != shape for part in parts):
            parts = [np.broadcast_to(part, shape) for part in parts]
        together = np.array(parts)
        return np.asarray(np.sqrt(np.einsum("ij,ij->j", together, together)))

    @property
    def expanded(self) -> float | None:
        """Expanded uncertainty with k = 2, where the value is one number."""
        uncertainty = self.uncertainty
        return COVERAGE * uncertainty if isinstance(uncertainty, float) else None

    @property
    def anchor(self) -> str:
        """The row's address on its sheet."""
        return f"row-{self.scope}-{self.key}".replace(" ", "-").replace("_", "-").lower()


def point(curve: Row, speeds: Row, at: Row, key: str, title: str) -> Row:
    """Read a curve at one engine speed, its spread with it; absent where the curve has no value.

    Between two points of the curve the line is straight; beyond its ends there is no value.
    """
    if not curve.present:
        return replace(curve, key=key, title=title)
    speed, grid, values = at.scalar, speeds.curve, curve.curve
    inside = grid[0] * (1 - 1e-9) <= speed <= grid[-1] * (1 + 1e-9)
    value = float(np.interp(speed, grid, values)) if inside else float("nan")
    if not np.isfinite(value):
        reason = curve.reason or "no balance at this speed"
        reason = reason if inside else "outside the speeds of the curve"
        return replace(
            curve, key=key, title=title, basis="absent", value=None, spread={}, reason=reason
        )
    left = min(max(int(np.searchsorted(grid, speed, side="right")) - 1, 0), max(len(grid) - 2, 0))
    right = min(left + 1, len(grid) - 1)
    width = grid[right] - grid[left]
    share = min(max((speed - grid[left]) / width, 0.0), 1.0) if width else 0.0
    # A point of the curve rests on itself alone: beside it there may be no balance.
    left, right = (
        (right, right) if share == 1.0 else (left, left) if share == 0.0 else (left, right)
    )
    spread = {
        root: float(part[left] + share * (part[right] - part[left]))
        if isinstance(part, np.ndarray)
        else part
        for root, part in curve.spread.items()
    }
    return replace(curve, key=key, title=title, value=value, spread=spread, at=at, reason="")
