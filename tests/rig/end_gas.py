"""Knock by the ignition delay of the end gas, and what a later spark costs."""

from __future__ import annotations

import numpy as np

from tests.generator.engine import blend
from tests.generator.gas import HEAT_CAPACITY, Array
from tests.generator.truth import Engine, Setup

#: Index of the end gas's compression, degrees of crank for which it is near its peak, and its
#: peak over the pressure of compression alone, less what each late degree takes: common practice.
_INDEX, _DEGREES, _BURNING, _EASED = 1.31, 24.0, 1.45, 0.045
#: Share of the fuel that has evaporated into the end gas before the compression: common practice.
_EVAPORATED = 0.45
#: Most degrees that anybody takes off the spark before lifting a foot.
MOST = 25.0


def delay(octane: Array, pressure: Array, temperature: Array) -> Array:
    """Ignition delay [s]: 17.68 ms (ON/100)^3.402 p^-1.7 exp(3800 K/T), p in atmospheres.

    Douaud and Eyzat, SAE 780080 (from memory).
    """
    atmospheres = pressure / 101325.0
    return np.asarray(
        17.68e-3 * (octane / 100) ** 3.402 * atmospheres**-1.7 * np.exp(3800.0 / temperature)
    )


def knock_by_delay(
    engine: Engine, setup: Setup, speed: Array, manifold: Array, temperature: Array
) -> Array:
    """Degrees of spark to be taken off until the end gas lives through its time at the peak."""
    mixture = blend(setup.fuel)
    fuel_per_air = 1 / (mixture.air_need * setup.mixture)
    chilled = _EVAPORATED * fuel_per_air * mixture.latent_heat / HEAT_CAPACITY
    start = np.maximum(temperature + 35.0 - chilled, 280.0)
    octane = np.full_like(speed, setup.fuel.octane + 0.8 * (72.0 - engine.octane_need))
    time = _DEGREES / (360.0 * speed)
    low, high = np.zeros_like(speed), np.full_like(speed, MOST)
    for _ in range(24):
        late = (low + high) / 2
        squeezed = engine.compression_ratio**_INDEX * (1 + _BURNING * np.exp(-_EASED * late))
        hot = start * squeezed ** ((_INDEX - 1) / _INDEX)
        holds = delay(octane, manifold * squeezed, hot) > time
        low, high = np.where(holds, low, late), np.where(holds, late, high)
    return np.asarray(np.where(high < 1e-3, 0.0, (low + high) / 2))


def late_by_cosine(retard: Array) -> Array:
    """Share of the work left: cosine of 1.7 times the late angle (common practice, no source)."""
    return np.asarray(np.cos(np.radians(1.7 * retard)))
