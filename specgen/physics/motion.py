"""How piston and valves move: kinematics of the crank drive and the angles on a cam card.

Crank angles are counted from top dead centre. The cylinder's axis meets the crank's axis and the
pin sits in the middle of the piston.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from specgen.physics._domain import Array, Real, above, between, not_negative, plain, positive


class ValveEvents(NamedTuple):
    """Where a valve opens and closes, each counted from its usual dead centre.

    Attributes:
        opening: intake: before top dead centre; exhaust: before bottom dead centre [rad]
        closing: intake: after bottom dead centre; exhaust: after top dead centre [rad]
    """

    opening: Real
    closing: Real


class ValveTiming(NamedTuple):
    """The other form of a cam card: how long a valve is open and where the middle lies.

    Attributes:
        duration: crank angle from opening to closing [rad]
        centre_line: intake: middle after top dead centre; exhaust: middle before it [rad]
    """

    duration: Real
    centre_line: Real


def piston_position(crank_angle: Real, stroke: Real, rod_length: Real) -> Real:
    """Way of the piston from top dead centre.

    Equation:
        x = r + l - r cos(a) - (l^2 - r^2 sin(a)^2)^0.5,  r = S / 2

    Parameters:
        crank_angle: crank angle after top dead centre, a [rad], any
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], above S / 2

    Returns:
        way from top dead centre, x [m]

    Raises:
        ValueError: if a length is zero or below, or the rod is no longer than the crank's throw

    Example:
        >>> round(piston_position(np.pi / 2, 0.09, 0.15), 5)
        0.05191

    Source:
        geometry; scipy 1.17.1 on the rod's constraint (RUN)
    """
    r, _, root, cos_a = _crank(crank_angle, stroke, rod_length)
    return plain(r + rod_length - r * cos_a - root)


def piston_velocity(crank_angle: Real, stroke: Real, rod_length: Real, speed: Real) -> Real:
    """Velocity of the piston away from top dead centre.

    Equation:
        v = w r sin(a) [1 + r cos(a) / (l^2 - r^2 sin(a)^2)^0.5],  w = 2 pi n

    Parameters:
        crank_angle: crank angle after top dead centre, a [rad], any
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], above S / 2
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        velocity, v [m/s]

    Raises:
        ValueError: if a length is zero or below, the rod no longer than the crank's throw, or the
            speed below zero

    Example:
        >>> round(piston_velocity(np.pi / 2, 0.09, 0.15, 100.0), 3)
        28.274

    Source:
        derivative of the position; numerical derivative in the tests
    """
    not_negative(speed=speed)
    r, sin_a, root, cos_a = _crank(crank_angle, stroke, rod_length)
    return plain(2.0 * np.pi * speed * r * sin_a * (1.0 + r * cos_a / root))


def piston_acceleration(crank_angle: Real, stroke: Real, rod_length: Real, speed: Real) -> Real:
    """Acceleration of the piston away from top dead centre.

    Equation:
        a_p = w^2 r [cos(a) + r (l^2 cos(2 a) + r^2 sin(a)^4) / (l^2 - r^2 sin(a)^2)^1.5]

    Parameters:
        crank_angle: crank angle after top dead centre, a [rad], any
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], above S / 2
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        acceleration, a_p [m/s2]

    Raises:
        ValueError: if a length is zero or below, the rod no longer than the crank's throw, or the
            speed below zero

    Example:
        >>> round(piston_acceleration(0.0, 0.09, 0.15, 100.0))
        23095

    Source:
        second derivative of the position; numerical derivative in the tests
    """
    not_negative(speed=speed)
    r, sin_a, root, cos_a = _crank(crank_angle, stroke, rod_length)
    second = r * (rod_length**2 * (cos_a**2 - sin_a**2) + r**2 * sin_a**4) / root**3
    return plain((2.0 * np.pi * speed) ** 2 * r * (cos_a + second))


def peak_piston_acceleration(stroke: Real, rod_length: Real, speed: Real) -> Real:
    """Largest acceleration of the piston, which it has at top dead centre.

    Equation:
        a_max = w^2 r (1 + r / l),  w = 2 pi n,  r = S / 2

    Parameters:
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], above S / 2
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        largest acceleration, a_max [m/s2]

    Raises:
        ValueError: if a length is zero or below, the rod no longer than the crank's throw, or the
            speed below zero

    Example:
        >>> round(peak_piston_acceleration(0.09, 0.15, 100.0))
        23095

    Source:
        piston_acceleration at top dead centre; largest over a revolution by scipy 1.17.1 (RUN)
    """
    return piston_acceleration(0.0, stroke, rod_length, speed)


def intake_events(duration: Real, centre_line: Real) -> ValveEvents:
    """Where the intake valve opens and closes, from duration and centre line.

    Equation:
        opening = d / 2 - c before top, closing = d / 2 + c - pi after bottom dead centre

    Parameters:
        duration: crank angle from opening to closing, d [rad], 2 to 7
        centre_line: middle of the opening after top dead centre, c [rad], 1 to 3

    Returns:
        opening and closing [ValveEvents]

    Raises:
        ValueError: if the duration is not above zero and at most two revolutions

    Example:
        >>> [round(float(np.degrees(event))) for event in intake_events(*np.radians([292, 106]))]
        [40, 72]

    Source:
        geometry of the cam card; common practice, no source
    """
    _duration(duration)
    return ValveEvents(0.5 * duration - centre_line, 0.5 * duration + centre_line - np.pi)


def exhaust_events(duration: Real, centre_line: Real) -> ValveEvents:
    """Where the exhaust valve opens and closes, from duration and centre line.

    Equation:
        opening = d / 2 + c - pi before bottom, closing = d / 2 - c after top dead centre

    Parameters:
        duration: crank angle from opening to closing, d [rad], 2 to 7
        centre_line: middle of the opening before top dead centre, c [rad], 1 to 3

    Returns:
        opening and closing [ValveEvents]

    Raises:
        ValueError: if the duration is not above zero and at most two revolutions

    Example:
        >>> [round(float(np.degrees(event))) for event in exhaust_events(*np.radians([288, 112]))]
        [76, 32]

    Source:
        geometry of the cam card; common practice, no source
    """
    _duration(duration)
    return ValveEvents(0.5 * duration + centre_line - np.pi, 0.5 * duration - centre_line)


def intake_timing(opening: Real, closing: Real) -> ValveTiming:
    """Duration and centre line of the intake, from where the valve opens and closes.

    Equation:
        d = opening + closing + pi,  c = d / 2 - opening

    Parameters:
        opening: opening before top dead centre [rad], -1 to 2
        closing: closing after bottom dead centre [rad], -1 to 2

    Returns:
        duration and centre line after top dead centre [ValveTiming]

    Raises:
        ValueError: if the duration is not above zero and at most two revolutions

    Example:
        >>> [round(float(np.degrees(angle))) for angle in intake_timing(*np.radians([40, 72]))]
        [292, 106]

    Source:
        geometry of the cam card; common practice, no source
    """
    duration = opening + closing + np.pi
    _duration(duration)
    return ValveTiming(duration, 0.5 * duration - opening)


def exhaust_timing(opening: Real, closing: Real) -> ValveTiming:
    """Duration and centre line of the exhaust, from where the valve opens and closes.

    Equation:
        d = opening + closing + pi,  c = d / 2 - closing

    Parameters:
        opening: opening before bottom dead centre [rad], -1 to 2
        closing: closing after top dead centre [rad], -1 to 2

    Returns:
        duration and centre line before top dead centre [ValveTiming]

    Raises:
        ValueError: if the duration is not above zero and at most two revolutions

    Example:
        >>> [round(float(np.degrees(angle))) for angle in exhaust_timing(*np.radians([76, 32]))]
        [288, 112]

    Source:
        geometry of the cam card; common practice, no source
    """
    duration = opening + closing + np.pi
    _duration(duration)
    return ValveTiming(duration, 0.5 * duration - closing)


def valve_overlap(intake_opening: Real, exhaust_closing: Real) -> Real:
    """Crank angle over which both valves are open.

    Equation:
        overlap = intake opening + exhaust closing

    Parameters:
        intake_opening: intake opening before top dead centre [rad], -1 to 2
        exhaust_closing: exhaust closing after top dead centre [rad], -1 to 2

    Returns:
        overlap [rad]; below zero both are shut in between

    Raises:
        ValueError: if an angle is beyond half a revolution

    Example:
        >>> round(float(np.degrees(valve_overlap(*np.radians([40, 32])))))
        72

    Source:
        geometry of the cam card; common practice, no source
    """
    between(-np.pi, np.pi, intake_opening=intake_opening, exhaust_closing=exhaust_closing)
    return intake_opening + exhaust_closing


def lobe_separation(intake_centre_line: Real, exhaust_centre_line: Real) -> Real:
    """Angle between the middles of intake and exhaust lobe, in cam degrees as the trade has it.

    Equation:
        separation = (c_in + c_ex) / 2

    Parameters:
        intake_centre_line: middle of the intake after top dead centre, c_in [rad], 1 to 3
        exhaust_centre_line: middle of the exhaust before top dead centre, c_ex [rad], 1 to 3

    Returns:
        angle on the cam shaft [rad]

    Raises:
        ValueError: if an angle is not above zero

    Example:
        >>> round(float(np.degrees(lobe_separation(*np.radians([106, 112])))))
        109

    Source:
        geometry of the cam card; common practice, no source
    """
    positive(intake_centre_line=intake_centre_line, exhaust_centre_line=exhaust_centre_line)
    return 0.5 * (intake_centre_line + exhaust_centre_line)


def _crank(crank_angle: Real, stroke: Real, rod_length: Real) -> tuple[Real, Array, Array, Array]:
    """Give the throw, the sine of the crank angle, the rod's height and the cosine."""
    positive(stroke=stroke)
    above(0.5 * stroke, "half the stroke", rod_length=rod_length)
    throw, angle = 0.5 * stroke, np.asarray(crank_angle, dtype=np.float64)
    sine = np.sin(angle)
    return throw, sine, np.sqrt(rod_length**2 - (throw * sine) ** 2), np.cos(angle)


def _duration(duration: Real) -> None:
    positive(duration=duration)
    between(0.0, 4.0 * np.pi, duration=duration)
