"""The few unknowns of a build, fitted to what was measured, with stated priors.

The unknowns are rows that are stated or taken by default with an uncertainty: that uncertainty
is the prior. The fit is a least squares over all curves (or peaks) of the build at once, by the
very model that makes the estimates; its result is the same rows again, with the fitted value and
the posterior's correlated uncertainty, so that everything that is estimated from them carries
the right band without knowing that a fit took place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.estimate import Kind
from specgen.analysis.fit.departures import Departure, departed
from specgen.analysis.fit.observations import Observation
from specgen.analysis.fit.products import applied, inverse, product
from specgen.analysis.fit.residuals import TURNING, Label, Residuals, Unknown
from specgen.analysis.fit.solving import solved
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.shapes import KNOTS
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
    "cooler_exponent": False,
    "intake_warming": False,
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
_BY_FUEL = {"fuel_factor": True, "mixture": False}
_BY_POINT = {"drive_line_efficiency": True}

#: A posterior below this share of its prior counts as pinned down by the data.
PINNED = 0.5

#: A setup further than this from what the others say is set aside. Some ten ways to depart are
#: looked at in each pull, and one of them lies beyond this by chance once in a hundred pulls.
SURPRISING = 3.3

#: Decimals of what a fit gives away, in standard deviations of each prior: what is finer depends on
#: the order in which a processor adds, and would be carried into every figure that rests on it.
_DECIMALS = 6

#: Unknowns that a cause of a misfit would change in one pull alone.
CHANGED = ("inlet_drop", "leak_area")

#: A root that moves no unknown by more than this share of its prior moves no band either.
_HARDLY = 0.05

#: Most setups that are tried as the one to set aside.
_SUSPECTS = 4


@dataclass(frozen=True, eq=False)
class Calibration:
    """The fit: unknowns, their shifts in prior units and the posterior's information on these.

    Behind the unknowns' shifts stand those of what pulls and sessions share. `misses` and `slopes`
    are the weighted residuals of the data and their slopes at the fit, with their weights and what
    each belongs to: enough to say what the fit would have been without one setup. `told` is how
    the misses go with each root that is no unknown, `turning` how with the blower's speed.
    `set_aside` holds what is left of setups that were left out because all the others speak
    against them; `exchanged` two pulls that fit once each stands under the other's name.
    """

    unknowns: tuple[Unknown, ...]
    shifts: Array
    information: Array
    misses: Array
    slopes: Array
    weights: Array
    labels: tuple[Label, ...]
    told: Mapping[str, Array] = field(default_factory=dict)
    turning: Array | None = None
    set_aside: tuple[Departure, ...] = ()
    exchanged: tuple[str, str] | None = None

    @cached_property
    def covariance(self) -> Array:
        """Posterior covariance of all shifts."""
        return inverse(self.information)

    @property
    def strain(self) -> float:
        """How much is left of misses and priors: squares, softened far out."""
        return float((self.misses**2).sum() + (self.shifts**2).sum())

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
        information = self.information - product(slopes.T, slopes)
        return replace(
            self,
            shifts=self.shifts + applied(inverse(information), applied(slopes.T, misses)),
            information=information,
            misses=self.misses[~inside],
            slopes=self.slopes[~inside],
            weights=self.weights[~inside],
            told={root: column[~inside] for root, column in self.told.items()},
            turning=None if self.turning is None else self.turning[~inside],
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

    def departures(self, setup: str) -> tuple[Departure, ...]:
        """A setup's pulls against what the others say."""
        if setup not in self._departed:
            self._departed[setup] = tuple(self._departures(setup))
        return self._departed[setup]

    @cached_property
    def _departed(self) -> dict[str, tuple[Departure, ...]]:
        """Departures that were asked for already."""
        return {}

    def _departures(self, setup: str) -> Iterator[Departure]:
        aside = [item for item in self.set_aside if item.setup == setup]
        if aside:
            yield from aside
            return
        inside = self._rows_of(setup)
        if not inside.any():
            return
        others = self.without(setup)
        plain = self.slopes[inside] / self.weights[inside, None]
        ahead = self.misses[inside] / self.weights[inside]
        ahead = ahead + applied(plain, others.shifts - self.shifts)
        labels = [label for label in self.labels if label.setup == setup]
        still = np.zeros(len(self.shifts))
        roots = [
            column[inside] / self.weights[inside] + applied(plain, others.taken_up.get(root, still))
            for root, column in self.told.items()
        ]
        turning = None if self.turning is None else self.turning[inside] / self.weights[inside]
        directions = self._directions(plain, turning)
        yield from departed(labels, ahead, plain, others.covariance, roots, directions)

    def _directions(self, slopes: Array, turning: Array | None) -> dict[str, Array]:
        """How some misses go with what a cause would change: row keys, and `TURNING`."""
        keys = [unknown.row.key for unknown in self.unknowns]
        known = {key: slopes[:, keys.index(key)] for key in CHANGED if key in keys}
        return known if turning is None else {**known, TURNING: turning}

    def surprise(self, setup: str) -> float:
        """How far a setup lies from what the others say, at its worst, in standard deviations."""
        return max((item.size for item in self.departures(setup)), default=0.0)

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
        unknown, shift = self.unknowns[index], round(float(self.shifts[index]), _DECIMALS)
        group = MEASURING_POINTS.get(unknown.group, unknown.group)
        directions = np.round(self._root[index, : index + 1], _DECIMALS)
        parts = (unknown.slope(shift) * directions).tolist()
        spread = {f"fit {column}": part for column, part in enumerate(parts) if part}
        for root, sizes in self.taken_up.items():
            spread[root] = float(unknown.slope(shift) * round(float(sizes[index]), _DECIMALS))
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
    def taken_up(self) -> dict[str, Array]:
        """By how much all shifts move with each root that is no unknown: what the fit takes up."""
        if not self.told:
            return {}
        columns = product(self.slopes.T, np.array(list(self.told.values())).T)
        moved = -product(self.covariance, columns).T
        count = len(self.unknowns)
        return {
            root: sizes
            for root, sizes in zip(self.told, moved, strict=True)
            if np.abs(sizes[:count]).max() > _HARDLY
        }

    @cached_property
    def _root(self) -> Array:
        """A square root of the unknowns' covariance: each column an independent direction of it."""
        count = len(self.unknowns)
        return np.asarray(np.linalg.cholesky(self.covariance[:count, :count]), float)


def calibrate(kind: Kind, observations: Sequence[Observation]) -> Calibration | None:
    """Fit the unknowns to the observations; None where there is nothing to fit.

    Unphysical where no parameters near their priors explain what was measured: a figure is wrong.

    Residuals and priors are in units of their standard deviation. A setup that lies far from what
    all the others say (a slipping belt) is set aside, so that the model is not bent to it; one of
    two cannot be told from the other, so that at least three setups are needed for that.
    """
    fit = _fit(kind, observations)
    aside: list[str] = []
    while fit is not None and len(fit.setups) > 2:
        surprises = {name: fit.surprise(name) for name in fit.setups}
        suspects = sorted(surprises, key=lambda name: -surprises[name])[:_SUSPECTS]
        if surprises[suspects[0]] < SURPRISING:
            break
        without = {
            name: _fit(kind, _but(observations, [*aside, name]), fit.without(name).shifts)
            for name in suspects
            if surprises[name] >= SURPRISING
        }
        known = {name: other for name, other in without.items() if other is not None}
        if not known:
            break
        worst = min(known, key=lambda name: known[name].strain)
        aside.append(worst)
        fit = known[worst]
    return fit if fit is None or not aside else _judged(kind, fit, observations, aside)


def _but(observations: Sequence[Observation], names: Sequence[str]) -> list[Observation]:
    """All observations but those of some setups."""
    return [item for item in observations if item.setup not in names]


def _judged(
    kind: Kind, fit: Calibration, observations: Sequence[Observation], aside: Sequence[str]
) -> Calibration:
    """The fit with what its setups set aside are off by, as the model itself gives it there."""
    rest = tuple(item for item in observations if item.setup in aside)
    count = len(fit.unknowns)
    try:
        model = Residuals(kind, rest, fit.unknowns)
    except Unphysical:
        return fit
    shifts = fit.shifts[:count]
    slopes = np.hstack([model.slopes(shifts), model.common])
    covariance = np.eye(slopes.shape[1])
    covariance[:count, :count] = fit.covariance[:count, :count]
    told = model.told(shifts)
    turning = told.pop(TURNING, None)
    roots = [
        column + applied(slopes[:, :count], fit.taken_up.get(root, np.zeros(count))[:count])
        for root, column in told.items()
    ]
    directions = fit._directions(slopes, turning)
    found = departed(model.labels(), model.misses(shifts), slopes, covariance, roots, directions)
    return replace(fit, set_aside=tuple(found))


def _fit(
    kind: Kind, observations: Sequence[Observation], start: Array | None = None
) -> Calibration | None:
    """One least squares, from the priors unless a better start for the same unknowns is known."""
    unknowns = _unknowns(observations)
    if not observations or not unknowns:
        return None
    begin = np.zeros(len(unknowns))
    if start is not None and len(start) >= len(unknowns):
        begin = start[: len(unknowns)]
    try:
        model = Residuals(kind, tuple(observations), unknowns)
        if not model.labels():
            return None
    except Unphysical:  # no balance at all: the sheet's own estimate says why
        return None
    try:
        return _fitted(model, begin)
    except np.linalg.LinAlgError as problem:
        raise Unphysical("what was measured leaves the unknowns open") from problem


def _fitted(model: Residuals, start: Array) -> Calibration:
    """Move the unknowns to what was measured, and book what that leaves open."""
    found = solved(model, start)
    told = model.told(found.shifts[: len(model.unknowns)])
    turning = told.pop(TURNING, None)
    return Calibration(
        model.unknowns,
        found.shifts,
        found.information,
        found.misses * found.weights,
        found.slopes * found.weights[:, None],
        found.weights,
        model.labels(),
        {root: column * found.weights for root, column in told.items()},
        None if turning is None else turning * found.weights,
    )


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
            if row is None or not row.present or (key == "mixture" and row.basis != "default"):
                continue
            if isinstance(row.uncertainty, float):
                found.setdefault((key, group), Unknown(row, group, logarithmic))
    return tuple(found.values())
