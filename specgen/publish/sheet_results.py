"""The parts of a sheet that show results: curves, ladder, limits, the way of the air."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specgen.analysis.ladder import Step
from specgen.analysis.limits import Limit
from specgen.analysis.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import fuel_words
from specgen.publish import drawings
from specgen.publish.figures import value_figure, words_in_both
from specgen.publish.page import Part
from specgen.publish.provenance import Provenance
from specgen.publish.rendering import rendered
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System


def power_and_torque(sheet: Sheet, units: System) -> Iterator[Part]:
    """Show the leading pull's curves, and boost where it was measured or can be estimated."""
    charts = [chart for chart in (drawings.power(sheet, units), drawings.boost(sheet, units))
              if chart is not None]  # fmt: skip
    if charts:
        block = rendered("charts.jinja", charts=charts)
        yield Part("Power and torque" if drawings.has_power(sheet) else "Boost", block)
    elif sheet.best and sheet.best.pull.peaks:
        words = "Only the peak figures of this test were kept: there is no curve to draw."
        yield Part("", rendered("note.jinja", words=words))


@dataclass(frozen=True, slots=True)
class _Column:
    """One column of the ladder; the drawing stands behind the `marked` one."""

    heading: str
    rows: tuple[Row | None, ...]
    bare: bool = False
    marked: bool = False

    @property
    def shown(self) -> bool:
        """Whether any step has something in it."""
        return any(row is not None and row.present for row in self.rows)


def ladder(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Print one row a setup: drive, fuel, boost measured and estimated, power, blower speed."""
    steps = sheet.ladder
    if not steps:
        return
    columns = [column for column in _columns(steps) if column.shown]
    marks = drawings.ladder_marks(steps)
    fuels = [fuel_words(step.setup.setup.fuel) for step in steps]
    lines = [
        {
            "planned": step.setup.planned,
            "title": step.setup.title,
            "note": step.setup.setup.note.value if step.setup.setup.note else "",
            "fuel": fuels[index],
            "cells": [(column, column.rows[index]) for column in columns],
            "mark": marks[index],
            "verdict": _verdict(step),
            "misfit": step.setup.id in {found.setup.id for found in sheet.diagnoses},
        }
        for index, step in enumerate(steps)
    ]
    block = rendered(
        "ladder.jinja",
        lines=lines,
        columns=columns,
        figures=figures,
        marks=any(marks),
        fuel=fuels[0] if len(set(fuels)) == 1 else "",
        unlike=sheet.unlike,
        rests_on=_rests_on(sheet),
    )
    heading = "The ladder of setups" if len(steps) > 1 else "The setup"
    yield Part(heading, block, searchable=False)


def _columns(steps: tuple[Step, ...]) -> Iterator[_Column]:
    def of_setup(key: str) -> tuple[Row | None, ...]:
        return tuple(step.setup.rows[key] for step in steps)

    boosts = any(step.estimated_boost.present for step in steps)
    yield _Column("Blower pulley", of_setup("blower_pulley"), bare=True)
    yield _Column("Ratio", of_setup("pulley_ratio"), bare=True)
    yield _Column("Boost measured", tuple(step.measured_boost for step in steps))
    yield _Column("Boost predicted", tuple(step.estimated_boost for step in steps), marked=boosts)
    yield _Column("Power observed", tuple(step.measured_power for step in steps))
    yield _Column(
        "Power predicted", tuple(step.estimated_power for step in steps), marked=not boosts
    )
    yield _Column("Highest blower speed", tuple(step.blower_speed for step in steps), bare=True)


def _verdict(step: Step) -> str:
    """Say whether the measurements lie in the predicted bands."""
    told = {"boost": step.agrees, "power": step.power_agrees}
    known = {name: agrees for name, agrees in told.items() if agrees is not None}
    if not known:
        return ""
    outside = [name for name, agrees in known.items() if not agrees]
    return f"{' and '.join(outside)} outside" if outside else "inside"


def _rests_on(sheet: Sheet) -> str:
    """Say what the predictions rest on."""
    steps = [step for step in sheet.ladder if step.estimated_boost.present
             or step.estimated_power.present]  # fmt: skip
    if not steps:
        return ""
    air = (
        "Predictions are for the air of the session in which a setup was tested; for a planned "
        "setup, of the newest session."
        if sheet.sessions
        else "Predictions are for the reference air of ISO 1585."
    )
    if not any(step.others for step in steps):
        return f"No other setup was measured, so that predictions rest on defaults. {air}"
    return (
        "Each measured setup is predicted from the pulls of the other setups alone, without its "
        f"own; a planned one from all of them. {air}"
    )


def misfits(sheet: Sheet) -> Iterator[Part]:
    """Name each pull that the rest of the build does not explain, and what could be the cause."""
    if not sheet.diagnoses:
        return
    lines = [
        {
            "setup": found.setup.title,
            "pull": found.pull,
            "figure": _FIGURES.get(found.figure, found.figure.replace("_", " ")),
            "pattern": found.pattern,
            "size": f"{found.size:.0f}",
            "speed": value_figure("engine_speed", found.speed),
            "causes": found.causes,
        }
        for found in sheet.diagnoses
    ]
    yield Part("What does not fit", rendered("misfits.jinja", lines=lines))


_FIGURES = {"inlet_pressure": "pressure before the blower"}


def limits(sheet: Sheet, figures: Provenance) -> Iterator[Part]:
    """Show how near each limit is, nearest first: a bar with the limit's tick, and the words."""
    found = sorted(sheet.limits, key=_share, reverse=True)
    if found:
        lines = [_limit_line(limit) for limit in found]
        block = rendered("limits.jinja", lines=lines, figures=figures)
        yield Part("Near its limits", block)


def _share(limit: Limit) -> float:
    """Share of a limit that is used; temperatures count from 0 °C, as the trade reads them."""
    zero = limit.value.quantity.metric.offset
    return (limit.value.scalar - zero) / (limit.limit.scalar - zero)


def _limit_line(limit: Limit) -> dict[str, object]:
    return {
        "title": limit.title,
        "setup": limit.setup,
        "planned": limit.planned,
        "estimated": limit.value.basis == "estimated",
        "value": limit.value,
        "limit": limit.limit,
        "bar": drawings.limit_bar(_share(limit)),
        "left": words_in_both(lambda system: _left(limit, system)),
        "beyond": limit.value.scalar + (limit.value.expanded or 0.0) > limit.limit.scalar,
    }


def _left(limit: Limit, system: System) -> str:
    """Say what is left: degrees of a temperature, points of a percentage, else a share.

    A value that may lie on either side of its limit is said to.
    """
    rest = limit.limit.scalar - limit.value.scalar
    if abs(rest) < (limit.value.expanded or 0.0):
        return "may be beyond"
    side = "left" if rest >= 0 else "beyond"
    shown = limit.value.quantity.unit(system)
    if limit.value.quantity.kind in ("temperature", "fraction"):
        unit = "points" if limit.value.quantity.kind == "fraction" else shown.shown
        return f"{abs(rest) / shown.factor:.0f}{NARROW_SPACE}{unit} {side}"
    return f"{abs(1 - _share(limit)) * 100:.0f}{NARROW_SPACE}% {side}"


def air_path(sheet: Sheet, figures: Provenance, units: System) -> Iterator[Part]:
    """Show the way of the air, station by station."""
    path = sheet.air_path
    if path is None:
        return
    chart = drawings.air_path(sheet, units)
    block = rendered("air_path.jinja", chart=chart, path=path, figures=figures)
    yield Part("The way of the air", block)
