"""The model of an engine on its blower, from parameters to every estimated figure over speed.

One function, `estimate`, serves the rows of a sheet and the fit alike, so that a prediction is
made by the very model that was fitted. Curves are over engine speed; every other parameter is
one value or one for each of the speeds. All SI.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from specgen.analysis.burning import (
    brake,
    evaporation,
    fuel_fed,
    ignition_advance,
    octane_asked,
    spark_taken_back,
)
from specgen.analysis.rows.row import Value
from specgen.analysis.shapes import KNOTS, bend, shape_of
from specgen.physics import Unphysical, air, charge, engine, map_matching, matching
from specgen.physics.map_matching import MappedImpeller, MappedSupply
from specgen.physics.matching import Cooler, Demand, Inlet, Match, Supply

Kind = Literal["displacement", "centrifugal", "map", "centrifugal-map", "natural"]

#: Kinds that read the blower off its measured map.
MAPPED: tuple[Kind, ...] = ("map", "centrifugal-map")

#: Share of the best volumetric efficiency lost at no speed, or at twice the best speed.
_FALL = 0.16

#: Parameters that power alone rests on: they move nothing in the balance of the air.
POWER_ALONE = {
    "indicated_efficiency",
    "fuel_factor",
    "boost_exponent",
    "octane_need",
    "octane_slope",
    "octane_fall",
    "knock_cost",
    "gas_exchange_share",
    "friction_share",
    "drive_line_efficiency",
    *(f"burning_{index + 1}" for index in range(len(KNOTS))),
}

#: Parameters of power that say too where the spark stands.
SPARK = {"octane_need", "octane_slope", "octane_fall"}

#: Temperature of the charge to which breathing is referred, whatever the day: 25 °C [K].
_BREATHED = 298.15


@dataclass(frozen=True, slots=True, eq=False)
class Losses:
    """Pressure lost before and behind the blower at one engine speed, and the cooler.

    The losses go with the square of the mass flow; the reference is the flow at
    `reference_speed` with `reference_ratio`, the drive's own pulleys.
    """

    inlet_drop: Value
    cooler_drop: Value
    effectiveness: Value
    reference_speed: Value
    reference_ratio: Value
    intake_warming: Value
    cooler_exponent: Value
    coolant_temperature: Value | None = None

    def around(
        self, pressure: Value, temperature: Value, humidity: Value, flow: Value, share: Value
    ) -> tuple[Inlet, Cooler]:
        """The way to the blower, and the charge cooler behind it.

        `flow` is the volume flow of the reference, in the air outside, to which the cooler's loss
        is referred too, `share` the flow at each speed over it, as near as it is known before the
        solution. The charge is denser behind the blower by what is not known either; the stated
        loss is a few kilopascals, and the error a fraction of it.
        """
        gas_constant = air.humid_gas_constant(pressure, temperature, humidity)
        per_flow = gas_constant * temperature / (pressure * flow**2)
        coolant = temperature if self.coolant_temperature is None else self.coolant_temperature
        warmed = temperature + self.intake_warming
        reach = charge.effectiveness_at_flow(
            np.clip(self.effectiveness, 0.0, 1.0), share, self.cooler_exponent
        )
        return (
            Inlet(pressure, warmed, self.inlet_drop * per_flow, gas_constant),
            Cooler(reach, coolant, self.cooler_drop * per_flow),
        )


def breathing_curve(
    speed: Value, volumetric_efficiency: Value, best_speed: Value, max_speed: Value, *shape: Value
) -> Value:
    """Volumetric efficiency over engine speed: a usual shape, bent by what was measured.

    Equation:
        VE(n) = VE_best (1 - 0.16 ((n - n_best) / n_best)^2) (1 + s(n / n_max))

    Parameters:
        speed: engine speed, n [1/s]
        volumetric_efficiency: volumetric efficiency at the best speed, VE_best [-]
        best_speed: speed at which the engine breathes best, n_best [1/s]
        max_speed: highest speed, n_max [1/s]
        shape: departure from the usual shape, s, at fixed shares of the highest speed [-]

    Returns:
        volumetric efficiency on the air in the manifold [-]

    Source:
        common practice, no source; a measured pull bends the shape
    """
    away = (speed - best_speed) / best_speed
    usual = volumetric_efficiency * (1 - _FALL * away**2)
    return np.asarray(usual * (1 + bend(speed / max_speed, shape)))


def _demand(values: dict[str, Any]) -> Demand:
    """The engine; how boost changes its breathing only where its compression ratio is known.

    Its breathing is stated for one temperature of the charge, never for the day's: the weather in
    which an engine was measured would go into its breathing, and out again wrongly on another day.
    """
    return Demand(
        values["swept_volume"],
        values["volumetric_efficiency"],
        values.get("compression_ratio"),
        values["temperature_exponent"],
        _BREATHED,
    )


def _around(
    values: dict[str, Any], losses: Losses, flow: Value, share: Value = 1.0
) -> tuple[Inlet, Cooler]:
    """What stands before and behind the blower; `flow` and `share` as in `Losses.around`."""
    air_outside = values["pressure"], values["temperature"], values["relative_humidity"]
    return losses.around(*air_outside, flow, share)


def _turned(values: dict[str, Any], losses: Losses) -> Value:
    """Speed of the rotors over that at which the losses are stated."""
    turned = values["speed"] * values["speed_ratio"]
    return np.asarray(turned / (losses.reference_speed * losses.reference_ratio))


def _swallowed(values: dict[str, Any], losses: Losses) -> Value:
    """Volume that the engine swallows in a second at the speed of the losses."""
    return np.asarray(
        values["volumetric_efficiency"] * values["swept_volume"] / 2 * losses.reference_speed
    )


def displacement_blower(values: dict[str, Any], losses: Losses) -> Match:
    """Balance with a blower that displaces; see `matching.match` for the equations."""
    turned = values["displacement"] * losses.reference_ratio * losses.reference_speed
    flow = turned * values["limit_efficiency"]
    inlet, cooler = _around(values, losses, flow, _turned(values, losses))
    supply = Supply(
        values["displacement"],
        values["speed_ratio"],
        values["limit_efficiency"],
        values["leak_area"],
        values["built_in_ratio"],
        values["mechanical_efficiency"],
    )
    return matching.match(values["speed"], inlet, _demand(values), supply, cooler)


def centrifugal_blower(values: dict[str, Any], losses: Losses) -> Match:
    """Balance with a centrifugal blower; see `matching.match_centrifugal` for the equations."""
    flow = _swallowed(values, losses) * values["design_ratio"]
    inlet, cooler = _around(values, losses, flow, values["speed"] / losses.reference_speed)
    return matching.match_centrifugal(
        values["speed"],
        inlet,
        _demand(values),
        values["design_ratio"],
        values["design_speed"],
        values["isentropic_efficiency"],
        values["speed_ratio"],
        values["mechanical_efficiency"],
        cooler,
        values["design_temperature"],
    )


def mapped_blower(values: dict[str, Any], losses: Losses) -> Match:
    """Balance with a blower that displaces, by its map; see `map_matching.match_map`."""
    turning = losses.reference_ratio * losses.reference_speed
    filled = values["blower_map"].least_loaded(turning) * values["volumetric_factor"]
    flow = values["displacement"] * turning * filled
    inlet, cooler = _around(values, losses, flow, _turned(values, losses))
    supply = MappedSupply(
        values["blower_map"],
        values["displacement"],
        values["speed_ratio"],
        values["volumetric_factor"],
        values["efficiency_factor"],
        values["mechanical_efficiency"],
    )
    return map_matching.match_map(values["speed"], inlet, _demand(values), supply, cooler)


def mapped_centrifugal(values: dict[str, Any], losses: Losses) -> Match:
    """Balance with a centrifugal blower by its map; see `map_matching.match_centrifugal_map`."""
    ratio = values["blower_map"].middle_ratio(losses.reference_ratio * losses.reference_speed)
    flow = _swallowed(values, losses) * ratio
    inlet, cooler = _around(values, losses, flow, values["speed"] / losses.reference_speed)
    impeller = MappedImpeller(
        values["blower_map"],
        values["speed_ratio"],
        values["head_factor"],
        values["efficiency_factor"],
        values["mechanical_efficiency"],
    )
    return map_matching.match_centrifugal_map(
        values["speed"], inlet, _demand(values), impeller, cooler
    )


def natural(values: dict[str, Any], losses: Losses) -> Match:
    """Air of an engine without a blower; see `matching.match_without_blower`."""
    inlet, _ = _around(values, losses, _swallowed(values, losses))
    return matching.match_without_blower(values["speed"], inlet, _demand(values))


_MODELS: dict[Kind, Callable[[dict[str, Any], Losses], Match]] = {
    "displacement": displacement_blower,
    "centrifugal": centrifugal_blower,
    "map": mapped_blower,
    "centrifugal-map": mapped_centrifugal,
    "natural": natural,
}
_MATCHED = (
    "inlet_pressure",
    "discharge_pressure",
    "discharge_temperature",
    "charge_temperature",
    "pressure_ratio",
    "mass_flow",
    "drive_power",
    "blower_volumetric_efficiency",
    "blower_speed",
)


def estimate(kind: Kind, **given: Any) -> dict[str, Any]:
    """Every estimated figure over speed, by name; Unphysical where there is no balance at all.

    Parameters are those of `ESTIMATE`'s rules; `breathing_1` to `breathing_5` and
    `burning_1` to `burning_5` bend volumetric and indicated efficiency over speed. The kinds of
    `MAPPED` want the `blower_map` too, and say under `outside` where it ends (`Match.outside`).
    """
    values, match = balance(kind, given)
    if not match.solved.any():
        raise Unphysical(match.reason)
    figures = figures_of(values, match)
    if "best_spark" in values:  # only the fit asks where a spark stands, where one was logged
        figures["ignition_advance"] = ignition_advance(values, match)
    return figures


def figures_of(values: dict[str, Any], match: Match) -> dict[str, Any]:
    """Every figure that follows from a balance, by name."""
    manifold = match.manifold_pressure * (1 + values["pressure_allowance"])
    figures = {name: getattr(match, name) for name in _MATCHED}
    figures["charge_temperature"] = match.charge_temperature + values["temperature_allowance"]
    figures["intake_temperature"] = match.inlet_temperature
    figures["breathing"] = values["volumetric_efficiency"]
    figures["outside"], figures["match"] = match.outside, match
    figures["manifold_pressure"] = manifold
    figures["boost"] = manifold - values["pressure"]
    if "indicated_efficiency" in values:
        figures["mixture"] = values["mixture"]
        figures["fuel_mass_flow"] = fuel_fed(values, match, values["mixture"])
        figures["octane_asked"] = octane_asked(values, match)
        figures["retard"] = spark_taken_back(values, match)
        figures["power"] = brake(values, match)
        figures["torque"] = engine.torque_from_power(figures["power"], values["speed"])
    return figures


def balance(kind: Kind, given: dict[str, Any]) -> tuple[dict[str, Any], Match]:
    """Where supply and demand meet, with the parameters as they went into it."""
    values = dict(given)
    values["relative_humidity"] = np.clip(values["relative_humidity"], 0.0, 1.0)
    if "built_in_ratio" in values:  # a fit or a spread may step below one, which nothing is
        values["built_in_ratio"] = np.maximum(values["built_in_ratio"], 1.0)
    values["volumetric_efficiency"] = breathing_curve(
        values["speed"],
        values["volumetric_efficiency"],
        values["best_speed"],
        values["max_speed"],
        *shape_of(values, "breathing"),
    )
    values["volumetric_efficiency"] = values["volumetric_efficiency"] * evaporation(values)
    losses = Losses(
        values["inlet_drop"],
        values["cooler_drop"],
        values["effectiveness"],
        values["reference_speed"],
        values["reference_ratio"],
        values["intake_warming"],
        values["cooler_exponent"],
        values.get("coolant_temperature"),
    )
    return values, _held(values, _MODELS[kind](values, losses))


def _held(values: dict[str, Any], match: Match) -> Match:
    """The balance with a bypass or regulator that opens at its set point, where there is one.

    The blower works against the lower pressure, so that heat and drive go down with the ratio; the
    engine's flow goes with pressure and temperature of the charge. That the bypassed air comes
    round again warm is left out.
    """
    if "held_pressure" not in values:
        return match
    eased = np.minimum(values["held_pressure"] / match.manifold_pressure, 1.0)
    ratio = match.pressure_ratio * eased
    rise = np.maximum(ratio - 1, 0) / np.maximum(match.pressure_ratio - 1, 1e-3)
    share = np.where(eased < 1, np.minimum(rise, 1.0), 1.0)
    warmed = match.discharge_temperature - match.inlet_temperature
    hot = match.inlet_temperature + share * warmed
    cooled = match.charge_temperature - (1 - values["effectiveness"]) * (1 - share) * warmed
    colder = (match.charge_temperature / cooled) ** (1 - values["temperature_exponent"])
    return replace(
        match,
        pressure_ratio=ratio,
        discharge_pressure=match.discharge_pressure * eased,
        discharge_temperature=hot,
        manifold_pressure=match.manifold_pressure * eased,
        charge_temperature=cooled,
        mass_flow=match.mass_flow * eased * colder,
        drive_power=match.drive_power * share,
    )
