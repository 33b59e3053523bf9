"""The two sides of a displacing blower's balance: what it delivers, what the engine swallows.

Leakage, heating and the cooler's loss depend on the blower's pressure ratio alone, whatever the
pressure at its inlet, so that the balance has one unknown at each speed, and the inlet's loss
follows afterwards in closed form. What the unknown is, and how pressure ratio, volumetric
efficiency and heat follow from it, a law or a measured map says.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from specgen.physics._domain import Array, Real, Unphysical, positive
from specgen.physics.stations import Cooler, Demand, Inlet, Match


class Sides:
    """The blower's side of the balance against the engine's, as functions of one unknown.

    `swept` and `swallowed` are volume flows [m3/s]; `heat` is T_2 eta_v, which stays finite where
    nothing is delivered.
    """

    def __init__(
        self, inlet: Inlet, demand: Demand, cooler: Cooler | None, swept: Array, swallowed: Array
    ) -> None:
        self.inlet, self.demand = inlet, demand
        self.swept, self.swallowed = swept, swallowed
        self.cooler = cooler or Cooler(0.0, inlet.temperature)
        self.per_pressure = swept / (inlet.gas_constant * inlet.temperature)
        self.loss = self.cooler.loss_coefficient * inlet.gas_constant * self.per_pressure**2

    def state(self, point: Array) -> tuple[Array, Array, Array]:
        """Give pressure ratio, volumetric efficiency and heat at a value of the unknown."""
        raise NotImplementedError

    def charge_heat(self, eta_v: Array, heat: Array) -> Array:
        """Give T_3 eta_v behind the cooler."""
        effectiveness = self.cooler.effectiveness
        return heat - effectiveness * (heat - self.cooler.coolant_temperature * eta_v)

    def manifold_over_inlet(self, ratio: Array, eta_v: Array, heat: Array) -> Array:
        """Give p_3 / p_1: the pressure ratio less the cooler's loss."""
        return ratio - self.loss * eta_v * heat / ratio

    def surplus(self, point: Array) -> Array:
        """Give what the blower delivers beyond what is swallowed, times R T_3 / p_1."""
        ratio, eta_v, heat = self.state(point)
        charge = self.charge_heat(eta_v, heat)
        delivered = self.swept / self.inlet.temperature * charge
        manifold = self.manifold_over_inlet(ratio, eta_v, heat)
        if self.demand.level:
            return delivered - self.swallowed * manifold
        warmth = self.demand.warmth(charge / np.maximum(eta_v, 1e-3), self.inlet.temperature)
        outside = manifold * inlet_pressure(self.inlet, self.per_pressure * eta_v)
        response = self.demand.response(outside / self.inlet.pressure, warmth)
        return delivered - self.swallowed * manifold * response

    def result(
        self,
        speed: Array,
        blower_speed: Array,
        point: Array,
        solved: NDArray[np.bool_],
        drive: Callable[[Array, Array, Array, Array], Array],
    ) -> Match:
        """Fill in every station; `drive` gives the power from PR, p_1, m and T_2."""
        ratio, eta_v, heat = self.state(np.where(solved, point, np.nan))
        flow_ratio = self.swept * eta_v / (self.inlet.gas_constant * self.inlet.temperature)
        pressure = inlet_pressure(self.inlet, flow_ratio)
        flow, hot = flow_ratio * pressure, heat / eta_v
        return Match(
            speed=speed,
            inlet_pressure=pressure,
            inlet_temperature=np.where(solved, self.inlet.temperature, np.nan),
            pressure_ratio=ratio,
            discharge_pressure=ratio * pressure,
            discharge_temperature=hot,
            manifold_pressure=self.manifold_over_inlet(ratio, eta_v, heat) * pressure,
            charge_temperature=self.charge_heat(eta_v, heat) / eta_v,
            mass_flow=flow,
            blower_speed=blower_speed,
            blower_volumetric_efficiency=eta_v,
            drive_power=drive(ratio, pressure, flow, hot),
            solved=solved,
        )


def speeds(speed: Real, *parts: object) -> Array:
    """Give the speeds as a row, and refuse a parameter that does not go with them.

    `parts` are objects with slots whose values are one each, or one for each speed.
    """
    n = np.atleast_1d(np.asarray(speed, dtype=np.float64))
    positive(engine_speed=n)
    for part in parts:
        for name in getattr(part, "__slots__", ()):
            shape = np.shape(getattr(part, name))
            if shape and shape != n.shape:
                raise Unphysical(
                    f"{name.replace('_', ' ')} must have one value, or one for each of {n.size} "
                    f"speeds, but has {np.size(getattr(part, name))}"
                )
    return n


def inlet_pressure(inlet: Inlet, flow_over_pressure: Array) -> Array:
    """Solve p_1 = p_0 - k m^2 / rho_0 with m proportional to p_1."""
    density = inlet.pressure / (inlet.gas_constant * inlet.temperature)
    curvature = inlet.loss_coefficient * flow_over_pressure**2 / density
    return 2.0 * inlet.pressure / (1.0 + np.sqrt(1.0 + 4.0 * curvature * inlet.pressure))
