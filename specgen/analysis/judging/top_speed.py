"""Each setup at the highest engine speed: what is estimated beside what was measured there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specgen.analysis.judging.reach import Excess, excess_of
from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import SetupSheet, Workings

#: title, row of the setup, curve of the pull; "" where no dyno records one
_FIGURES = (
    ("Boost", "boost_at_top", "boost_curve"),
    ("Air mass flow", "air_flow_at_top", "air_mass_flow_curve"),
    ("Power, observed", "power_at_top", "observed_power_curve"),
    ("Torque, observed", "torque_at_top", "observed_torque_curve"),
    ("Discharge temperature", "discharge_temperature_at_top", "discharge_temperature_curve"),
    ("Charge temperature", "charge_temperature_at_top", "charge_temperature_curve"),
    ("Blower speed", "blower_speed_at_top", "blower_speed_curve"),
    ("Power to drive the blower", "drive_power_at_top", ""),
    ("Injector duty", "injector_duty", ""),
)


@dataclass(frozen=True, slots=True)
class TopFigure:
    """One figure at the highest engine speed; `measured` is absent where no curve reaches it."""

    title: str
    estimated: Row
    measured: Row | None
    excess: Excess | None


def at_top_speed(sheet: Workings, setup: SetupSheet) -> tuple[TopFigure, ...]:
    """A setup's figures at the highest engine speed, those that are estimated or measured."""
    return tuple(_figures(sheet, setup))


def _figures(sheet: Workings, setup: SetupSheet) -> Iterator[TopFigure]:
    for title, key, curve in _FIGURES:
        estimated = setup.rows[key]
        measured = _measured(setup, key, curve, title) if curve else None
        if estimated.present or (measured is not None and measured.present):
            yield TopFigure(title, estimated, measured, excess_of(sheet, setup, key))


def _measured(setup: SetupSheet, key: str, curve: str, title: str) -> Row | None:
    """The leading pull's curve where it reaches the highest speed."""
    pull, top = setup.best, setup.rows["max_speed"]
    if pull is None or not (pull.rows[curve].present and top.present):
        return None
    words = f"{title} at the highest speed, measured"
    return point(pull.rows[curve], pull.rows["speed_curve"], top, f"measured_{key}", words)
