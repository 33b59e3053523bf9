"""A goal sought: the blower pulley that meets it, the pair on offer nearest to it, what is needed.

The pulley is solved for on the crank pulley that is on the engine, over ratios well beyond those
on offer, so that an unreachable goal can say where it ends.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from specgen.analysis.planning.needs import Need, needs_of
from specgen.analysis.planning.pairs import Pair
from specgen.analysis.planning.plan import Plan, PlannedPair, planned_pair
from specgen.archive.model.build import Number
from specgen.physics.pulley import EFFECTIVE_LINE_DIFFERENTIAL
from specgen.vocabulary import quantity

Aim = Literal["boost", "power"]

#: How far beyond the ratios on offer a goal is looked for, and at how many of them.
_BEYOND, _LOOKS = 1.35, 7
#: A blower pulley is solved to this [m]: a hundredth of a millimetre.
TOLERANCE = 1e-5


@dataclass(frozen=True, eq=False)
class Sought:
    """A goal and what comes of it.

    `exact` meets the goal on a pulley made for it, None where nothing does; `nearest` is the pair
    on offer that comes nearest; `most` is the best that any pulley gives; `needs` is what else must
    change for `exact`.
    """

    aim: Aim
    goal: float
    exact: PlannedPair | None
    nearest: PlannedPair | None
    most: PlannedPair | None
    needs: tuple[Need, ...]


def seek(plan: Plan, aim: Aim, goal: float) -> Sought:
    """Seek a boost [Pa] or a power as observed [W]."""
    known = [item for item in plan.pairs if item.figures[aim].present]
    if not known:
        return Sought(aim, goal, None, None, None, ())
    nearest = min(known, key=lambda item: abs(item.figures[aim].scalar - goal))
    exact, most = _exact(plan, known, aim, goal)
    return Sought(aim, goal, exact, nearest, most, needs_of(plan.sheet, exact) if exact else ())


def _exact(
    plan: Plan, known: list[PlannedPair], aim: Aim, goal: float
) -> tuple[PlannedPair | None, PlannedPair]:
    """The pair that meets the goal at the lowest ratio, and the one with most of it."""
    from scipy.optimize import brentq  # slow to import: only where something is sought

    own = plan.own or tuple(known)
    crank = own[0].pair.crank
    tried: dict[float, PlannedPair] = {}

    def short(ratio: float) -> float:
        """How far a pulley for this ratio falls short of the goal."""
        if ratio not in tried:
            tried[ratio] = planned_pair(plan.sheet, _pair(crank, ratio), plan.question)
        row = tried[ratio].figures[aim]
        return row.scalar - goal if row.present else float("nan")

    ratios = [item.pair.ratio for item in known]
    steps = np.geomspace(min(ratios) / _BEYOND, max(ratios) * _BEYOND, _LOOKS)
    ratio = _crossed(short, [float(step) for step in steps])
    reached = [item for item in (*tried.values(), *known) if item.figures[aim].present]
    most = max(reached, key=lambda item: item.figures[aim].scalar)
    if ratio is None:
        return None, most
    low, high = ratio
    tolerance = TOLERANCE * low / crank.value
    found = float(brentq(short, low, high, xtol=tolerance)) if low < high else low
    short(found)
    return tried[found], most


def _crossed(short: Callable[[float], float], steps: list[float]) -> tuple[float, float] | None:
    """The first two ratios between which the goal is reached."""
    before = short(steps[0])
    for low, high in itertools.pairwise(steps):
        after = short(high)
        if before <= 0 <= after or after <= 0 <= before:
            return low, high
        before = after
    return None


def _pair(crank: Number, ratio: float) -> Pair:
    """The crank pulley with a blower pulley made for a ratio."""
    line = 2 * EFFECTIVE_LINE_DIFFERENTIAL
    size = (crank.value + line) / ratio - line
    text = quantity("pulley_diameter").text(size, "metric")
    return Pair(crank, replace(crank, value=size, text=text), offered=False)
