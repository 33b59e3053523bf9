"""The four-stroke engine's own figures: size, speed, torque, power, fuel and friction.

What it breathes has a room of its own, `breathing`, and can be had from here as well.
"""

from __future__ import annotations

from math import pi

from specgen.physics._domain import Real, between, not_negative, positive
from specgen.physics.breathing import air_mass_flow as air_mass_flow
from specgen.physics.breathing import boosted_volumetric_efficiency as boosted_volumetric_efficiency
from specgen.physics.breathing import volumetric_efficiency as volumetric_efficiency

FRICTION_AT_REST = 100e3
FRICTION_PER_PISTON_SPEED = 10.5e3
"""Friction mean pressure of a car engine with plain bearings: at rest [Pa], and its rise per mean
piston speed [Pa/(m/s)]. Source: Blair, Design and Simulation of Four-Stroke Engines, 1999 (100 kPa
plus 350 Pa per metre of stroke and rev/min), from memory. Engines differ from it by 30 % and more.
"""


def swept_volume(bore: Real, stroke: Real, cylinders: Real = 1) -> Real:
    """Volume swept by all pistons in one stroke.

    Equation:
        V_d = z (pi/4) B^2 S

    Parameters:
        bore: cylinder bore, B [m], 0.03 to 0.2
        stroke: piston stroke, S [m], 0.03 to 0.2
        cylinders: number of cylinders, z [1], 1 to 16

    Returns:
        swept volume, V_d [m3]

    Raises:
        ValueError: if a value is zero or below

    Example:
        >>> round(swept_volume(0.1, 0.11, 6), 7)
        0.0051836

    Source:
        geometry; ISO 1585 gives the swept volume so (from memory)
    """
    positive(bore=bore, stroke=stroke, cylinders=cylinders)
    return cylinders * pi / 4.0 * bore**2 * stroke


def mean_piston_speed(stroke: Real, speed: Real) -> Real:
    """Mean speed of the piston: two strokes each revolution.

    Equation:
        c_m = 2 S n

    Parameters:
        stroke: piston stroke, S [m], 0.03 to 0.2
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        mean piston speed, c_m [m/s]

    Raises:
        ValueError: if the stroke is zero or below, or the speed below zero

    Example:
        >>> mean_piston_speed(0.09, 50.0)
        9.0

    Source:
        geometry; 90 mm at 3000 rpm is 9.0 m/s (READ)
    """
    positive(stroke=stroke)
    not_negative(speed=speed)
    return 2.0 * stroke * speed


def power_from_torque(torque: Real, speed: Real) -> Real:
    """Power of a turning shaft.

    Equation:
        P = 2 pi n M

    Parameters:
        torque: torque, M [N m], any
        speed: rotational speed, n [rev/s], 0 to 250

    Returns:
        power, P [W]

    Raises:
        ValueError: if the speed is below zero

    Example:
        >>> round(power_from_torque(500.0, 100.0))
        314159

    Source:
        mechanics; kW = N m rpm / 9549.2966 (pint 0.25.3, RUN)
    """
    not_negative(speed=speed)
    return 2.0 * pi * speed * torque


def torque_from_power(power: Real, speed: Real) -> Real:
    """Torque of a turning shaft.

    Equation:
        M = P / (2 pi n)

    Parameters:
        power: power, P [W], any
        speed: rotational speed, n [rev/s], above 0

    Returns:
        torque, M [N m]

    Raises:
        ValueError: if the speed is zero or below

    Example:
        >>> round(torque_from_power(300e3, 100.0), 2)
        477.46

    Source:
        mechanics; kW = N m rpm / 9549.2966 (pint 0.25.3, RUN)
    """
    positive(speed=speed)
    return power / (2.0 * pi * speed)


def brake_mean_effective_pressure(torque: Real, swept_volume: Real) -> Real:
    """Constant pressure on the pistons that would give this torque at the flywheel.

    Equation:
        p_me = 4 pi M / V_d

    Parameters:
        torque: torque at the flywheel, M [N m], any
        swept_volume: swept volume of the engine, V_d [m3], above 0

    Returns:
        brake mean effective pressure, p_me [Pa]

    Raises:
        ValueError: if the swept volume is zero or below

    Example:
        >>> round(brake_mean_effective_pressure(500.0, 5e-3))
        1256637

    Source:
        definition for the four-stroke engine; Rajput Ex 17.7 (RESTATED)
    """
    positive(swept_volume=swept_volume)
    return 4.0 * pi * torque / swept_volume


def specific_power(power: Real, swept_volume: Real) -> Real:
    """Power over swept volume.

    Equation:
        P_V = P / V_d

    Parameters:
        power: power, P [W], 0 to 2e6
        swept_volume: swept volume of the engine, V_d [m3], above 0

    Returns:
        specific power, P_V [W/m3]

    Raises:
        ValueError: if the swept volume is zero or below

    Example:
        >>> round(specific_power(300e3, 3e-3))
        100000000

    Source:
        definition
    """
    positive(swept_volume=swept_volume)
    return power / swept_volume


def brake_specific_fuel_consumption(fuel_mass_flow: Real, power: Real) -> Real:
    """Fuel burned for each unit of work at the flywheel.

    Equation:
        b = m_f / P

    Parameters:
        fuel_mass_flow: fuel mass flow, m_f [kg/s], 0 to 0.5
        power: brake power, P [W], above 0

    Returns:
        brake specific fuel consumption, b [kg/J]

    Raises:
        ValueError: if the fuel flow is below zero or the power zero or below

    Example:
        >>> round(brake_specific_fuel_consumption(0.03, 300e3) * 3.6e9)
        360

    Source:
        definition
    """
    not_negative(fuel_mass_flow=fuel_mass_flow)
    positive(power=power)
    return fuel_mass_flow / power


def brake_thermal_efficiency(power: Real, fuel_mass_flow: Real, heating_value: Real) -> Real:
    """Work at the flywheel over the heat in the fuel.

    Equation:
        eta_e = P / (m_f H)

    Parameters:
        power: brake power, P [W], 0 to 2e6
        fuel_mass_flow: fuel mass flow, m_f [kg/s], above 0
        heating_value: lower heating value of the fuel, H [J/kg], 10e6 to 50e6

    Returns:
        brake thermal efficiency, eta_e [1]

    Raises:
        ValueError: if the fuel flow or the heating value is zero or below

    Example:
        >>> round(brake_thermal_efficiency(300e3, 0.025, 43.44e6), 4)
        0.2762

    Source:
        definition
    """
    positive(fuel_mass_flow=fuel_mass_flow, heating_value=heating_value)
    return power / (fuel_mass_flow * heating_value)


def friction_mean_pressure(mean_piston_speed: Real) -> Real:
    """Mean pressure that an engine's own friction takes, as a first estimate.

    Equation:
        p_f = 100 kPa + 10.5 kPa/(m/s) c_m

    Parameters:
        mean_piston_speed: mean piston speed, c_m [m/s], 0 to 30

    Returns:
        friction mean effective pressure, p_f [Pa]

    Raises:
        ValueError: if the piston speed is below zero

    Example:
        >>> friction_mean_pressure(10.0)
        205000.0

    Source:
        Blair, Design and Simulation of Four-Stroke Engines, 1999 (from memory). Carry 30 % on it.
    """
    not_negative(mean_piston_speed=mean_piston_speed)
    return FRICTION_AT_REST + FRICTION_PER_PISTON_SPEED * mean_piston_speed


def power_from_mean_pressure(mean_pressure: Real, swept_volume: Real, speed: Real) -> Real:
    """Power that a mean effective pressure stands for in a four-stroke engine.

    Equation:
        P = p_m V_d n / 2

    Parameters:
        mean_pressure: mean effective pressure of any kind, p_m [Pa], any
        swept_volume: swept volume of the engine, V_d [m3], above 0
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        power, P [W]

    Raises:
        ValueError: if the swept volume is zero or below, or the speed below zero

    Example:
        >>> round(power_from_mean_pressure(600e3, 25e-3, 2000 / 60))
        250000

    Source:
        Rajput, Internal Combustion Engines, Ex 17.7 (RESTATED)
    """
    positive(swept_volume=swept_volume)
    not_negative(speed=speed)
    return mean_pressure * swept_volume * speed / 2.0


def brake_power(
    fuel_mass_flow: Real,
    heating_value: Real,
    indicated_efficiency: Real,
    friction_power: Real,
    blower_drive_power: Real,
) -> Real:
    """Power at the flywheel: from the fuel's heat, less friction, less the blower's drive.

    Equation:
        P = eta_i m_f H - P_f - P_b

    Parameters:
        fuel_mass_flow: fuel mass flow, m_f [kg/s], 0 to 0.5
        heating_value: lower heating value of the fuel, H [J/kg], 10e6 to 50e6
        indicated_efficiency: work on the pistons over the fuel's heat, eta_i [1], 0 to 1
        friction_power: power taken by the engine's friction, P_f [W], 0 to 300e3
        blower_drive_power: power taken by the blower's drive, P_b [W], any

    Returns:
        brake power, P [W]

    Raises:
        ValueError: if the efficiency is not a fraction, the heating value is zero or below, or the
            fuel flow or friction below zero

    Example:
        >>> round(brake_power(0.025, 43.44e6, 0.36, 40e3, 50e3))
        300960

    Source:
        energy balance
    """
    not_negative(fuel_mass_flow=fuel_mass_flow, friction_power=friction_power)
    positive(heating_value=heating_value)
    between(0.0, 1.0, indicated_efficiency=indicated_efficiency)
    indicated_power = indicated_efficiency * fuel_mass_flow * heating_value
    return indicated_power - friction_power - blower_drive_power
