"""The parts of a sheet that show results: curves, limits, the way of the air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.judging.air_path import AirPath
from specgen.analysis.judging.limits import Limit
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.publish import addresses, drawings
from specgen.publish.addresses import Links
from specgen.publish.charts.door import LimitItem, left_words
from specgen.publish.logged import further, place_of
from specgen.publish.typesetting.blocks import Note
from specgen.publish.typesetting.figures import words_in_both
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit and what comes near it.

    `title`: what is limited; `setup`: the setup that comes nearest; `planned`: whether that was
    never run; `estimated`: whether its figure is; `value`: the figure; `limit`: its limit;
    `left`: how much is left, in words; `beyond`: whether it may be past the limit; `bar`: the same
    drawn.
    """

    title: str
    setup: str
    planned: bool
    estimated: bool
    value: Row
    limit: Row
    left: Markup
    beyond: bool
    bar: Markup


@dataclass(frozen=True, slots=True)
class AirWay(Context):
    """The way of the air.

    `chart`: the stations drawn; `path`: the stations; `figures`: prints and remembers a row.
    """

    template: ClassVar[str] = "sheet/air_path.jinja"
    chart: drawings.Drawing | None
    path: AirPath
    figures: Provenance


@dataclass(frozen=True, slots=True)
class LimitCell:
    """A setup's figure in the column of a limit.

    `value`: the figure; `words`: how much of the limit that is, where the figure does not say it
    itself, and whether it is estimated; `beyond`: whether it may be past the limit.
    """

    value: Row
    words: str
    beyond: bool


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One setup in the table of all limits.

    `setup`: its title; `planned`: whether it was never run; `cells`: one a column, None where the
    figure is not known.
    """

    setup: str
    planned: bool
    cells: Sequence[LimitCell | None]


@dataclass(frozen=True, slots=True)
class Limits(Context):
    """How near each limit is.

    `lines`: one a limit, nearest first; `finding`: what is nearest, in words; `columns`: each limit
    with its title; `rows`: every setup against these, none where there is one setup; `figures`:
    prints and remembers a row.
    """

    template: ClassVar[str] = "sheet/limits.jinja"
    lines: Sequence[LimitLine]
    finding: Markup
    columns: Sequence[tuple[str, Row]]
    rows: Sequence[LimitRow]
    figures: Provenance


@dataclass(frozen=True, slots=True)
class Curves(Context):
    """The picture that tells the sheet, of which a reader chooses what it shows.

    `choices`: words and drawing of each, the one shown first ahead; `further`: words, chart and
    link of what else was logged; `build`: the build's id; `data`: the link to the curves as a
    script reads them; `ends`: the engine speeds they run between, in rpm; `start`: where the
    read-out begins.
    """

    template: ClassVar[str] = "sheet/curves.jinja"
    choices: Sequence[tuple[str, drawings.Drawing]]
    further: Sequence[tuple[str, str, str]]
    build: str
    data: str
    ends: tuple[int, int]
    start: int


#: Steps of the read-out, rpm.
_STEP = 50


def power_and_torque(sheet: Sheet, links: Links, units: System) -> Iterator[Part]:
    """Show all setups' curves: power and torque, and boost; and lead to what else was logged."""
    best = sheet.best
    corrected = best is not None and best.rows["power"].state == "corrected"
    drawn = (
        ("Power and torque" + (", corrected" if corrected else ""), drawings.power(sheet, units)),
        ("Boost", drawings.boost(sheet, units)),
    )
    choices = [(words, chart) for words, chart in drawn if chart is not None]
    if choices:
        block = rendered(_curves(sheet, links, choices, units))
        yield Part("Power and torque" if drawings.has_power(sheet) else "Boost", block)
    elif best and best.pull.peaks:
        words = "Only the peak figures of this test were kept: there is no curve to draw."
        yield Part("", rendered(Note(words=words)))


def _curves(
    sheet: Sheet, links: Links, choices: Sequence[tuple[str, drawings.Drawing]], units: System
) -> Curves:
    """The picture with its switch, the way to what else was logged, and the read-out's ends."""
    page = addresses.readings(sheet.id)
    drawn = choices[0][1].chart.curves
    speeds = [60 * float(it) for item in drawn for it in item.x[item.placed]] or [0.0]
    peak = next((found for item in drawn if item.emphasis and (found := item.peak())), None)
    return Curves(
        choices=choices,
        further=[
            (words, drawing.chart.name, links.to(page, place_of(words)))
            for words, drawing in further(sheet, units)
        ],
        build=sheet.id,
        data=links.to(addresses.readings_data(sheet.id)),
        ends=(int(min(speeds) // _STEP) * _STEP, int(-(-max(speeds) // _STEP)) * _STEP),
        start=round(60 * peak.speed) if peak and math.isfinite(peak.speed) else int(max(speeds)),
    )


def limits(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Show how near each limit is, nearest first: its bar, its figure, its words."""
    found = drawings.limit_items(sheet)
    if found:
        lines = [_limit_line(limit, item) for limit, item in found]
        finding = drawings.limits_finding([item for _, item in found])
        columns, rows = _every_limit(sheet)
        block = rendered(
            Limits(lines=lines, finding=finding, columns=columns, rows=rows, figures=figures)
        )
        yield Part("Near its limits", block)


def _every_limit(sheet: Sheet) -> tuple[list[tuple[str, Row]], list[LimitRow]]:
    """Every limit against every setup; nothing where a single setup has them in its lines."""
    named = [limit for limit in sheet.every_limit if limit.setup]
    setups = {limit.setup: limit.planned for limit in named}
    if len(setups) < 2:
        return [], []
    columns = {limit.title: limit.limit for limit in named}
    cells = {(limit.setup, limit.title): _limit_cell(limit) for limit in named}
    rows = [LimitRow(setup, planned, [cells.get((setup, title)) for title in columns])
            for setup, planned in setups.items()]  # fmt: skip
    return list(columns.items()), rows


def _limit_cell(limit: Limit) -> LimitCell:
    beyond = limit.value.scalar + (limit.value.expanded or 0.0) > limit.limit.scalar
    told = [] if limit.limit.scalar == 1.0 else [f"{100 * limit.share:.0f}{NARROW_SPACE}%"]
    told += ["estimated"] if limit.value.basis == "estimated" else []
    return LimitCell(limit.value, ", ".join(told), beyond)


def _limit_line(limit: Limit, item: LimitItem) -> LimitLine:
    return LimitLine(
        title=limit.title,
        setup=limit.setup,
        planned=limit.planned,
        estimated=limit.value.basis == "estimated",
        value=limit.value,
        limit=limit.limit,
        left=words_in_both(lambda system: left_words(item, system)),
        beyond=limit.value.scalar + (limit.value.expanded or 0.0) > limit.limit.scalar,
        bar=drawings.limit_bar(item),
    )


def air_path(sheet: Sheet, figures: Provenance, units: System) -> Iterator[Part]:
    """Show the way of the air, station by station."""
    path = sheet.air_path
    if path is None:
        return
    chart = drawings.air_path(sheet, units)
    block = rendered(AirWay(chart=chart, path=path, figures=figures))
    fold = f"Pressure and temperature at {len(path.stations)} stations"
    yield Part("The way of the air", block, fold=fold, kind="sg-rest")
