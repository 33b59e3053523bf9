"""Fuel flow: what tank, pump and injectors have to deliver.

Fuels and their blends have a room of their own, `blends`, and can be had from here as well.
"""

from __future__ import annotations

from specgen.physics._domain import Real, efficiency, not_negative, plain, positive
from specgen.physics.blends import COMPONENTS as COMPONENTS
from specgen.physics.blends import PUMP_E85_ETHANOL as PUMP_E85_ETHANOL
from specgen.physics.blends import Component as Component
from specgen.physics.blends import Fuel as Fuel
from specgen.physics.blends import blend as blend
from specgen.physics.blends import mass_fractions as mass_fractions
from specgen.physics.blends import stoichiometric_spread as stoichiometric_spread


def excess_air_ratio(air_fuel_ratio: Real, stoichiometric_ratio: Real) -> Real:
    """Air supplied over air needed; what a lambda sensor reads.

    Equation:
        lambda = AFR / AFR_st

    Parameters:
        air_fuel_ratio: air-fuel ratio by mass, AFR [1], 3 to 25
        stoichiometric_ratio: stoichiometric air-fuel ratio of the fuel, AFR_st [1], 1 to 16

    Returns:
        excess-air ratio, lambda [1]

    Raises:
        ValueError: if a ratio is zero or below

    Example:
        >>> round(excess_air_ratio(11.76, 14.7), 3)
        0.8

    Source:
        definition
    """
    positive(air_fuel_ratio=air_fuel_ratio, stoichiometric_ratio=stoichiometric_ratio)
    return air_fuel_ratio / stoichiometric_ratio


def air_fuel_ratio(excess_air_ratio: Real, stoichiometric_ratio: Real) -> Real:
    """Air-fuel ratio by mass that a lambda stands for on a given fuel.

    Equation:
        AFR = lambda AFR_st

    Parameters:
        excess_air_ratio: excess-air ratio, lambda [1], 0.5 to 1.6
        stoichiometric_ratio: stoichiometric air-fuel ratio of the fuel, AFR_st [1], 1 to 16

    Returns:
        air-fuel ratio by mass, AFR [1]

    Raises:
        ValueError: if a ratio is zero or below

    Example:
        >>> round(air_fuel_ratio(0.8, 14.7), 2)
        11.76

    Source:
        definition
    """
    positive(excess_air_ratio=excess_air_ratio, stoichiometric_ratio=stoichiometric_ratio)
    return excess_air_ratio * stoichiometric_ratio


def fuel_mass_flow(air_mass_flow: Real, air_fuel_ratio: Real) -> Real:
    """Fuel that goes with the air.

    Equation:
        m_f = m / AFR

    Parameters:
        air_mass_flow: air mass flow, m [kg/s], 0 to 3
        air_fuel_ratio: air-fuel ratio by mass, AFR [1], 3 to 25

    Returns:
        fuel mass flow, m_f [kg/s]

    Raises:
        ValueError: if the air flow is below zero, or the ratio zero or below

    Example:
        >>> fuel_mass_flow(0.36, 12.0)
        0.03

    Source:
        definition of the air-fuel ratio
    """
    not_negative(air_mass_flow=air_mass_flow)
    positive(air_fuel_ratio=air_fuel_ratio)
    return air_mass_flow / air_fuel_ratio


def pressure_across_injector(rail_pressure: Real, manifold_pressure: Real) -> Real:
    """Pressure that drives the fuel through a port injector.

    Equation:
        dp = p_rail - p_manifold

    Parameters:
        rail_pressure: pressure in the rail, absolute, p_rail [Pa], 200e3 to 1e6
        manifold_pressure: pressure in the manifold, absolute, p_manifold [Pa], 20e3 to 400e3

    Returns:
        pressure across the injector, dp [Pa]

    Raises:
        ValueError: if the rail is not above the manifold, or a pressure is zero or below

    Example:
        >>> pressure_across_injector(400e3, 170e3)
        230000.0

    Source:
        definition; both pressures absolute, or both gauge against the same air
    """
    positive(rail_pressure=rail_pressure, manifold_pressure=manifold_pressure)
    across = rail_pressure - manifold_pressure
    positive(pressure_across_the_injector=across)
    return across


def injector_flow(rated_flow: Real, rated_pressure: Real, pressure_across: Real) -> Real:
    """Flow of a fully open injector at another pressure than it was rated at.

    Equation:
        q = q_0 (dp / dp_0)^0.5

    Parameters:
        rated_flow: volume flow at the rated pressure, q_0 [m3/s], 1e-6 to 5e-5
        rated_pressure: pressure across the injector when rated, dp_0 [Pa], 200e3 to 500e3
        pressure_across: pressure across the injector now, dp [Pa], 100e3 to 700e3

    Returns:
        volume flow, q [m3/s]

    Raises:
        ValueError: if a value is zero or below

    Example:
        >>> round(injector_flow(387.48, 300e3, 400e3), 1)
        447.4

    Source:
        orifice flow: m = C_d A (2 rho dp)^0.5; computed example in the tests
    """
    positive(rated_flow=rated_flow, rated_pressure=rated_pressure, pressure_across=pressure_across)
    return plain(rated_flow * (pressure_across / rated_pressure) ** 0.5)


def injector_duty(fuel_mass_flow: Real, density: Real, count: Real, injector_flow: Real) -> Real:
    """Share of the time that the injectors have to stand open.

    Equation:
        d = m_f / (rho z q)

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        count: number of injectors, z [1], 1 to 32
        injector_flow: flow of one open injector at the working pressure, q [m3/s], above 0

    Returns:
        duty, d [1]; above 1 the injectors are too small

    Raises:
        ValueError: if the fuel flow is below zero, or another value is zero or below

    Example:
        >>> round(injector_duty(0.037778, 745.0, 8, 447.43e-6 / 60), 3)
        0.85

    Source:
        mass balance; opening and closing times left out
    """
    not_negative(fuel_mass_flow=fuel_mass_flow)
    positive(density=density, count=count, injector_flow=injector_flow)
    return fuel_mass_flow / (density * count * injector_flow)


def injector_flow_needed(fuel_mass_flow: Real, density: Real, count: Real, duty: Real) -> Real:
    """Flow that each open injector must have for a wanted duty.

    Equation:
        q = m_f / (rho z d)

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        count: number of injectors, z [1], 1 to 32
        duty: share of the time that they may stand open, d [1], 0.1 to 1

    Returns:
        volume flow of one open injector at the working pressure, q [m3/s]

    Raises:
        ValueError: if the fuel flow is below zero, density or count is zero or below, or the duty
            is not above zero and at most one

    Example:
        >>> round(injector_flow_needed(400 * 0.34 / 3600, 745.0, 8, 0.85) * 60e6, 2)
        447.43

    Source:
        mass balance; computed example in the tests
    """
    not_negative(fuel_mass_flow=fuel_mass_flow)
    positive(density=density, count=count)
    efficiency(duty=duty)
    return fuel_mass_flow / (density * count * duty)


def pump_flow(fuel_mass_flow: Real, density: Real, reserve: Real = 0.0) -> Real:
    """Volume flow that the fuel pump has to deliver at the working pressure.

    Equation:
        q = (1 + s) m_f / rho

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        reserve: what shall flow back or be kept in hand, over the need, s [1], 0 to 1

    Returns:
        volume flow, q [m3/s]

    Raises:
        ValueError: if the fuel flow or the reserve is below zero, or the density zero or below

    Example:
        >>> round(pump_flow(400 * 0.34 / 3600, 745.0) * 3.6e6, 1)
        182.6

    Source:
        mass balance
    """
    not_negative(fuel_mass_flow=fuel_mass_flow, reserve=reserve)
    positive(density=density)
    return (1.0 + reserve) * fuel_mass_flow / density
