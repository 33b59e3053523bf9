"""Runs outside the dyno: what each implies by energy, and what of them can be compared."""

from __future__ import annotations

from dataclasses import dataclass

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.tables.outing import OUTING
from specgen.analysis.workings import Workings
from specgen.archive.model.outing import Outing
from specgen.physics import Unphysical, air

#: Air of two outings counts as the same within this share of its density.
_SAME_AIR = 0.01


@dataclass(frozen=True, eq=False)
class Run:
    """One outing with its rows; `share` is its power into motion over the dyno's, if both known."""

    outing: Outing
    rows: Scope
    density: float | None
    share: float | None


def outings_of(sheet: Workings) -> tuple[Run, ...]:
    """Every outing of a build, in the order of the file."""
    found = []
    for number, outing in enumerate(sheet.build.outings, 1):
        title = f"Outing of {outing.date.text}"
        rows = Scope(f"outing {number}", OUTING, {"outing": outing}, [sheet.engine], title=title)
        found.append(Run(outing, rows, _density(outing), _share(sheet, rows["motion_power"])))
    return tuple(found)


def same_air(runs: tuple[Run, ...]) -> bool:
    """Whether all outings ran in air that is known and alike; one alone has nothing to differ."""
    known = [run.density for run in runs if run.density is not None]
    if len(runs) < 2:
        return True
    return len(known) == len(runs) and max(known) <= min(known) * (1 + _SAME_AIR)


def _share(sheet: Workings, power: Row) -> float | None:
    dyno = sheet.best.rows["power"] if sheet.best else None
    if dyno is None or not (dyno.present and power.present):
        return None
    return power.scalar / dyno.scalar


def _density(outing: Outing) -> float | None:
    """Density of the air of a run; None where a part of it is not known."""
    given = outing.air
    if given.pressure is None or given.temperature is None or given.barometer is None:
        return None
    pressure = given.pressure.value
    humidity = given.humidity.value if given.humidity else 0.5
    try:
        if given.barometer.value == "sea-level":
            if given.elevation is None:
                return None
            pressure = float(air.station_pressure(pressure, given.elevation.value))
        return float(air.humid_air_density(pressure, given.temperature.value, humidity))
    except Unphysical:
        return None
