"""Compression of air: the work and heat it takes, by internal compression, back-flow or impeller.

Specific work here is work for each cubic metre swept, which is a pressure.
"""

from __future__ import annotations

import numpy as np

from specgen.physics._domain import (
    Real,
    above,
    at_least_one,
    efficiency,
    not_negative,
    plain,
    positive,
)
from specgen.physics.air import KAPPA


def compression_work(
    inlet_pressure: Real,
    outlet_pressure: Real,
    built_in_ratio: Real = 1.0,
    isentropic_exponent: float = KAPPA,
) -> Real:
    """Work on the gas for each cubic metre swept: internal compression, then back-flow.

    Equation:
        w = k/(k-1) p_1 (r^(k-1) - 1) + (p_2 - p_1 r^k) / r

    Parameters:
        inlet_pressure: pressure at the blower's inlet, p_1 [Pa], 30e3 to 110e3
        outlet_pressure: pressure at the blower's outlet, p_2 [Pa], 30e3 to 400e3
        built_in_ratio: built-in volume ratio, r [1], 1 to 2.5
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        work per cubic metre swept, w [Pa]

    Raises:
        ValueError: if a pressure is zero or below, the built-in ratio below one, or the exponent
            at most one

    Example:
        >>> compression_work(100e3, 150e3)
        50000.0

    Source:
        Nag, Basic and Applied Thermodynamics, Ex 19.14 and 19.15; Rajput, Internal Combustion
        Engines, Ex 20.35 (RESTATED)
    """
    positive(inlet_pressure=inlet_pressure, outlet_pressure=outlet_pressure)
    _machine(built_in_ratio, isentropic_exponent)
    return plain(
        inlet_pressure
        * work_over_inlet_pressure(
            outlet_pressure / inlet_pressure, built_in_ratio, isentropic_exponent
        )
    )


def work_over_inlet_pressure(
    pressure_ratio: Real, built_in_ratio: Real = 1.0, isentropic_exponent: float = KAPPA
) -> Real:
    """Work for each cubic metre swept as a multiple of the inlet pressure.

    Equation:
        w / p_1 = k/(k-1) (r^(k-1) - 1) + (PR - r^k) / r

    Parameters:
        pressure_ratio: outlet over inlet pressure, PR [1], 0.3 to 4
        built_in_ratio: built-in volume ratio, r [1], 1 to 2.5
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        specific work over inlet pressure, w / p_1 [1]

    Raises:
        ValueError: if the pressure ratio is zero or below, the built-in ratio below one, or the
            exponent at most one

    Example:
        >>> work_over_inlet_pressure(1.5)
        0.5

    Source:
        Nag, Basic and Applied Thermodynamics, Ex 19.14 and 19.15 (RESTATED)
    """
    positive(pressure_ratio=pressure_ratio)
    _machine(built_in_ratio, isentropic_exponent)
    k, r = isentropic_exponent, built_in_ratio
    internal = k / (k - 1.0) * (r ** (k - 1.0) - 1.0)
    return plain(internal + (pressure_ratio - r**k) / r)


def isentropic_work(
    inlet_pressure: Real, outlet_pressure: Real, isentropic_exponent: float = KAPPA
) -> Real:
    """Least work for each cubic metre taken in and delivered at the outlet's pressure.

    Equation:
        w_s = k/(k-1) p_1 [(p_2/p_1)^((k-1)/k) - 1]

    Parameters:
        inlet_pressure: pressure at the blower's inlet, p_1 [Pa], 30e3 to 110e3
        outlet_pressure: pressure at the blower's outlet, p_2 [Pa], 30e3 to 400e3
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        isentropic work per cubic metre, w_s [Pa]

    Raises:
        ValueError: if a pressure is zero or below, or the exponent at most one

    Example:
        >>> round(isentropic_work(100e3, 200e3))
        76655

    Source:
        Onkar Singh, Applied Thermodynamics, ch. 16 Ex 15; Rajput Ex 20.36 (RESTATED)
    """
    positive(inlet_pressure=inlet_pressure, outlet_pressure=outlet_pressure)
    above(1.0, "one", isentropic_exponent=isentropic_exponent)
    exponent = (isentropic_exponent - 1.0) / isentropic_exponent
    rise = (outlet_pressure / inlet_pressure) ** exponent - 1.0
    return plain(inlet_pressure * rise / exponent)


def displacement_efficiency(
    pressure_ratio: Real, built_in_ratio: Real = 1.0, isentropic_exponent: float = KAPPA
) -> Real:
    """Isentropic work over the work of a leak-free machine with this built-in ratio.

    Equation:
        eta = k/(k-1) (PR^((k-1)/k) - 1) / (w / p_1); its limit 1 at PR = 1 without built-in ratio

    Parameters:
        pressure_ratio: outlet over inlet pressure, PR [1], 1 to 4
        built_in_ratio: built-in volume ratio, r [1], 1 to 2.5
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        isentropic efficiency of the leak-free machine, eta [1]

    Raises:
        ValueError: if the pressure ratio or the built-in ratio is below one, or the exponent at
            most one

    Example:
        >>> round(displacement_efficiency(2.0), 5)
        0.76655

    Source:
        Onkar Singh, Applied Thermodynamics, ch. 16 Ex 15; Rajput Ex 20.36 (RESTATED)
    """
    at_least_one(pressure_ratio=pressure_ratio)
    least = isentropic_work(1.0, pressure_ratio, isentropic_exponent)
    work = work_over_inlet_pressure(pressure_ratio, built_in_ratio, isentropic_exponent)
    idle = np.asarray(work) == 0.0
    return plain(np.where(idle, 1.0, least / np.where(idle, 1.0, work)))


def discharge_temperature(
    inlet_temperature: Real,
    pressure_ratio: Real,
    isentropic_efficiency: Real,
    isentropic_exponent: float = KAPPA,
) -> Real:
    """Temperature of the air after a compression of known isentropic efficiency.

    Equation:
        T_2 = T_1 [1 + (PR^((k-1)/k) - 1) / eta_s]

    Parameters:
        inlet_temperature: temperature at the inlet, T_1 [K], 233 to 373
        pressure_ratio: outlet over inlet pressure, PR [1], 1 to 4
        isentropic_efficiency: isentropic efficiency on temperatures, eta_s [1], 0.3 to 1
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        discharge temperature, T_2 [K]

    Raises:
        ValueError: if temperature or pressure ratio is zero or below, the efficiency is not above
            zero and at most one, or the exponent at most one

    Example:
        >>> round(discharge_temperature(298.15, 1.5, 0.6), 3)
        359.183

    Source:
        definition of the isentropic efficiency; fluids 1.3.1 (RUN)
    """
    positive(inlet_temperature=inlet_temperature, pressure_ratio=pressure_ratio)
    efficiency(isentropic_efficiency=isentropic_efficiency)
    above(1.0, "one", isentropic_exponent=isentropic_exponent)
    rise = pressure_ratio ** ((isentropic_exponent - 1.0) / isentropic_exponent) - 1.0
    return plain(inlet_temperature * (1.0 + rise / isentropic_efficiency))


def temperature_efficiency(
    inlet_temperature: Real,
    outlet_temperature: Real,
    pressure_ratio: Real,
    isentropic_exponent: float = KAPPA,
) -> Real:
    """Isentropic efficiency from measured temperatures; not the one on shaft power.

    Equation:
        eta_T = T_1 (PR^((k-1)/k) - 1) / (T_2 - T_1)

    Parameters:
        inlet_temperature: temperature at the inlet, T_1 [K], 233 to 373
        outlet_temperature: temperature at the outlet, T_2 [K], above T_1
        pressure_ratio: outlet over inlet pressure, PR [1], 1 to 4
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        isentropic efficiency on temperatures, eta_T [1]

    Raises:
        ValueError: if a value is zero or below, the outlet is not warmer than the inlet, or the
            exponent at most one

    Example:
        >>> round(temperature_efficiency(298.15, 359.183, 1.5), 4)
        0.6

    Source:
        definition of the isentropic efficiency; fluids 1.3.1 (RUN)
    """
    positive(inlet_temperature=inlet_temperature, pressure_ratio=pressure_ratio)
    above(inlet_temperature, "the inlet temperature", outlet_temperature=outlet_temperature)
    above(1.0, "one", isentropic_exponent=isentropic_exponent)
    rise = pressure_ratio ** ((isentropic_exponent - 1.0) / isentropic_exponent) - 1.0
    return plain(inlet_temperature * rise / (outlet_temperature - inlet_temperature))


def centrifugal_pressure_ratio(
    reference_ratio: Real,
    speed: Real,
    reference_speed: Real,
    isentropic_exponent: float = KAPPA,
    warmth: Real = 1.0,
) -> Real:
    """Pressure ratio of a centrifugal blower: its isentropic head goes with speed squared.

    The same head is a smaller share of what warm air holds: on a hot day the ratio is lower.

    Equation:
        PR = [1 + (PR_0^((k-1)/k) - 1) (n / n_0)^2 / (T_1 / T_0)]^(k/(k-1))

    Parameters:
        reference_ratio: pressure ratio at the reference speed, PR_0 [1], 1 to 4
        speed: impeller speed, n [rev/s], 0 to 3000
        reference_speed: impeller speed of the reference ratio, n_0 [rev/s], above 0
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4
        warmth: temperature at the inlet over that of the reference ratio, T_1 / T_0 [1], 0.8 to 1.3

    Returns:
        pressure ratio, PR [1]

    Raises:
        ValueError: if the reference ratio is below one, the speed below zero, the reference speed
            or the warmth zero or below, or the exponent at most one

    Example:
        >>> round(centrifugal_pressure_ratio(1.5, 0.8, 1.0), 4)
        1.3032

    Source:
        similarity of flow at one flow coefficient (computed), speed corrected by the root of the
        inlet temperature; holds near the best point only
    """
    at_least_one(reference_ratio=reference_ratio)
    not_negative(speed=speed)
    positive(reference_speed=reference_speed, warmth=warmth)
    above(1.0, "one", isentropic_exponent=isentropic_exponent)
    exponent = (isentropic_exponent - 1.0) / isentropic_exponent
    head = (reference_ratio**exponent - 1.0) * (speed / reference_speed) ** 2 / warmth
    return plain((1.0 + head) ** (1.0 / exponent))


def _machine(built_in_ratio: Real, isentropic_exponent: float) -> None:
    at_least_one(built_in_ratio=built_in_ratio)
    above(1.0, "one", isentropic_exponent=isentropic_exponent)
