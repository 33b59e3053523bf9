"""What was measured against a limit: each with its verdict, and a summary that leads."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Rule, Scope
from specgen.analysis.rows.written import Written
from specgen.archive.model.build import Build
from specgen.archive.model.given import Given, Number, Range
from specgen.archive.model.record import Clearance as WrittenClearance
from specgen.findings import Place

Verdict = Literal["in", "near the edge", "out", "not recorded", "no limit recorded"]

#: A figure is near the edge within this share of the range from either end, or within the second
#: share of a limit that has one end only (common practice, no source).
EDGE, EDGE_OF_ONE = 0.10, 0.05
#: Two figures are the same within this share, so that other units do not push one out.
_SAME = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Clearance:
    """One measured thing at one place.

    `share` is where a figure lies between both ends (0 to 1 inside), or its share of the limit
    where there is only one end; None where nothing was measured or no limit is known.
    """

    what: str
    where: str
    at_height: Row | None
    low: Row | None
    high: Row | None
    measured: Row
    verdict: Verdict
    share: float | None
    instrument: str
    by: str
    date: datetime.date | None
    note: str
    place: Place


@dataclass(frozen=True, slots=True, eq=False)
class Summary:
    """The clearances by verdict, each in the order of the file."""

    out: tuple[Clearance, ...]
    near: tuple[Clearance, ...]
    within: tuple[Clearance, ...]
    not_recorded: tuple[Clearance, ...]
    no_limit: tuple[Clearance, ...]


def verdict_of(low: float, high: float, value: float) -> tuple[Verdict, float | None]:
    """Judge a figure by its limit, open ends infinite; with its share of the range or limit."""
    slack = _SAME * max(abs(end) for end in (low, high) if isfinite(end))
    if value < low - slack or value > high + slack:
        return "out", _share(low, high, value)
    share = _share(low, high, value)
    if isfinite(low) and isfinite(high):
        margin = min(value - low, high - value)
        near = high > low and margin < EDGE * (high - low) - slack
    else:
        end = low if isfinite(low) else high
        near = abs(value - end) < EDGE_OF_ONE * abs(end) - slack or value == end
    return ("near the edge" if near else "in"), share


def _share(low: float, high: float, value: float) -> float | None:
    if isfinite(low) and isfinite(high):
        return round((value - low) / (high - low), 6) if high > low else None
    end = low if isfinite(low) else high
    return round(value / end, 6) if end else None


def clearance_rules(build: Build) -> list[Rule]:
    """Make one rule for each limit and each reading."""
    written = build.record.clearances if build.record else ()
    return [rule for number, item in enumerate(written, 1) for rule in _rules(number, item)]


def _rules(number: int, item: WrittenClearance) -> Iterator[Rule]:
    name, what = f"clearance_{number}", item.what.value
    kind = _kind(item)
    if item.specified is not None:
        for end, value, words in (
            ("low", item.specified.value.low, "at least"),
            ("high", item.specified.value.high, "at most"),
        ):
            if isfinite(value):
                given = Given(value, item.specified.text, item.specified.place, kind)
                yield Written(f"{name}_{end}", kind, f"{what}: {words}", given)
    if item.at_height is not None:
        yield Written(f"{name}_height", "spring_height", f"{what}: height", item.at_height)
    for place, reading in _readings(item):
        title = f"{what}, {place[1]}" if place[1] else what
        yield Written(f"{name}{place[0]}", kind, title, reading, "measured",
                      missing="not measured, or not recorded")  # fmt: skip


def _kind(item: WrittenClearance) -> str:
    """The quantity of a clearance: that of its limit, else that of its reading."""
    named = [given.quantity for given in (item.specified, *item.measured) if given is not None]
    return next((key for key in named if key), "clearance")


def _readings(item: WrittenClearance) -> Iterator[tuple[tuple[str, str], Number | None]]:
    """Each reading with the end of its key and the place it was taken at; None where none was."""
    where = item.where.value if item.where else ""
    if len(item.measured) <= 1:
        yield ("", where), (item.measured[0] if item.measured else None)
        return
    for number, reading in enumerate(item.measured, 1):
        yield (f"_{number}", f"{where} {number}".strip()), reading


def clearances_of(build: Build, scope: Scope) -> tuple[Clearance, ...]:
    """Collect all readings in the order of the file, each with its verdict."""
    written = build.record.clearances if build.record else ()
    return tuple(
        _clearance(f"clearance_{number}", suffix, where, item, scope)
        for number, item in enumerate(written, 1)
        for (suffix, where), _ in _readings(item)
    )


def _clearance(
    name: str, suffix: str, where: str, item: WrittenClearance, scope: Scope
) -> Clearance:
    measured = scope[f"{name}{suffix}"]
    verdict, share = _verdict(item.specified, measured)
    return Clearance(
        item.what.value,
        where,
        scope.find(f"{name}_height"),
        scope.find(f"{name}_low"),
        scope.find(f"{name}_high"),
        measured,
        verdict,
        share,
        item.instrument.value if item.instrument else "",
        item.by.value if item.by else "",
        item.date.value if item.date else None,
        item.note.value if item.note else "",
        item.place,
    )


def _verdict(specified: Given[Range] | None, measured: Row) -> tuple[Verdict, float | None]:
    """What was not measured is never in, nor is what has no limit."""
    if not measured.present:
        return "not recorded", None
    if specified is None:
        return "no limit recorded", None
    return verdict_of(specified.value.low, specified.value.high, measured.scalar)


def summary_of(clearances: tuple[Clearance, ...]) -> Summary:
    """Sort clearances by verdict."""
    verdicts: tuple[Verdict, ...] = (
        "out", "near the edge", "in", "not recorded", "no limit recorded",
    )  # fmt: skip
    return Summary(
        *(tuple(item for item in clearances if item.verdict == verdict) for verdict in verdicts)
    )
