"""Boost from the blower's supply and the engine's demand, before anything is fitted.

Thin: it names the parameters as rows name them, and hands them to `physics.matching`. Curves
are over engine speed on the last axis; every other parameter may carry a first axis of cases.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from specgen.analysis.row import Array, Value
from specgen.physics import air, matching
from specgen.physics.matching import Cooler, Demand, Inlet, Match, Supply

#: Share of the best volumetric efficiency lost at no speed, or at twice the best speed.
_FALL = 0.16


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
    inlet_drop: Value,
    effectiveness: Value,
    cooler_drop: Value,
    coolant_temperature: Value | None = None,
) -> Match:
    """Boost of an engine with a blower that displaces, over its speed range.

    The pressures lost in the inlet and in the cooler are taken at the highest speed of `speed`
    and go with the square of the flow.

    Parameters are SI; see `matching.match` for the equation and its source.
    """
    density = air.dry_air_density(pressure, temperature)
    reference_flow = density * displacement * speed_ratio * speed[-1] * limit_efficiency
    inlet = Inlet(pressure, temperature, inlet_drop * density / reference_flow**2)
    coolant = temperature if coolant_temperature is None else coolant_temperature
    # The charge is denser behind the blower; its density at the reference is not known before
    # the solution, so that the loss is referred to the density of the air outside.
    cooler = Cooler(effectiveness, coolant, cooler_drop * density / reference_flow**2)
    supply = Supply(
        displacement,
        speed_ratio,
        limit_efficiency,
        leak_area,
        built_in_ratio,
        mechanical_efficiency,
    )
    return matching.match(speed, inlet, Demand(swept_volume, volumetric_efficiency), supply, cooler)


def centrifugal_blower(
    speed: Array,
    pressure: Value,
    temperature: Value,
    swept_volume: Value,
    volumetric_efficiency: Value,
    reference_ratio: Value,
    reference_speed: Value,
    isentropic_efficiency: Value,
    speed_ratio: Value,
    mechanical_efficiency: Value,
    inlet_drop: Value,
    effectiveness: Value,
    cooler_drop: Value,
    coolant_temperature: Value | None = None,
) -> Match:
    """Boost of an engine with a centrifugal blower, from one stated operating point.

    Parameters are SI; see `matching.match_centrifugal` for the equation and its source.
    """
    density = air.dry_air_density(pressure, temperature)
    reference_flow = volumetric_efficiency_at_top(volumetric_efficiency) * density
    reference_flow = reference_flow * swept_volume / 2 * speed[-1] * reference_ratio
    inlet = Inlet(pressure, temperature, inlet_drop * density / reference_flow**2)
    coolant = temperature if coolant_temperature is None else coolant_temperature
    cooler = Cooler(effectiveness, coolant, cooler_drop * density / reference_flow**2)
    return matching.match_centrifugal(
        speed,
        inlet,
        Demand(swept_volume, volumetric_efficiency),
        reference_ratio,
        reference_speed,
        isentropic_efficiency,
        speed_ratio,
        mechanical_efficiency,
        cooler,
    )


def volumetric_efficiency_at_top(volumetric_efficiency: Value) -> Any:
    """Volumetric efficiency at the last speed of a curve, keeping a first axis of cases."""
    if isinstance(volumetric_efficiency, np.ndarray) and volumetric_efficiency.ndim:
        return volumetric_efficiency[..., -1:]
    return volumetric_efficiency


def gauge(match: Match, pressure: Value) -> Array:
    """Boost over the air outside [Pa gauge]; not a number where there is no solution."""
    return np.asarray(match.manifold_pressure - pressure)
