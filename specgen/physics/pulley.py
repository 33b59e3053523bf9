"""Pulleys: how fast the crank turns the blower, and how fast the belt runs."""

from __future__ import annotations

from math import pi

from specgen.physics._domain import Real, not_negative, positive

EFFECTIVE_LINE_DIFFERENTIAL = 0.002
"""How far the pitch line of a PK ribbed belt runs outside the effective diameter [m].
Source: ISO 9981:2020, nominal, READ."""

BACK_LINE_DIFFERENTIAL = 0.0012
"""How far the pitch line of a PK ribbed belt runs from its back [m]; from memory: the cord lies a
little over a millimetre below the back. A millimetre more or less moves a path by as much."""


def nominal_ratio(crank_diameter: Real, blower_diameter: Real) -> Real:
    """Speed ratio as the trade quotes it, from the diameters written on the pulleys.

    Equation:
        i = D_c / D_b

    Parameters:
        crank_diameter: crank pulley diameter, D_c [m], 0.05 to 0.4
        blower_diameter: blower pulley diameter, D_b [m], 0.03 to 0.3

    Returns:
        blower pulley revolutions per crank revolution, i [1]

    Raises:
        ValueError: if a diameter is zero or below

    Example:
        >>> nominal_ratio(0.18, 0.075)
        2.4

    Source:
        common practice, no source
    """
    positive(crank_diameter=crank_diameter, blower_diameter=blower_diameter)
    return crank_diameter / blower_diameter


def pitch_diameter(
    effective_diameter: Real, line_differential: Real = EFFECTIVE_LINE_DIFFERENTIAL
) -> Real:
    """Diameter on which the belt's pitch line runs.

    Equation:
        D_p = D_e + 2 b_e

    Parameters:
        effective_diameter: effective diameter of the pulley, D_e [m], 0.045 to 0.4
        line_differential: effective line differential, b_e [m], 0 to 0.005

    Returns:
        pitch diameter, D_p [m]

    Raises:
        ValueError: if the diameter is zero or below, or the differential below zero

    Example:
        >>> round(pitch_diameter(0.18), 4)
        0.184

    Source:
        b_e = 2 mm for PK: ISO 9981:2020 (READ); the form D_e + 2 b_e is from memory
    """
    positive(effective_diameter=effective_diameter)
    not_negative(line_differential=line_differential)
    return effective_diameter + 2.0 * line_differential


def back_pitch_diameter(diameter: Real, line_differential: Real = BACK_LINE_DIFFERENTIAL) -> Real:
    """Diameter on which the pitch line bends around a flat pulley that the belt's back runs on.

    Equation:
        D_p = D + 2 b_b

    Parameters:
        diameter: diameter of the flat pulley, D [m], 0.03 to 0.4
        line_differential: distance from the belt's back to its pitch line, b_b [m], 0 to 0.005

    Returns:
        pitch diameter, D_p [m]

    Raises:
        ValueError: if the diameter is zero or below, or the differential below zero

    Example:
        >>> round(back_pitch_diameter(0.075), 4)
        0.0774

    Source:
        geometry; b_b = 1.2 mm for PK is from memory
    """
    positive(diameter=diameter)
    not_negative(line_differential=line_differential)
    return diameter + 2.0 * line_differential


def effective_belt_length(
    pitch_length: Real, line_differential: Real = EFFECTIVE_LINE_DIFFERENTIAL
) -> Real:
    """Length by which a ribbed belt is sold, from the length of its pitch line.

    Equation:
        L_e = L_p - 2 pi b_e, since the turns of a closed loop add up to one revolution

    Parameters:
        pitch_length: length of the path of the pitch line, L_p [m], 0.3 to 6
        line_differential: effective line differential, b_e [m], 0 to 0.005

    Returns:
        effective length, L_e [m]

    Raises:
        ValueError: if the length is zero or below, or the differential below zero

    Example:
        >>> round(effective_belt_length(1.3), 4)
        1.2874

    Source:
        geometry, with b_e of ISO 9981:2020 (READ); that belts are marked by their effective length
        is from memory
    """
    positive(pitch_length=pitch_length)
    not_negative(line_differential=line_differential)
    return pitch_length - 2.0 * pi * line_differential


def pitch_ratio(
    crank_diameter: Real,
    blower_diameter: Real,
    line_differential: Real = EFFECTIVE_LINE_DIFFERENTIAL,
) -> Real:
    """Speed ratio that the belt gives, from the diameters on its pitch line.

    Equation:
        i = (D_c + 2 b_e) / (D_b + 2 b_e)

    Parameters:
        crank_diameter: effective crank pulley diameter, D_c [m], 0.05 to 0.4
        blower_diameter: effective blower pulley diameter, D_b [m], 0.03 to 0.3
        line_differential: effective line differential, b_e [m], 0 to 0.005

    Returns:
        blower pulley revolutions per crank revolution, i [1]

    Raises:
        ValueError: if a diameter is zero or below, or the differential below zero

    Example:
        >>> round(pitch_ratio(0.18, 0.075), 4)
        2.3291

    Source:
        ISO 9981:2020 (READ) for b_e; the form D + 2 b_e is from memory
    """
    crank_pitch = pitch_diameter(crank_diameter, line_differential)
    return crank_pitch / pitch_diameter(blower_diameter, line_differential)


def blower_speed(engine_speed: Real, ratio: Real, internal_ratio: Real = 1.0) -> Real:
    """Speed of the blower's rotors, without belt slip.

    Equation:
        n_b = n i i_int

    Parameters:
        engine_speed: engine speed, n [rev/s], 0 to 250
        ratio: blower pulley revolutions per crank revolution, i [1], 0.3 to 5
        internal_ratio: rotor revolutions per blower pulley revolution, i_int [1], 0.5 to 15

    Returns:
        rotor speed, n_b [rev/s]

    Raises:
        ValueError: if the speed is below zero or a ratio zero or below

    Example:
        >>> blower_speed(100.0, 2.4)
        240.0

    Source:
        kinematics
    """
    not_negative(engine_speed=engine_speed)
    positive(ratio=ratio, internal_ratio=internal_ratio)
    return engine_speed * ratio * internal_ratio


def belt_speed(diameter: Real, speed: Real) -> Real:
    """Speed of the belt over a pulley.

    Equation:
        v = pi D n

    Parameters:
        diameter: pitch diameter of the pulley, D [m], 0.03 to 0.4
        speed: speed of the pulley, n [rev/s], 0 to 500

    Returns:
        belt speed, v [m/s]

    Raises:
        ValueError: if the diameter is zero or below, or the speed below zero

    Example:
        >>> round(belt_speed(0.3, 25.0), 2)
        23.56

    Source:
        kinematics; Khurmi and Gupta, Theory of Machines, Ex 11.17 (RESTATED)
    """
    positive(diameter=diameter)
    not_negative(speed=speed)
    return pi * diameter * speed


def tip_speed(diameter: Real, speed: Real) -> Real:
    """Speed of a rotor's or impeller's outermost point.

    Equation:
        u = pi D n

    Parameters:
        diameter: outer diameter of the rotor or impeller, D [m], 0.03 to 0.4
        speed: rotor speed, n [rev/s], 0 to 2000

    Returns:
        tip speed, u [m/s]

    Raises:
        ValueError: if the diameter is zero or below, or the speed below zero

    Example:
        >>> round(tip_speed(0.09, 1000.0), 1)
        282.7

    Source:
        kinematics. Above about 396 m/s a centrifugal impeller loses markedly: NACA TN 794 (READ)
    """
    positive(diameter=diameter)
    not_negative(speed=speed)
    return pi * diameter * speed


def pulley_for_speed(
    crank_diameter: Real,
    engine_speed: Real,
    blower_speed: Real,
    internal_ratio: Real = 1.0,
    line_differential: Real = EFFECTIVE_LINE_DIFFERENTIAL,
) -> Real:
    """Blower pulley that gives a wanted rotor speed at an engine speed.

    Equation:
        D_b = (D_c + 2 b_e) n i_int / n_b - 2 b_e

    Parameters:
        crank_diameter: effective crank pulley diameter, D_c [m], 0.05 to 0.4
        engine_speed: engine speed, n [rev/s], above 0
        blower_speed: wanted rotor speed, n_b [rev/s], above 0
        internal_ratio: rotor revolutions per blower pulley revolution, i_int [1], 0.5 to 15
        line_differential: effective line differential, b_e [m], 0 to 0.005

    Returns:
        effective diameter of the blower pulley, D_b [m]

    Raises:
        ValueError: if a value is zero or below, or no pulley is small enough

    Example:
        >>> round(pulley_for_speed(0.18, 100.0, 232.911392), 4)
        0.075

    Source:
        kinematics on pitch diameters; ISO 9981:2020 (READ) for b_e
    """
    positive(engine_speed=engine_speed, blower_speed=blower_speed, internal_ratio=internal_ratio)
    crank_pitch = pitch_diameter(crank_diameter, line_differential)
    blower_pitch = crank_pitch * engine_speed * internal_ratio / blower_speed
    diameter = blower_pitch - 2.0 * line_differential
    positive(diameter_of_the_blower_pulley=diameter)
    return diameter
