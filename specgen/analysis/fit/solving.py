"""Least squares of misses and priors: where unknowns and what is shared come to rest.

A miss counts less the further it lies out, so that one bad point does not bend the rest. What
pulls and sessions share is linear and costs no call of the model.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.fit.products import applied, inverse, product
from specgen.analysis.fit.residuals import Residuals
from specgen.analysis.rows.row import Array
from specgen.physics import Unphysical

#: Beyond this many standard deviations a miss counts less and less.
_SOFT = 3.0

#: Most rounds, how little a step may move, and how often a step that makes it worse is halved.
_ROUNDS, _SETTLED, _HALVED = 12, 0.02, 5
#: Steps that are taken from a start nearby, and how far out of its prior an unknown is near.
_NEARBY, _NEAR = 2, 5.0


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Shifts of the unknowns and, behind them, of what is shared; misses and slopes there.

    `weights` are the roots of what each miss counts: one where it lies near.
    """

    shifts: Array
    misses: Array
    slopes: Array
    weights: Array

    @property
    def information(self) -> Array:
        """What misses and priors together tell of all shifts: the inverse of their covariance."""
        weighted = self.slopes * self.weights[:, None]
        return product(weighted.T, weighted) + np.eye(len(self.shifts))


def solved(model: Residuals, start: Array) -> Solution:
    """Move the unknowns to what was measured, from a start of theirs."""
    count = len(model.unknowns)
    at = np.zeros(count + model.common.shape[1])
    at[:count] = start
    misses = _misses(model, at)
    cost = _cost(misses, at)
    for _ in range(_ROUNDS):
        slopes = np.hstack([model.slopes(at[:count]), model.common])
        step = _step(misses, slopes, at)
        at, misses, after = _walked(model, at, step, misses, cost)
        still = np.abs(step).max() < _SETTLED or cost - after < 1e-3 * (1 + after)
        cost = after
        if still:
            break
    slopes = np.hstack([model.slopes(at[:count]), model.common])
    return Solution(at, misses, slopes, np.sqrt(_weights(misses)))


def is_near(shifts: Array) -> bool:
    """Whether no unknown lies so far out of its prior that the model is no guide there."""
    return bool(np.abs(shifts).max() < _NEAR)


def moved_on(model: Residuals, start: Array, kept: NDArray[np.bool_]) -> Solution | None:
    """A few steps from a start nearby, of unknowns and what is shared, by some of the misses alone.

    The solution tells of all misses; those that are not kept weigh nothing. None where the way
    leads far out, or to where there is no balance.
    """
    count, at, rest = len(model.unknowns), start, kept.astype(float)
    for last in range(_NEARBY, -1, -1):
        try:
            slopes = np.hstack([model.slopes(at[:count]), model.common])
            misses = _misses(model, at)
        except Unphysical:
            return None
        if last:
            weighed = _weights(misses) * rest
            at = at + _step(misses, slopes, at, weighed)
            if not is_near(at[:count]):
                return None
    return Solution(at, misses, slopes, np.sqrt(_weights(misses) * rest))


def _misses(model: Residuals, at: Array) -> Array:
    count = len(model.unknowns)
    return np.asarray(model.misses(at[:count]) + applied(model.common, at[count:]))


def _weights(misses: Array) -> Array:
    return np.asarray((1 + (misses / _SOFT) ** 2) ** -0.5)


def _cost(misses: Array, at: Array) -> float:
    soft = 2 * _SOFT**2 * (np.sqrt(1 + (misses / _SOFT) ** 2) - 1)
    return float(soft.sum() + at @ at)


def _step(misses: Array, slopes: Array, at: Array, weights: Array | None = None) -> Array:
    """The step of Gauss and Newton, each miss by its weight."""
    weighted = slopes.T * (_weights(misses) if weights is None else weights)
    normal = product(weighted, slopes) + np.eye(len(at))
    return np.asarray(-applied(inverse(normal), applied(weighted, misses) + at))


def _walked(
    model: Residuals, at: Array, step: Array, misses: Array, cost: float
) -> tuple[Array, Array, float]:
    """Go along a step as far as it helps; stay where it does not."""
    share = 1.0
    for _ in range(_HALVED):
        tried = at + share * step
        found = _misses(model, tried)
        after = _cost(found, tried)
        if after <= cost:
            return tried, found, after
        share /= 2
    return at, misses, cost
