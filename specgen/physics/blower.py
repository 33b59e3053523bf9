"""Crank-driven blowers: what they deliver, what leaks back, and the work and heat it takes.

A positive-displacement blower is described by its displacement, its leakage and its built-in
volume ratio (1 for a lobe blower). The laws of compression have a room of their own, `compression`,
and can be had from here as well.
"""

from __future__ import annotations

import numpy as np

from specgen.physics._domain import Real, efficiency, not_negative, plain, positive
from specgen.physics.air import CP_AIR, R_AIR
from specgen.physics.compression import centrifugal_pressure_ratio as centrifugal_pressure_ratio
from specgen.physics.compression import compression_work as compression_work
from specgen.physics.compression import discharge_temperature as discharge_temperature
from specgen.physics.compression import displacement_efficiency as displacement_efficiency
from specgen.physics.compression import isentropic_work as isentropic_work
from specgen.physics.compression import temperature_efficiency as temperature_efficiency
from specgen.physics.compression import work_over_inlet_pressure as work_over_inlet_pressure


def swept_flow(displacement: Real, speed: Real) -> Real:
    """Volume that the rotors sweep each second.

    Equation:
        V = D n_b

    Parameters:
        displacement: displacement per rotor revolution, D [m3], 1e-4 to 2e-2
        speed: rotor speed, n_b [rev/s], 0 to 500

    Returns:
        swept volume flow, V [m3/s]

    Raises:
        ValueError: if the displacement is zero or below, or the speed below zero

    Example:
        >>> swept_flow(0.002, 200.0)
        0.4

    Source:
        definition of displacement
    """
    positive(displacement=displacement)
    not_negative(speed=speed)
    return displacement * speed


def slip_speed(
    leak_area: Real, displacement: Real, pressure_rise: Real, inlet_density: Real
) -> Real:
    """Rotor speed at which everything swept leaks back through the clearances.

    Equation:
        n_s = (A / D) (2 dp / rho_1)^0.5, with the sign of dp

    Parameters:
        leak_area: effective leakage area, discharge coefficient included, A [m2], 0 to 1e-3
        displacement: displacement per rotor revolution, D [m3], 1e-4 to 2e-2
        pressure_rise: outlet less inlet pressure, dp [Pa], -100e3 to 300e3
        inlet_density: density at the blower's inlet, rho_1 [kg/m3], 0.3 to 2

    Returns:
        slip speed, n_s [rev/s]

    Raises:
        ValueError: if the leak area is below zero, or displacement or density is zero or below

    Example:
        >>> round(slip_speed(1e-4, 0.002, 50e3, 1.2), 3)
        14.434

    Source:
        orifice flow through the clearances; mechanism as described by McDougald, Imrie and Cole,
        Purdue 1974 (READ). No published table of slip was found: unfitted, carry 5 points.
    """
    not_negative(leak_area=leak_area)
    positive(displacement=displacement, inlet_density=inlet_density)
    leak_velocity = np.sqrt(2.0 * np.abs(pressure_rise) / inlet_density)
    return plain(leak_area / displacement * np.copysign(leak_velocity, pressure_rise))


def volumetric_efficiency(limit_efficiency: Real, slip_speed: Real, speed: Real) -> Real:
    """Volume delivered, counted at the inlet's density, over volume swept.

    Equation:
        eta_v = eta_0 - n_s / n_b

    Parameters:
        limit_efficiency: efficiency as the pressure ratio goes to one, eta_0 [1], 0.8 to 1.05
        slip_speed: slip speed, n_s [rev/s], -50 to 100
        speed: rotor speed, n_b [rev/s], above 0

    Returns:
        volumetric efficiency of the blower, eta_v [1]; zero or below means nothing is delivered

    Raises:
        ValueError: if the limit efficiency or the speed is zero or below

    Example:
        >>> round(volumetric_efficiency(0.97, 14.434, 200.0), 4)
        0.8978

    Source:
        follows from constant displacement and leakage driven by pressure: McDougald, Imrie and
        Cole, Purdue 1974; SAE 260064 (introduction and abstract READ)
    """
    positive(limit_efficiency=limit_efficiency, speed=speed)
    return limit_efficiency - slip_speed / speed


def discharge_temperature_from_work(
    inlet_temperature: Real,
    inlet_pressure: Real,
    work: Real,
    volumetric_efficiency: Real,
    gas_constant: Real = R_AIR,
    specific_heat: Real = CP_AIR,
) -> Real:
    """Temperature of the delivered air when all the work on the gas heats it.

    Equation:
        T_2 = T_1 + w / (rho_1 eta_v c_p),  rho_1 = p_1 / (R T_1)

    Parameters:
        inlet_temperature: temperature at the inlet, T_1 [K], 233 to 373
        inlet_pressure: pressure at the inlet, p_1 [Pa], 30e3 to 110e3
        work: work on the gas per cubic metre swept, w [Pa], any
        volumetric_efficiency: volumetric efficiency of the blower, eta_v [1], above 0
        gas_constant: specific gas constant, R [J/(kg K)], 287 to 295
        specific_heat: specific heat at constant pressure, c_p [J/(kg K)], 1000 to 1040

    Returns:
        discharge temperature, T_2 [K]

    Raises:
        ValueError: if a value other than the work is zero or below

    Example:
        >>> round(discharge_temperature_from_work(298.15, 100e3, 50e3, 0.9), 2)
        345.46

    Source:
        energy balance of an adiabatic machine; closed forms of the matching (computed)
    """
    positive(
        inlet_temperature=inlet_temperature,
        inlet_pressure=inlet_pressure,
        volumetric_efficiency=volumetric_efficiency,
        gas_constant=gas_constant,
        specific_heat=specific_heat,
    )
    density = inlet_pressure / (gas_constant * inlet_temperature)
    return inlet_temperature + work / (density * volumetric_efficiency * specific_heat)


def drive_power(work: Real, swept_flow: Real, mechanical_efficiency: Real) -> Real:
    """Power that the blower takes from its drive; a loss stays a loss when the air drives it.

    Equation:
        P_b = w V / eta_m while w is zero or above, w V eta_m below

    Parameters:
        work: work on the gas per cubic metre swept, w [Pa], any
        swept_flow: swept volume flow, V [m3/s], 0 to 3
        mechanical_efficiency: mechanical efficiency of blower and drive, eta_m [1], 0.7 to 1

    Returns:
        drive power at the crank, P_b [W]

    Raises:
        ValueError: if the flow is below zero, or the efficiency is not above zero and at most one

    Example:
        >>> drive_power(50e3, 0.4, 0.8)
        25000.0

    Source:
        Onkar Singh, Applied Thermodynamics, ch. 16 Ex 15 (RESTATED), with a mechanical efficiency
    """
    not_negative(swept_flow=swept_flow)
    efficiency(mechanical_efficiency=mechanical_efficiency)
    power = work * swept_flow
    return plain(
        np.where(
            np.asarray(power) < 0.0, power * mechanical_efficiency, power / mechanical_efficiency
        )
    )
