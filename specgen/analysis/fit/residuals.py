"""What a fit works on: the unknowns, and the misses of all observations as the model gives them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.estimate import MAPPED, POWER_ALONE, Kind
from specgen.analysis.fit.observations import Observation
from specgen.analysis.rows.row import COVERAGE, Array, Row

#: By how much of its prior each unknown is moved for a slope.
_STEP = 0.02

#: While no unknown has moved by more than this share of its prior, slopes are not made anew: the
#: model is nearly straight, so that old ones lead to the same fit by a step more, at a fraction of
#: the cost.
_STILL = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class Unknown:
    """One unknown: its row before the fit, the group it belongs to, and its scale."""

    row: Row
    group: str
    logarithmic: bool

    @property
    def prior(self) -> float:
        """Prior standard deviation; of the logarithm where the fit moves that."""
        size = self.row.uncertainty
        assert isinstance(size, float)
        return float(size / abs(self.row.scalar)) if self.logarithmic else size

    def value(self, shift: Any) -> Any:
        """The parameter for a shift in units of the prior's standard deviation."""
        moved = self.prior * shift
        return self.row.scalar * np.exp(moved) if self.logarithmic else self.row.scalar + moved

    def slope(self, shift: float) -> float:
        """How the parameter goes with the shift."""
        return self.prior * (float(self.value(shift)) if self.logarithmic else 1.0)


@dataclass(frozen=True, slots=True)
class Label:
    """What one residual belongs to: setup, pull, figure, and engine speed [rev/s]."""

    setup: str
    pull: str
    figure: str
    speed: float


class Residuals:
    """All observations as one vector of residuals, and its slope, in one call of the estimate."""

    def __init__(
        self, kind: Kind, observations: tuple[Observation, ...], unknowns: tuple[Unknown, ...]
    ) -> None:
        self._model, self._observations, self.unknowns = (
            observations[0].model,
            observations,
            unknowns,
        )
        names = observations[0].inputs.keys()
        sizes = [item.size for item in observations]
        self._base = {
            name: np.concatenate(
                [np.broadcast_to(np.asarray(item.inputs[name], float), size)
                 for item, size in zip(observations, sizes, strict=True)]
            )
            for name in names
            if all(name in item.inputs for item in observations)
        }  # fmt: skip
        self._last: tuple[Array, Array] | None = None
        self._masks = [self._mask(unknown, sizes) for unknown in unknowns]
        self._measured = {
            figure: np.concatenate([item.values(figure) for item in observations])
            for figure in observations[0].FIGURES
        }
        modelled = self._model(**self._base)
        sure = self._surely_solved() if kind in MAPPED else np.ones(sum(sizes), dtype=np.bool_)
        self._seen = {
            figure: np.isfinite(measured) & sure
            for figure, measured in self._measured.items()
            if figure in modelled
        }
        self._sizes = {
            figure: np.concatenate([item.sizes(figure) for item in observations])
            for figure in observations[0].FIGURES
        }

    def _mask(self, unknown: Unknown, sizes: list[int]) -> Array:
        parts = [
            np.full(size, unknown.group in ("", item.fuel, item.point))
            for item, size in zip(self._observations, sizes, strict=True)
        ]
        return np.concatenate(parts)

    def _surely_solved(self) -> NDArray[np.bool_]:
        """Where each unknown may be anywhere within its prior's band, and still there is a balance.

        A measured map ends somewhere. A point that the fit could push over its edge would pull at
        the fit for the map's sake, so that it is left out from the beginning.
        """
        names = [self._observations[0].input_of(unknown.row.key) for unknown in self.unknowns]
        moving = np.array([name not in POWER_ALONE for name in names])
        ends = COVERAGE * np.eye(len(names))[moving]
        cases = np.concatenate([np.zeros((1, len(names))), ends, -ends])
        flow = np.reshape(self._modelled(cases)["mass_flow"], (len(cases), -1))
        return np.asarray(np.isfinite(flow).all(axis=0))

    def _modelled(self, cases: Array) -> dict[str, Any]:
        """Every figure of the model for each case of shifts, one case after the other."""
        count = len(cases)
        values = {name: np.tile(base, (count, 1)) for name, base in self._base.items()}
        for index, unknown in enumerate(self.unknowns):
            name = self._observations[0].input_of(unknown.row.key)
            if name not in values:
                continue
            moved = np.asarray(unknown.value(cases[:, index]))[:, None]
            values[name] = np.where(self._masks[index], moved, values[name])
        return self._model(**{name: value.ravel() for name, value in values.items()})

    def _figures(self, cases: Array) -> list[Array]:
        """Residuals of every figure for each case: rows are cases of shifts."""
        count, points = len(cases), len(self._base["speed"])
        figures, residuals = self._modelled(cases), []
        for figure, seen in self._seen.items():
            measured = self._measured[figure]
            model = np.reshape(figures[figure], (count, points))[:, seen]
            miss = (model - measured[seen]) / self._sizes[figure][seen]
            residuals.append(np.where(np.isnan(miss), 50.0, miss))
        return residuals

    def _cases(self, cases: Array) -> Array:
        return np.concatenate([*self._figures(cases), cases], axis=1)

    def residuals(self, shifts: Array) -> Array:
        """Misses of all figures and the shifts themselves, in standard deviations."""
        return np.asarray(self._cases(shifts[None, :])[0])

    def jacobian(self, shifts: Array) -> Array:
        """Slopes by one call on all unknowns moved by a small step; remembered while they hold."""
        if self._last is not None and np.abs(self._last[0] - shifts).max() < _STILL:
            return self._last[1]
        steps = _STEP * np.eye(len(shifts))
        found = self._cases(np.concatenate([shifts[None, :], shifts + steps]))
        slopes = np.asarray((found[1:] - found[0]).T / _STEP)
        self._last = (shifts.copy(), slopes)
        return slopes

    def labels(self) -> tuple[Label, ...]:
        """What each residual of the data belongs to, in their order."""
        points = [
            (item.setup, item.pull, float(speed))
            for item in self._observations
            for speed in item.inputs["speed"]
        ]
        return tuple(
            Label(setup, pull, figure, speed)
            for figure, seen in self._seen.items()
            for (setup, pull, speed), known in zip(points, seen, strict=True)
            if known
        )
