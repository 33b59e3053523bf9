"""Air through pipes, bends and openings: what each part of the air's way costs in pressure.

For air that is hardly compressed on the way: drops below a tenth of the pressure before them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sin, sqrt

import numpy as np

from specgen.physics._domain import (
    Real,
    above,
    at_least_one,
    between,
    efficiency,
    not_negative,
    plain,
    positive,
)

#: Below this Reynolds number the flow in a pipe is laminar.
LAMINAR = 2300.0


def air_viscosity(temperature: Real) -> Real:
    """Dynamic viscosity of air.

    Equation:
        mu = 1.458e-6 T^1.5 / (T + 110.4)

    Parameters:
        temperature: temperature of the air, T [K], 200 to 500

    Returns:
        dynamic viscosity, mu [Pa s]

    Raises:
        ValueError: if the temperature is not from 100 to 1000 K

    Example:
        >>> round(air_viscosity(288.15) * 1e5, 3)
        1.789

    Source:
        Sutherland's law with the constants of the US Standard Atmosphere 1976, as fluids 1.3.1 has
        it (RUN)
    """
    between(100.0, 1000.0, temperature=temperature)
    return 1.458e-6 * temperature**1.5 / (temperature + 110.4)


def air_velocity(mass_flow: Real, density: Real, bore: Real) -> Real:
    """Mean velocity of the air in a round pipe.

    Equation:
        v = m / (rho (pi/4) D^2)

    Parameters:
        mass_flow: air mass flow, m [kg/s], 0 to 3
        density: density of the air, rho [kg/m3], 0.3 to 8
        bore: inner diameter of the pipe, D [m], 0.01 to 0.4

    Returns:
        velocity, v [m/s]

    Raises:
        ValueError: if the flow is below zero, or another value zero or below

    Example:
        >>> round(air_velocity(0.25, 1.2, 0.08), 2)
        41.45

    Source:
        balance of mass
    """
    not_negative(mass_flow=mass_flow)
    positive(density=density, bore=bore)
    return mass_flow / (density * 0.25 * pi * bore**2)


def reynolds_number(mass_flow: Real, bore: Real, viscosity: Real) -> Real:
    """Reynolds number of the flow in a round pipe.

    Equation:
        Re = 4 m / (pi D mu)

    Parameters:
        mass_flow: air mass flow, m [kg/s], 0 to 3
        bore: inner diameter of the pipe, D [m], 0.01 to 0.4
        viscosity: dynamic viscosity, mu [Pa s], 1.3e-5 to 3e-5

    Returns:
        Reynolds number, Re [1]

    Raises:
        ValueError: if the flow is below zero, or another value zero or below

    Example:
        >>> round(reynolds_number(0.25, 0.08, 1.8e-5))
        221049

    Source:
        definition
    """
    not_negative(mass_flow=mass_flow)
    positive(bore=bore, viscosity=viscosity)
    return 4.0 * mass_flow / (pi * bore * viscosity)


def friction_factor(reynolds_number: Real, roughness: Real, bore: Real) -> Real:
    """Darcy friction factor of a pipe: Haaland's equation, and 64 / Re where the flow is laminar.

    Equation:
        f^-0.5 = -1.8 log10[(e / (3.7 D))^1.11 + 6.9 / Re],  f = 64 / Re below Re = 2300

    Parameters:
        reynolds_number: Reynolds number, Re [1], above 0; best above 4000
        roughness: roughness of the wall, e [m], 0 to 0.05 D
        bore: inner diameter of the pipe, D [m], 0.01 to 0.4

    Returns:
        Darcy friction factor, f [1]

    Raises:
        ValueError: if Reynolds number or bore is zero or below, or the roughness is not from zero
            to a twentieth of the bore

    Example:
        >>> round(friction_factor(1e5, 10e-6, 0.1), 5)
        0.01827

    Source:
        Haaland, J. Fluids Eng. 105 (1983) 89, as fluids 1.3.1 has it (RUN); within 2 % of
        Colebrook's equation (RUN)
    """
    positive(reynolds_number=reynolds_number, bore=bore)
    share = np.asarray(roughness, dtype=np.float64) / bore
    between(0.0, 0.05, roughness_over_bore=share)
    inside = (share / 3.7) ** 1.11 + 6.9 / np.asarray(reynolds_number)
    rough = (-1.8 * np.log10(np.minimum(inside, 0.5))) ** -2  # the bound only serves laminar flow
    return plain(np.where(np.asarray(reynolds_number) < LAMINAR, 64.0 / reynolds_number, rough))


def bend_loss_coefficient(
    bend_radius: Real, bore: Real, friction_factor: Real, count: Real = 1.0
) -> Real:
    """Loss coefficient of bends of 90 degrees, beyond the friction along their middle.

    Equation:
        K = z {(0.10 + 2.4 f) sin(45 deg) + 6.6 f [sin(45 deg)^0.5 + sin(45 deg)] / (r / D)^2}

    Parameters:
        bend_radius: radius at the middle of the pipe, r [m], at least D / 2
        bore: inner diameter of the pipe, D [m], 0.01 to 0.4
        friction_factor: Darcy friction factor, f [1], 0.005 to 0.1
        count: how many bends, z [1], 0 to 40

    Returns:
        loss coefficient of all, K [1]

    Raises:
        ValueError: if bore or friction factor is zero or below, the radius below half the bore, or
            the count below zero

    Example:
        >>> round(bend_loss_coefficient(0.12, 0.08, 0.0185), 4)
        0.1861

    Source:
        Rennels and Hudson, Pipe Flow (2012), ch. 15, as fluids 1.3.1 has it (RUN), without its
        term of friction along the middle
    """
    positive(bore=bore, friction_factor=friction_factor)
    not_negative(count=count)
    tightness = 2.0 * bend_radius / bore
    at_least_one(bend_radius_over_half_the_bore=tightness)
    half = sin(0.25 * pi)
    turned = 6.6 * friction_factor * (sqrt(half) + half) / (0.5 * tightness) ** 2
    return count * ((0.10 + 2.4 * friction_factor) * half + turned)


def pipe_pressure_drop(
    mass_flow: Real,
    density: Real,
    bore: Real,
    length: Real,
    friction_factor: Real,
    loss_coefficient: Real = 0.0,
) -> Real:
    """Pressure lost in a round pipe with its bends.

    Equation:
        dp = (f L / D + K) rho v^2 / 2,  v = m / (rho (pi/4) D^2)

    Parameters:
        mass_flow: air mass flow, m [kg/s], 0 to 3
        density: density of the air, rho [kg/m3], 0.3 to 8
        bore: inner diameter of the pipe, D [m], 0.01 to 0.4
        length: length along the middle, bends included, L [m], 0 to 10
        friction_factor: Darcy friction factor, f [1], 0.005 to 0.1
        loss_coefficient: loss coefficient of all bends, K [1], 0 to 20

    Returns:
        pressure drop, dp [Pa]

    Raises:
        ValueError: if flow, length or loss coefficient is below zero, or another value zero or
            below

    Example:
        >>> round(pipe_pressure_drop(0.25, 1.2, 0.08, 0.65, 0.016, 0.4))
        546

    Source:
        Darcy and Weisbach, as fluids 1.3.1 has it (RUN)
    """
    not_negative(length=length, loss_coefficient=loss_coefficient)
    positive(friction_factor=friction_factor)
    velocity = air_velocity(mass_flow, density, bore)
    return (friction_factor * length / bore + loss_coefficient) * 0.5 * density * velocity**2


def bore_area(bore: Real, count: Real) -> Real:
    """Free area of round openings side by side.

    Equation:
        A = z (pi/4) D^2

    Parameters:
        bore: diameter of each opening, D [m], 0.01 to 0.4
        count: how many of them, z [1], 1 to 24

    Returns:
        area, A [m2]

    Raises:
        ValueError: if the bore is zero or below, or the count below one

    Example:
        >>> round(bore_area(0.078, 1) * 1e4, 2)
        47.78

    Source:
        geometry
    """
    positive(bore=bore)
    at_least_one(count=count)
    return count * 0.25 * pi * bore**2


def opening_pressure_drop(
    mass_flow: Real, density: Real, area: Real, discharge_coefficient: Real
) -> Real:
    """Pressure lost in an open throttle or another opening, its jet's speed lost with it.

    Equation:
        dp = [m / (C_d A)]^2 / (2 rho)

    Parameters:
        mass_flow: air mass flow, m [kg/s], 0 to 3
        density: density before the opening, rho [kg/m3], 0.3 to 8
        area: free area of the opening, A [m2], 1e-4 to 0.1
        discharge_coefficient: discharge coefficient, C_d [1], 0.5 to 1

    Returns:
        pressure drop, dp [Pa]

    Raises:
        ValueError: if the flow is below zero, density or area zero or below, or the coefficient
            not above zero and at most one

    Example:
        >>> round(opening_pressure_drop(0.25, 1.2, 0.0048, 0.9))
        1395

    Source:
        Bernoulli's equation with a discharge coefficient; ISO 5167 nozzle of fluids 1.3.1 (RUN)
    """
    not_negative(mass_flow=mass_flow)
    positive(density=density, area=area)
    efficiency(discharge_coefficient=discharge_coefficient)
    return (mass_flow / (discharge_coefficient * area)) ** 2 / (2.0 * density)


def drop_in_series(drops: Sequence[Real]) -> Real:
    """Pressure lost in parts that the air passes one after the other.

    Equation:
        dp = dp_1 + dp_2 + ...

    Parameters:
        drops: pressure drop of each part, dp_1, dp_2 ... [Pa], 0 to 50e3

    Returns:
        pressure drop of all, dp [Pa]

    Raises:
        ValueError: if there is none, or one is below zero

    Example:
        >>> float(drop_in_series([900.0, 540.0, 1400.0]))
        2840.0

    Source:
        balance of pressure, the density taken as the same in all parts
    """
    above(0, "zero", number_of_parts=float(len(drops)))
    not_negative(**{f"drop_of_part_{number}": drop for number, drop in enumerate(drops, 1)})
    return plain(sum(np.asarray(drop, dtype=np.float64) for drop in drops))
