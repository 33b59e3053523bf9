"""How well the tool predicts: the misses of every measured setup of an archive, summed.

Each setup was predicted from the build's other setups alone; one that has no other is left out,
since a prediction from defaults says nothing of the fit. Pulls that a diagnosis names are
counted apart: they are what the fit is there to find.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Protocol, TypeVar

import numpy as np

from specgen.analysis.accuracy_groups import Group, Judged, groups, judged
from specgen.analysis.judging.ladder import Step
from specgen.analysis.sheet import Sheet


class Missed(Protocol):
    """One setup's prediction against its measurement, as far as sums and their chart need it."""

    @property
    def label(self) -> str:
        """Which setup of which build."""

    @property
    def boost(self) -> float | None:
        """Miss of boost, as a share of absolute manifold pressure."""

    @property
    def power(self) -> float | None:
        """Miss of power, as a share of the measured power."""

    @property
    def agrees(self) -> bool:
        """Whether boost lies in its band."""

    @property
    def power_agrees(self) -> bool:
        """Whether power lies in its band."""

    @property
    def named(self) -> bool:
        """Whether a diagnosis names the pull."""

    @property
    def judged(self) -> Judged:
        """The misses with their z, and the kinds of build that they are of."""


Of = TypeVar("Of", bound=Missed)


@dataclass(frozen=True, eq=False)
class Miss:
    """One setup's prediction against its measurement, with all that is behind it."""

    sheet: Sheet
    step: Step
    boost: float | None
    power: float | None
    named: bool

    @property
    def label(self) -> str:
        """Which setup of which build."""
        return f"{self.sheet.build.title.value}, {self.step.setup.title}"

    @property
    def agrees(self) -> bool:
        """Whether boost lies in its band."""
        return bool(self.step.agrees)

    @property
    def power_agrees(self) -> bool:
        """Whether power lies in its band."""
        return bool(self.step.power_agrees)

    @cached_property
    def judged(self) -> Judged:
        """The misses with their z, and the kinds of build that they are of."""
        return judged(self.sheet, self.step, self.boost, self.power)


@dataclass(frozen=True, slots=True)
class Summary:
    """Misses of one figure over an archive: shares of absolute pressure, or of power.

    `inside` is the share of setups whose measurement lies in its band (k = 2).
    """

    count: int
    median: float
    ninetieth: float
    inside: float

    @property
    def inside_count(self) -> int:
        """How many setups lie in their band."""
        return round(self.inside * self.count)

    @property
    def expected_inside(self) -> tuple[int, int]:
        """How many of so many should lie inside if the bands are right: from, to.

        The middle 95 % of a binomial distribution whose chance is that of a normal figure to lie
        within two standard deviations, 0.9545 (JCGM 100:2008, table G.1).
        """
        return _middle(self.count)


@dataclass(frozen=True, slots=True, eq=False)
class Accuracy(Generic[Of]):
    """All misses of an archive with their summaries; None where nothing could be compared.

    `alone` counts the measured setups that no other setup of their build predicts.
    """

    misses: tuple[Of, ...]
    boost: Summary | None
    power: Summary | None
    alone: int

    @property
    def named(self) -> tuple[Of, ...]:
        """The misses of pulls that a diagnosis names, which the sums leave out."""
        return tuple(miss for miss in self.misses if miss.named)

    @property
    def groups(self) -> tuple[Group, ...]:
        """The marks of each kind of build, of pulls that no diagnosis names."""
        return groups(miss.judged for miss in self.misses if not miss.named)


def accuracy_of(sheets: Iterable[Sheet]) -> Accuracy[Miss]:
    """Sum the misses of all sheets, of builds that were withdrawn none."""
    known = tuple(sheets)
    misses = tuple(miss for sheet in known for miss in misses_of(sheet))
    return summed(misses, sum(map(measured_setups, known)))


def summed(misses: tuple[Of, ...], measured: int) -> Accuracy[Of]:
    """Sum misses of so many measured setups."""
    fair = [miss for miss in misses if not miss.named]
    boost = [(abs(miss.boost), miss.agrees) for miss in fair if miss.boost is not None]
    power = [(abs(miss.power), miss.power_agrees) for miss in fair if miss.power is not None]
    return Accuracy(misses, _summary(boost), _summary(power), measured - len(misses))


def measured_setups(sheet: Sheet) -> int:
    """How many setups of a build were measured; none of one that was withdrawn."""
    return 0 if sheet.build.withdrawn else sum(step.pull is not None for step in sheet.ladder)


def misses_of(sheet: Sheet) -> tuple[Miss, ...]:
    """The misses of one build; none of one that was withdrawn."""
    return () if sheet.build.withdrawn else tuple(_misses(sheet))


def _misses(sheet: Sheet) -> Iterable[Miss]:
    named = {diagnosis.setup.id for diagnosis in sheet.diagnoses}
    for step in sheet.ladder:
        boost, power = _boost_share(step), _power_share(step)
        if step.pull is not None and step.others and (boost is not None or power is not None):
            yield Miss(sheet, step, boost, power, step.setup.id in named)


def _boost_share(step: Step) -> float | None:
    """Miss of boost as a share of the measured absolute manifold pressure."""
    if step.boost_miss is None or step.measured_boost is None:
        return None
    outside = step.setup.rows["estimate_pressure"].scalar
    return step.boost_miss / (step.measured_boost.scalar + outside)


def _power_share(step: Step) -> float | None:
    if step.power_miss is None or step.measured_power is None:
        return None
    return step.power_miss / step.measured_power.scalar


def _summary(misses: list[tuple[float, bool]]) -> Summary | None:
    if not misses:
        return None
    sizes = np.array([size for size, _ in misses])
    return Summary(
        len(sizes),
        float(np.median(sizes)),
        float(np.percentile(sizes, 90)),
        float(np.mean([inside for _, inside in misses])),
    )


#: Chance of a normal figure to lie within two standard deviations, and what counts as usual.
_WITHIN, _USUAL = 0.9545, 0.95


def _middle(count: int) -> tuple[int, int]:
    """The fewest and the most of `count` trials that chance usually gives."""
    tail = (1 - _USUAL) / 2
    below = np.cumsum([_chance(hits, count) for hits in range(count + 1)])
    return int(np.argmax(below > tail)), int(np.argmax(below >= 1 - tail))


def _chance(hits: int, count: int) -> float:
    """Chance of so many hits in `count` trials; by logarithms, which no count overflows."""
    ways = math.lgamma(count + 1) - math.lgamma(hits + 1) - math.lgamma(count - hits + 1)
    return math.exp(ways + hits * math.log(_WITHIN) + (count - hits) * math.log(1 - _WITHIN))
