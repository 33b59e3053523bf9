"""A run from a standing start: the mean power that went into motion, by energy alone."""

from __future__ import annotations

from specgen.physics._domain import Real, not_negative, positive


def mean_power_by_time(mass: Real, speed: Real, time: Real) -> Real:
    """Mean power that went into the motion, from mass, speed at the end and time.

    Equation:
        P = m v^2 / (2 t)

    Parameters:
        mass: all that was moved, m [kg], 20 to 50e3
        speed: speed at the end, from rest, v [m/s], 0 to 200
        time: from the start to there, t [s], above 0

    Returns:
        mean power into motion, without air, rolling and slip, P [W]

    Raises:
        ValueError: if mass or time is zero or below, or the speed below zero

    Example:
        >>> mean_power_by_time(1000.0, 30.0, 9.0)
        50000.0

    Source:
        definition: kinetic energy over time
    """
    positive(mass=mass, time=time)
    not_negative(speed=speed)
    return 0.5 * mass * speed**2 / time


def constant_power_by_distance(mass: Real, speed: Real, distance: Real) -> Real:
    """Power that gives a speed over a distance from rest, had it been the same all along.

    Equation:
        P = m v^3 / (3 s)

    Parameters:
        mass: all that was moved, m [kg], 20 to 50e3
        speed: speed at the end, from rest, v [m/s], 0 to 200
        distance: from the start to there, s [m], above 0

    Returns:
        power into motion, without air, rolling and slip, P [W]

    Raises:
        ValueError: if mass or distance is zero or below, or the speed below zero

    Example:
        >>> constant_power_by_distance(1000.0, 30.0, 180.0)
        50000.0

    Source:
        kinematics: m v dv = P ds / v, integrated from rest
    """
    positive(mass=mass, distance=distance)
    not_negative(speed=speed)
    return mass * speed**3 / (3.0 * distance)
