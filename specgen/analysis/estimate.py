"""Boost from the blower's supply and the engine's demand, before anything is fitted.

Thin: it names the parameters as rows name them, and hands them to `physics.matching`. Curves
are over engine speed; every other parameter is one value or one for each of the speeds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from specgen.analysis.row import Array, Value
from specgen.physics import air, matching
from specgen.physics.matching import Cooler, Demand, Inlet, Match, Supply

#: Share of the best volumetric efficiency lost at no speed, or at twice the best speed.
_FALL = 0.16


@dataclass(frozen=True, slots=True, eq=False)
class Losses:
    """Pressure lost before and behind the blower at one engine speed, and the cooler.

    The losses go with the square of the mass flow; the reference is the flow that the blower
    sweeps at `reference_speed` with `reference_ratio`, the drive's own pulleys.
    """

    inlet_drop: Value
    cooler_drop: Value
    effectiveness: Value
    reference_speed: Value
    reference_ratio: Value
    coolant_temperature: Value | None = None

    def inlet(self, pressure: Value, temperature: Value, flow: Value) -> Inlet:
        """The way to the blower."""
        density = air.dry_air_density(pressure, temperature)
        return Inlet(pressure, temperature, self.inlet_drop * density / flow**2)

    def cooler(self, temperature: Value, density: Value, flow: Value) -> Cooler:
        """The charge cooler; its loss is referred to the air outside.

        The charge is denser behind the blower by what is not known before the solution; the
        stated loss is a few kilopascals, and the error a fraction of it.
        """
        coolant = temperature if self.coolant_temperature is None else self.coolant_temperature
        return Cooler(self.effectiveness, coolant, self.cooler_drop * density / flow**2)


def breathing_curve(speed: Value, volumetric_efficiency: Value, best_speed: Value) -> Value:
    """Volumetric efficiency over engine speed, for an engine whose breathing was not measured.

    Equation:
        VE(n) = VE_best (1 - 0.16 ((n - n_best) / n_best)^2)

    Parameters:
        speed: engine speed, n [1/s]
        volumetric_efficiency: volumetric efficiency at the best speed [-]
        best_speed: speed at which the engine breathes best, n_best [1/s]

    Returns:
        volumetric efficiency on the air in the manifold [-]

    Source:
        common practice, no source; a measured pull replaces it
    """
    away = (speed - best_speed) / best_speed
    curve: Value = volumetric_efficiency * (1 - _FALL * away**2)
    return curve


def displacement_blower(
    speed: Array,
    pressure: Value,
    temperature: Value,
    swept_volume: Value,
    volumetric_efficiency: Value,
    displacement: Value,
    speed_ratio: Value,
    limit_efficiency: Value,
    leak_area: Value,
    built_in_ratio: Value,
    mechanical_efficiency: Value,
    losses: Losses,
) -> Match:
    """Boost of an engine with a blower that displaces, over its speed range.

    Parameters are SI; see `matching.match` for the equation and its source.
    """
    density = air.dry_air_density(pressure, temperature)
    turned = displacement * losses.reference_ratio * losses.reference_speed
    flow = density * turned * limit_efficiency
    supply = Supply(
        displacement,
        speed_ratio,
        limit_efficiency,
        leak_area,
        built_in_ratio,
        mechanical_efficiency,
    )
    return matching.match(
        speed,
        losses.inlet(pressure, temperature, flow),
        Demand(swept_volume, volumetric_efficiency),
        supply,
        losses.cooler(temperature, density, flow),
    )


def centrifugal_blower(
    speed: Array,
    pressure: Value,
    temperature: Value,
    swept_volume: Value,
    volumetric_efficiency: Value,
    design_ratio: Value,
    design_speed: Value,
    isentropic_efficiency: Value,
    speed_ratio: Value,
    mechanical_efficiency: Value,
    losses: Losses,
) -> Match:
    """Boost of an engine with a centrifugal blower, from one stated operating point.

    Parameters are SI; see `matching.match_centrifugal` for the equation and its source.
    """
    density = air.dry_air_density(pressure, temperature)
    flow = volumetric_efficiency * density * swept_volume / 2 * losses.reference_speed
    flow = flow * design_ratio
    return matching.match_centrifugal(
        speed,
        losses.inlet(pressure, temperature, flow),
        Demand(swept_volume, volumetric_efficiency),
        design_ratio,
        design_speed,
        isentropic_efficiency,
        speed_ratio,
        mechanical_efficiency,
        losses.cooler(temperature, density, flow),
    )


def gauge(match: Match, pressure: Value) -> Array:
    """Boost over the air outside [Pa gauge]; not a number where there is no solution."""
    return np.asarray(match.manifold_pressure - pressure)
