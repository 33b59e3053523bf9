"""What a build gave to each year: its visits, its pulls, its best result of each kind."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS, induction_words
from specgen.analysis.workings import PullSheet


@dataclass(frozen=True, slots=True)
class Like:
    """What results must have alike to be set side by side: how fed, where measured, in what air."""

    induction: str
    place: str
    standing: str


@dataclass(frozen=True, slots=True)
class YearResult:
    """A build's best of one kind in a year: SI values with their expanded uncertainties."""

    year: int
    build: str
    title: str
    setup: str
    like: Like
    power: float
    power_margin: float
    per_volume: float | None
    per_volume_margin: float


@dataclass(frozen=True, slots=True)
class YearCount:
    """How often a build was on the dyno in a year, and how many pulls were made."""

    year: int
    build: str
    sessions: int
    pulls: int


@dataclass(frozen=True, slots=True)
class OfYears:
    """All that a build gave to the archive's years."""

    results: tuple[YearResult, ...]
    counts: tuple[YearCount, ...]


def of_years(sheet: Sheet) -> OfYears:
    """Take from a sheet what the page of the years says of it."""
    return OfYears(results_of(sheet), counts_of(sheet))


def counts_of(sheet: Sheet) -> tuple[YearCount, ...]:
    """A build's visits and pulls by year, withdrawn ones left out."""
    found: dict[int, list[int]] = {}
    for session in sheet.sessions:
        if session.session.withdrawn is None:
            here = found.setdefault(session.session.date.value.year, [0, 0])
            here[0] += 1
            here[1] += len(session.pulls)
    return tuple(YearCount(year, sheet.id, *here) for year, here in sorted(found.items()))


def results_of(sheet: Sheet) -> tuple[YearResult, ...]:
    """A build's best result of each kind in each year; none of a withdrawn build."""
    if sheet.build.withdrawn is not None:
        return ()
    best: dict[tuple[int, Like], YearResult] = {}
    for pull in sheet.pulls:
        found = _result(sheet, pull)
        if found is None:
            continue
        known = best.get((found.year, found.like))
        if known is None or found.power > known.power:
            best[found.year, found.like] = found
    return tuple(best.values())


def _result(sheet: Sheet, pull: PullSheet) -> YearResult | None:
    power, per_volume = pull.rows["power"], pull.rows["specific_power"]
    if not power.present:
        return None
    kind = sheet.blower.kind.value if sheet.blower else None
    place = MEASURING_POINTS[pull.session.dyno.measured_at.value]
    return YearResult(
        pull.session.date.value.year,
        sheet.id,
        sheet.build.title.value,
        pull.setup.title,
        Like(induction_words(sheet.build, kind), place, power.standing),
        power.scalar,
        power.expanded or 0.0,
        per_volume.scalar if per_volume.present else None,
        per_volume.expanded or 0.0,
    )


def best_power(found: Iterable[YearResult]) -> list[YearResult]:
    """The strongest, and behind it those that its margin does not tell apart from it."""
    ranked = sorted(found, key=lambda it: (-it.power, it.build))
    return ranked[:1] + [
        it for it in ranked[1:] if _level(ranked[0].power, ranked[0].power_margin,
                                          it.power, it.power_margin)
    ]  # fmt: skip


def best_per_volume(found: Iterable[YearResult]) -> list[YearResult]:
    """The same by power for each volume swept; those without are left out."""
    known = [(it, it.per_volume) for it in found if it.per_volume is not None]
    ranked = sorted(known, key=lambda it: (-it[1], it[0].build))
    return [it for it, _ in ranked[:1]] + [
        it for it, value in ranked[1:]
        if _level(ranked[0][1], ranked[0][0].per_volume_margin, value, it.per_volume_margin)
    ]  # fmt: skip


def _level(one: float, margin: float, other: float, other_margin: float) -> bool:
    """Whether two results lie within the margin of their difference."""
    return abs(one - other) <= math.hypot(margin, other_margin)
