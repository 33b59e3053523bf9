"""The engine: filling, burning, friction. Everything per speed, as arrays.

First principles where they reach, shapes of common practice where they do not; each function
says which. No blower here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.generator.gas import GAS_CONSTANT, HEAT_CAPACITY, KAPPA, Array
from tests.generator.truth import Engine, Fuel, Setup

#: Per component: density [kg/m3], lower heating value [J/kg], air for complete burning [kg/kg],
#: latent heat [J/kg], molar mass [kg/mol]. Heating value, alcohol densities, latent heat: US DOE
#: fuel-property table as restated in copies; air need from composition; petrol 745 kg/m3 is
#: mid-range of EN 228; molar masses from memory (petrol about 105).
COMPONENTS: dict[str, tuple[float, float, float, float, float]] = {
    "petrol": (745.0, 43.44e6, 14.7, 349e3, 0.105),
    "ethanol": (792.1, 26.947e6, 9.003, 921e3, 0.0461),
    "methanol": (794.4, 20.09e6, 6.472, 1177e3, 0.0320),
}


@dataclass(frozen=True, slots=True)
class Mixture:
    """Properties of a blend per mass of fuel."""

    density: float
    heating_value: float
    air_need: float
    latent_heat: float
    molar_mass: float


def blend(fuel: Fuel) -> Mixture:
    """Weight the components by mass; volumes add (no excess volume), moles add."""
    volumes = {"petrol": fuel.petrol, "ethanol": fuel.ethanol, "methanol": fuel.methanol}
    masses = {name: share * COMPONENTS[name][0] for name, share in volumes.items()}
    density = sum(masses.values())
    by_mass = [
        sum(mass / density * COMPONENTS[name][column] for name, mass in masses.items())
        for column in (1, 2, 3)
    ]
    moles = sum(mass / density / COMPONENTS[name][4] for name, mass in masses.items())
    return Mixture(density, by_mass[0], by_mass[1], by_mass[2], 1 / moles)


def piston_speed(engine: Engine, speed: Array) -> Array:
    """Mean piston speed [m/s]: two strokes a revolution."""
    return 2 * engine.stroke * speed


def filling(
    engine: Engine, setup: Setup, speed: Array, charge: tuple[Array, Array, Array]
) -> Array:
    """Volumetric efficiency on the density in the manifold.

    `charge` holds manifold pressure, manifold temperature and exhaust pressure. Product of the
    flow limit of the valves, pipe tuning, back-flow, residual gas and charge heating.
    """
    manifold, temperature, exhaust = charge
    residual = residual_factor(engine, manifold, exhaust)
    heat = heating_factor(setup, speed, temperature)
    return (
        engine.filling
        * valve_factor(engine, speed, temperature)
        * tuning_factor(engine, speed)
        * residual
        * heat
    )


def valve_factor(engine: Engine, speed: Array, temperature: Array) -> Array:
    """Loss by the valves' flow limit over the inlet Mach index Z = piston speed A_p/A_v / a.

    That filling holds to about Z = 0.5 and falls beyond is from memory (Taylor); the shape
    1/(1 + Z^4) is ours.
    """
    sound = np.sqrt(KAPPA * GAS_CONSTANT * temperature)
    mach_index = piston_speed(engine, speed) * engine.valve_restriction / sound
    return np.asarray(1 / (1 + mach_index**4))


def tuning_factor(engine: Engine, speed: Array) -> Array:
    """Gain of the inlet pipe at its tuned speed, the dip below it, back-flow at low speed.

    Shape: common practice, no source.
    """
    peak = np.exp(-(((speed - engine.tuned_speed) / engine.tuning_width) ** 2))
    dip = np.exp(-(((speed - 0.68 * engine.tuned_speed) / (0.6 * engine.tuning_width)) ** 2))
    backflow = engine.backflow * np.exp(-speed / (0.3 * engine.tuned_speed))
    return np.asarray((1 + engine.tuning_gain * (peak - 0.45 * dip)) * (1 - backflow))


def residual_factor(engine: Engine, manifold: Array, exhaust: Array) -> Array:
    """Room left by the residual gas of the clearance volume, (r - (p_e/p_m)^(1/k)) / (r - 1).

    The gas left at exhaust pressure expands (or is squeezed) to manifold pressure first.
    """
    ratio = engine.compression_ratio
    return np.asarray((ratio - (exhaust / manifold) ** (1 / KAPPA)) / (ratio - 1))


def heating_factor(setup: Setup, speed: Array, temperature: Array) -> Array:
    """Density kept past hot ports and evaporating fuel, less the room that the vapour takes.

    A tenth of the way to a 370 K port at 50 rev/s, less at speed; a fifth of the fuel
    evaporates before the valve closes: common practice, no source.
    """
    mixture = blend(setup.fuel)
    fuel_per_air = 1 / (mixture.air_need * setup.mixture)
    warmed = 0.10 * (370.0 - temperature) * (50.0 / speed) ** 0.3
    cooled = 0.22 * fuel_per_air * mixture.latent_heat / HEAT_CAPACITY
    vapour = 0.22 * fuel_per_air * 0.02896 / mixture.molar_mass
    return np.asarray(temperature / (temperature + warmed - cooled) / (1 + vapour))


def released_energy(mixture: Mixture, excess_air: Array) -> Array:
    """Heat released per mass of dry air [J/kg] over lambda.

    4 % more than at lambda 1 is released per air at lambda 0.88, and the gain is gone at 0.76:
    common practice, no source. 98 % of the oxygen finds fuel.
    """
    rich = 1 + 0.04 * (1 - ((np.minimum(excess_air, 1.0) - 0.88) / 0.12) ** 2)
    lean = np.minimum(1.0, 1.0 / excess_air)
    return np.asarray(0.98 * mixture.heating_value / mixture.air_need * rich * lean)


def knock_retard(
    engine: Engine, setup: Setup, speed: Array, manifold: Array, temperature: Array
) -> Array:
    """Degrees of spark taken off so that the fuel's octane number suffices, at any speed.

    Russ, SAE 960497 (abstract): 3 to 4 numbers per 10 kPa of intake pressure, 5 per unit of
    compression ratio, 1 per 7 K of intake temperature, 1 per degree of spark.
    """
    del speed
    need = (
        engine.octane_need
        + 5 * (engine.compression_ratio - 9)
        + 3.0 * (manifold - 100e3) / 10e3
        + (temperature - 313.15) / 7
    )
    return np.clip(need - setup.fuel.octane, 0.0, 25.0)


def best_spark(speed: Array, manifold: Array) -> Array:
    """Ignition advance for best torque [deg]: earlier with speed, later with density.

    Common practice, no source.
    """
    return np.asarray(30 + 0.09 * (speed - 60) - 6.0 * (manifold / 100e3 - 1))


def late_burning(retard: Array) -> Array:
    """Share of the work left with a late spark, exp(-c x^2): common practice, no source."""
    return np.asarray(np.exp(-5.5e-4 * retard**2))


def indicated_efficiency(engine: Engine, speed: Array) -> Array:
    """Gross indicated work over heat released with the best spark.

    Ideal cycle times burn quality and heat loss: 1 - r^(1 - k) with k = 1.28 for burnt mixtures
    (from memory); heat loss falls with the square root of speed, and past its best speed an engine
    burns ever later into the expansion (common practice, no source).
    """
    ideal = 1 - engine.compression_ratio ** (1 - 1.28)
    heat_loss = 1 - 0.06 * np.sqrt(25.0 / speed)
    in_time = 1 / (1 + (speed / engine.burn_speed) ** 10)
    return np.asarray(engine.burn_quality * ideal * heat_loss * in_time)


def friction_pressure(engine: Engine, speed: Array, gross: Array) -> Array:
    """Friction mean pressure [Pa], Chen and Flynn's form: A + B p_max + C s + D s^2.

    The form and the order of its constants are from memory; peak pressure is taken as 5.5 times
    the gross indicated mean pressure (common practice, no source).
    """
    s = piston_speed(engine, speed)
    return np.asarray(engine.friction * (40e3 + 0.005 * 5.5 * gross + 6.5e3 * s + 90.0 * s**2))
