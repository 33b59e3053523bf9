"""From air and fuel to power: what burns, what knock takes back, what friction and drive take.

Works on the balance of the air, which none of it moves. All SI, curves over engine speed.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np

from specgen.analysis.rows.row import Array, Value
from specgen.analysis.shapes import bend, shape_of
from specgen.physics import air, engine, fuel, knock
from specgen.physics.matching import Match

#: Temperature of the charge to which the cooling by evaporating fuel is referred [K].
_CHARGE = 340.0

#: Manifold pressure at which the indicated efficiency is stated.
_PRESSURE = 100e3


def evaporation(values: dict[str, Any]) -> Value:
    """What fuel that evaporates before the valves adds to breathing, by cooling the charge.

    One where the fuel is not known. A share of the fuel's latent heat is taken from the air; the
    engine swallows the colder, denser charge, as if it breathed better.
    """
    if "latent_heat" not in values:
        return 1.0
    air_fuel_ratio = fuel.air_fuel_ratio(values["mixture"], values["stoichiometric_ratio"])
    cooled = values["evaporation_share"] * values["latent_heat"] / (air_fuel_ratio * air.CP_AIR)
    return np.asarray(1 + cooled / _CHARGE)


def octane_asked(values: dict[str, Any], match: Match) -> Array:
    """Octane that the engine asks for with its best spark, over speed."""
    chilled = match.charge_temperature * (2 - evaporation(values))
    asked = knock.octane_needed(
        match.manifold_pressure,
        chilled,
        values.get("compression_ratio", knock.USUAL_COMPRESSION),
        values["octane_need"],
        values["octane_slope"] * knock.PER_PRESSURE,
        values["speed"],
        values["octane_fall"],
    )
    return np.asarray(asked)


def spark_taken_back(values: dict[str, Any], match: Match) -> Array:
    """Ignition [rad] that the engine asks to be taken back, by octane asked for beyond the fuel's.

    Logged or not, somebody tunes for it: what is missing in octane is taken as late spark.
    """
    missing = octane_asked(values, match) - values["octane"]
    return np.asarray(knock.spark_taken_back(missing))


def ignition_advance(values: dict[str, Any], match: Match) -> Array:
    """Ignition [rad] that somebody sets who tunes for most torque, short of knock."""
    best = knock.best_spark(
        values["speed"],
        match.manifold_pressure,
        values["best_spark"],
        values["best_spark_speed"],
        values["best_spark_pressure"],
    )
    return np.asarray(best - spark_taken_back(values, match))


def fuel_fed(values: dict[str, Any], match: Match, mixture: Value) -> Array:
    """Mass of fuel in a second at a mixture: lambda counts the dry air alone."""
    dry = 1 + air.humidity_ratio(
        values["pressure"], values["temperature"], values["relative_humidity"]
    )
    air_fuel_ratio = fuel.air_fuel_ratio(mixture, values["stoichiometric_ratio"])
    return np.asarray(fuel.fuel_mass_flow(match.mass_flow / dry, air_fuel_ratio))


def brake(values: dict[str, Any], match: Match) -> Array:
    """Power at the measuring point: heat of the fuel that burns, less friction, less the drive.

    Fuel beyond what the air burns gives no heat, and vapour in the air burns nothing: oxygen goes
    with the dry share (Brooks and Garlock, NACA). The indicated efficiency goes with a small power
    of the manifold pressure, and falls with the spark that knock takes back. Boost pushes the
    pistons down on the intake stroke: the gain of (p2 - p1) V of the textbook method, less what
    valves and exhaust take of it.
    """
    burnt = fuel_fed(values, match, np.maximum(values["mixture"], 1.0))
    efficiency = (
        values["indicated_efficiency"]
        * values["fuel_factor"]
        * (1 + bend(values["speed"] / values["max_speed"], shape_of(values, "burning")))
    )
    efficiency = efficiency * (match.manifold_pressure / _PRESSURE) ** values["boost_exponent"]
    late = np.nan_to_num(spark_taken_back(values, match))
    efficiency = efficiency * knock.late_efficiency(late, np.maximum(values["knock_cost"], 0.0))
    pistons = engine.mean_piston_speed(values["stroke"], values["speed"])
    friction = engine.power_from_mean_pressure(
        engine.friction_mean_pressure(pistons) * values["friction_share"],
        values["swept_volume"],
        values["speed"],
    )
    efficiency = np.clip(np.where(np.isnan(efficiency), 0.0, efficiency), 0.0, 1.0)
    known = np.where(np.isnan(burnt), 0.0, burnt)
    power = engine.brake_power(
        known, values["heating_value"], efficiency, friction, match.drive_power
    )
    power = power + values["gas_exchange_share"] * engine.power_from_mean_pressure(
        match.manifold_pressure - values["pressure"], values["swept_volume"], values["speed"]
    )
    point = values["drive_line_efficiency"] * (1 + values["power_allowance"])
    return np.asarray(np.where(np.isnan(burnt), np.nan, power * point))


def brake_again(values: dict[str, Any], match: Match, points: int) -> Array:
    """Power for many cases on the balance of the first: that of its first `points` speeds.

    Right where the cases differ in nothing that the balance rests on.
    """
    cases = len(values["speed"]) // points
    same: dict[str, Any] = {
        item.name: np.tile(array[:points], cases)
        for item in fields(match)
        if isinstance(array := getattr(match, item.name), np.ndarray)
    }
    values = {**values, "relative_humidity": np.clip(values["relative_humidity"], 0.0, 1.0)}
    return brake(values, replace(match, **same))
