"""Moist air and orifice flow, as the simulator needs them.

Written apart from the product's own physics on purpose: a mistake there must not be repeated
here. SI throughout; arrays over engine speed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Specific gas constant of dry air [J/(kg K)]; from memory.
GAS_CONSTANT = 287.05
#: Specific heat of air at constant pressure [J/(kg K)]; from memory.
HEAT_CAPACITY = 1005.0
#: Ratio of specific heats of air; from memory.
KAPPA = 1.4


def saturation_pressure(temperature: float) -> float:
    """Saturation pressure of water vapour [Pa] at a temperature [K].

    Magnus form, 611.2 Pa exp(17.62 t / (243.12 + t)), t in degrees Celsius; from memory. Up to
    0.3 % low near 25 degC, which is far below what a dyno resolves.
    """
    celsius = temperature - 273.15
    return 611.2 * float(np.exp(17.62 * celsius / (243.12 + celsius)))


def vapour_share(pressure: float, temperature: float, humidity: float) -> float:
    """Share of water vapour in moist air, by moles and so by pressure (Dalton's law).

    It stays the same on the way to the manifold, so the dry air in a flow that was counted with
    dry air's gas constant is that flow times one less this share.
    """
    return humidity * saturation_pressure(temperature) / pressure


def orifice_flow(area: float, upstream: Array, temperature: Array, downstream: Array) -> Array:
    """Mass flow [kg/s] through an effective area [m2] between two pressures [Pa].

    Saint-Venant and Wantzel: m = A p / sqrt(R T) sqrt(2 k/(k-1) (x^(2/k) - x^((k+1)/k))), x the
    pressure ratio, not below the critical one; from memory. No flow runs backwards.
    """
    critical = (2 / (KAPPA + 1)) ** (KAPPA / (KAPPA - 1))
    x = np.clip(downstream / upstream, critical, 1.0)
    shape = 2 * KAPPA / (KAPPA - 1) * (x ** (2 / KAPPA) - x ** ((KAPPA + 1) / KAPPA))
    return np.asarray(area * upstream / np.sqrt(GAS_CONSTANT * temperature) * np.sqrt(shape))


def orifice_loss(area: float, upstream: Array, temperature: Array, flow: Array) -> Array:
    """Pressure lost [Pa] where `flow` [kg/s] passes an effective area: orifice_flow inverted.

    Starts from Bernoulli's loss and scales it by the flow it would pass; the loss is not let
    beyond 45 % of the upstream pressure, where the orifice would choke.
    """
    density = upstream / (GAS_CONSTANT * temperature)
    loss = (flow / area) ** 2 / (2 * density)
    for _ in range(8):
        loss = np.clip(loss, 1e-6, 0.45 * upstream)
        passed = orifice_flow(area, upstream, temperature, upstream - loss)
        loss = loss * (flow / passed) ** 2
    return np.clip(loss, 0.0, 0.45 * upstream)
