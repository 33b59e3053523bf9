"""The charge cooler in cross-flow: two resistances in series, and a coolant that warms."""

from __future__ import annotations

import numpy as np

from tests.generator.gas import HEAT_CAPACITY, Array, orifice_loss
from tests.generator.truth import Cooler

#: Share of the resistance on the air's side at the reference flow: common practice, no source.
_AIR_SIDE = 0.75
#: Share of the coolant's own rise by which it comes back warmer: common practice, no source.
_RETURNED = 0.25


def reach(cooler: Cooler, flow: Array) -> Array:
    """Effectiveness in cross-flow, both unmixed: 1 - exp((exp(-C N^0.78) - 1) N^0.22 / C).

    Kays and London's approximation (from memory). The air's resistance falls with flow^0.8
    (Dittus and Boelter), the water's does not change.
    """
    capacity = flow * HEAT_CAPACITY
    C = np.clip(capacity / cooler.coolant_capacity, 1e-3, 0.98)
    resistance = _AIR_SIDE * (cooler.reference_flow / flow) ** 0.8 + (1 - _AIR_SIDE)
    N = 1.15 * cooler.transfer_units * cooler.reference_flow / flow / resistance
    return np.asarray(1 - np.exp((np.exp(-C * N**0.78) - 1) * N**0.22 / C))


def cross_flow(
    cooler: Cooler | None, pressure: Array, temperature: Array, flow: Array
) -> tuple[Array, Array]:
    """Pressure and temperature behind the cooler; without one, what came in.

    The tank returns part of the heat: with a = share C e of the first difference the coolant
    comes in at its own temperature and so much of the difference more.
    """
    if cooler is None:
        return pressure, temperature
    effective = reach(cooler, flow)
    ratio = flow * HEAT_CAPACITY / cooler.coolant_capacity
    returned = _RETURNED * ratio * effective
    difference = (temperature - cooler.coolant_temperature) / (1 + returned)
    loss = orifice_loss(cooler.area, pressure, temperature, flow)
    return pressure - loss, np.asarray(temperature - effective * difference)
