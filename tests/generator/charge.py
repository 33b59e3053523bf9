"""The charge cooler by number of transfer units."""

from __future__ import annotations

import numpy as np

from tests.generator.gas import HEAT_CAPACITY, Array, orifice_loss
from tests.generator.truth import Cooler


def effectiveness(cooler: Cooler, flow: Array) -> Array:
    """Effectiveness of a counter-flow cooler, e = (1 - exp(-N(1-C))) / (1 - C exp(-N(1-C))).

    Kays and London's form (from memory). Transfer units fall with flow to the power 0.4, since
    turbulent heat transfer rises with flow to 0.6 only.
    """
    capacity = flow * HEAT_CAPACITY / cooler.coolant_capacity
    C = np.clip(capacity, 0.0, 0.98)
    N = cooler.transfer_units * (cooler.reference_flow / flow) ** 0.4
    fade = np.exp(-N * (1 - C))
    return np.asarray((1 - fade) / (1 - C * fade))


def cool(
    cooler: Cooler | None, pressure: Array, temperature: Array, flow: Array
) -> tuple[Array, Array]:
    """Pressure and temperature behind the cooler; without one, what came in."""
    if cooler is None:
        return pressure, temperature
    reach = effectiveness(cooler, flow)
    cold = temperature - reach * (temperature - cooler.coolant_temperature)
    loss = orifice_loss(cooler.area, pressure, temperature, flow)
    return pressure - loss, np.asarray(cold)
