"""Knock: what octane an engine asks for, and what a spark set later because of it costs.

Slopes are published for engines of one kind or another; each engine has its own level, which only
its own pulls tell. Everything here is for a full-load setting that somebody tuned short of knock.
"""

from __future__ import annotations

from math import pi

import numpy as np

from specgen.physics._domain import Real, between, not_negative, plain, positive

USUAL_COMPRESSION = 9.0
"""Compression ratio for which the level of octane is stated [1]; common practice, no source."""

PER_PRESSURE = 3.5e-4
"""Octane numbers asked for by each pascal of intake pressure [1/Pa]: 3 to 4 for 10 kPa (Russ, SAE
960497, abstract READ)."""

SURVEYED_SPEED = 2000.0 / 60.0
"""Engine speed for which the level of octane is stated [1/s]: 2000 rpm. What an engine asks for was
surveyed where it asks for most, at full throttle from low speed (Hamilton, Gasoline FAQ, 7.1,
READ); the speed itself is common practice, no source."""

LATE_COST = 1.48
"""Share of the work lost by a late spark, over the square of its angle [1/rad2]: ten degrees cost
4.5 per cent; common practice, no source."""

_PER_COMPRESSION, _PER_KELVIN = 5.0, 1.0 / 7.0
_PRESSURE, _TEMPERATURE = 100e3, 310.0
#: Numbers over which an engine goes from untouched to knock-limited: cylinders and speeds differ.
_WIDTH = 1.5
#: Molar volume of the liquid [m3/mol]: from densities and molar masses; petrol as 105 g/mol.
_MOLAR = {"petrol": 141e-6, "ethanol": 58.2e-6, "methanol": 40.3e-6}
_ALCOHOL = {"ethanol": 108.0, "methanol": 107.0}


def octane_of_blend(petrol_octane: Real, ethanol: Real, methanol: Real) -> Real:
    """Research octane number of petrol with alcohol in it, linear in moles.

    Equation:
        RON = sum(x_i RON_i),  x_i = (v_i / V_i) / sum(v_j / V_j)

    Parameters:
        petrol_octane: research octane number of the petrol alone, RON_p [1], 80 to 110
        ethanol: share of ethanol by volume, v_e [1], 0 to 1
        methanol: share of methanol by volume, v_m [1], 0 to 1

    Returns:
        research octane number of the blend, RON [1]

    Raises:
        ValueError: if the petrol's octane is zero or below, or a share below zero

    Example:
        >>> round(octane_of_blend(95.0, 0.85, 0.0), 2)
        107.12

    Source:
        108 for ethanol, 107 for methanol (AFDC, RESTATED); linear in moles: Anderson and others,
        SAE 2012-01-1274 (from memory)
    """
    positive(petrol_octane=petrol_octane)
    not_negative(ethanol=ethanol, methanol=methanol)
    rest = np.maximum(1.0 - ethanol - methanol, 0.0) / _MOLAR["petrol"]
    of_ethanol, of_methanol = ethanol / _MOLAR["ethanol"], methanol / _MOLAR["methanol"]
    whole = rest * petrol_octane
    whole = whole + of_ethanol * _ALCOHOL["ethanol"] + of_methanol * _ALCOHOL["methanol"]
    return plain(whole / (rest + of_ethanol + of_methanol))


def octane_needed(
    manifold_pressure: Real,
    charge_temperature: Real,
    compression_ratio: Real,
    level: Real,
    per_pressure: Real = PER_PRESSURE,
    engine_speed: Real = SURVEYED_SPEED,
    fall: Real = 0.0,
) -> Real:
    """Octane that an engine asks for at its best spark.

    The faster it turns, the less time the last of the charge has to knock.

    Equation:
        ON = ON_0 + a (p - 100 kPa) + 5 (r - 9) + (T - 310 K) / 7 K - b log2(n / 2000 rpm)

    Parameters:
        manifold_pressure: pressure in the manifold, p [Pa], 50e3 to 400e3
        charge_temperature: temperature of the charge, T [K], 250 to 500
        compression_ratio: compression ratio, r [1], 6 to 14
        level: octane asked for at 100 kPa, 310 K, a ratio of 9 and 2000 rpm, ON_0 [1], 70 to 110
        per_pressure: octane asked for by each pascal, a [1/Pa], 2e-4 to 6e-4
        engine_speed: engine speed, n [1/s], 10 to 250
        fall: octane asked for less at twice the speed, b [1], 0 to 20

    Returns:
        research octane number that the engine asks for, ON [1]

    Raises:
        ValueError: if the compression ratio, the level or the engine speed is zero or below

    Example:
        >>> octane_needed(150e3, 317.0, 10.0, 90.0)
        113.5

    Source:
        3 to 4 numbers for 10 kPa, 5 for a unit of compression, 1 for 7 K: Russ, SAE 960497
        (abstract READ); the level is the engine's own. Speed: the ignition delay of Douaud and
        Eyzat, SAE 780080 (from memory) goes with ON^3.402, so that half the time at the same
        pressure and temperature asks for 2^(-1/3.402) of the octane, 96 less 17.7
    """
    positive(compression_ratio=compression_ratio, level=level, engine_speed=engine_speed)
    boosted = per_pressure * (manifold_pressure - _PRESSURE)
    squeezed = _PER_COMPRESSION * (compression_ratio - USUAL_COMPRESSION)
    hurried = fall * np.log2(engine_speed / SURVEYED_SPEED)
    return plain(
        level + boosted + squeezed + (charge_temperature - _TEMPERATURE) * _PER_KELVIN - hurried
    )


def best_spark(
    engine_speed: Real,
    manifold_pressure: Real,
    level: Real,
    per_doubling: Real,
    per_pressure: Real,
) -> Real:
    """Ignition advance at which an engine makes most torque, were there no knock.

    Equation:
        theta = theta_0 + s log2(n / 2000 rpm) - c (p / 100 kPa - 1)

    Parameters:
        engine_speed: engine speed, n [1/s], 10 to 250
        manifold_pressure: pressure in the manifold, p [Pa], 50e3 to 400e3
        level: best advance at 2000 rpm and 100 kPa, theta_0 [rad], 0.2 to 0.8
        per_doubling: advance more at twice the speed, s [rad], 0 to 0.2
        per_pressure: advance less at 100 kPa more, c [rad], 0 to 0.3

    Returns:
        ignition advance before top dead centre, theta [rad]

    Raises:
        ValueError: if the engine speed is zero or below

    Example:
        >>> angles = (0.48, 0.07, 0.12)
        >>> round(best_spark(4000 / 60, 150e3, *angles) * 180 / pi, 1)
        28.1

    Source:
        common practice, no source: earlier with speed, later with a denser, faster burning charge
    """
    positive(engine_speed=engine_speed)
    quick = per_doubling * np.log2(engine_speed / SURVEYED_SPEED)
    return plain(level + quick - per_pressure * (manifold_pressure / _PRESSURE - 1.0))


def spark_taken_back(missing: Real) -> Real:
    """Angle by which the spark is set late for octane that is missing: one degree for a number.

    Equation:
        theta = 1 deg s ln(1 + exp(x / s)),  s = 1.5

    Parameters:
        missing: octane asked for less what the fuel gives, x [1], -60 to 60

    Returns:
        angle taken back, theta [rad], above 0 and small where nothing is missing

    Raises:
        ValueError: if the number is beyond 500 either way

    Example:
        >>> round(spark_taken_back(10.0) * 180 / pi, 3)
        10.002

    Source:
        1 number for a degree of spark: Russ, SAE 960497 (abstract READ); the rounded corner is
        common practice, no source
    """
    between(-500.0, 500.0, missing_octane=missing)
    bend = np.log1p(np.exp(-np.abs(np.asarray(missing)) / _WIDTH)) * _WIDTH
    return plain((np.maximum(missing, 0.0) + bend) * pi / 180.0)


def late_efficiency(angle: Real, cost: Real = LATE_COST) -> Real:
    """Work left by a spark that is later than the best one.

    Equation:
        eta / eta_best = 1 / (1 + c theta^2)

    Parameters:
        angle: angle behind the best spark, theta [rad], 0 to 0.6
        cost: share of the work lost over the square of the angle, c [1/rad2], 0.5 to 3

    Returns:
        share of the work left [1]

    Raises:
        ValueError: if the angle or the cost is below zero

    Example:
        >>> round(late_efficiency(10 * pi / 180), 4)
        0.9569

    Source:
        common practice, no source: flat at the best spark, about a twentieth at ten degrees
    """
    not_negative(angle=angle, cost=cost)
    return 1.0 / (1.0 + cost * angle**2)
