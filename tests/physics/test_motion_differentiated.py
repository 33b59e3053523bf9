"""Piston and valves by numerical differentiation, and cam cards there and back again."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from specgen.physics import motion, valves

quick = settings(max_examples=60, deadline=None)
strokes = st.floats(0.04, 0.15)
slenderness = st.floats(1.3, 2.5)
angles = st.floats(0.0, 2 * pi)
speeds = st.floats(5.0, 150.0)
#: Coefficients of the central differences of eighth order (Fornberg 1988, table 1, from memory;
#: the test of a polynomial below holds them).
FIRST = np.array([1 / 280, -4 / 105, 1 / 5, -4 / 5, 0, 4 / 5, -1 / 5, 4 / 105, -1 / 280])
SECOND = np.array([-1 / 560, 8 / 315, -1 / 5, 8 / 5, -205 / 72, 8 / 5, -1 / 5, 8 / 315, -1 / 560])
STEP = 0.02


def around(angle: float) -> NDArray[np.float64]:
    """Nine angles around one."""
    return np.asarray(angle + STEP * np.arange(-4, 5), dtype=np.float64)


def test_the_differences_themselves() -> None:
    """A polynomial of the eighth degree has the derivatives that the coefficients give."""
    x = np.polynomial.Polynomial([1.0, -2.0, 0.5, 3.0, -1.0, 0.2, 0.1, -0.3, 0.05])
    grid = 0.3 + 0.1 * np.arange(-4, 5)
    assert float(FIRST @ x(grid)) / 0.1 == pytest.approx(float(x.deriv()(0.3)), rel=1e-9)
    assert float(SECOND @ x(grid)) / 0.01 == pytest.approx(float(x.deriv(2)(0.3)), rel=1e-9)


@quick
@given(strokes, slenderness, angles, speeds)
def test_velocity_is_the_derivative_of_position(
    stroke: float, ratio: float, angle: float, speed: float
) -> None:
    """Piston velocity equals differences of the position over time."""
    positions = np.asarray(motion.piston_position(around(angle), stroke, ratio * stroke))
    turned = 2 * pi * speed
    expected = float(FIRST @ positions) / STEP * turned
    found = motion.piston_velocity(angle, stroke, ratio * stroke, speed)
    assert found == pytest.approx(expected, abs=1e-8 * turned * stroke)


@quick
@given(strokes, slenderness, angles, speeds)
def test_acceleration_is_the_second_derivative_of_position(
    stroke: float, ratio: float, angle: float, speed: float
) -> None:
    """Piston acceleration equals second differences of the position over time."""
    positions = np.asarray(motion.piston_position(around(angle), stroke, ratio * stroke))
    turned = (2 * pi * speed) ** 2
    expected = float(SECOND @ positions) / STEP**2 * turned
    found = motion.piston_acceleration(angle, stroke, ratio * stroke, speed)
    assert found == pytest.approx(expected, abs=1e-7 * turned * stroke)
    peak = motion.peak_piston_acceleration(stroke, ratio * stroke, speed)
    assert abs(float(found)) <= float(peak) * (1 + 1e-12)


durations = st.floats(3.2, 5.5)
lines = st.floats(1.6, 2.2)


@quick
@given(durations, lines)
def test_cards_there_and_back(duration: float, line: float) -> None:
    """Durations to events and back are the same card, on both sides."""
    assert motion.intake_timing(*motion.intake_events(duration, line)) == pytest.approx(
        (duration, line)
    )
    assert motion.exhaust_timing(*motion.exhaust_events(duration, line)) == pytest.approx(
        (duration, line)
    )


@quick
@given(st.floats(1.6, 2.2), st.floats(-0.3, 0.3))
def test_separation_and_advance_there_and_back(separation: float, advance: float) -> None:
    """Centre lines made from separation and advance give both back; each line gives the other."""
    made = valves.centre_lines(separation, advance)
    assert motion.lobe_separation(*made) == pytest.approx(separation)
    assert valves.cam_advance(*made) == pytest.approx(advance, abs=1e-12)
    assert valves.opposite_centre_line(separation, made.intake) == pytest.approx(made.exhaust)


@quick
@given(durations, st.floats(0.0, 0.45), st.floats(0.004, 0.016))
def test_the_lift_goes_through_the_card(duration: float, share: float, lift: float) -> None:
    """At half of the card's duration stands the checking lift, at the middle the highest."""
    seat = valves.lobe_duration(duration, share * lift, lift)
    assert seat >= duration
    counted = valves.seat_duration(duration, share * lift, lift)
    assert duration <= counted * (1 + 1e-12)
    assert counted <= seat * (1 + 1e-12)
    if share * lift > valves.SEAT_LIFT:
        low = valves.valve_lift(0.5 * np.asarray(counted), seat, lift)
        assert low == pytest.approx(valves.SEAT_LIFT, abs=1e-12)
    at = valves.valve_lift(np.array([-0.5 * duration, 0.0, 0.5 * duration]), seat, lift)
    assert at == pytest.approx(np.array([share * lift, lift, share * lift]), abs=1e-12)
    outside = valves.valve_lift(np.array([0.5 * seat, 0.6 * seat, 9.0]), seat, lift)
    assert outside == pytest.approx(np.zeros(3), abs=1e-15)


@quick
@given(st.floats(3.5, 6.0), st.floats(0.004, 0.016))
def test_the_lift_obeys_its_law(seat: float, lift: float) -> None:
    """A harmonic law: the second derivative is in proportion to the way from half the lift."""
    angle = 0.2 * seat
    heights = np.asarray(valves.valve_lift(around(angle), seat, lift))
    bending = float(SECOND @ heights) / STEP**2
    expected = -((2 * pi / seat) ** 2) * (heights[4] - 0.5 * lift)
    assert bending == pytest.approx(expected, abs=1e-7 * lift)
