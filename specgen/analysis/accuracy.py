"""How well the tool predicts: the misses of every measured setup of an archive, summed.

Each setup was predicted from the build's other setups alone; one that has no other is left out,
since a prediction from defaults says nothing of the fit. Pulls that a diagnosis names are
counted apart: they are what the fit is there to find.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from specgen.analysis.ladder import Step

if TYPE_CHECKING:
    from specgen.analysis.sheet import Sheet


@dataclass(frozen=True, slots=True, eq=False)
class Miss:
    """One setup's prediction against its measurement."""

    sheet: Sheet
    step: Step
    boost: float | None
    power: float | None
    named: bool


@dataclass(frozen=True, slots=True)
class Summary:
    """Misses of one figure over an archive: shares of absolute pressure, or of power."""

    count: int
    median: float
    ninetieth: float
    inside: float


@dataclass(frozen=True, slots=True, eq=False)
class Accuracy:
    """All misses of an archive with their summaries; None where nothing could be compared."""

    misses: tuple[Miss, ...]
    boost: Summary | None
    power: Summary | None


def accuracy_of(sheets: Iterable[Sheet]) -> Accuracy:
    """Sum the misses of all sheets."""
    misses = tuple(miss for sheet in sheets for miss in _misses(sheet))
    fair = [miss for miss in misses if not miss.named]
    boost = [(abs(miss.boost), miss.step.agrees) for miss in fair if miss.boost is not None]
    power = [(abs(miss.power), miss.step.power_agrees) for miss in fair if miss.power is not None]
    return Accuracy(misses, _summary(boost), _summary(power))


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


def _summary(misses: list[tuple[float, bool | None]]) -> Summary | None:
    if not misses:
        return None
    sizes = np.array([size for size, _ in misses])
    return Summary(
        len(sizes),
        float(np.median(sizes)),
        float(np.percentile(sizes, 90)),
        float(np.mean([bool(inside) for _, inside in misses])),
    )
