"""The test-day card as a page made for paper: a ladder of four setups on one sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.planning.card import BEFORE, DAY, EXPECTED, PULL, Card, CardStep
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.planned.card_text import (
    AT_ONCE,
    command,
    factor_rows,
    factor_words,
    more_setups,
    new_setups,
    pressure_heads,
    step_words,
    stop_words,
)
from specgen.publish.share.sharing import paper_head
from specgen.publish.typesetting.figures import figure, words_in_both
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

_TITLE = "Test-day card"


@dataclass(frozen=True, slots=True)
class CardLead(Context):
    """What opens the card.

    `workshop`: whose it is; `checks`: what is looked at first; `style`: the link to its style;
    `plan`: that to the plan; `at_once`: what ends a run of any setup; `left`: how many setups
    found no room, or nothing.
    """

    template: ClassVar[str] = "plan/card_lead.jinja"
    workshop: str
    checks: Sequence[str]
    style: str
    plan: str
    at_once: str
    left: str


@dataclass(frozen=True, slots=True)
class StepBlock(Context):
    """One setup of the card.

    `number`: which it is of them; `title`: its pulleys and fuel; `heads`: what is expected;
    `rows`: speed and figures; `stops`: where to stop; `fields`: what is written down.
    """

    template: ClassVar[str] = "plan/card_step.jinja"
    number: int
    title: Markup
    heads: Sequence[str]
    rows: Sequence[tuple[Markup, Sequence[Markup]]]
    stops: Sequence[Markup]
    fields: Sequence[str]


@dataclass(frozen=True, slots=True)
class DayBlock(Context):
    """What is written of the day, and what turns it to the standard's air.

    `fields`: what is written; `told`: what the factors are; `heads`: pressures; `rows`: temperature
    and factors; `setups`: lines that the build's file lacks; `command`: what takes it all.
    """

    template: ClassVar[str] = "plan/card_day.jinja"
    fields: Sequence[str]
    told: Markup
    heads: Sequence[Markup]
    rows: Sequence[tuple[Markup, Sequence[str]]]
    setups: Sequence[str]
    command: str


def card_page(card: Card, units: System, folders: bool) -> str:
    """Print a card; it must have setups."""
    links = Links(addresses.card(card.sheet.id), folders)
    title = card.sheet.build.title.value
    return page_markdown(
        f"{_TITLE}: {title}",
        f"What to run on {title}, what is expected, where to stop, what to write down.",
        [Part("", block, searchable=False) for block in _blocks(card, links)],
        units,
        trail=trail(
            links, addresses.BUILDS, under=(title, addresses.build(card.sheet.id)), title=_TITLE
        ),
        hide=("navigation", "toc"),
        found=False,
        head=paper_head(card.sheet),
    )


def _blocks(card: Card, links: Links) -> Iterator[Markup]:
    yield rendered(
        CardLead(
            workshop=card.sheet.archive.settings.name.value,
            checks=BEFORE,
            style=links.to(addresses.CARD_STYLE),
            plan=links.to(addresses.plan(card.sheet.id)),
            at_once=AT_ONCE,
            left=more_setups(card.left) if card.left else "",
        )
    )
    yield Markup("").join(_step(number, step) for number, step in enumerate(card.steps, 1))
    yield _day(card)


def _step(number: int, step: CardStep) -> Markup:
    shown = [index for index, _ in enumerate(EXPECTED)
             if any(reading.figures[index].present for reading in step.readings)]  # fmt: skip
    return rendered(
        StepBlock(
            number=number,
            title=words_in_both(lambda system: step_words(step, system)),
            heads=[EXPECTED[index][1] for index in shown],
            rows=[
                (figure(reading.speed, bare=True), [figure(reading.figures[i]) for i in shown])
                for reading in step.readings
            ],
            stops=_each(lambda system: list(stop_words(step, system))),
            fields=[title for _, title in PULL],
        )
    )


def _day(card: Card) -> Markup:
    table, told = card.factors, Markup("")
    heads: list[Markup] = []
    rows: list[tuple[Markup, list[str]]] = []
    if table is not None:
        told = words_in_both(lambda system: factor_words(table, system))
        heads = _each(lambda system: pressure_heads(table, system))
        airs = _each(lambda system: [air for air, _ in factor_rows(table, system)])
        factors = [factors for _, factors in factor_rows(table, "metric")]
        rows = list(zip(airs, factors, strict=True))
    fields = [title for _, title in DAY]
    return rendered(DayBlock(fields, told, heads, rows, new_setups(card), command(card)))


def _each(told: Callable[[System], list[str]]) -> list[Markup]:
    """Each of some sentences in both systems of units."""

    def one(index: int) -> Markup:
        return words_in_both(lambda system: told(system)[index])

    return [one(index) for index, _ in enumerate(told("metric"))]
