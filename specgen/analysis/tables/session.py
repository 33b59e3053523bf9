"""The table of rows that belong to one visit to a dyno: its air and what correction it asks for."""

from __future__ import annotations

from collections.abc import Mapping

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import (
    Default,
    Derived,
    Made,
    Output,
    Parameter,
    Rule,
    Scope,
    Stated,
    given,
)
from specgen.analysis.tables.defaults import PRACTICE, instrument
from specgen.physics import air
from specgen.physics.correction import STANDARDS, Standard

NO_CORRECTION = "none"


def _station_pressure(scope: Scope) -> Mapping[str, Row]:
    """The barometer as it stands at the station; one reduced to sea level is turned back."""
    key = "station_pressure"
    session = scope.subjects.session
    kind = session.air.barometer if session else None
    if kind is None:
        stated = scope["air_pressure"]
        reason = (
            "whether the barometer was read at the station is not recorded"
            if stated.present
            else stated.reason
        )
        return {key: scope.absent(key, "air_pressure", "Air pressure at the station", reason)}
    if kind.value == "station":
        return {key: scope["air_pressure"]}
    rule = Derived(
        (Output(key, "air_pressure", "Air pressure at the station"),),
        air.station_pressure,
        {"sea_level_pressure": "air_pressure", "elevation": "elevation"},
    )
    return rule.rows(scope)


def _factor_rule(standard: Standard) -> Derived:
    """One standard's factor from the session's air; one on total pressure leaves humidity out."""
    pressure = (
        {"dry_pressure": "dry_pressure"} if standard.dry else {"pressure": "station_pressure"}
    )
    key, title = factor_key(standard.key), f"Correction factor, {standard.title}"
    return Derived(
        (Output(key, "correction_factor", title),),
        standard.formula,
        {**pressure, "temperature": "air_temperature"},
    )


def factor_key(standard: str) -> str:
    """Key of the row that holds a standard's factor."""
    return f"factor_{standard}"


def _chosen_factor(scope: Scope) -> Mapping[str, Row]:
    """The factor of the standard in whose air this archive shows its results."""
    key = "correction_factor"
    settings = scope.subjects.settings
    standard = settings.correction.value if settings else NO_CORRECTION
    if standard == NO_CORRECTION:
        reason = "this archive shows its figures as observed"
        return {key: scope.absent(key, "correction_factor", "", reason)}
    return {key: scope[factor_key(standard)]}


#: Power at the measuring point over power at the flywheel: value, standard uncertainty, source.
DRIVE_LINE = {
    "flywheel": (1.0, 0.0, "measured at the flywheel"),
    "hub": (0.89, 0.046, "0.81 to 0.97, any drive line (Joachim, Börner and Kurz 2012)"),
    "roller": (0.85, 0.055, f"as at the wheel hubs, less the tyres; {PRACTICE}"),
    "not recorded": (0.90, 0.060, f"anywhere from the flywheel to the rollers; {PRACTICE}"),
}


def _drive_line(scope: Scope) -> Default:
    """What of the flywheel's power arrives where power was measured, as a range."""
    session = scope.subjects.session
    return Default(*DRIVE_LINE[session.dyno.measured_at.value if session else "flywheel"])


SESSION: tuple[Rule, ...] = (
    Parameter(
        "drive_line_efficiency",
        "mechanical_efficiency",
        title="Power at the measuring point over power at the flywheel",
        default=_drive_line,
    ),
    Stated(
        "air_pressure",
        "air_pressure",
        "session.air.pressure",
        title="Barometer as read",
        uncertainty=instrument("air_pressure"),
    ),
    Stated("elevation", "elevation", "session.air.elevation", title="Elevation of the station"),
    Made(("station_pressure",), _station_pressure),
    Stated(
        "air_temperature",
        "air_temperature",
        "session.air.temperature",
        title="Air temperature",
        uncertainty=instrument("temperature"),
    ),
    Stated("humidity", "humidity", "session.air.humidity", uncertainty=instrument("humidity")),
    given(
        "vapour_pressure",
        "vapour_pressure",
        air.vapour_pressure,
        temperature="air_temperature",
        relative_humidity="humidity",
    ),
    given(
        "dry_pressure",
        "dry_pressure",
        air.dry_pressure,
        pressure="station_pressure",
        temperature="air_temperature",
        relative_humidity="humidity",
    ),
    given(
        "air_density",
        "air_density",
        air.humid_air_density,
        pressure="station_pressure",
        temperature="air_temperature",
        relative_humidity="humidity",
    ),
    given("density_altitude", "height", air.density_altitude, density="air_density"),
    *(_factor_rule(standard) for standard in STANDARDS.values()),
    Made(("correction_factor",), _chosen_factor),
)
