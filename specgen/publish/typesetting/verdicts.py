"""The words for how a prediction fared and what it lies beyond: the same on pages and terminal."""

from __future__ import annotations

import math

from specgen.analysis.judging.ladder import Step
from specgen.analysis.judging.reach import Excess
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System

#: The word for a pull that a diagnosis names.
MISFIT = "disagrees with the others"


def verdict(step: Step, *, named: bool) -> str:
    """Say how a setup's measurement lies to the prediction; empty where nothing was measured.

    Boost that nobody read, and power that says not what was done to it, are compared with nothing.

    `named` says that a diagnosis names one of the setup's pulls. A prediction that rests on no
    other pull is one from defaults, and its wide band is easily met.
    """
    if named:
        return MISFIT
    told = {"boost": step.agrees, "power": step.power_agrees}
    known = {name: agrees for name, agrees in told.items() if agrees is not None}
    if not known:
        return "not compared" if step.pull is not None else ""
    outside = [name for name, agrees in known.items() if not agrees]
    words = f"{' and '.join(outside)} just outside" if outside else "inside"
    return words if step.others else f"{words}, from defaults"


def excess_words(excess: Excess, system: System) -> str:
    """Say that a figure is, or may be, above its limit, and above which."""
    may = "" if excess.certain else "may be "
    return f"{may}above the limit of {excess.limit.quantity.text(excess.limit.scalar, system)}"


def left_over(step: Step, system: System) -> str:
    """Print measured less predicted boost with its sign, no finer than its uncertainty.

    Empty where one of the two is not there.
    """
    measured, predicted, miss = step.measured_boost, step.estimated_boost, step.boost_miss
    if measured is None or miss is None:
        return ""
    shown, width = measured.quantity, math.hypot(measured.expanded or 0, predicted.expanded or 0)
    number = shown.number(miss, system, width)
    sign = "+" if miss > 0 and number.strip("0.") else ""
    return f"{sign}{number}{NARROW_SPACE}{shown.unit(system).shown}"
