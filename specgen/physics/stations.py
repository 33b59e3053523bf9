"""What stands along the air's way from filter to manifold, and the state at each station.

Every parameter may be one value, or one for each engine speed that is solved: a caller that wants
many cases at once repeats the speeds and gives each repetition its own parameters.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.physics._domain import (
    Array,
    Real,
    above,
    at_least_one,
    between,
    efficiency,
    not_negative,
    positive,
)
from specgen.physics.air import CP_AIR, KAPPA, R_AIR


@dataclass(frozen=True, slots=True, eq=False)
class Inlet:
    """The air before filter and throttle, and what these cost.

    Attributes:
        pressure: ambient pressure, p_0 [Pa]
        temperature: ambient temperature, T_0 [K]
        loss_coefficient: k in dp = k m^2 / rho_0 up to the blower [1/m4]
        gas_constant: specific gas constant of this air, R [J/(kg K)]
        specific_heat: specific heat at constant pressure, c_p [J/(kg K)]
    """

    pressure: Real
    temperature: Real
    loss_coefficient: Real = 0.0
    gas_constant: Real = R_AIR
    specific_heat: Real = CP_AIR

    def __post_init__(self) -> None:
        positive(
            inlet_pressure=self.pressure,
            inlet_temperature=self.temperature,
            gas_constant=self.gas_constant,
            specific_heat=self.specific_heat,
        )
        not_negative(inlet_loss_coefficient=self.loss_coefficient)


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """The engine as the blower sees it.

    Attributes:
        swept_volume: swept volume of the four-stroke engine, V_d [m3]
        volumetric_efficiency: on the charge's density in the manifold, eta_e [1]; one value, or one
            for each speed
        compression_ratio: compression ratio, r [1], or None. Where it is given, the volumetric
            efficiency is the one at the pressure and temperature outside, and goes with boost as in
            breathing.boosted_volumetric_efficiency
        temperature_exponent: how far a warmer charge picks up less heat, as a power of its
            temperature, m [1], 0 to 1; 0.5 there
        reference_temperature: temperature of the charge at which the volumetric efficiency is
            stated, T_ref [K]; None where that is the temperature outside
    """

    swept_volume: Real
    volumetric_efficiency: Real
    compression_ratio: Real | None = None
    temperature_exponent: Real = 0.5
    reference_temperature: Real | None = None

    def __post_init__(self) -> None:
        positive(
            swept_volume=self.swept_volume,
            volumetric_efficiency_of_the_engine=(self.volumetric_efficiency),
        )
        if self.compression_ratio is not None:
            above(1.0, "one", compression_ratio=self.compression_ratio)

    @property
    def level(self) -> bool:
        """Whether the volumetric efficiency is the same at every pressure and temperature."""
        return self.compression_ratio is None and self.reference_temperature is None

    def warmth(self, charge: Array, outside: Real) -> Array:
        """Give the charge's temperature over that at which the efficiency is stated."""
        stated = outside if self.reference_temperature is None else self.reference_temperature
        return np.asarray(charge / stated)

    def response(self, pressure_ratio: Array, temperature_ratio: Array) -> Real:
        """Volumetric efficiency against the stated one: residual gas less, heat pick-up less.

        The pressure ratio is manifold over outside, the exhaust being taken to stand at the
        pressure outside; the temperature ratio is that of `warmth`.
        """
        if self.level:
            return 1.0
        warm = np.minimum(np.maximum(temperature_ratio, 0.5), 3.0) ** self.temperature_exponent
        if self.compression_ratio is None:
            return np.asarray(warm)
        residual = np.maximum(pressure_ratio, 0.2) ** (-1.0 / KAPPA)
        share = (self.compression_ratio - residual) / (self.compression_ratio - 1.0)
        return np.asarray(share * warm)


@dataclass(frozen=True, slots=True, eq=False)
class Supply:
    """A positive-displacement blower and its drive.

    Attributes:
        displacement: displacement per rotor revolution, D [m3]
        speed_ratio: rotor revolutions per crank revolution, i [1]
        limit_efficiency: volumetric efficiency as the pressure ratio goes to one, eta_0 [1]
        leak_area: effective leakage area, discharge coefficient included, A [m2]
        built_in_ratio: built-in volume ratio, r [1]
        mechanical_efficiency: mechanical efficiency of blower and drive, eta_m [1]
    """

    displacement: Real
    speed_ratio: Real
    limit_efficiency: Real = 1.0
    leak_area: Real = 0.0
    built_in_ratio: Real = 1.0
    mechanical_efficiency: Real = 1.0

    def __post_init__(self) -> None:
        positive(
            displacement=self.displacement,
            speed_ratio=self.speed_ratio,
            limit_efficiency=self.limit_efficiency,
        )
        not_negative(leak_area=self.leak_area)
        at_least_one(built_in_ratio=self.built_in_ratio)
        efficiency(mechanical_efficiency=self.mechanical_efficiency)


@dataclass(frozen=True, slots=True, eq=False)
class Cooler:
    """A charge cooler between blower and manifold.

    Attributes:
        effectiveness: effectiveness, eps [1]
        coolant_temperature: temperature of coolant or cooling air at its inlet, T_c [K]
        loss_coefficient: k in dp = k m^2 / rho_2 [1/m4]
    """

    effectiveness: Real
    coolant_temperature: Real
    loss_coefficient: Real = 0.0

    def __post_init__(self) -> None:
        between(0.0, 1.0, cooler_effectiveness=self.effectiveness)
        positive(coolant_temperature=self.coolant_temperature)
        not_negative(cooler_loss_coefficient=self.loss_coefficient)


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """The balance of blower and engine at each speed; not a number where there is none.

    Attributes:
        speed: engine speed [rev/s]
        inlet_pressure: pressure at the blower's inlet [Pa]
        inlet_temperature: temperature at the blower's inlet [K]
        pressure_ratio: outlet over inlet pressure of the blower [1]
        discharge_pressure: pressure at the blower's outlet [Pa]
        discharge_temperature: temperature at the blower's outlet [K]
        manifold_pressure: pressure in the manifold [Pa]
        charge_temperature: temperature in the manifold [K]
        mass_flow: air mass flow through the engine [kg/s]
        blower_speed: rotor speed [rev/s]; not a number without a blower
        blower_volumetric_efficiency: delivered over swept volume [1]; not a number where the kind
            of blower has none
        drive_power: power taken from the crank [W]
        solved: whether there is a balance at this speed
        reason: why there is none where there is none, or None where all speeds are solved [text]
        outside: with a measured map, where the balance lies at each speed: 0 on the map, else an
            index of map_matching.OUTSIDE [1]; None without a map
    """

    speed: Array
    inlet_pressure: Array
    inlet_temperature: Array
    pressure_ratio: Array
    discharge_pressure: Array
    discharge_temperature: Array
    manifold_pressure: Array
    charge_temperature: Array
    mass_flow: Array
    blower_speed: Array
    blower_volumetric_efficiency: Array
    drive_power: Array
    solved: NDArray[np.bool_]
    reason: str | None = None
    outside: NDArray[np.int8] | None = None
