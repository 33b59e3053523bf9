"""A fit: the unknowns of a build as its pulls have them, with all that it leaves open.

Its result is the rows of the unknowns again, with the fitted value and the posterior's correlated
uncertainty, so that everything that is estimated from them carries the right band without knowing
that a fit took place.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.fit.departures import Departure, departed
from specgen.analysis.fit.products import applied, inverse, product
from specgen.analysis.fit.residuals import TURNING, Label, Residuals, Unknown
from specgen.analysis.fit.solving import is_near, moved_on
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.words import MEASURING_POINTS
from specgen.physics import Unphysical

#: A posterior below this share of its prior counts as pinned down by the data.
PINNED = 0.5

#: A setup further than this from what the others say is set aside. Some ten ways to depart are
#: looked at in each pull, and one of them lies beyond this by chance once in a hundred pulls.
SURPRISING = 3.3

#: A fit without one setup is taken straight on from the whole one as long as no miss is off by more
#: than this there, in standard deviations; beyond it, at the corner where knock begins, it is made.
STRAIGHT = 1.0

#: Decimals of what a fit gives away, in standard deviations of each prior: what is finer depends on
#: the order in which a processor adds, and would be carried into every figure that rests on it.
_DECIMALS = 6

#: Unknowns that a cause of a misfit would change in one pull alone.
CHANGED = ("inlet_drop", "leak_area")

#: A root that moves no unknown by more than this share of its prior moves no band either.
_HARDLY = 0.05


@dataclass(frozen=True, slots=True)
class Exchange:
    """Two pulls that fit once each stands under the other's name, the faster blower's first.

    `size` is how much that explains, in standard deviations.
    """

    fast: str
    slow: str
    size: float


@dataclass(frozen=True, eq=False)
class Calibration:
    """The fit: unknowns, their shifts in prior units and the posterior's information on these.

    Behind the unknowns' shifts stand those of what pulls and sessions share. `misses` and `slopes`
    are the weighted residuals of the data and their slopes at the fit, with their weights and what
    each belongs to: enough to say what the fit would have been without one setup. `told` is how
    the misses go with each root that is no unknown, `turning` how with the blower's speed.
    `set_aside` holds what is left of setups that were left out because all the others speak
    against them; `exchanged` two pulls that fit once each stands under the other's name. `model` is
    asked again where a fit without a setup lies far off; `left_out` then holds that setup's own
    misses and slopes.
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
    exchanged: Exchange | None = None
    model: Residuals | None = None
    left_out: tuple[Array, Array] | None = None

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
        """What the fit would have been without one setup's pulls.

        The model is mostly so nearly straight around its fit that the first order gives the same
        as a refit, which a test holds; one call of the model tells where it does not.
        """
        if setup not in self._others:
            self._others[setup] = self._without(setup)
        return self._others[setup]

    @cached_property
    def _others(self) -> dict[str, Calibration]:
        """Fits without one setup that were asked for already."""
        return {}

    def _without(self, setup: str) -> Calibration:
        inside, first = self._rows_of(setup), self._first_orders[setup]
        if self.model is None or not inside.any() or self._straight.get(setup, True):
            return first
        return self._made(self.model, first, inside)

    @cached_property
    def _first_orders(self) -> dict[str, Calibration]:
        """The fit without each setup, straight on from the whole one; any other name is the fit."""
        return defaultdict(lambda: self, {name: self._first_order(name) for name in self.setups})

    def _first_order(self, setup: str) -> Calibration:
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
            model=None,
        )

    @cached_property
    def _straight(self) -> dict[str, bool]:
        """Whether the model is, without each setup, what its slopes at the fit let expect.

        What lies so far out that the model is no guide there is left to the slopes.
        """
        assert self.model is not None
        count = len(self.unknowns)
        names = [name for name in self.setups if is_near(self._first_orders[name].shifts[:count])]
        if not names:
            return {}
        shifts = np.array([self._first_orders[name].shifts for name in names])
        try:
            found = self.model.at(shifts[:, :count]) + shifts[:, count:] @ self.model.common.T
        except Unphysical:
            return {}
        plain = self.slopes / self.weights[:, None]
        expected = self.misses / self.weights + (shifts - self.shifts) @ plain.T
        off = np.abs(found - expected).max(axis=1)
        return {name: bool(miss < STRAIGHT) for name, miss in zip(names, off, strict=True)}

    def _made(self, model: Residuals, first: Calibration, inside: NDArray[np.bool_]) -> Calibration:
        """A fit without the rows of a setup, by steps from the first order on."""
        found = moved_on(model, first.shifts, ~inside)
        if found is None:
            return first
        weights = found.weights[~inside]
        return replace(
            first,
            shifts=found.shifts,
            information=found.information,
            misses=found.misses[~inside] * weights,
            slopes=found.slopes[~inside] * weights[:, None],
            weights=weights,
            left_out=(found.misses[inside], found.slopes[inside]),
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
        if others.left_out is not None:
            ahead, plain = others.left_out
        labels = [label for label in self.labels if label.setup == setup]
        still = np.zeros(len(self.shifts))
        roots = [
            column[inside] / self.weights[inside] + applied(plain, others.taken_up.get(root, still))
            for root, column in self.told.items()
        ]
        turning = None if self.turning is None else self.turning[inside] / self.weights[inside]
        directions = self.directions_of(plain, turning)
        yield from departed(labels, ahead, plain, others.covariance, roots, directions)

    def directions_of(self, slopes: Array, turning: Array | None) -> dict[str, Array]:
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
            source=f"fitted to {pulls} of this build; held {pinned}{self._left_out}",
        )

    @cached_property
    def _left_out(self) -> str:
        """Which pulls were left out, in words behind a source."""
        pulls = [item.pull for item in self.set_aside]
        return f"; without {', '.join(pulls)}, with which the others disagree" if pulls else ""

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
