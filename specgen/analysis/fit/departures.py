"""How far a pull lies from what the others say: every figure of it, over speed, all together.

What is left of a pull is correlated: its points share its sensor's offset, the figures share
what the model does not know. Each way in which a pull may depart (as a whole, towards one end of
the speed range) is therefore weighed against the covariance of all its points.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from specgen.analysis.fit.products import applied, inverse, product
from specgen.analysis.fit.residuals import Label
from specgen.analysis.rows.row import Array

#: What somebody sets by choice: it speaks of the engine, and never against a pull.
CHOSEN = {"ignition_advance"}

#: Most that a setup left out says of another one.
_TENTH = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Measured against predicted from the other setups, for one figure of one pull, over speed.

    `short` is how far the measurement lies below, in standard deviations of both together; `size`
    how far at its worst, of all ways to depart.
    """

    setup: str
    pull: str
    figure: str
    speed: Array
    short: Array
    size: float = 0.0


@dataclass(frozen=True, eq=False)
class Departure:
    """One pull against the others: how far each point lies short, and the covariance of that.

    `ahead` is predicted less measured in standard deviations of the reading alone; `directions`
    how it goes with what a cause would change.
    """

    setup: str
    pull: str
    labels: tuple[Label, ...]
    ahead: Array
    covariance: Array
    directions: Mapping[str, Array] = field(default_factory=dict)

    @cached_property
    def traces(self) -> tuple[Trace, ...]:
        """Figure by figure, in the order of the model."""
        figures = dict.fromkeys(label.figure for label in self.labels if label.figure not in CHOSEN)
        return tuple(self._trace(figure) for figure in figures)

    def _trace(self, figure: str) -> Trace:
        here = self.of(figure)
        ahead, covariance = self.ahead[here], self.covariance[np.ix_(here, here)]
        speed = np.array([self.labels[index].speed for index in here])
        short = ahead / np.sqrt(np.diag(covariance))
        sizes = np.abs(_weighed(ahead, covariance, ways(len(here))))
        return Trace(self.setup, self.pull, figure, speed, short, float(sizes.max()))

    def of(self, figure: str) -> Array:
        """Where the points of a figure stand."""
        return np.array([i for i, label in enumerate(self.labels) if label.figure == figure])

    @cached_property
    def size(self) -> float:
        """How far the pull departs at its worst, in standard deviations."""
        return max((trace.size for trace in self.traces), default=0.0)

    def share(self, figure: str) -> float:
        """How far a figure lies off at the worst end of the speed range, as a share of it.

        Boost counts on the whole pressure, taken as its own and the air's at the sea. No more than
        a tenth: beyond that something else is wrong than what two setups differ by.
        """
        here = self.of(figure)
        if not here.size:
            return 0.0
        off = np.array([self.ahead[index] * self.labels[index].size for index in here])
        read = np.array([self.labels[index].measured for index in here])
        whole = read + (101_325.0 if figure == "boost" else 0.0)
        third = max(len(here) // 3, 1)
        shares = np.abs(off / np.maximum(np.abs(whole), 1e-9))
        return float(min(max(shares[:third].mean(), shares[-third:].mean()), _TENTH))

    @cached_property
    def _precision(self) -> Array:
        return inverse(self.covariance)

    def misfit(
        self, ahead: Array, directions: Sequence[Array] = (), usual: Sequence[float] = ()
    ) -> tuple[float, Array]:
        """What is left of a departure, as a sum of squares, and what was taken out of it.

        Each direction is taken out by as much as leaves least, in its own unit; more than its
        `usual` size has its price in the sum.
        """
        free = np.array(directions).reshape(len(directions), len(ahead)).T
        weighed = applied(self._precision, ahead)
        whole = float(ahead @ weighed)
        if not directions:
            return whole, np.zeros(0)
        normal = product(free.T, product(self._precision, free))
        shares = applied(
            inverse(normal + np.diag(1 / np.array(usual) ** 2)), applied(free.T, weighed)
        )
        return whole - float(shares @ applied(free.T, weighed)), shares


def _weighed(ahead: Array, covariance: Array, directions: Array) -> Array:
    """Standard deviations along each column: its best amplitude over that one's uncertainty."""
    solved = product(inverse(covariance), directions)
    sizes = np.sqrt(np.maximum(np.einsum("ij,ij->j", directions, solved), 1e-30))
    return np.asarray(ahead @ solved / sizes)


def ways(count: int) -> Array:
    """Ways in which so many points over speed may depart together, a column each.

    All alike, more and more towards either end of the range, and at either end alone.
    """
    at = np.arange(count, dtype=np.float64)
    found = [np.ones(count)]
    if count > 2:
        starts = range(count // 3, count - 1)
        found += [np.maximum(at - start, 0.0) for start in starts]
        found += [np.maximum(at[::-1] - start, 0.0) for start in starts]
    if count > 4:
        found += [(at >= count - 2).astype(float), (at < 2).astype(float)]
    return np.array(found).T


def departed(
    labels: Sequence[Label],
    ahead: Array,
    slopes: Array,
    covariance: Array,
    roots: Sequence[Array],
    directions: Mapping[str, Array] | None = None,
) -> Iterator[Departure]:
    """One departure for each pull; `covariance` is that of the shifts the slopes are of.

    `roots` are how the prediction moves with each uncertain reading that is no unknown.
    """
    pulls = dict.fromkeys((label.setup, label.pull) for label in labels)
    for setup, pull in pulls:
        here = np.array(
            [(label.setup, label.pull) == (setup, pull) for label in labels], dtype=np.bool_
        )
        own = slopes[here]
        read = np.array([root[here] for root in roots]).reshape(len(roots), len(own))
        spread = product(product(own, covariance), own.T) + read.T @ read + np.eye(len(own))
        known = tuple(label for label in labels if (label.setup, label.pull) == (setup, pull))
        own_ways = {key: column[here] for key, column in (directions or {}).items()}
        yield Departure(setup, pull, known, ahead[here], np.asarray(spread), own_ways)
