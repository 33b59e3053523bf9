"""The cam card turned round, and how far a valve is open between its events.

Centre lines are crank angles from the top dead centre between exhaust and intake stroke; lobe
separation is in degrees of the cam, as the trade has it. A lobe is taken to be symmetrical.
"""

from __future__ import annotations

from math import pi
from typing import NamedTuple

import numpy as np

from specgen.physics._domain import Real, between, plain, positive

SEAT_LIFT = 0.1524e-3
"""Lift at which a duration counts as from seat to seat [m]: 0.006 in. Source: SAE J604, RESTATED
by three cam makers' pages; European cards take 0.1 mm (READ on one of them)."""


class CentreLines(NamedTuple):
    """Where the middles of both lobes lie.

    Attributes:
        intake: middle of the intake after top dead centre [rad]
        exhaust: middle of the exhaust before top dead centre [rad]
    """

    intake: Real
    exhaust: Real


def centre_lines(lobe_separation: Real, advance: Real) -> CentreLines:
    """Centre lines of both lobes, from their separation and the cam's advance.

    Equation:
        c_in = s - a,  c_ex = s + a

    Parameters:
        lobe_separation: angle between the lobes on the cam, s [rad], 1.5 to 2.3
        advance: crank angle by which the cam is turned ahead, a [rad], -0.5 to 0.5

    Returns:
        centre lines of intake and exhaust [CentreLines]

    Raises:
        ValueError: if the separation is zero or below, or the advance is larger than it

    Example:
        >>> [round(float(np.degrees(angle))) for angle in centre_lines(*np.radians([112, 4]))]
        [108, 116]

    Source:
        geometry of the cam card; common practice, no source
    """
    positive(lobe_separation=lobe_separation, separation_less_advance=lobe_separation - advance)
    positive(separation_and_advance=lobe_separation + advance)
    return CentreLines(lobe_separation - advance, lobe_separation + advance)


def cam_advance(intake_centre_line: Real, exhaust_centre_line: Real) -> Real:
    """Crank angle by which a cam is turned ahead of its even position.

    Equation:
        a = (c_ex - c_in) / 2

    Parameters:
        intake_centre_line: middle of the intake after top dead centre, c_in [rad], 1 to 3
        exhaust_centre_line: middle of the exhaust before top dead centre, c_ex [rad], 1 to 3

    Returns:
        advance [rad]; below zero the cam is turned back

    Raises:
        ValueError: if an angle is not above zero

    Example:
        >>> round(float(np.degrees(cam_advance(*np.radians([108, 116])))))
        4

    Source:
        geometry of the cam card; common practice, no source
    """
    positive(intake_centre_line=intake_centre_line, exhaust_centre_line=exhaust_centre_line)
    return 0.5 * (exhaust_centre_line - intake_centre_line)


def opposite_centre_line(lobe_separation: Real, centre_line: Real) -> Real:
    """Centre line of the other lobe, from the separation and one centre line.

    Equation:
        c_2 = 2 s - c_1

    Parameters:
        lobe_separation: angle between the lobes on the cam, s [rad], 1.5 to 2.3
        centre_line: centre line of the one lobe, c_1 [rad], 1 to 3

    Returns:
        centre line of the other lobe, c_2 [rad]

    Raises:
        ValueError: if an angle or what is left is zero or below

    Example:
        >>> round(float(np.degrees(opposite_centre_line(*np.radians([112, 108])))))
        116

    Source:
        geometry of the cam card; common practice, no source
    """
    positive(lobe_separation=lobe_separation, centre_line=centre_line)
    other = 2.0 * lobe_separation - centre_line
    positive(other_centre_line=other)
    return other


def lobe_duration(duration: Real, checking_lift: Real, lift: Real) -> Real:
    """Duration of a harmonic lobe down to no lift at all, from one taken at a checking lift.

    The lowest part of such a lobe is far flatter than a real one's; see `seat_duration`.

    Equation:
        d_0 = d / (1 - u),  u = arccos(1 - 2 h_c / h) / pi

    Parameters:
        duration: crank angle over which the valve is open by more than h_c, d [rad], 2 to 7
        checking_lift: lift at which the duration was taken, h_c [m], 0 to half of h
        lift: highest valve lift, h [m], 0.002 to 0.02

    Returns:
        duration down to no lift, d_0 [rad]

    Raises:
        ValueError: if the duration or the lift is zero or below, or the checking lift is not
            from zero to half the lift

    Example:
        >>> round(float(np.degrees(lobe_duration(np.radians(244), 1e-3, 10.6e-3))))
        305

    Source:
        harmonic law of cam motion, an assumption, from memory; scipy 1.17.1, brentq (RUN)
    """
    positive(duration=duration, lift=lift)
    share = np.asarray(checking_lift, dtype=np.float64) / lift
    between(0.0, 0.5, checking_lift_over_lift=share)
    return plain(duration / (1.0 - np.arccos(1.0 - 2.0 * share) / pi))


def seat_duration(duration: Real, checking_lift: Real, lift: Real, flank: Real = 1.0) -> Real:
    """Duration from seat to seat as cam cards print it, from one taken at a higher checking lift.

    Seat to seat is counted at `SEAT_LIFT`: a valve lies on its ramp below it. What lies between
    the two lifts follows a harmonic lobe, times how much flatter the real one is.

    Equation:
        d_s = d + q d [(1 - u(h_s)) / (1 - u(h_c)) - 1],  u(x) = arccos(1 - 2 x / h) / pi,
        h_s = 0.1524 mm;  d itself where h_c is at most h_s

    Parameters:
        duration: crank angle over which the valve is open by more than h_c, d [rad], 2 to 7
        checking_lift: lift at which the duration was taken, h_c [m], 0 to half of h
        lift: highest valve lift, h [m], 0.002 to 0.02
        flank: angle between the two lifts over a harmonic lobe's, q [1], 0.5 to 1.5

    Returns:
        duration from seat to seat, d_s [rad]

    Raises:
        ValueError: if the duration, the lift or the flank is zero or below, or the checking lift
            is not from zero to half the lift

    Example:
        >>> round(float(np.degrees(seat_duration(np.radians(244), 1e-3, 10.6e-3))))
        281

    Source:
        0.006 in of lift: SAE J604 (RESTATED by three cam makers' pages); harmonic law of cam
        motion, an assumption, from memory; five published cams with both durations have a flank
        of 0.61 to 1.45, 1.02 in the mean (`valves.json`)
    """
    positive(flank=flank)
    whole = lobe_duration(duration, checking_lift, lift)
    low = np.minimum(SEAT_LIFT, np.asarray(checking_lift, dtype=np.float64)) / lift
    from_seat = whole * (1.0 - np.arccos(1.0 - 2.0 * low) / pi)
    return plain(duration + flank * (from_seat - duration))


def valve_lift(angle_from_centre: Real, whole_duration: Real, lift: Real) -> Real:
    """Lift of a valve at a crank angle, by the harmonic law.

    Equation:
        s = (h / 2) [1 + cos(2 pi a / d_0)],  0 where |a| is above d_0 / 2

    Parameters:
        angle_from_centre: crank angle from the lobe's middle, a [rad], any
        whole_duration: duration down to no lift, d_0 [rad], 3 to 8
        lift: highest valve lift, h [m], 0.002 to 0.02

    Returns:
        valve lift, s [m]

    Raises:
        ValueError: if duration or lift is zero or below

    Example:
        >>> round(valve_lift(np.radians(80), np.radians(320), 10e-3) * 1e3, 2)
        5.0

    Source:
        harmonic law of cam motion, an assumption, from memory; scipy 1.17.1, harmonic
        acceleration integrated twice (RUN)
    """
    positive(whole_duration=whole_duration, lift=lift)
    share = np.minimum(np.abs(np.asarray(angle_from_centre)) / whole_duration, 0.5)
    return plain(0.5 * lift * (1.0 + np.cos(2.0 * pi * share)))
