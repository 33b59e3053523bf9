"""The way of the air from outside to the manifold: pressure and temperature at each station.

Estimated at each station, and beside it what the setup's best pull logged there, where it did.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import PullSheet, SetupSheet
from specgen.vocabulary import quantity


@dataclass(frozen=True, slots=True)
class Station:
    """One station with its absolute pressure and its temperature at one engine speed.

    `pressure_read` and `temperature_read` are what was measured there; None where nothing was, or
    where the figure beside it is what was measured already.
    """

    title: str
    pressure: Row
    temperature: Row
    pressure_read: Row | None = None
    temperature_read: Row | None = None


@dataclass(frozen=True, slots=True)
class AirPath:
    """All stations of one setup at one engine speed, in the order the air passes them."""

    setup: str
    at: Row
    stations: tuple[Station, ...]

    @property
    def measured(self) -> bool:
        """Whether anything was measured on the way."""
        return any(it.pressure_read or it.temperature_read for it in self.stations)


def air_path_of(setup: SetupSheet, at: Row) -> AirPath | None:
    """The stations of an estimated setup; None where nothing could be estimated."""
    rows, readings = setup.rows, _Readings(setup.best, at)
    if not rows["estimated_boost"].present:
        return None

    def read(key: str, title: str) -> Row:
        return point(rows[key], rows["speed"], at, f"path_{key}", title)

    outside, temperature = rows["estimate_pressure"], rows["estimate_temperature"]
    stations = [
        Station("Air outside", outside, temperature),
        Station(
            "Blower inlet",
            read("estimated_inlet_pressure", "Blower inlet"),
            read("estimated_intake_temperature", "Blower inlet"),
            readings.over_air("inlet_pressure_drop_curve", -1.0, "inlet_pressure", "Blower inlet"),
            readings.of("intake_temperature_curve", "Blower inlet"),
        ),
        Station(
            "Blower outlet",
            read("estimated_discharge_pressure", "Blower outlet"),
            read("estimated_discharge_temperature", "Blower outlet"),
            None,
            readings.of("discharge_temperature_curve", "Blower outlet"),
        ),
        Station(
            "Manifold",
            read("estimated_manifold_pressure", "Manifold"),
            read("estimated_charge_temperature", "Manifold"),
            readings.over_air("boost_curve", 1.0, "manifold_pressure", "Manifold"),
            readings.of("charge_temperature_curve", "Manifold"),
        ),
    ]
    known = all(item.pressure.present and item.temperature.present for item in stations)
    return AirPath(setup.title, at, tuple(stations)) if known else None


@dataclass(frozen=True, slots=True)
class _Readings:
    """What a pull logged at one engine speed."""

    pull: PullSheet | None
    at: Row

    def of(self, key: str, station: str) -> Row | None:
        """A curve's value there; None where it was not logged, or not at that speed."""
        if self.pull is None or not self.pull.rows[key].present:
            return None
        rows = self.pull.rows
        title = f"{station}, measured"
        found = point(rows[key], rows["speed_curve"], self.at, f"path_read_{key}", title)
        return found if found.present else None

    def over_air(self, key: str, sign: float, quantity_key: str, station: str) -> Row | None:
        """A difference to the air outside as an absolute pressure; None without a barometer."""
        found = self.of(key, station)
        air = self.pull.rows["station_pressure"] if self.pull is not None else None
        if found is None or air is None or not air.present:
            return None
        spread = {root: sign * float(part) for root, part in found.spread.items()}
        for root, part in air.spread.items():
            spread[root] = spread.get(root, 0.0) + float(part)
        value = air.scalar + sign * found.scalar
        kind = quantity(quantity_key)
        return replace(found, quantity=kind, value=value, spread=spread, inputs=(found, air),
                       text="", source="what was read, and the air outside")  # fmt: skip
