"""Belts: length and wrap on two pulleys, the pull that friction allows, and where it slips.

A full layout with idlers on either side has a room of its own, `layout`, and can be had from here
as well. Diameters are those on which the belt's pitch line runs.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from specgen.physics._domain import (
    Real,
    Unphysical,
    above,
    at_least_one,
    between,
    not_negative,
    plain,
    positive,
)
from specgen.physics.layout import BeltPath as BeltPath
from specgen.physics.layout import LayoutPulley as LayoutPulley
from specgen.physics.layout import LayoutSpan as LayoutSpan
from specgen.physics.layout import belt_path as belt_path
from specgen.physics.layout import layout_length as layout_length
from specgen.physics.layout import layout_spans as layout_spans
from specgen.physics.layout import layout_wraps as layout_wraps


class Tensions(NamedTuple):
    """Pull in the two strands of a belt.

    Attributes:
        tight: pull in the strand that drives, T_1 [N]
        slack: pull in the strand that returns, T_2 [N]
    """

    tight: Real
    slack: Real


def open_belt_length(larger_diameter: Real, smaller_diameter: Real, centre_distance: Real) -> Real:
    """Length of a belt around two pulleys, exact.

    Equation:
        L = 2 C cos(a) + (pi/2)(D + d) + a (D - d),  sin(a) = (D - d) / (2 C)

    Parameters:
        larger_diameter: diameter of the larger pulley, D [m], 0.03 to 2
        smaller_diameter: diameter of the smaller pulley, d [m], 0.03 to 2
        centre_distance: distance of the centres, C [m], above (D + d) / 2

    Returns:
        belt length, L [m]

    Raises:
        ValueError: if a value is zero or below, or the pulleys overlap

    Example:
        >>> round(open_belt_length(0.6, 0.24, 3.0), 4)
        7.3303

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    tilt = _strand_tilt(larger_diameter, smaller_diameter, centre_distance)
    straight = 2.0 * centre_distance * np.cos(tilt)
    half_turns = 0.5 * np.pi * (larger_diameter + smaller_diameter)
    return plain(straight + half_turns + tilt * (larger_diameter - smaller_diameter))


def wrap_angle(larger_diameter: Real, smaller_diameter: Real, centre_distance: Real) -> Real:
    """Angle over which a belt around two pulleys touches the smaller one.

    Equation:
        theta = pi - 2 a,  sin(a) = (D - d) / (2 C);  the larger one has pi + 2 a

    Parameters:
        larger_diameter: diameter of the larger pulley, D [m], 0.03 to 2
        smaller_diameter: diameter of the smaller pulley, d [m], 0.03 to 2
        centre_distance: distance of the centres, C [m], above (D + d) / 2

    Returns:
        wrap angle on the smaller pulley, theta [rad]

    Raises:
        ValueError: if a value is zero or below, or the pulleys overlap

    Example:
        >>> round(float(np.degrees(wrap_angle(0.6, 0.24, 3.0))), 2)
        173.12

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    return plain(np.pi - 2.0 * _strand_tilt(larger_diameter, smaller_diameter, centre_distance))


def tension_ratio(friction: Real, wrap: Real, groove_angle: Real = np.pi) -> Real:
    """Largest ratio of the pulls in both strands before the belt slips.

    Equation:
        R = exp(mu theta / sin(beta / 2));  a flat belt has beta = pi

    Parameters:
        friction: coefficient of friction, mu [1], 0.05 to 1
        wrap: wrap angle, theta [rad], 0 to 6.28
        groove_angle: angle between the flanks of a groove, beta [rad], 0.1 to 3.15

    Returns:
        tension ratio T_1 / T_2 at the slip limit, without the centrifugal part, R [1]

    Raises:
        ValueError: if the friction or the wrap is below zero, or the groove angle is not above zero
            and at most pi

    Example:
        >>> round(tension_ratio(0.12, np.pi, np.radians(30.0)), 3)
        4.291

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.17 (RESTATED). Wet friction of a ribbed belt is
        30 to 40 % below dry: Sheng et al. 2011 (abstract READ)
    """
    not_negative(friction=friction, wrap=wrap)
    positive(groove_angle=groove_angle)
    between(0.0, np.pi, groove_angle=groove_angle)
    return plain(np.exp(friction * wrap / np.sin(0.5 * np.asarray(groove_angle))))


def centrifugal_tension(mass_per_length: Real, belt_speed: Real) -> Real:
    """Pull that the belt's own mass puts into it at speed; it presses on nothing.

    Equation:
        T_c = m' v^2

    Parameters:
        mass_per_length: mass of the belt for each metre, m' [kg/m], 0 to 2
        belt_speed: belt speed, v [m/s], 0 to 60

    Returns:
        centrifugal tension, T_c [N]

    Raises:
        ValueError: if a value is below zero

    Example:
        >>> round(centrifugal_tension(0.9, 23.562), 1)
        499.7

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.17 (RESTATED)
    """
    not_negative(mass_per_length=mass_per_length, belt_speed=belt_speed)
    return mass_per_length * belt_speed**2


def tensions(
    power: Real, belt_speed: Real, tension_ratio: Real, centrifugal: Real = 0.0
) -> Tensions:
    """Least pulls in both strands that carry a power without slip.

    Equation:
        T_2 = T_c + (P / v) / (R - 1),  T_1 = T_2 + P / v

    Parameters:
        power: power carried, P [W], 0 to 300e3
        belt_speed: belt speed, v [m/s], above 0
        tension_ratio: ratio at the slip limit without the centrifugal part, R [1], above 1
        centrifugal: centrifugal tension, T_c [N], 0 to 5000

    Returns:
        pull in the tight and in the slack strand [Tensions]

    Raises:
        ValueError: if power or centrifugal tension is below zero, the belt speed zero or below, or
            the ratio not above one

    Example:
        >>> [round(pull) for pull in tensions(4000.0, 3.7699, 2.4755)]
        [1780, 719]

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    not_negative(power=power, centrifugal_tension=centrifugal)
    positive(belt_speed=belt_speed)
    above(1.0, "one", tension_ratio=tension_ratio)
    pull = power / belt_speed
    slack = centrifugal + pull / (tension_ratio - 1.0)
    return Tensions(slack + pull, slack)


def slip_limit_power(
    tight_tension: Real, belt_speed: Real, tension_ratio: Real, centrifugal: Real = 0.0
) -> Real:
    """Power at which the belt slips, when the pull in its tight strand is given.

    Equation:
        P = (T_1 - T_c) (1 - 1 / R) v, and none once T_c has taken all of T_1

    Parameters:
        tight_tension: pull in the tight strand, T_1 [N], 0 to 20e3
        belt_speed: belt speed, v [m/s], 0 to 60
        tension_ratio: ratio at the slip limit without the centrifugal part, R [1], 1 and above
        centrifugal: centrifugal tension, T_c [N], 0 to 5000

    Returns:
        power at the slip limit, P [W]

    Raises:
        ValueError: if a tension or the speed is below zero, or the ratio below one

    Example:
        >>> round(slip_limit_power(5250.0, 23.562, 4.2912, 499.65) * 2e-3, 1)
        171.7

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.17 (RESTATED)
    """
    not_negative(tight_tension=tight_tension, belt_speed=belt_speed, centrifugal=centrifugal)
    at_least_one(tension_ratio=tension_ratio)
    grip = np.maximum(np.asarray(tight_tension) - centrifugal, 0.0)
    return plain(grip * (1.0 - 1.0 / tension_ratio) * belt_speed)


def slip_limit_power_at_rest_tension(
    rest_tension: Real, belt_speed: Real, tension_ratio: Real, centrifugal: Real = 0.0
) -> Real:
    """Power at which a belt on fixed centres slips, when its pull at rest was set.

    Equation:
        P = 2 (T_0 - T_c) (R - 1) / (R + 1) v, and none once T_c has taken all of T_0

    Parameters:
        rest_tension: pull in both strands at rest, T_0 [N], 0 to 5000
        belt_speed: belt speed, v [m/s], 0 to 60
        tension_ratio: ratio at the slip limit without the centrifugal part, R [1], 1 and above
        centrifugal: centrifugal tension, T_c [N], 0 to 5000

    Returns:
        power at the slip limit, P [W]

    Raises:
        ValueError: if a tension or the speed is below zero, or the ratio below one

    Example:
        >>> round(slip_limit_power_at_rest_tension(1249.6, 3.7699, 2.4755))
        4000

    Source:
        T_1 + T_2 = 2 T_0 with Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    not_negative(rest_tension=rest_tension, belt_speed=belt_speed, centrifugal=centrifugal)
    at_least_one(tension_ratio=tension_ratio)
    grip = np.maximum(np.asarray(rest_tension) - centrifugal, 0.0)
    return plain(2.0 * grip * (tension_ratio - 1.0) / (tension_ratio + 1.0) * belt_speed)


def slip_limit_power_at_slack_tension(
    slack_tension: Real, belt_speed: Real, tension_ratio: Real, centrifugal: Real = 0.0
) -> Real:
    """Power at which a belt slips, when a sprung tensioner holds its slack strand.

    Equation:
        P = (T_2 - T_c) (R - 1) v, and none once T_c has taken all of T_2

    Parameters:
        slack_tension: pull in the slack strand, T_2 [N], 0 to 5000
        belt_speed: belt speed, v [m/s], 0 to 60
        tension_ratio: ratio at the slip limit without the centrifugal part, R [1], 1 and above
        centrifugal: centrifugal tension, T_c [N], 0 to 5000

    Returns:
        power at the slip limit, P [W]

    Raises:
        ValueError: if a tension or the speed is below zero, or the ratio below one

    Example:
        >>> round(slip_limit_power_at_slack_tension(719.1, 3.7699, 2.4755))
        4000

    Source:
        Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    not_negative(slack_tension=slack_tension, belt_speed=belt_speed, centrifugal=centrifugal)
    at_least_one(tension_ratio=tension_ratio)
    grip = np.maximum(np.asarray(slack_tension) - centrifugal, 0.0)
    return plain(grip * (tension_ratio - 1.0) * belt_speed)


def grip_used(power: Real, slip_power: Real) -> Real:
    """Share of a belt's grip that a load uses; the margin against slip is what is left of one.

    Equation:
        u = P / P_slip

    Parameters:
        power: power carried, P [W], 0 to 300e3
        slip_power: power at the slip limit, P_slip [W], above 0

    Returns:
        share of the grip, above one where the belt slips, u [1]

    Raises:
        ValueError: if the power is below zero, or the limit zero or below

    Example:
        >>> grip_used(30e3, 60e3)
        0.5

    Source:
        definition
    """
    not_negative(power=power, slip_power=slip_power)
    if np.any(np.asarray(slip_power) == 0.0):
        raise Unphysical("the belt's own mass takes all of its tension there: it grips nothing")
    return power / slip_power


def _strand_tilt(larger: Real, smaller: Real, centre_distance: Real) -> Real:
    """Give the angle between a strand and the line of centres."""
    positive(larger_diameter=larger, smaller_diameter=smaller, centre_distance=centre_distance)
    above(
        0.5 * (larger + smaller), "half the sum of the diameters", centre_distance=centre_distance
    )
    return plain(np.arcsin(0.5 * (larger - smaller) / centre_distance))
