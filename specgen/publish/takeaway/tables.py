"""The tables of the data package, and what one build adds to each.

A subject of a line is a pair: the build's sheet, and the one of its parts that the line is about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from specgen.analysis.record.clearances import Clearance
from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import fuel_words
from specgen.analysis.workings import PullSheet, SessionSheet
from specgen.archive.model.given import Given
from specgen.publish.takeaway.columns import (
    CURVE_DIGITS,
    Cell,
    Column,
    Table,
    count,
    csv_line,
    day,
    figure,
    named,
    plain,
    si_unit,
    text,
    written,
    yes,
)


def word(given: Given[Any] | None) -> str | None:
    """What was written, where it was."""
    return None if given is None else str(given.value)


_BUILD = text("build", "the build's id", lambda it: it[0].id)


def _of_best(key: str) -> Callable[[Sheet], Row | None]:
    return lambda sheet: sheet.best.rows[key] if sheet.best else None


def _builds(sheet: Sheet) -> Iterator[tuple[Sheet, Sheet]]:
    yield sheet, sheet


def _headline(name: str, key: str, quantity_key: str, words: str) -> tuple[Column, Column]:
    return figure(name, quantity_key, words, lambda it: _of_best(key)(it[0]))


BUILDS = Table(
    "builds",
    "Builds",
    "One line a build, with the figures that its sheet leads with.",
    (
        _BUILD,
        text("title", "what its sheet is called", lambda it: it[0].build.title.value),
        text("summary", "in its owner's words", lambda it: word(it[0].build.summary)),
        count("cylinders", "number of cylinders", lambda it: it[0].build.engine.cylinders.value),
        text("layout", "how they stand", lambda it: word(it[0].build.engine.layout)),
        plain("bore", "bore", "bore of a cylinder", lambda it: it[0].engine["bore"]),
        plain("stroke", "stroke", "stroke of a piston", lambda it: it[0].engine["stroke"]),
        plain("swept volume", "swept_volume", "of all cylinders",
              lambda it: it[0].engine["swept_volume"]),
        plain("compression ratio", "compression_ratio", "geometric",
              lambda it: it[0].engine["compression_ratio"]),
        text("blower", "id of its blower", lambda it: word(it[0].build.induction.blower)),
        text("blower kind", "how the blower moves air",
             lambda it: word(it[0].blower.kind) if it[0].blower else None),
        text("best pull", "the pull that its sheet leads with",
             lambda it: it[0].best.id if it[0].best else None),
        *_headline("power", "power", "power", "its highest power, as the sheet shows it"),
        text("power standing", "observed, corrected or as reported",
             lambda it: it[0].best.rows["power"].state if it[0].best else None),
        *_headline("torque", "torque", "torque", "highest torque of that pull"),
        *_headline("boost", "boost", "boost", "highest boost of that pull"),
        *_headline("specific power", "specific_power", "specific_power",
                   "power for each volume swept"),
        text("measured at", "where on the drive line power was measured",
             lambda it: it[0].best.session.dyno.measured_at.value if it[0].best else None),
        day("tested", "the day of that pull",
            lambda it: it[0].best.session.when if it[0].best else None),
        day("withdrawn on", "since when it no longer counts",
            lambda it: it[0].build.withdrawn.on.value if it[0].build.withdrawn else None),
        text("withdrawn because", "why it no longer counts",
             lambda it: word(it[0].build.withdrawn.because) if it[0].build.withdrawn else None),
        yes("invented", "whether the data is made up",
            lambda it: it[0].archive.settings.invented is not None),
    ),
    ("build",),
    _builds,
)  # fmt: skip


def _steps(sheet: Sheet) -> Iterator[tuple[Sheet, Any]]:
    yield from ((sheet, step) for step in sheet.ladder)


SETUPS = Table(
    "setups",
    "Setups",
    "One line a setup, tried or planned: what was measured, and what the other setups predict.",
    (
        _BUILD,
        text("setup", "the setup's id", lambda it: it[1].setup.id),
        text("title", "what its sheet calls it", lambda it: it[1].setup.title),
        yes("planned", "whether no pull was made with it", lambda it: it[1].setup.planned),
        plain("crank pulley", "pulley_diameter", "outer diameter",
              lambda it: it[1].setup.rows["crank_pulley"]),
        plain("blower pulley", "pulley_diameter", "outer diameter",
              lambda it: it[1].setup.rows["blower_pulley"]),
        *figure("drive ratio", "pulley_ratio", "blower to crank, by pitch diameters",
                lambda it: it[1].setup.rows["pitch_ratio"]),
        text("fuel", "in words", lambda it: fuel_words(it[1].setup.setup.fuel)),
        plain("lambda", "lambda", "mixture, one is chemically correct",
              lambda it: it[1].setup.rows["mixture"]),
        text("pull", "the pull with the highest power", lambda it: it[1].pull and it[1].pull.id),
        *figure("boost measured", "boost", "highest of that pull", lambda it: it[1].measured_boost),
        *figure("boost predicted", "boost", "from the other setups alone",
                lambda it: it[1].estimated_boost),
        *figure("power measured", "power", "observed, highest of that pull",
                lambda it: it[1].measured_power),
        *figure("power predicted", "power", "from the other setups alone",
                lambda it: it[1].estimated_power),
        count("others", "how many pulls of other setups the prediction rests on",
              lambda it: it[1].others),
        plain("blower speed", "blower_speed", "highest", lambda it: it[1].blower_speed),
    ),
    ("build", "setup"),
    _steps,
    ((("build",), "builds"),),
)  # fmt: skip


def _sessions(sheet: Sheet) -> Iterator[tuple[Sheet, SessionSheet, int]]:
    for number, session in enumerate(sheet.sessions, 1):
        yield sheet, session, number


def _air(name: str, key: str, quantity_key: str, words: str) -> tuple[Column, Column]:
    return figure(name, quantity_key, words, lambda it: it[1].rows[key])


SESSIONS = Table(
    "sessions",
    "Sessions",
    "One line a visit to a dyno: its air, and what its figures already included.",
    (
        _BUILD,
        count("session", "its place in the build's file, from one", lambda it: it[2]),
        day("date", "the day", lambda it: it[1].session.when),
        text("title", "what it was about", lambda it: word(it[1].session.title)),
        text("dyno", "kind of dyno", lambda it: it[1].session.dyno.kind.value),
        text("measured at", "where on the drive line power was measured",
             lambda it: it[1].session.dyno.measured_at.value),
        text("figures", "what was done to them before they were written down",
             lambda it: it[1].session.figures.state),
        text("standard", "the standard that they were corrected to",
             lambda it: word(it[1].session.figures.standard)),
        *_air("air pressure", "air_pressure", "air_pressure", "as read"),
        *_air("air temperature", "air_temperature", "air_temperature", "at the inlet"),
        *_air("humidity", "humidity", "humidity", "relative, one is saturated"),
        *_air("dry pressure", "dry_pressure", "dry_pressure", "pressure of the dry air"),
        *_air("air density", "air_density", "air_density", "of the moist air"),
        day("withdrawn on", "since when it no longer counts", lambda it: _withdrawn(it[1])[0]),
        text("withdrawn because", "why it no longer counts", lambda it: _withdrawn(it[1])[1]),
    ),
    ("build", "session"),
    _sessions,
    ((("build",), "builds"),),
)  # fmt: skip


def _withdrawn(session: SessionSheet) -> tuple[Any, str | None]:
    found = session.session.withdrawn
    return (found.on.value, found.because.value) if found else (None, None)


def _pulls(sheet: Sheet) -> Iterator[tuple[Sheet, PullSheet, int]]:
    for number, session in enumerate(sheet.sessions, 1):
        yield from ((sheet, pull, number) for pull in (*session.pulls, *session.withdrawn))


def _peak(name: str, key: str, quantity_key: str, words: str) -> tuple[Column, ...]:
    """A peak with its doubt, and the engine speed that it stands at."""

    def at(it: tuple[Sheet, PullSheet, int]) -> Row | None:
        row = it[1].rows[key]
        return row.at if row.present else None

    return (
        *figure(name, quantity_key, words, lambda it: it[1].rows[key]),
        plain(f"{name} speed", "engine_speed", f"{words}: the engine speed of it", at),
    )


def _recorded(it: tuple[Sheet, PullSheet, int]) -> str:
    """Which of power and torque were written down; the other follows from it and the speed."""
    rows = it[1].rows
    if not rows["speed_curve"].is_curve:
        return "peaks"
    both = rows["torque_column"].is_curve and rows["power_column"].is_curve
    return "both" if both else "torque" if rows["torque_column"].is_curve else "power"


def _counts_no_more(it: tuple[Sheet, PullSheet, int]) -> bool:
    return it[1] in it[0].withdrawn


PULLS = Table(
    "pulls",
    "Pulls",
    "One line a sweep: its peaks as reported, as observed and in the archive's standard air.",
    (
        _BUILD,
        text("pull", "the pull's id", lambda it: it[1].id),
        count("session", "the session's place in the build's file", lambda it: it[2]),
        text("setup", "the setup that it was made with", lambda it: it[1].setup.id),
        yes("withdrawn", "whether it no longer counts", _counts_no_more),
        text("recorded", "what was written down over speed: torque, power or both; or peaks only",
             _recorded),
        *_peak("power reported", "reported_power", "power", "highest, as reported"),
        *_peak("power observed", "observed_power", "power", "highest, in the air of the day"),
        *_peak("power corrected", "corrected_power", "power", "highest, in standard air"),
        *_peak("torque observed", "observed_torque", "torque", "highest, in the air of the day"),
        *_peak("torque corrected", "corrected_torque", "torque", "highest, in standard air"),
        *_peak("boost", "boost", "boost", "highest"),
        *_peak("charge temperature", "charge_temperature", "charge_temperature", "highest"),
        plain("correction factor", "correction_factor", "to the archive's standard",
              lambda it: it[1].rows["correction_factor"]),
        text("note", "as written", lambda it: word(it[1].pull.note)),
    ),
    ("build", "pull"),
    _pulls,
    ((("build",), "builds"), (("build", "session"), "sessions"), (("build", "setup"), "setups")),
)  # fmt: skip

#: Curves of a pull: the key of the row, the quantity, and what it is.
CURVES = (
    ("speed_curve", "engine_speed", "engine speed"),
    ("reported_torque_curve", "torque", "torque as reported"),
    ("reported_power_curve", "power", "power as reported"),
    ("observed_torque_curve", "torque", "torque in the air of the day"),
    ("observed_power_curve", "power", "power in the air of the day"),
    ("corrected_torque_curve", "torque", "torque in standard air"),
    ("corrected_power_curve", "power", "power in standard air"),
    ("boost_curve", "boost", "boost"),
    ("manifold_pressure_curve", "manifold_pressure", "manifold pressure, absolute"),
    ("lambda_curve", "lambda", "mixture"),
    ("air_fuel_ratio_curve", "air_fuel_ratio", "air-fuel ratio"),
    ("intake_temperature_curve", "intake_temperature", "temperature before the blower"),
    ("discharge_temperature_curve", "discharge_temperature", "temperature behind the blower"),
    ("charge_temperature_curve", "charge_temperature", "temperature in the manifold"),
    ("coolant_temperature_curve", "coolant_temperature", "temperature of the coolant"),
    ("blower_speed_curve", "blower_speed", "blower speed"),
    ("inlet_pressure_drop_curve", "inlet_pressure_drop", "pressure lost before the blower"),
    ("fuel_mass_flow_curve", "fuel_mass_flow", "fuel flow"),
    ("air_mass_flow_curve", "air_mass_flow", "air flow"),
    ("ignition_advance_curve", "ignition_advance", "ignition before top dead centre"),
)


def _points(sheet: Sheet) -> Iterator[tuple[Sheet, PullSheet, int, Mapping[str, Any]]]:
    for pull in (*sheet.pulls, *sheet.withdrawn):
        if not pull.rows["speed_curve"].is_curve:
            continue
        curves = {key: _curve(pull.rows, key) for key, _, _ in CURVES}
        for point in range(len(pull.rows["speed_curve"].curve)):
            yield sheet, pull, point, curves


def _curve(scope: Scope, key: str) -> Any:
    row = scope[key]
    return row.curve if row.is_curve else None


def _read(key: str) -> Callable[[Any], Cell]:
    def of(it: tuple[Sheet, PullSheet, int, Mapping[str, Any]]) -> Cell:
        curve = it[3][key]
        return None if curve is None else float(curve[it[2]])

    return of


def _curve_name(key: str, quantity_key: str) -> str:
    plain_key = "engine speed" if key == "speed_curve" else key.removesuffix("_curve")
    return named(plain_key.replace("_", " "), quantity_key)


POINTS = Table(
    "curves",
    "Curves",
    "One line a point of a sweep, in the order of engine speed.",
    (
        _BUILD,
        text("pull", "the pull's id", lambda it: it[1].id),
        count("point", "its place in the curve, from one", lambda it: it[2] + 1),
        *(
            Column(_curve_name(key, shown), "number", words, _read(key), CURVE_DIGITS)
            for key, shown, words in CURVES
        ),
    ),
    ("build", "pull", "point"),
    _points,
    ((("build", "pull"), "pulls"),),
)


def _parts(sheet: Sheet) -> Iterator[tuple[Sheet, Any, int]]:
    lines = sheet.record.parts.lines if sheet.record else ()
    yield from ((sheet, line, number) for number, line in enumerate(lines, 1))


PARTS = Table(
    "parts",
    "Parts",
    "One line of a build's parts list.",
    (
        _BUILD,
        count("line", "its place in the list, from one", lambda it: it[2]),
        text("group", "heading", lambda it: word(it[1].part.group)),
        text("item", "what it is", lambda it: it[1].part.item.value),
        count("count", "how many",
              lambda it: it[1].part.quantity.value if it[1].part.quantity else None),
        text("maker number", "the maker's number of it", lambda it: word(it[1].part.maker_number)),
        text("serial", "its own number", lambda it: word(it[1].part.serial)),
        day("fitted", "when it went in", lambda it: it[1].fitted),
        day("removed", "when it came out", lambda it: it[1].removed),
        text("replaces", "what it went in for", lambda it: word(it[1].part.replaces)),
        text("note", "as written", lambda it: word(it[1].part.note)),
    ),
    ("build", "line"),
    _parts,
    ((("build",), "builds"),),
)  # fmt: skip


def _readings(sheet: Sheet) -> Iterator[tuple[Sheet, Clearance, int]]:
    found = sheet.record.clearances if sheet.record else ()
    yield from ((sheet, item, number) for number, item in enumerate(found, 1))


def _unit(it: tuple[Sheet, Clearance, int]) -> str:
    return si_unit(it[1].measured.quantity.key)


def _scalar(row: Row | None) -> float | None:
    return row.scalar if row is not None and row.present else None


CLEARANCES = Table(
    "clearances",
    "Clearances",
    "One line a clearance or load: what was measured against its limits.",
    (
        _BUILD,
        count("line", "its place among the build's readings, from one", lambda it: it[2]),
        text("what", "what was measured", lambda it: it[1].what),
        text("where", "where", lambda it: it[1].where or None),
        text("unit", "the unit of the three figures, SI", _unit),
        Column("measured", "number", "the reading", lambda it: _scalar(it[1].measured)),
        Column("least", "number", "the lower limit", lambda it: _scalar(it[1].low)),
        Column("most", "number", "the upper limit", lambda it: _scalar(it[1].high)),
        text("verdict", "how it stands", lambda it: it[1].verdict),
        day("date", "when it was read", lambda it: it[1].date),
    ),
    ("build", "line"),
    _readings,
    ((("build",), "builds"),),
)

TABLES = (BUILDS, SETUPS, SESSIONS, PULLS, POINTS, PARTS, CLEARANCES)


def heading(table: Table) -> str:
    """The first line of a table's file."""
    return csv_line([column.name for column in table.columns])


def lines_of(table: Table, sheet: Sheet) -> str:
    """What one build adds to a table, as lines of CSV; nothing else of the archive is asked."""
    return "".join(
        csv_line([written(column.of(it), column.digits) for column in table.columns])
        for it in table.lines(sheet)
    )
