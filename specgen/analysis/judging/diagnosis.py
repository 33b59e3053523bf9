"""What does not fit: a pull outside its band, what would explain it, and what speaks for which.

The model is never bent to such a pull. Each cause is tried on the figures and judged by what else
the data say about it; the causes come in the order of how much speaks for them. Where little
speaks, the words say so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from specgen.analysis.fit.calibration import SURPRISING, Exchange
from specgen.analysis.fit.departures import Departure
from specgen.analysis.fit.observations import FIGURES
from specgen.analysis.judging.causes import JUDGES, Case, Cause, Evidence, Pattern, Side, pattern_of
from specgen.analysis.judging.hypotheses import Pulled, explained
from specgen.analysis.workings import PullSheet, SetupSheet, Workings

#: How much further a pull must lie off where no other setup speaks against it: what engines usually
#: do over speed is known by allowances alone, which are no measurement.
_ALONE = 2.0

#: What a step of a cause's weight counts for, as a sum of squares.
_STEP = 2.0


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """One pull that lies outside what the rest of the build says."""

    setup: SetupSheet
    pull: str
    figure: str
    pattern: Pattern
    size: float
    speed: float
    causes: tuple[Cause, ...]


def diagnose(sheet: Workings) -> tuple[Diagnosis, ...]:
    """Every pull outside its band, worst first; none for a build that fits."""
    fit = sheet.calibration
    if fit is None:
        return ()
    found = list(_exchanged(sheet, fit.exchanged)) if fit.exchanged else []
    alone = len(fit.setups) == 1 and not fit.set_aside
    least = _ALONE * SURPRISING if alone else SURPRISING
    for setup in sheet.setups:
        departures = {item.pull: item for item in fit.departures(setup.id)}
        for pull in setup.pulls:
            left = departures.get(pull.id)
            if left is not None and left.size > least:
                found.append(_diagnosis(sheet, setup, pull, left))
    return tuple(sorted(found, key=lambda item: -item.size))


def _exchanged(sheet: Workings, exchange: Exchange) -> Iterator[Diagnosis]:
    """Both of two pulls whose curves stand under each other's names."""
    sides: tuple[tuple[str, str, Side], ...] = (
        (exchange.fast, exchange.slow, "short"),
        (exchange.slow, exchange.fast, "high"),
    )
    for name, other, side in sides:
        pull = next(item for item in sheet.pulls if item.id == name)
        words = f"with the curve of {other} in its place, every pull of the build agrees"
        cause = Cause("Two curves under each other's names", (Evidence(words),), 0)
        speed = pull.rows["speed_curve"].curve[-1]
        yield Diagnosis(pull.setup, name, "boost", Pattern(side, "everywhere"), exchange.size,
                        float(speed), (cause,))  # fmt: skip


def _diagnosis(sheet: Workings, setup: SetupSheet, pull: PullSheet, left: Departure) -> Diagnosis:
    outside = [trace for trace in left.traces if trace.size > SURPRISING]
    leading = next((trace for trace in outside if trace.figure == "boost"), outside[0])
    pattern = pattern_of(leading)
    case = Case(sheet, setup, pull, {trace.figure: trace for trace in left.traces}, pattern)
    causes = [cause for judge in JUDGES.get(leading.figure, ()) for cause in judge(case)]
    worst = float(leading.speed[int(np.argmax(np.abs(leading.short)))])
    ordered = tuple(_ordered(causes, _pulled(case, left)))
    return Diagnosis(setup, pull.id, leading.figure, pattern, leading.size, worst, ordered)


def _pulled(case: Case, left: Departure) -> Pulled:
    """What the causes are tried on."""
    rows = case.pull.rows
    factor = rows["correction_factor"]
    columns = {figure: rows[allowed.column] for figure, allowed in FIGURES.items()}
    return Pulled(
        left,
        {figure: row.text or row.quantity.title.lower() for figure, row in columns.items()},
        case.setup.rows["estimate_pressure"].scalar,
        factor.scalar if factor.present else None,
    )


def _ordered(causes: list[Cause], pull: Pulled) -> Iterator[Cause]:
    """The causes, each with what it explains, the most likely first."""
    nothing, found = explained(pull)
    best = {item.title: item for item in reversed(found)}
    ranked = []
    for cause in causes:
        tried = best.pop(cause.title, None)
        left = nothing if tried is None else tried.left
        if tried is not None:
            cause = replace(cause, evidence=(*cause.evidence, Evidence(tried.words)))
        ranked.append((left - _STEP * cause.weight, cause))
    ranked += [(item.left, Cause(item.title, (Evidence(item.words),), 0)) for item in best.values()]
    yield from (cause for _, cause in sorted(ranked, key=lambda pair: pair[0]))
