"""The blowers: what they pass on, how hot, and what turning them takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.generator.gas import GAS_CONSTANT, HEAT_CAPACITY, KAPPA, Array, orifice_flow
from tests.generator.truth import Displacer, Impeller

#: Pressure [Pa] and temperature [K] of the gas at one place.
Gas = tuple[Array, Array]
#: What flows back [kg/s]: blower, rotor speed, gas before it, gas behind it.
Leakage = Callable[[Displacer, Array, Gas, Gas], Array]


@dataclass(frozen=True, slots=True)
class Delivery:
    """What leaves a blower: flow [kg/s], temperature [K], shaft power taken [W]."""

    flow: Array
    temperature: Array
    shaft_power: Array


def compression_work(blower: Displacer, inlet: Array, outlet: Array, speed: Array) -> Array:
    """Work on the gas per swept volume [J/m3]: squeeze inside, then back-flow at the port.

    The chamber runs full at inlet pressure less the port's loss, is squeezed to 1/r_i of its
    volume along p V^n and then meets the outlet: area of that diagram.
    """
    n, ratio = blower.index, blower.built_in_ratio
    port = inlet * blower.port_loss * (speed / 200.0) ** 2
    start = inlet - port
    inside = start * (ratio ** (n - 1) - 1) * n / (n - 1) if ratio > 1 else 0.0 * start
    last = (outlet + port - start * ratio**n) / ratio
    return np.asarray(inside + last + port)


def leak_as_orifice(blower: Displacer, speed: Array, inlet: Gas, outlet: Gas) -> Array:
    """Flow [kg/s] back through the clearances, as an orifice would pass it at any rotor speed."""
    del speed
    (p1, _), (p2, t2) = inlet, outlet
    return orifice_flow(blower.leak_area, np.maximum(p2, p1), t2, p1)


def deliver(
    blower: Displacer, speed: Array, inlet: Gas, outlet: Gas, leakage: Leakage = leak_as_orifice
) -> Delivery:
    """Give what a displacer passes on between two states (pressure, temperature).

    Mass balance of the inlet: the swept volume is filled by fresh gas and by what leaks back
    through the clearances, hot. Energy balance of the gas: work in less heat to the casing, which
    is cooled by the room at inlet temperature.
    """
    (p1, t1), (p2, t2) = inlet, outlet
    swept = (
        blower.displacement * speed * blower.filling / (1 + 0.1 * (speed / blower.choke_speed) ** 2)
    )
    leak = leakage(blower, speed, inlet, outlet)
    flow = (p1 * swept / GAS_CONSTANT - leak * t2) / t1
    flow = np.maximum(flow, 0.02 * p1 * swept / (GAS_CONSTANT * t1))
    work = compression_work(blower, p1, p2, speed) * swept
    cooling = blower.casing_conductance * 0.5 * (t2 - t1)
    hot = t1 + np.maximum(work - cooling, 0.0) / (flow * HEAT_CAPACITY)
    drag = blower.drag_torque + blower.windage_torque * (speed / 200.0) ** 2
    shaft = np.maximum(work, 0.0) / blower.gear_efficiency + 2 * np.pi * speed * drag
    return Delivery(flow, hot, shaft)


def spin(
    blower: Impeller, speed: Array, inlet: tuple[Array, Array], flow: Array
) -> tuple[Array, Delivery]:
    """Give the outlet pressure of a centrifugal blower at a flow, and its delivery.

    Head coefficient on tip speed squared and efficiency fall as parabolas either side of the
    best flow coefficient; pressure ratio from the isentropic head (Euler; from memory).
    """
    p1, t1 = inlet
    tip = np.pi * blower.diameter * speed
    coefficient = flow * GAS_CONSTANT * t1 / p1 / (tip * blower.diameter**2)
    off = np.asarray(coefficient - blower.best_flow)
    head = np.maximum(blower.head - blower.head_fall * off**2, 0.05) * tip**2
    efficiency = np.maximum(blower.efficiency - blower.efficiency_fall * off**2, 0.40)
    exponent = KAPPA / (KAPPA - 1)
    outlet = p1 * (1 + head / (HEAT_CAPACITY * t1)) ** exponent
    hot = t1 + head / efficiency / HEAT_CAPACITY
    shaft = flow * head / efficiency / blower.gear_efficiency
    return np.asarray(outlet), Delivery(flow, hot, shaft)
