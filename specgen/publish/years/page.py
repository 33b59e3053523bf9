"""The page of the archive's years, newest first; only like is set beside like."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.figures import value_figure
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.years.results import (
    Like,
    OfYears,
    YearCount,
    YearResult,
    best_per_volume,
    best_power,
)
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class BestCell:
    """The best of a kind, or one that its margin does not tell from it.

    `title`, `setup`: build and setup; `href`: its sheet; `figure`: what it made.
    """

    title: str
    setup: str
    href: str
    figure: Markup


@dataclass(frozen=True, slots=True)
class LikeLine:
    """Results of one kind in a year.

    `like`: what they have alike; `count`: how many builds; `power`, `per_volume`: the best by
    each, with those that lie within its margin behind it.
    """

    like: Like
    count: int
    power: Sequence[BestCell]
    per_volume: Sequence[BestCell]


@dataclass(frozen=True, slots=True)
class Year(Context):
    """One year.

    `summary`: builds, visits and pulls in words; `lines`: the best of each kind.
    """

    template: ClassVar[str] = "years/year.jinja"
    summary: str
    lines: Sequence[LikeLine]


@dataclass(frozen=True, slots=True)
class YearsLead(Context):
    """What opens the page.

    `empty`: whether nothing was tested yet.
    """

    template: ClassVar[str] = "years/lead.jinja"
    empty: bool


def years_page(builds: Sequence[OfYears], units: System, folders: bool) -> str:
    """Print each year with what was tested in it, and the best of each kind."""
    results = [one for it in builds for one in it.results]
    counts = [one for it in builds for one in it.counts]
    links = Links(addresses.YEARS, folders)
    years = sorted({it.year for it in counts}, reverse=True)
    parts = [Part("", rendered(YearsLead(empty=not years)))]
    for year in years:
        here = [it for it in results if it.year == year]
        summary = _summary([it for it in counts if it.year == year])
        block = rendered(Year(summary=summary, lines=list(_lines(here, links))))
        parts.append(Part(str(year), block, searchable=False))
    description = "What was tested in each year, and the best of each kind."
    return fixed_page(links, description, parts, units, hide=("navigation",))


def _summary(found: Sequence[YearCount]) -> str:
    """Count a year's builds, visits and pulls."""
    counts = [
        (len({it.build for it in found}), "build"),
        (sum(it.sessions for it in found), "visit"),
        (sum(it.pulls for it in found), "pull"),
    ]
    told = [f"{count} {word}{'' if count == 1 else 's'}" for count, word in counts]
    return f"{told[0]} on the dyno, {told[1]}, {told[2]}."


def _lines(found: Iterable[YearResult], links: Links) -> Iterator[LikeLine]:
    kinds: dict[Like, list[YearResult]] = {}
    for it in found:
        kinds.setdefault(it.like, []).append(it)
    for like in sorted(kinds, key=lambda it: (it.induction, it.place, it.standing)):
        yield LikeLine(
            like,
            len({it.build for it in kinds[like]}),
            [_cell(it, links, "power") for it in best_power(kinds[like])],
            [_cell(it, links, "specific_power") for it in best_per_volume(kinds[like])],
        )


def _cell(it: YearResult, links: Links, key: str) -> BestCell:
    value, margin = it.power, it.power_margin
    if key == "specific_power":
        assert it.per_volume is not None
        value, margin = it.per_volume, it.per_volume_margin
    href = links.to(addresses.build(it.build))
    return BestCell(it.title, it.setup, href, value_figure(key, value, margin))
