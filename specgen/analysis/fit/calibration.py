"""The few unknowns of a build, fitted to what was measured, with stated priors.

The unknowns are rows that are stated or taken by default with an uncertainty: that uncertainty
is the prior. The fit is a least squares over all curves (or peaks) of the build at once, by the
very model that makes the estimates; its result is the same rows again, with the fitted value and
the posterior's correlated uncertainty, so that everything that is estimated from them carries
the right band without knowing that a fit took place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.estimate import KNOTS, Kind
from specgen.analysis.fit.observations import Observation
from specgen.analysis.fit.residuals import Label, Residuals, Unknown
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.words import MEASURING_POINTS
from specgen.physics import Unphysical

#: Unknowns of the whole build: row key, and whether the fit moves its logarithm.
_BUILD: dict[str, bool] = {
    "volumetric_efficiency": True,
    **{f"breathing_{index + 1}": False for index in range(len(KNOTS))},
    "temperature_exponent": False,
    "limit_efficiency": True,
    "leak_area": True,
    "built_in_ratio": True,
    "map_volumetric_factor": True,
    "map_head_factor": True,
    "map_efficiency_factor": True,
    "inlet_drop": True,
    "cooler_drop": True,
    "effectiveness": False,
    "evaporation_share": False,
    "mechanical_efficiency": False,
    "design_ratio": True,
    "design_efficiency": False,
    **{f"burning_{index + 1}": False for index in range(len(KNOTS))},
    "indicated_efficiency": True,
    "boost_exponent": False,
    "octane_need": False,
    "octane_slope": True,
    "knock_cost": True,
    "gas_exchange_share": False,
    "friction_share": False,
}
#: Unknowns that each fuel, or each measuring point, has for itself.
_BY_FUEL = {"fuel_factor": True}
_BY_POINT = {"drive_line_efficiency": True}

#: A posterior below this share of its prior counts as pinned down by the data.
PINNED = 0.5

#: Beyond this many standard deviations a miss counts less and less.
_SOFT = 3.0

#: A setup further than this from what the others say is set aside: beyond its band (k = 2) by as
#: much again as the band's own uncertainty from few points.
SURPRISING = 2.7


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Measured against predicted from the other setups, for one figure of one pull, over speed.

    `short` is how far the measurement lies below, in standard deviations of both together.
    """

    setup: str
    pull: str
    figure: str
    speed: Array
    short: Array

    @property
    def size(self) -> float:
        """The worst mean over two neighbouring points: one bad point accuses nobody."""
        width = min(2, len(self.short))
        means = np.convolve(self.short, np.ones(width) / width, mode="valid")
        return float(np.max(np.abs(means)))


@dataclass(frozen=True, eq=False)
class Calibration:
    """The fit: unknowns, their shifts in prior units and the posterior's covariance of these.

    `misses` and `slopes` are the weighted residuals of the data and their slopes at the fit, with
    what each belongs to: enough to say what the fit would have been without one setup.
    `set_aside` holds the traces of setups that were left out because all the others speak against
    them.
    """

    unknowns: tuple[Unknown, ...]
    shifts: Array
    covariance: Array
    misses: Array
    slopes: Array
    labels: tuple[Label, ...]
    set_aside: tuple[Trace, ...] = ()

    def pinned(self, index: int) -> bool:
        """Whether the data pinned this unknown down, or it still rests on its prior."""
        return bool(np.sqrt(self.covariance[index, index]) < PINNED)

    def without(self, setup: str) -> Calibration:
        """What the fit would have been without one setup's pulls, to first order.

        The model is so nearly straight around its fit that a refit gives the same, which a test
        holds; it costs no call of the model.
        """
        if setup not in self._others:
            self._others[setup] = self._without(setup)
        return self._others[setup]

    @cached_property
    def _others(self) -> dict[str, Calibration]:
        """Fits without one setup that were asked for already."""
        return {}

    def _without(self, setup: str) -> Calibration:
        inside = self._rows_of(setup)
        slopes, misses = self.slopes[inside], self.misses[inside]
        covariance = np.linalg.inv(np.linalg.inv(self.covariance) - slopes.T @ slopes)
        return replace(
            self,
            shifts=self.shifts + covariance @ slopes.T @ misses,
            covariance=np.asarray(covariance, float),
            misses=self.misses[~inside],
            slopes=self.slopes[~inside],
            labels=tuple(label for label in self.labels if label.setup != setup),
        )

    @cached_property
    def setups(self) -> tuple[str, ...]:
        """The setups that the fit rests on."""
        return tuple(dict.fromkeys(label.setup for label in self.labels))

    @cached_property
    def pulls(self) -> tuple[str, ...]:
        """The pulls that the fit rests on."""
        return tuple(dict.fromkeys(label.pull for label in self.labels))

    @property
    def counts(self) -> dict[str, int]:
        """How many pulls of each setup the fit rests on."""
        pairs = {(label.setup, label.pull) for label in self.labels}
        return dict(Counter(setup for setup, _ in pairs))

    def traces(self, setup: str) -> tuple[Trace, ...]:
        """A setup's pulls against what the others say, figure by figure."""
        inside = self._rows_of(setup)
        labels = [label for label in self.labels if label.setup == setup]
        if not labels:
            return tuple(trace for trace in self.set_aside if trace.setup == setup)
        others, slopes = self.without(setup), self.slopes[inside]
        ahead = self.misses[inside] + slopes @ (others.shifts - self.shifts)
        variance = 1 + np.einsum("ij,jk,ik->i", slopes, others.covariance, slopes)
        return traced(labels, ahead / np.sqrt(variance))

    def surprise(self, setup: str) -> float:
        """How far a setup lies from what the others say, at its worst, in standard deviations."""
        return max((trace.size for trace in self.traces(setup)), default=0.0)

    def _rows_of(self, setup: str) -> NDArray[np.bool_]:
        return np.array([label.setup == setup for label in self.labels], dtype=np.bool_)

    def rows(self, fuel: str, point: str, name: str) -> dict[str, Row]:
        """The fitted rows that hold for one fuel and one measuring point, by key."""
        return {
            unknown.row.key: self.fitted(index, name)
            for index, unknown in enumerate(self.unknowns)
            if unknown.group in ("", fuel, point)
        }

    def fitted(self, index: int, name: str) -> Row:
        """One unknown after the fit, in scope `name`; its row before the fit is its only input."""
        if (index, name) not in self._kept:
            self._kept[index, name] = self._fitted(index, name)
        return self._kept[index, name]

    @cached_property
    def _kept(self) -> dict[tuple[int, str], Row]:
        """Rows that were made already: setups that rest on one fit share them."""
        return {}

    def _fitted(self, index: int, name: str) -> Row:
        unknown, shift = self.unknowns[index], self.shifts[index]
        group = MEASURING_POINTS.get(unknown.group, unknown.group)
        parts = (unknown.slope(shift) * self._root[index, : index + 1]).tolist()
        spread = {f"fit {column}": part for column, part in enumerate(parts) if part}
        count = len(self.pulls)
        pinned = "by the measurements" if self.pinned(index) else "still mostly by its prior"
        pulls = "1 pull" if count == 1 else f"{count} pulls"
        return replace(
            unknown.row,
            scope=f"{name}, {group}" if group else name,
            title=f"{unknown.row.title}, {group}" if group else unknown.row.title,
            basis="fitted",
            value=float(unknown.value(shift)),
            spread=spread,
            formula=None,
            inputs=(unknown.row,),
            place=None,
            text="",
            source=f"fitted to {pulls} of this build; held {pinned}",
        )

    def all_fitted(self, name: str) -> tuple[Row, ...]:
        """Every unknown after the fit, whatever fuel or measuring point it belongs to."""
        return tuple(self.fitted(index, name) for index in range(len(self.unknowns)))

    @cached_property
    def _root(self) -> Array:
        """A square root of the covariance: each column is an independent direction of the fit."""
        return np.asarray(np.linalg.cholesky(self.covariance), float)


def calibrate(kind: Kind, observations: Sequence[Observation]) -> Calibration | None:
    """Fit the unknowns to the observations; None where there is nothing to fit.

    Unphysical where no parameters near their priors explain what was measured: a figure is wrong.

    Residuals and priors are in units of their standard deviation. A setup that lies far from what
    all the others say (a slipping belt) is set aside, so that the model is not bent to it; one of
    two cannot be told from the other, so that at least three setups are needed for that.
    """
    fit = _fit(kind, observations)
    while fit is not None and len(fit.setups) > 2:
        surprises = {name: fit.surprise(name) for name in fit.setups}
        worst = max(surprises, key=lambda name: surprises[name])
        if surprises[worst] < SURPRISING:
            break
        aside = (*fit.set_aside, *fit.traces(worst))
        names = {trace.setup for trace in aside}
        kept = [item for item in observations if item.setup not in names]
        again = _fit(kind, kept, start=fit.without(worst).shifts)
        if again is None:
            break
        fit = replace(again, set_aside=aside)
    return fit


def traced(labels: Sequence[Label], short: Array) -> tuple[Trace, ...]:
    """Gather labelled values into one trace for each pull and figure."""
    groups: dict[tuple[str, str, str], list[int]] = {}
    for index, label in enumerate(labels):
        groups.setdefault((label.setup, label.pull, label.figure), []).append(index)
    speeds = np.array([label.speed for label in labels])
    return tuple(Trace(*key, speeds[some], short[some]) for key, some in groups.items())


def _fit(
    kind: Kind, observations: Sequence[Observation], start: Array | None = None
) -> Calibration | None:
    """One least squares, from the priors unless a better start for the same unknowns is known."""
    unknowns = _unknowns(observations)
    if start is None or len(start) != len(unknowns):
        start = np.zeros(len(unknowns))
    if not observations or not unknowns:
        return None
    try:
        model = Residuals(kind, tuple(observations), unknowns)
        if not model.labels():
            return None
    except Unphysical:  # no balance at all: the sheet's own estimate says why
        return None
    try:
        return _fitted(model, start)
    except np.linalg.LinAlgError as problem:
        raise Unphysical("what was measured leaves the unknowns open") from problem


def _fitted(model: Residuals, start: Array) -> Calibration:
    """Move the unknowns to what was measured, and book what that leaves open."""
    from scipy.optimize import least_squares  # a third of a second: only where there is a fit

    found = least_squares(
        model.residuals, start, jac=model.jacobian, loss="soft_l1",
        f_scale=_SOFT, max_nfev=12, xtol=5e-3, ftol=1e-3, gtol=1e-6,
    )  # fmt: skip
    shifts = np.asarray(found.x)
    data = len(found.fun) - len(shifts)
    weights = (1 + (found.fun[:data] / _SOFT) ** 2) ** -0.25
    slopes = model.jacobian(shifts)[:data] * weights[:, None]
    covariance = np.asarray(np.linalg.inv(slopes.T @ slopes + np.eye(len(shifts))), float)
    misses = found.fun[:data] * weights
    return Calibration(model.unknowns, shifts, covariance, misses, slopes, model.labels())


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
