"""The page of a plan: the picture, every pulley pair in tables, belts, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.planning.plan import FIGURES, Plan, PlannedPair
from specgen.publish import addresses, drawings
from specgen.publish.addresses import Links
from specgen.publish.planned.picture import plan_picture
from specgen.publish.planned.text import belt_words
from specgen.publish.planned.words import against_limits, further_words, rest_words, stops_in_both
from specgen.publish.share.sharing import paper_head
from specgen.publish.typesetting.blocks import Charts
from specgen.publish.typesetting.cautions import CAUTIONS
from specgen.publish.typesetting.figures import figure, words_in_both
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

_TITLE = "Choosing the drive"
_LEADING = ("ratio", "boost", "power", "torque")
_HEAT = ("discharge_temperature", "charge_temperature", "octane_asked", "octane_given")
_DRIVE = ("blower_speed", "belt_speed", "drive_power", "grip_used", "fuel_flow", "injector_duty")
#: Figures that have no doubt worth a column.
_BARE = ("ratio", "blower_speed", "belt_speed")
#: Cautions that belong to choosing a pulley, in the order of the cautions page.
_CAUTIONS = (
    "estimates", "detonation", "rotating-parts", "over-speed", "alcohol-fuel", "petrol", "law"
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PlanLead(Context):
    """What opens the page.

    `rests_on`: fuel, air, pulls and the speeds it is read at; `stops`: what comes first;
    `further`: from where a dagger counts; `sheet`: link to the build's sheet; `card`: that to its
    test-day card, or nothing.
    """

    template: ClassVar[str] = "plan/lead.jinja"
    rests_on: Markup
    stops: Sequence[Markup]
    further: str
    sheet: str
    card: str


@dataclass(frozen=True, slots=True)
class PairLine:
    """One pair of a table.

    `title`: its blower pulley; `measured`, `added`, `further`: whether it was run, is none of those
    on offer, or lies further than what was measured; `cells`: its figures; `told`: what stops it,
    or about its belt.
    """

    title: str
    measured: bool
    added: bool
    further: bool
    cells: Sequence[Markup]
    told: Markup


@dataclass(frozen=True, slots=True)
class PairTable(Context):
    """Pulley pairs with one crank pulley, by rising ratio.

    `crank`: its size; `own`: whether it is on the engine; `caption`: what it holds, for those who
    cannot see it; `titles`: its columns; `told`: heading of the words at the end, or nothing;
    `lines`: one a pair.
    """

    template: ClassVar[str] = "plan/table.jinja"
    crank: str
    own: bool
    caption: str
    titles: Sequence[str]
    told: str
    lines: Sequence[PairLine]


@dataclass(frozen=True, slots=True)
class PlanCautions(Context):
    """What to be careful about when a pulley is changed.

    `lines`: words and link of each.
    """

    template: ClassVar[str] = "plan/cautions.jinja"
    lines: Sequence[tuple[str, str]]


def plan_page(plan: Plan, units: System, folders: bool, *, card: bool = False) -> str:
    """Print a build's plan; it must have pairs. `card` tells that there is a test-day card."""
    links = Links(addresses.plan(plan.sheet.id), folders)
    title = plan.sheet.build.title.value
    return page_markdown(
        f"{_TITLE}: {title}",
        f"Every pulley pair of {title}: what it gives, and what stops it first.",
        list(_parts(plan, units, links, links.to(addresses.card(plan.sheet.id)) if card else "")),
        units,
        trail=trail(
            links, addresses.BUILDS, under=(title, addresses.build(plan.sheet.id)), title=_TITLE
        ),
        hide=("navigation",),
        found=False,
        head=paper_head(plan.sheet),
    )


def _parts(plan: Plan, units: System, links: Links, card: str) -> Iterator[Part]:
    lead = PlanLead(
        rests_on=words_in_both(lambda system: rest_words(plan, system)),
        stops=stops_in_both(plan),
        further=further_words(plan),
        sheet=links.to(addresses.build(plan.sheet.id)),
        card=card,
    )
    yield Part("", rendered(lead))
    picture = plan_picture(plan, units)
    if picture is not None:
        yield Part("", rendered(Charts(charts=[picture])), searchable=False)
    yield _tables(plan, "Every pair, and what stops it", _LEADING, verdicts=True)
    yield _tables(plan, "Heat and knock", _HEAT)
    yield _tables(plan, "Drive and fuel", _DRIVE)
    yield from _belts(plan, units)
    lines = [(CAUTIONS[key].line, links.to(addresses.CAUTIONS, key)) for key in _CAUTIONS]
    yield Part("Before a pulley is changed", rendered(PlanCautions(lines=lines)), searchable=False)


def _groups(plan: Plan) -> list[tuple[str, bool, list[PlannedPair]]]:
    """The pairs by crank pulley, the one that is on the engine first."""
    own = {item.pair.crank.text for item in plan.own}
    cranks = dict.fromkeys(item.pair.crank.text for item in plan.pairs)
    ordered = sorted(cranks, key=lambda text: text not in own)
    return [(text, text in own, [item for item in plan.pairs if item.pair.crank.text == text])
            for text in ordered]  # fmt: skip


def _tables(plan: Plan, heading: str, keys: Sequence[str], *, verdicts: bool = False) -> Part:
    """One table a crank pulley, that of the engine open, the others folded."""
    titles = {key: title for key, title, _ in FIGURES}
    shown = [key for key in keys if any(item.figures[key].present for item in plan.pairs)]
    told = "Against its limits" if verdicts else ""
    tables = [
        PairTable(
            crank=crank,
            own=own,
            caption=f"{heading}, {crank} on the crank",
            titles=[titles[key] for key in shown],
            told=told,
            lines=[_line(item, [figure(item.figures[key], bare=key in _BARE) for key in shown],
                         _verdict(item) if verdicts else Markup(""))
                   for item in items],
        )
        for crank, own, items in _groups(plan)
    ]  # fmt: skip
    return Part(heading, Markup("").join(map(rendered, tables)), searchable=False)


def _verdict(item: PlannedPair) -> Markup:
    return words_in_both(lambda system: against_limits(item, system))


def _line(item: PlannedPair, cells: Sequence[Markup], told: Markup) -> PairLine:
    return PairLine(
        item.pair.blower.text,
        bool(item.pulls),
        not item.pair.offered,
        bool(item.beyond_data),
        cells,
        told,
    )


def _belts(plan: Plan, units: System) -> Iterator[Part]:
    """Which belt each pair asks for, below the layout to scale."""
    if not any(item.belt is not None for item in plan.pairs):
        return
    chart = drawings.belt(plan.sheet, units)
    drawn = rendered(Charts(charts=[chart])) if chart is not None else Markup("")
    titles = ("The path asks for", "Next lengths on the list")
    tables = [
        PairTable(
            crank, own, f"Belts, {crank} on the crank", titles, "The belt that is on",
            [_line(item, [_belt_cell(item, part) for part in (0, 1)], _belt_cell(item, 2))
             for item in items if item.belt is not None],
        )
        for crank, own, items in _groups(plan)
    ]  # fmt: skip
    yield Part("Belt", drawn + Markup("").join(map(rendered, tables)), searchable=False)


def _belt_cell(item: PlannedPair, part: int) -> Markup:
    belt = item.belt
    assert belt is not None
    return words_in_both(lambda system: belt_words(belt, system)[part])
