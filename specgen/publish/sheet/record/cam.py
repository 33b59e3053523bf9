"""The cam card on a sheet: events, overlap and lift, and what the closing intake leaves over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import pi
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.cam import BOOSTED_CAUTION, LIFT_LAW, Cam, Event, LobeRows
from specgen.analysis.rows.row import Row
from specgen.publish.charts import door as charts
from specgen.publish.drawings import Drawing
from specgen.publish.typesetting.figures import figure, linked, words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

_LINES = (
    ("Duration", "duration"),
    ("Centre line", "centre_line"),
    ("Highest lift", "lift"),
    ("Lash, cold", "lash"),
    ("Lift at which events were taken", "at_lift"),
)
_CENTRES = {"TDC": "top dead centre", "BDC": "bottom dead centre"}
#: Colours of the two valves, the same in both drawings.
_GROUPS = {"intake": 0, "exhaust": 1}


@dataclass(frozen=True, slots=True)
class CamCard(Context):
    """The cam card.

    `lines`: words, intake, exhaust; `facts`: what holds for both; `boosted`: the rough ratio with
    boost; `caution`: how rough it is; `figures`: prints and remembers a row; `charts`: lift and
    timing.
    """

    template: ClassVar[str] = "sheet/record/cam.jinja"
    lines: Sequence[tuple[str, Markup, Markup]]
    facts: Sequence[tuple[str, Markup]]
    boosted: Row
    caution: str
    figures: Provenance
    charts: Sequence[Drawing]


def cam(card: Cam | None, figures: Provenance, units: System) -> Markup:
    """Print the cam card with its drawings; nothing where there is none."""
    if card is None:
        return Markup("")
    return rendered(
        CamCard(
            lines=list(_lines(card, figures)),
            facts=list(_facts(card, figures)),
            boosted=card.boosted_ratio,
            caution=BOOSTED_CAUTION,
            figures=figures,
            charts=list(drawings_of(card, units)),
        )
    )


def _lines(card: Cam, figures: Provenance) -> Iterator[tuple[str, Markup, Markup]]:
    """One line a property, one cell a valve; what the card has for neither is left out."""
    for words, name in (("Opens", "opens"), ("Closes", "closes")):
        intake, exhaust = getattr(card.intake, name), getattr(card.exhaust, name)
        if intake is not None or exhaust is not None:
            yield words, _event(intake, figures), _event(exhaust, figures)
    for words, name in _LINES:
        intake, exhaust = getattr(card.intake, name), getattr(card.exhaust, name)
        if intake.present or exhaust.present:
            yield words, _figure(card.intake, name, figures), _figure(card.exhaust, name, figures)


def _figure(lobe: LobeRows, name: str, figures: Provenance) -> Markup:
    """Print a figure of the card, a centre line with the side of top dead centre it lies on."""
    row: Row = getattr(lobe, name)
    if name == "centre_line" and row.present:
        side = "before" if lobe.side == "exhaust" else "after"
        return Markup("{} {} TDC").format(figures.show(row), side)
    if name == "at_lift" and row.present and row.scalar == 0.0:
        return _linked(row, safe("at the seat"), figures)
    return figures.show(row)


def _event(event: Event | None, figures: Provenance) -> Markup:
    """Print an event as the trade reads it: degrees without a sign, before or after."""
    if event is None:
        return figures.show(None)
    figures.show(event.row)
    printed = figure(replace(event.row, value=event.angle), figures.href(event.row))
    return Markup("{} {} {}").format(printed, event.side, event.dead_centre)


def _linked(row: Row, words: Markup, figures: Provenance) -> Markup:
    figures.show(row)
    return linked(words, figures.href(row))


def _facts(card: Cam, figures: Provenance) -> Iterator[tuple[str, Markup]]:
    yield "Overlap", figures.reasoned(card.overlap)
    for words, row in (("Lobe separation", card.lobe_separation), ("Cam advance", card.advance)):
        if row.present:
            yield words, figures.show(row)
    yield (
        "Compression ratio from where the intake closes, at the checking lift",
        figures.reasoned(card.effective_ratio),
    )


def drawings_of(card: Cam, units: System) -> Iterator[Drawing]:
    """The lift curves, and the events around the crank's circle, as far as the card has them."""
    if card.curves:
        lobes = [
            charts.Lobe(
                curve.side, curve.crank_angle, curve.lift, curve.opening, curve.closing,
                curve.at_lift, _GROUPS[curve.side],
            )
            for curve in card.curves
        ]  # fmt: skip
        span = card.overlap_span
        chart = charts.valve_lift(lobes, span, LIFT_LAW, system=units)
        title = words_in_both(lambda system: charts.valve_title(lobes, span, system))
        yield Drawing(title, chart)
    openings = list(_openings(card))
    if openings:
        chart = charts.valve_timing(openings, system=units)
        yield Drawing(safe(chart.title), chart)


def _openings(card: Cam) -> Iterator[charts.Opening]:
    """Each valve whose both events are known, on one scale from the top dead centre of overlap."""
    for lobe in (card.exhaust, card.intake):
        if lobe.opens is None or lobe.closes is None:
            continue
        opening, closing = _span(lobe, lobe.opens.row.scalar, lobe.closes.row.scalar)
        if closing > opening:
            yield charts.Opening(
                lobe.side, opening, closing, _where(lobe.opens), _where(lobe.closes),
                _GROUPS[lobe.side],
            )  # fmt: skip


def _span(lobe: LobeRows, opening: float, closing: float) -> tuple[float, float]:
    """Where a valve opens and closes, counted from the top dead centre of overlap [rad]."""
    return (-opening, pi + closing) if lobe.side == "intake" else (-pi - opening, closing)


def _where(event: Event) -> charts.Where:
    """An event in words, such as "14.0° before top dead centre"."""
    angle = event.row.quantity.text(event.angle, "metric")
    return charts.Where(angle, event.side, _CENTRES[event.dead_centre], event.dead_centre)
