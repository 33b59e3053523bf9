"""The blueprint: cylinder volumes, heights and clearances as they are measured on the bench.

How piston and valves move has a room of its own, `motion`, and can be had from here as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from specgen.physics._domain import Real, above, not_negative, plain, positive
from specgen.physics.motion import ValveEvents as ValveEvents
from specgen.physics.motion import ValveTiming as ValveTiming
from specgen.physics.motion import exhaust_events as exhaust_events
from specgen.physics.motion import exhaust_timing as exhaust_timing
from specgen.physics.motion import intake_events as intake_events
from specgen.physics.motion import intake_timing as intake_timing
from specgen.physics.motion import lobe_separation as lobe_separation
from specgen.physics.motion import peak_piston_acceleration as peak_piston_acceleration
from specgen.physics.motion import piston_acceleration as piston_acceleration
from specgen.physics.motion import piston_position as piston_position
from specgen.physics.motion import piston_velocity as piston_velocity
from specgen.physics.motion import valve_overlap as valve_overlap


def clearance_volume(cylinder_swept_volume: Real, compression_ratio: Real) -> Real:
    """Volume left above the piston at top dead centre, from the compression ratio.

    Equation:
        V_c = V_s / (r - 1)

    Parameters:
        cylinder_swept_volume: swept volume of one cylinder, V_s [m3], 2e-5 to 3e-3
        compression_ratio: compression ratio, r [1], 5 to 16

    Returns:
        clearance volume, V_c [m3]

    Raises:
        ValueError: if the swept volume is zero or below, or the ratio not above one

    Example:
        >>> clearance_volume(500e-6, 11.0)
        5e-05

    Source:
        definition of the compression ratio
    """
    positive(cylinder_swept_volume=cylinder_swept_volume)
    above(1.0, "one", compression_ratio=compression_ratio)
    return cylinder_swept_volume / (compression_ratio - 1.0)


def compression_ratio(cylinder_swept_volume: Real, clearance_volume: Real) -> Real:
    """Volume above the piston at bottom over that at top dead centre.

    Equation:
        r = (V_s + V_c) / V_c

    Parameters:
        cylinder_swept_volume: swept volume of one cylinder, V_s [m3], 2e-5 to 3e-3
        clearance_volume: volume above the piston at top dead centre, V_c [m3], above 0

    Returns:
        compression ratio, r [1]

    Raises:
        ValueError: if a volume is zero or below

    Example:
        >>> compression_ratio(500e-6, 50e-6)
        11.0

    Source:
        definition of the compression ratio
    """
    positive(cylinder_swept_volume=cylinder_swept_volume, clearance_volume=clearance_volume)
    return (cylinder_swept_volume + clearance_volume) / clearance_volume


def clearance_from_parts(
    chamber_volume: Real,
    gasket_bore: Real,
    gasket_thickness: Real,
    bore: Real,
    deck_clearance: Real,
    piston_volume: Real = 0.0,
) -> Real:
    """Volume above the piston at top dead centre, from what is measured on the bench.

    Equation:
        V_c = V_h + (pi/4) D_g^2 t_g + (pi/4) B^2 h_d + V_p

    Parameters:
        chamber_volume: volume of the chamber in the head, V_h [m3], 0 to 2e-4
        gasket_bore: bore of the pressed gasket, D_g [m], 0.03 to 0.2
        gasket_thickness: thickness of the pressed gasket, t_g [m], 0 to 0.005
        bore: cylinder bore, B [m], 0.03 to 0.2
        deck_clearance: piston edge below the deck, below zero if above it, h_d [m], -0.002 to 0.01
        piston_volume: dish and valve pockets, a dome counts below zero, V_p [m3], -5e-5 to 1e-4

    Returns:
        clearance volume, V_c [m3]

    Raises:
        ValueError: if a bore is zero or below, chamber or gasket thickness is below zero, or no
            volume is left

    Example:
        >>> round(clearance_from_parts(45e-6, 0.086, 1.2e-3, 0.084, 0.3e-3, 5e-6) * 1e6, 2)
        58.63

    Source:
        geometry; volumes by hand in the tests
    """
    positive(gasket_bore=gasket_bore, bore=bore)
    not_negative(chamber_volume=chamber_volume, gasket_thickness=gasket_thickness)
    gasket = 0.25 * pi * gasket_bore**2 * gasket_thickness
    deck = 0.25 * pi * bore**2 * deck_clearance
    clearance = chamber_volume + gasket + deck + piston_volume
    positive(clearance_volume=clearance)
    return clearance


def deck_clearance(
    block_height: Real, stroke: Real, rod_length: Real, compression_height: Real
) -> Real:
    """How far the piston's edge stays below the deck at top dead centre.

    Equation:
        h_d = H - (S / 2 + l + h_p)

    Parameters:
        block_height: crank axis to deck, H [m], 0.1 to 0.6
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], 0.05 to 0.4
        compression_height: piston pin axis to piston edge, h_p [m], 0.01 to 0.1

    Returns:
        deck clearance, h_d [m]; below zero the piston stands above the deck

    Raises:
        ValueError: if a value is zero or below

    Example:
        >>> round(deck_clearance(0.2305, 0.09, 0.15, 0.0352) * 1e3, 2)
        0.3

    Source:
        geometry
    """
    positive(
        block_height=block_height,
        stroke=stroke,
        rod_length=rod_length,
        compression_height=compression_height,
    )
    return block_height - (0.5 * stroke + rod_length + compression_height)


def quench_distance(deck_clearance: Real, gasket_thickness: Real) -> Real:
    """Gap between the flats of piston and head at top dead centre, at rest and cold.

    Equation:
        q = h_d + t_g

    Parameters:
        deck_clearance: piston edge below the deck, below zero if above it, h_d [m], -0.002 to 0.01
        gasket_thickness: thickness of the pressed gasket, t_g [m], 0 to 0.005

    Returns:
        quench distance, q [m]

    Raises:
        ValueError: if the gasket thickness is below zero, or piston and head would touch

    Example:
        >>> round(quench_distance(0.3e-3, 1.2e-3) * 1e3, 2)
        1.5

    Source:
        geometry
    """
    not_negative(gasket_thickness=gasket_thickness)
    distance = deck_clearance + gasket_thickness
    positive(quench_distance=distance)
    return distance


def rod_to_stroke_ratio(rod_length: Real, stroke: Real) -> Real:
    """Connecting-rod length over stroke, as the trade quotes it.

    Equation:
        n = l / S

    Parameters:
        rod_length: connecting-rod length between centres, l [m], 0.05 to 0.4
        stroke: piston stroke, S [m], 0.03 to 0.2

    Returns:
        rod-to-stroke ratio, n [1]

    Raises:
        ValueError: if a length is zero or below

    Example:
        >>> round(rod_to_stroke_ratio(0.15, 0.09), 3)
        1.667

    Source:
        common practice, no source
    """
    positive(rod_length=rod_length, stroke=stroke)
    return rod_length / stroke


def compression_ratio_spread(largest: Real, smallest: Real) -> Real:
    """How far the compression ratios of an engine's cylinders lie apart.

    Equation:
        spread = r_max - r_min

    Parameters:
        largest: largest compression ratio of a cylinder, r_max [1], 5 to 16
        smallest: smallest compression ratio of a cylinder, r_min [1], 5 to 16

    Returns:
        largest less smallest [1]

    Raises:
        ValueError: if a ratio is not above one

    Example:
        >>> round(compression_ratio_spread(9.05, 8.9), 3)
        0.15

    Source:
        definition
    """
    above(1.0, "one", largest_compression_ratio=largest, smallest_compression_ratio=smallest)
    return largest - smallest


def mean_compression_ratio(ratios: Sequence[Real]) -> Real:
    """Mean of the compression ratios of an engine's cylinders.

    Equation:
        r = (r_1 + ... + r_z) / z

    Parameters:
        ratios: compression ratio of each cylinder, r_1 ... r_z [1], 5 to 16

    Returns:
        mean [1]

    Raises:
        ValueError: if there is none, or one is not above one

    Example:
        >>> round(float(mean_compression_ratio([9.0, 8.9, 9.1])), 3)
        9.0

    Source:
        definition
    """
    above(0, "zero", number_of_cylinders=float(len(ratios)))
    for ratio in ratios:
        above(1.0, "one", compression_ratio=ratio)
    return plain(sum(np.asarray(ratio, dtype=np.float64) for ratio in ratios) / len(ratios))


def boosted_compression_ratio(compression_ratio: Real, boost: Real, air_pressure: Real) -> Real:
    """Rough effective compression ratio with boost: a rule of thumb of the trade.

    It knows nothing of temperature, fuel, mixture, chamber or ignition, so that it does not tell
    whether an engine detonates.

    Equation:
        r_b = r (1 + p_b / p)

    Parameters:
        compression_ratio: geometric compression ratio, r [1], 5 to 16
        boost: pressure in the manifold above the air's, p_b [Pa], -50e3 to 300e3
        air_pressure: pressure of the air outside, p [Pa], 50e3 to 110e3

    Returns:
        rough effective ratio, r_b [1]

    Raises:
        ValueError: if the ratio is not above one, or the air's or the manifold's pressure is zero
            or below

    Example:
        >>> boosted_compression_ratio(9.0, 50e3, 100e3)
        13.5

    Source:
        rule of thumb; common practice, no source
    """
    above(1.0, "one", compression_ratio=compression_ratio)
    positive(air_pressure=air_pressure, manifold_pressure=air_pressure + boost)
    return compression_ratio * (1.0 + boost / air_pressure)


def effective_compression_ratio(
    compression_ratio: Real, intake_closing: Real, stroke: Real, rod_length: Real
) -> Real:
    """Compression ratio counted from where the intake valve closes.

    Equation:
        r_e = 1 + (r - 1) x(pi + closing) / S, with x the piston's way from top dead centre

    Parameters:
        compression_ratio: geometric compression ratio, r [1], 5 to 16
        intake_closing: crank angle after bottom dead centre where the intake closes [rad], 0 to 2
        stroke: piston stroke, S [m], 0.03 to 0.2
        rod_length: connecting-rod length between centres, l [m], above S / 2

    Returns:
        effective compression ratio, r_e [1]

    Raises:
        ValueError: if the ratio is not above one, a length is zero or below, or the rod is no
            longer than the crank's throw

    Example:
        >>> round(effective_compression_ratio(9.0, 1.0472, 0.09, 0.15), 3)
        7.458

    Source:
        geometry; piston position by scipy 1.17.1 (RUN)
    """
    above(1.0, "one", compression_ratio=compression_ratio)
    position = piston_position(pi + intake_closing, stroke, rod_length)
    return plain(1.0 + (compression_ratio - 1.0) * position / stroke)
