"""Clearances and loads on a sheet: how many are out and which, then every reading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import inf
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.clearances import EDGE, EDGE_OF_ONE, Clearance, Summary
from specgen.analysis.record.record import Record
from specgen.analysis.rows.row import Row
from specgen.publish.sheet.record.marks import clearance_mark
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered


@dataclass(frozen=True, slots=True)
class CalledLine:
    """A reading that the summary names.

    `title`: what and where; `anchor`: its line's address; `measured`, `specified`: the two
    figures.
    """

    title: str
    anchor: str
    measured: Markup | str
    specified: Markup


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One reading of a thing.

    `id`: its line's address; `where`: where it was read; `measured`: the figure; `verdict`: how it
    stands in words; `mark`: the same drawn.
    """

    id: str
    where: str
    measured: Markup | str
    verdict: str
    mark: Markup


@dataclass(frozen=True, slots=True)
class Thing:
    """What was measured, with all its readings.

    `what`: its name; `height`: where on a piston; `specified`: its limits; `how`: instrument,
    initials and day; `note`: as written; `figures`: prints and remembers a row; `lines`: one a
    reading.
    """

    what: str
    height: Row | None
    specified: Markup
    how: str
    note: str
    figures: Provenance
    lines: Sequence[ReadingLine]


@dataclass(frozen=True, slots=True)
class Clearances(Context):
    """Clearances and loads.

    `summary`: how many are out; `called`: those to look at, by verdict; `things`: every reading,
    by what was measured; `edge`: percent of a range that is near its end; `edge_of_one`: percent
    of a limit with one end.
    """

    template: ClassVar[str] = "sheet/record/clearances.jinja"
    summary: str
    called: Sequence[tuple[str, Sequence[CalledLine]]]
    things: Sequence[Thing]
    edge: str
    edge_of_one: str


def clearances(record: Record, figures: Provenance) -> Markup:
    """Print the summary and the table; nothing where nothing was recorded."""
    found = record.clearances
    if not found:
        return Markup("")
    return rendered(
        Clearances(summary=summary_words(record.summary),
        called=[(words, [_called(item, found, figures) for item in items])
                for words, items in (("Out", record.summary.out),
                                     ("Near the edge", record.summary.near),
                                     ("Not recorded", record.summary.not_recorded)) if items],
        things=list(_things(found, figures)),
        edge=f"{100 * EDGE:.0f}",
        edge_of_one=f"{100 * EDGE_OF_ONE:.0f}",
    ))  # fmt: skip


def out_words(summary: Summary) -> str:
    """Say how many readings are out, in two words."""
    return f"{len(summary.out) or 'none'} out"


def summary_words(summary: Summary) -> str:
    """Say how many readings are out, near the edge, in, and how many nobody can judge."""
    counts = [
        (len(summary.out), "out"),
        (len(summary.near), "near the edge"),
        (len(summary.within), "in"),
        (len(summary.not_recorded), "not recorded"),
        (len(summary.no_limit), "without a limit"),
    ]
    told = [f"{count or 'none'} {words}" for count, words in counts if count or words == "out"]
    total = sum(count for count, _ in counts)
    return f"{total} {'entry' if total == 1 else 'entries'}: {', '.join(told)}."


def anchor(item: Clearance, found: Sequence[Clearance]) -> str:
    """The address of a reading's line on its sheet."""
    return f"record-clearance-{found.index(item) + 1}"


def _called(item: Clearance, found: Sequence[Clearance], figures: Provenance) -> CalledLine:
    """One reading that the summary names."""
    return CalledLine(
        title=_title(item),
        anchor=anchor(item, found),
        measured=figures.show(item.measured) if item.measured.present else "",
        specified=_specified(item, figures),
    )


def _title(item: Clearance) -> str:
    return f"{item.what}, {item.where}" if item.where else item.what


def _specified(item: Clearance, figures: Provenance) -> Markup:
    """Print the limit as it was meant: both ends, or at least, or at most."""
    low, high = item.low, item.high
    if low is not None and high is not None:
        return figures.show(low) if low.scalar == high.scalar else figures.between(low, high)
    if low is not None:
        return Markup("at least {}").format(figures.show(low))
    if high is not None:
        return Markup("at most {}").format(figures.show(high))
    return Markup("")


def _things(found: Sequence[Clearance], figures: Provenance) -> Iterator[Thing]:
    """One block a measured thing: what all its readings share, and a line for each."""
    for _, members in groupby(found, key=lambda item: item.place):
        items = list(members)
        first = items[0]
        yield Thing(
            what=first.what,
            height=first.at_height,
            specified=_specified(first, figures),
            how=_how(first),
            note=first.note,
            figures=figures,
            lines=[_line(item, found, figures) for item in items],
        )


def _line(item: Clearance, found: Sequence[Clearance], figures: Provenance) -> ReadingLine:
    return ReadingLine(
        id=anchor(item, found),
        where=item.where,
        measured=figures.show(item.measured) if item.measured.present else "",
        verdict=item.verdict,
        mark=_mark(item),
    )


def _mark(item: Clearance) -> Markup:
    if not item.measured.present or (item.low is None and item.high is None):
        return Markup("")
    low = item.low.scalar if item.low else -inf
    high = item.high.scalar if item.high else inf
    return Markup(clearance_mark(item.measured.scalar, low, high, item.verdict))


def _how(item: Clearance) -> str:
    """Instrument, initials and day in one line."""
    day = day_words(item.date).replace(" ", "\N{NO-BREAK SPACE}") if item.date else ""
    return ", ".join(part for part in (item.instrument, item.by, day) if part)
