"""What a dyno leaves behind: a curve file, or peak figures on paper."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tests.generator.dyno import Sweep
from tests.generator.gas import Array


@dataclass(frozen=True, slots=True)
class Column:
    """How a channel is written: shown = SI * factor + offset, with so many decimals."""

    channel: str
    factor: float = 1.0
    offset: float = 0.0
    decimals: int = 1


_HP = 745.6998715822702
_PS = 735.49875
_LB_FT = 1.3558179483314003
_PSI = 6894.757293168361

#: Conversions are exact by definition of the units.
COLUMNS: dict[str, Column] = {
    "engine speed [rpm]": Column("engine_speed", 60.0, 0.0, 0),
    "torque [N m]": Column("torque"),
    "torque [lb ft]": Column("torque", 1 / _LB_FT),
    "power [kW]": Column("power", 1e-3),
    "power [hp]": Column("power", 1 / _HP),
    "power [PS]": Column("power", 1 / _PS),
    "boost [kPa]": Column("boost", 1e-3),
    "boost [psi]": Column("boost", 1 / _PSI, 0.0, 2),
    "boost [bar]": Column("boost", 1e-5, 0.0, 2),
    "manifold pressure [kPa]": Column("manifold_pressure", 1e-3),
    "inlet pressure drop [kPa]": Column("inlet_pressure_drop", 1e-3, 0.0, 2),
    "intake temperature [degC]": Column("intake_temperature", 1.0, -273.15, 0),
    "intake temperature [degF]": Column("intake_temperature", 1.8, -459.67, 0),
    "discharge temperature [degC]": Column("discharge_temperature", 1.0, -273.15, 0),
    "charge temperature [degC]": Column("charge_temperature", 1.0, -273.15, 0),
    "charge temperature [degF]": Column("charge_temperature", 1.8, -459.67, 0),
    "blower speed [rpm]": Column("blower_speed", 60.0, 0.0, -1),
    "air flow [kg/h]": Column("air_mass_flow", 3600.0, 0.0, 0),
    "fuel flow [kg/h]": Column("fuel_mass_flow", 3600.0),
    "lambda": Column("lambda", 1.0, 0.0, 2),
    "air-fuel ratio": Column("air_fuel_ratio", 1.0, 0.0, 1),
    "ignition advance [deg]": Column("ignition_advance", 1.0, 0.0, 1),
}


def channel(sweep: Sweep, header: str) -> Array:
    """Values of a column in the unit of its header, as the dyno read them."""
    column = COLUMNS[header]
    known = column.channel == "engine_speed"
    values = sweep.engine_speed if known else sweep.measured[column.channel]
    return np.asarray(values * column.factor + column.offset)


def curve_file(
    sweep: Sweep, headers: Sequence[str], silent: Mapping[str, tuple[float, float]]
) -> str:
    """Text of a curve file; `silent` names columns and the speeds [rpm] they missed."""
    shown = [[_cell(value, header) for value in channel(sweep, header)] for header in headers]
    rpm = np.round(sweep.engine_speed * 60)
    for header, (low, high) in silent.items():
        index = list(headers).index(header)
        missed = (rpm >= low) & (rpm <= high)
        cells = zip(shown[index], missed, strict=True)
        shown[index] = ["" if gone else cell for cell, gone in cells]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(headers)
    writer.writerows(zip(*shown, strict=True))
    return text.getvalue()


def _cell(value: float, header: str) -> str:
    return _number(value, COLUMNS[header].decimals)


def _number(value: float, decimals: int) -> str:
    rounded = round(value, decimals)
    return f"{0.0 if rounded == 0 else rounded:.{max(decimals, 0)}f}"


def peaks(sweep: Sweep, headers: Sequence[str]) -> dict[str, str]:
    """Peak figures as a person notes them, by key of the file format.

    Power, torque and boost are those of the running mean with their speed to 50 rpm; a charge
    temperature is the highest, without its speed.
    """
    noted: dict[str, str] = {}
    for header in headers:
        values = channel(sweep, header)
        at = int(np.argmax(values))
        key = COLUMNS[header].channel
        unit = header.partition("[")[2].rstrip("]")
        decimals = 1 if unit in ("psi", "bar") else 0
        speed = round(sweep.engine_speed[at] * 60 / 50) * 50
        text = f"{_number(float(values[at]), decimals)} {unit}"
        noted[key] = text if key.endswith("temperature") else f"{text} at {speed} rpm"
    return noted
