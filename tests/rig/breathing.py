"""How the engine fills: nozzle flow in the valves, a quarter wave, gas exchange, hot ports."""

from __future__ import annotations

import numpy as np

from tests.generator.engine import blend, piston_speed
from tests.generator.gas import GAS_CONSTANT, HEAT_CAPACITY, KAPPA, Array
from tests.generator.truth import Engine, Setup

#: Speed of sound [m/s] to which the pipe's tuned speed is referred: air at 57 degC.
_TUNED_SOUND = 364.0
#: Mean pull of the piston over what the valves' mean area feels: common practice, no source.
_PULL = 0.70
#: Transfer units of the ports at 50 rev/s and 100 kPa, and their wall [K]: common practice.
_PORT_UNITS, _PORT_WALL = 0.085, 372.0


def swallowed_share(
    engine: Engine, setup: Setup, speed: Array, charge: tuple[Array, Array, Array]
) -> Array:
    """Volumetric efficiency on the manifold's density; `charge` as in `engine.filling`."""
    manifold, temperature, exhaust = charge
    expansion, room = charge_heating(setup, speed, manifold, temperature)
    open_valve = throttled(engine, speed, temperature * expansion)
    exchanged = gas_exchange(engine, manifold, exhaust)
    tuned = quarter_wave(engine, speed, temperature) * late_closing(engine, speed)
    return np.asarray(engine.filling * open_valve * exchanged * tuned * room / expansion)


def throttled(engine: Engine, speed: Array, temperature: Array) -> Array:
    """Density in the cylinder over the manifold's, with the valves as one nozzle.

    Nozzle flow (Saint-Venant and Wantzel) must feed the volume that the piston frees:
    sqrt(2/(k-1) (x^(2/k) - x^((k+1)/k))) = Z x, x the pressure ratio, Z the piston's pull over
    the valves' area and the speed of sound. Halved until x is known to 1e-9.
    """
    sound = np.sqrt(KAPPA * GAS_CONSTANT * temperature)
    pull = _PULL * piston_speed(engine, speed) * engine.valve_restriction / sound
    low, high = np.full_like(pull, 0.53), np.ones_like(pull)
    for _ in range(30):
        x = (low + high) / 2
        flow = np.sqrt(2 / (KAPPA - 1) * (x ** (2 / KAPPA) - x ** ((KAPPA + 1) / KAPPA)))
        enough = flow > pull * x
        low, high = np.where(enough, x, low), np.where(enough, high, x)
    return np.asarray((low + high) / 2) ** (1 / KAPPA)


def quarter_wave(engine: Engine, speed: Array, temperature: Array) -> Array:
    """Gain of the inlet pipe: waves come back in time at the tuned speed, and die out.

    The tuned speed moves with the speed of sound; a wave that needs longer has lost more. Form
    from memory, damping common practice.
    """
    sound = np.sqrt(KAPPA * GAS_CONSTANT * temperature)
    order = engine.tuned_speed * sound / _TUNED_SOUND / speed
    return np.asarray(1 + engine.tuning_gain * np.cos(2 * np.pi * (order - 1)) * np.exp(1 - order))


def late_closing(engine: Engine, speed: Array) -> Array:
    """What the rising piston pushes back before the valve closes, less as the column has way on.

    Shape: common practice, no source.
    """
    way = speed / (0.5 * engine.tuned_speed)
    return np.asarray(1 - engine.backflow / (1 + way**2))


def gas_exchange(engine: Engine, manifold: Array, exhaust: Array) -> Array:
    """Filling of the ideal cycle, (k-1)/k + (r - p_e/p_m) / (k (r - 1)), and its scavenging.

    Heywood's form for the ideal four-stroke cycle (from memory). Boost above the exhaust sweeps
    part of the residual gas out while both valves are open (common practice, no source).
    """
    r = engine.compression_ratio
    ideal = (KAPPA - 1) / KAPPA + (r - exhaust / manifold) / (KAPPA * (r - 1))
    swept = 1 - np.exp(-1.5 * np.maximum(manifold - exhaust, 0.0) / manifold)
    whole = r / (r - 1)
    return np.asarray(ideal + 0.3 * swept * np.maximum(whole - ideal, 0.0))


def charge_heating(
    setup: Setup, speed: Array, manifold: Array, temperature: Array
) -> tuple[Array, Array]:
    """Expansion of the charge on its way past the ports, and the room that fuel vapour leaves.

    Transfer units go with flow^-0.2 (Dittus and Boelter); hot air evaporates more of the fuel:
    shares are common practice, no source.
    """
    mixture = blend(setup.fuel)
    fuel_per_air = 1 / (mixture.air_need * setup.mixture)
    units = _PORT_UNITS * (speed / 50 * manifold / 100e3) ** -0.2
    warmed = (_PORT_WALL - temperature) * (1 - np.exp(-units))
    share = np.clip(0.10 + 0.0020 * (temperature - 300.0), 0.05, 0.40)
    cooled = share * fuel_per_air * mixture.latent_heat / HEAT_CAPACITY
    vapour = share * fuel_per_air * 0.02896 / mixture.molar_mass
    return np.asarray((temperature + warmed - cooled) / temperature), np.asarray(1 / (1 + vapour))
