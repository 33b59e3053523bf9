"""The way of the air from outside to the manifold: pressure and temperature at each station."""

from __future__ import annotations

from dataclasses import dataclass

from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import SetupSheet


@dataclass(frozen=True, slots=True)
class Station:
    """One station with its absolute pressure and its temperature at one engine speed."""

    title: str
    pressure: Row
    temperature: Row


@dataclass(frozen=True, slots=True)
class AirPath:
    """All stations of one setup at one engine speed, in the order the air passes them."""

    setup: str
    at: Row
    stations: tuple[Station, ...]


def air_path_of(setup: SetupSheet, at: Row) -> AirPath | None:
    """The stations of an estimated setup; None where nothing could be estimated."""
    rows = setup.rows
    if not rows["estimated_boost"].present:
        return None

    def read(key: str, title: str) -> Row:
        return point(rows[key], rows["speed"], at, f"path_{key}", title)

    outside, temperature = rows["estimate_pressure"], rows["estimate_temperature"]
    stations = [
        Station("Air outside", outside, temperature),
        Station("Blower inlet", read("estimated_inlet_pressure", "Blower inlet"), temperature),
        Station(
            "Blower outlet",
            read("estimated_discharge_pressure", "Blower outlet"),
            read("estimated_discharge_temperature", "Blower outlet"),
        ),
        Station(
            "Manifold",
            read("estimated_manifold_pressure", "Manifold"),
            read("estimated_charge_temperature", "Manifold"),
        ),
    ]
    known = all(item.pressure.present and item.temperature.present for item in stations)
    return AirPath(setup.title, at, tuple(stations)) if known else None
