"""The few unknowns of a build, fitted to what was measured, with stated priors.

The unknowns are rows that are stated or taken by default with an uncertainty: that uncertainty
is the prior. The fit is a least squares over all curves (or peaks) of the build at once, by the
very model that makes the estimates; its result is the same rows again, with the fitted value and
the posterior's correlated uncertainty, so that everything that is estimated from them carries
the right band without knowing that a fit took place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from specgen.analysis.estimate import KNOTS, Kind, estimate
from specgen.analysis.observations import Observation
from specgen.analysis.row import Array, Row

#: Unknowns of the whole build: row key, and whether the fit moves its logarithm.
_BUILD: dict[str, bool] = {
    "volumetric_efficiency": True,
    **{f"breathing_{index + 1}": False for index in range(len(KNOTS))},
    "limit_efficiency": True,
    "leak_area": True,
    "built_in_ratio": True,
    "inlet_drop": True,
    "cooler_drop": True,
    "effectiveness": False,
    "evaporation_share": False,
    "mechanical_efficiency": False,
    "design_ratio": True,
    "design_efficiency": False,
    **{f"burning_{index + 1}": False for index in range(len(KNOTS))},
    "boost_exponent": False,
    "friction_share": False,
}
#: Unknowns that each fuel, or each measuring point, has for itself.
_BY_FUEL = {"indicated_efficiency": True}
_BY_POINT = {"drive_line_efficiency": True}

#: A posterior below this share of its prior counts as pinned down by the data.
PINNED = 0.5

#: Beyond this many standard deviations a miss counts less and less.
_SOFT = 3.0

#: A setup further than this from what the others say is set aside.
SURPRISING = 1.6

_STEP = 0.05


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


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    """The fit: unknowns, their shifts in prior units and the posterior's covariance of these.

    `misses` and `slopes` are the weighted residuals of the data and their slopes at the fit, with
    the setup that each belongs to: enough to say what the fit would have been without one setup.
    `set_aside` names setups that were left out because all the others speak against them.
    """

    unknowns: tuple[Unknown, ...]
    shifts: Array
    covariance: Array
    misses: Array
    slopes: Array
    setups: tuple[str, ...]
    pulls: tuple[str, ...]
    set_aside: tuple[str, ...] = ()

    def pinned(self, index: int) -> bool:
        """Whether the data pinned this unknown down, or it still rests on its prior."""
        return bool(np.sqrt(self.covariance[index, index]) < PINNED)

    def without(self, setup: str) -> Calibration:
        """What the fit would have been without one setup's pulls, to first order.

        The model is so nearly straight around its fit that a refit gives the same, which a test
        holds; it costs no call of the model.
        """
        inside = self._rows_of(setup)
        slopes, misses = self.slopes[inside], self.misses[inside]
        covariance = np.linalg.inv(np.linalg.inv(self.covariance) - slopes.T @ slopes)
        return replace(
            self,
            shifts=self.shifts + covariance @ slopes.T @ misses,
            covariance=np.asarray(covariance, float),
            misses=self.misses[~inside],
            slopes=self.slopes[~inside],
            setups=tuple(name for name in self.setups if name != setup),
            pulls=tuple(pull for pull in self.pulls if not pull.startswith(f"{setup}/")),
        )

    def surprise(self, setup: str) -> float:
        """How far a setup lies from what the others say: root mean square, in standard deviations.

        One is as expected from both uncertainties.
        """
        inside = self._rows_of(setup)
        others = self.without(setup)
        slopes = self.slopes[inside]
        ahead = self.misses[inside] + slopes @ (others.shifts - self.shifts)
        spread = np.eye(len(ahead)) + slopes @ others.covariance @ slopes.T
        return float(np.sqrt(ahead @ np.linalg.solve(spread, ahead) / len(ahead)))

    def _rows_of(self, setup: str) -> NDArray[np.bool_]:
        return np.array([name == setup for name in self.setups], dtype=np.bool_)

    def rows(self, fuel: str, point: str, name: str) -> dict[str, Row]:
        """The fitted rows that hold for one fuel and one measuring point, by key."""
        root = np.linalg.cholesky(self.covariance)
        made = {}
        for index, unknown in enumerate(self.unknowns):
            if unknown.group not in ("", fuel, point):
                continue
            slope = unknown.slope(self.shifts[index])
            spread = {
                f"fit {column}": float(slope * part)
                for column, part in enumerate(root[index])
                if part
            }
            made[unknown.row.key] = self._row(unknown, index, spread, name)
        return made

    def _row(self, unknown: Unknown, index: int, spread: dict[str, float], name: str) -> Row:
        count = len(self.pulls)
        pinned = "by the measurements" if self.pinned(index) else "still mostly by its prior"
        pulls = "1 pull" if count == 1 else f"{count} pulls"
        return replace(
            unknown.row,
            scope=name,
            basis="fitted",
            value=float(unknown.value(self.shifts[index])),
            spread=spread,
            inputs=(unknown.row,),
            source=f"fitted to {pulls} of this build; held {pinned}",
        )


def calibrate(kind: Kind, observations: Sequence[Observation]) -> Calibration | None:
    """Fit the unknowns to the observations; None where there is nothing to fit.

    Residuals and priors are in units of their standard deviation. A setup that lies far from what
    all the others say (a slipping belt) is set aside, so that the model is not bent to it; one of
    two cannot be told from the other, so that at least three setups are needed for that.
    """
    fit = _fit(kind, observations)
    while fit is not None and len(set(fit.setups)) > 2:
        surprises = {name: fit.surprise(name) for name in dict.fromkeys(fit.setups)}
        worst = max(surprises, key=lambda name: surprises[name])
        if surprises[worst] < SURPRISING:
            break
        aside = (*fit.set_aside, worst)
        again = _fit(kind, [item for item in observations if item.setup not in aside])
        if again is None:
            break
        fit = replace(again, set_aside=aside)
    return fit


def _fit(kind: Kind, observations: Sequence[Observation]) -> Calibration | None:
    """One least squares, started from the priors."""
    unknowns = _unknowns(observations)
    if not observations or not unknowns:
        return None
    try:
        model = _Model(kind, tuple(observations), unknowns)
    except ValueError:  # no balance at all: the sheet's own estimate says why
        return None
    found = least_squares(
        model.residuals, np.zeros(len(unknowns)), jac=model.jacobian, loss="soft_l1",
        f_scale=_SOFT, max_nfev=12, xtol=1e-3, ftol=1e-4, gtol=1e-6,
    )  # fmt: skip
    shifts = np.asarray(found.x)
    data = len(found.fun) - len(shifts)
    weights = (1 + (found.fun[:data] / _SOFT) ** 2) ** -0.25
    slopes = model.jacobian(shifts)[:data] * weights[:, None]
    covariance = np.asarray(np.linalg.inv(slopes.T @ slopes + np.eye(len(shifts))), float)
    pulls = tuple(f"{item.setup}/{item.pull}" for item in observations)
    misses = found.fun[:data] * weights
    return Calibration(unknowns, shifts, covariance, misses, slopes, model.setups(), pulls)


def _unknowns(observations: Sequence[Observation]) -> tuple[Unknown, ...]:
    """Every uncertain parameter that the observed setups rest on, each once."""
    found: dict[tuple[str, str], Unknown] = {}
    for item in observations:
        groups = [
            *((key, log, "") for key, log in _BUILD.items()),
            *((key, log, item.fuel) for key, log in _BY_FUEL.items()),
            *((key, log, item.point) for key, log in _BY_POINT.items()),
        ]
        for key, logarithmic, group in groups:
            row = item.parameters.get(key)
            if row is not None and row.present and isinstance(row.uncertainty, float):
                found.setdefault((key, group), Unknown(row, group, logarithmic))
    return tuple(found.values())


class _Model:
    """All observations as one vector of residuals, and its slope, in one call of the estimate."""

    def __init__(
        self, kind: Kind, observations: tuple[Observation, ...], unknowns: tuple[Unknown, ...]
    ) -> None:
        self._kind, self._observations, self._unknowns = kind, observations, unknowns
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
        modelled = estimate(kind, **self._base)
        self._seen = {
            figure: np.isfinite(measured)
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

    def _figures(self, cases: Array) -> list[Array]:
        """Residuals of every figure for each case: rows are cases of shifts."""
        count, points = len(cases), len(self._base["speed"])
        values = {name: np.tile(base, (count, 1)) for name, base in self._base.items()}
        for index, unknown in enumerate(self._unknowns):
            name = self._observations[0].input_of(unknown.row.key)
            if name not in values:
                continue
            moved = np.asarray(unknown.value(cases[:, index]))[:, None]
            values[name] = np.where(self._masks[index], moved, values[name])
        figures = estimate(self._kind, **{name: value.ravel() for name, value in values.items()})
        residuals = []
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
        """Slopes by one call on all unknowns moved up and down by a small step; remembered."""
        if self._last is not None and np.array_equal(self._last[0], shifts):
            return self._last[1]
        steps = _STEP * np.eye(len(shifts))
        found = self._cases(np.concatenate([shifts + steps, shifts - steps]))
        up, down = np.split(found, 2)
        slopes = np.asarray((up - down).T / (2 * _STEP))
        self._last = (shifts.copy(), slopes)
        return slopes

    def setups(self) -> tuple[str, ...]:
        """The setup that each residual of the data belongs to, in their order."""
        names = np.concatenate([np.full(item.size, item.setup) for item in self._observations])
        return tuple(str(name) for seen in self._seen.values() for name in names[seen])
