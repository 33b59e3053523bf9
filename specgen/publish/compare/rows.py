"""The rows of a comparison sheet: what is set side by side, in which order, and where it stands.

Each row takes its figure from the objects that a build's own sheet prints, so the two cannot
differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from specgen.analysis.judging.ladder import Step
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import (
    BOOST_CONTROLS,
    DYNOS,
    MEASURING_POINTS,
    engine_words,
    fuel_words,
    induction_words,
)
from specgen.analysis.workings import PullSheet, SetupSheet
from specgen.publish.typesetting.dates import day_words
from specgen.publish.web.handover import cell

Level = Literal["base", "pull", "step", "setup", "session", "build"]


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the comparison: `find` takes its figure or its words from an object of `level`.

    A line of level "base" is remade for every base of the comparison from a pull's rows.
    `quantity` is the vocabulary's key, empty for words.
    """

    key: str
    title: str
    level: Level
    quantity: str
    find: Callable[[Any], Row | str | None]


def _figure(key: str, title: str, level: Level, quantity: str, name: str = "") -> Line:
    """A figure that stands as a row in the scope of its object."""

    def find(part: Any) -> Row | None:
        rows = part if level == "base" else part.engine if level == "build" else part.rows
        row: Row = rows[name or key]
        return row

    return Line(key, title, level, quantity, find)


def _words(key: str, title: str, level: Level, find: Callable[[Any], str | None]) -> Line:
    return Line(key, title, level, "", find)


def _standing(rows: Any) -> str:
    """What the figures are, in the words of a sheet."""
    return str(rows["power"].standing or rows["torque"].standing)


def _dyno(pull: PullSheet) -> str:
    session = pull.session
    note = f" ({session.dyno.note.value})" if session.dyno.note else ""
    return DYNOS[session.dyno.kind.value] + note


def _control(sheet: Sheet) -> str | None:
    given = sheet.build.induction.boost_control
    return BOOST_CONTROLS.get(given.value, given.value) if given else None


def _cooler(sheet: Sheet) -> str | None:
    cooler = sheet.build.induction.charge_cooler
    if cooler is None:
        return "none recorded" if sheet.build.induction.natural is None else None
    return cooler.kind.value.replace("-", " ") if cooler.kind else "fitted"


def _effectiveness(sheet: Sheet) -> Row | None:
    cooler = sheet.build.induction.charge_cooler
    return sheet.engine["effectiveness"] if cooler and cooler.effectiveness else None


def _blower(sheet: Sheet) -> str | None:
    turbo = sheet.build.induction.turbocharger
    return sheet.blower.title.value if sheet.blower else turbo.title.value if turbo else None


def _induction(sheet: Sheet) -> str:
    return induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None)


def _valves(sheet: Sheet) -> str | None:
    count = sheet.build.engine.valves_per_cylinder
    return str(count.value) if count else None


def _mount(sheet: Sheet) -> str | None:
    return sheet.build.engine.mount.value if sheet.build.engine.mount else None


def _ignition(setup: SetupSheet) -> str | None:
    return setup.setup.ignition.value if setup.setup.ignition else None


def _step(name: str) -> Callable[[Any], Row | None]:
    def find(step: Step) -> Row | None:
        row: Row | None = getattr(step, name)
        return row

    return find


#: Every row in the order of the page, under the heading of its group.
GROUPS: tuple[tuple[str, tuple[Line, ...]], ...] = (
    (
        "What it made",
        (
            _figure("power", "Power", "base", "power"),
            _figure("power_speed", "at engine speed", "pull", "engine_speed"),
            _figure("torque", "Torque", "base", "torque"),
            Line("torque_speed", "at engine speed", "pull", "engine_speed",
                 lambda pull: pull.rows["torque"].at),
            _figure("specific_power", "Power per litre", "base", "specific_power"),
            _figure("mean_pressure", "Brake mean effective pressure", "base", "mean_pressure"),
            _figure("boost", "Boost, highest", "pull", "boost"),
            _figure("charge_temperature", "Charge temperature, highest", "pull",
                    "charge_temperature"),
            _figure("fuel_consumption", "Brake specific fuel consumption", "pull",
                    "fuel_consumption"),
            _figure("thermal_efficiency", "Brake thermal efficiency", "pull",
                    "thermal_efficiency"),
        ),
    ),
    (
        "How it was measured",
        (
            _words("standing", "The figures are", "base", _standing),
            _words("place", "Power measured", "pull",
                   lambda pull: MEASURING_POINTS[pull.session.dyno.measured_at.value]),
            _words("dyno", "Dyno", "pull", _dyno),
            _words("date", "Date", "pull", lambda pull: day_words(pull.session.date.value)),
            _figure("station_pressure", "Air pressure at the station", "pull", "air_pressure"),
            _figure("air_temperature", "Air temperature", "pull", "air_temperature"),
            _figure("humidity", "Relative humidity", "pull", "humidity"),
            _figure("density_altitude", "Density altitude", "pull", "height"),
        ),
    ),
    (
        "Estimated from the other setups, not measured",
        (
            Line("estimated_boost", "Boost", "step", "boost", _step("estimated_boost")),
            Line("estimated_power", "Power as observed", "step", "power",
                 _step("estimated_power")),
        ),
    ),
    (
        "Fuel and ignition",
        (
            _words("fuel", "Fuel", "setup", lambda setup: fuel_words(setup.setup.fuel)),
            _figure("mixture", "Lambda under full load", "setup", "lambda"),
            _words("ignition", "Ignition", "setup", _ignition),
            _figure("injector_rated_flow", "Injector flow, each", "build", "injector_flow"),
            _figure("injector_count", "Injectors", "build", "count"),
            _figure("injector_duty", "Injector duty at the highest speed, estimated", "setup",
                    "injector_duty"),
        ),
    ),
    (
        "Induction and drive",
        (
            _words("induction", "Induction", "build", _induction),
            _words("blower", "Blower or turbocharger", "build", _blower),
            _figure("blower_displacement", "Blower displacement per revolution", "build",
                    "blower_displacement"),
            _figure("crank_pulley", "Crank pulley", "setup", "pulley_diameter"),
            _figure("blower_pulley", "Blower pulley", "setup", "pulley_diameter"),
            _figure("pitch_ratio", "Drive ratio, blower to crank", "setup", "pulley_ratio"),
            _figure("blower_speed_at_top", "Blower speed at the highest engine speed", "setup",
                    "blower_speed"),
            _words("boost_control", "Boost is", "build", _control),
            _words("charge_cooler", "Charge cooler", "build", _cooler),
            Line("effectiveness", "Its effectiveness", "build", "effectiveness", _effectiveness),
        ),
    ),
    (
        "Engine",
        (
            _words("layout", "Layout", "build", lambda sheet: engine_words(sheet.build)),
            _figure("swept_volume", "Swept volume", "build", "swept_volume"),
            _figure("bore", "Bore", "build", "bore"),
            _figure("stroke", "Stroke", "build", "stroke"),
            _figure("compression_ratio", "Compression ratio", "build", "compression_ratio"),
            _words("valves", "Valves a cylinder", "build", _valves),
            _figure("max_speed", "Highest engine speed", "build", "engine_speed"),
            _figure("piston_speed", "Mean piston speed there", "build", "piston_speed"),
            _words("mount", "Blower mount", "build", _mount),
        ),
    ),
)  # fmt: skip


def lines(level: Level) -> Iterator[Line]:
    """All lines of one level, in the order of the page."""
    return (line for _, members in GROUPS for line in members if line.level == level)


def cells(level: Level, part: Any) -> dict[str, str]:
    """The texts of one object by the lines' keys; what is not there is left out."""
    found = ((line.key, cell(line.find(part))) for line in lines(level))
    return {key: text for key, text in found if text is not None}
