"""Belt paths against the two-pulley formula, a convex hull and their own geometry."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, dist, hypot, pi, sin

import pytest
import shapely  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.physics.belt import (
    LayoutPulley,
    belt_path,
    layout_length,
    layout_wraps,
    open_belt_length,
    wrap_angle,
)

quick = settings(max_examples=40, deadline=None)
diameters = st.floats(0.05, 0.2)
CRANK, BLOWER = LayoutPulley(0.0, 0.0, 0.18), LayoutPulley(0.31, 0.0, 0.075)
IDLER = LayoutPulley(0.17, 0.085, 0.07, "outside")
DRIVE = (CRANK, BLOWER, IDLER)


def hull_length(pulleys: list[LayoutPulley]) -> float:
    """Length of a rubber band around circles, each drawn with 8192 corners."""
    circles = [
        shapely.Point(pulley.x, pulley.y).buffer(pulley.diameter / 2.0, quad_segs=2048)
        for pulley in pulleys
    ]
    return float(shapely.convex_hull(shapely.union_all(circles)).length)


@quick
@given(diameters, diameters, st.floats(0.25, 1.0), st.floats(0.0, 2.0 * pi))
def test_two_pulleys_are_the_open_belt(one: float, other: float, away: float, turn: float) -> None:
    """Two pulleys anywhere give the length and the wraps of the two-pulley formula."""
    pulleys = [
        LayoutPulley(0.1, -0.2, one),
        LayoutPulley(0.1 + away * cos(turn), -0.2 + away * sin(turn), other),
    ]
    larger, smaller = max(one, other), min(one, other)
    assert layout_length(pulleys) == pytest.approx(
        float(open_belt_length(larger, smaller, away)), rel=1e-9
    )
    wraps = sorted(layout_wraps(pulleys))
    assert wraps[0] == pytest.approx(float(wrap_angle(larger, smaller, away)), abs=1e-8)
    assert sum(wraps) == pytest.approx(2.0 * pi)


def test_two_pulleys_are_the_convex_hull() -> None:
    """The open belt is shapely's convex hull of two circles."""
    assert layout_length([CRANK, BLOWER]) == pytest.approx(hull_length([CRANK, BLOWER]), rel=1e-6)


@quick
@given(st.lists(st.tuples(st.floats(0.03, 0.08), st.floats(-0.1, 0.1)), min_size=3, max_size=7))
def test_pulleys_on_a_ring_are_the_convex_hull(ring: list[tuple[float, float]]) -> None:
    """Any number of inside pulleys on a wide ring are held by their convex hull."""
    step = 2.0 * pi / len(ring)
    pulleys = [
        LayoutPulley(0.6 * cos(step * i + shift), 0.6 * sin(step * i + shift), 2.0 * radius)
        for i, (radius, shift) in enumerate(ring)
    ]
    assert layout_length(pulleys) == pytest.approx(hull_length(pulleys), rel=1e-6)


def test_order_may_start_anywhere_and_run_either_way() -> None:
    """Naming the pulleys from another one on, or backwards, describes the same belt."""
    path = belt_path(DRIVE)
    shifted, backwards = belt_path(DRIVE[1:] + DRIVE[:1]), belt_path(DRIVE[::-1])
    assert shifted.length == pytest.approx(path.length, rel=1e-12)
    assert shifted.wraps == pytest.approx(path.wraps[1:] + path.wraps[:1])
    assert backwards.length == pytest.approx(path.length, rel=1e-12)
    assert backwards.wraps == pytest.approx(path.wraps[::-1])
    assert path.anticlockwise
    assert not backwards.anticlockwise


def test_mirrored_layout_runs_the_other_way() -> None:
    """A mirror image has the same length and wraps in the other sense."""
    mirrored = [LayoutPulley(p.x, -p.y, p.diameter, p.side) for p in DRIVE]
    path = belt_path(mirrored)
    assert path.length == pytest.approx(belt_path(DRIVE).length, rel=1e-12)
    assert not path.anticlockwise


def test_spans_touch_their_pulleys_square() -> None:
    """Each straight stretch starts and ends on a pulley, at right angles to its radius."""
    path = belt_path(DRIVE)
    for number, span in enumerate(path.spans):
        ends = ((DRIVE[number], span.start), (DRIVE[(number + 1) % 3], span.end))
        along = (cos(span.direction), sin(span.direction))
        for pulley, (x, y) in ends:
            assert dist((pulley.x, pulley.y), (x, y)) == pytest.approx(pulley.diameter / 2.0)
            across = (x - pulley.x) * along[0] + (y - pulley.y) * along[1]
            assert across == pytest.approx(0.0, abs=1e-12)
        assert hypot(span.end[0] - span.start[0], span.end[1] - span.start[1]) == span.length


def test_an_idler_on_the_back_adds_wrap() -> None:
    """Pressed in from outside, an idler lengthens the belt and the wrap on both its neighbours."""
    plain, pressed = belt_path([CRANK, BLOWER]), belt_path(DRIVE)
    assert pressed.length > plain.length
    assert pressed.wraps[0] > plain.wraps[0]
    assert pressed.wraps[1] > plain.wraps[1]
    assert pressed.wraps[0] + pressed.wraps[1] - pressed.wraps[2] == pytest.approx(2.0 * pi)


def test_an_idler_that_just_touches_changes_nothing() -> None:
    """On the belt's line an idler has no wrap, and the length is that without it."""
    level = [LayoutPulley(0.0, 0.0, 0.1), LayoutPulley(0.5, 0.0, 0.1)]
    touching = LayoutPulley(0.25, 0.05 + 0.03, 0.06, "outside")
    path = belt_path([*level, touching])
    assert path.wraps[2] == pytest.approx(0.0, abs=1e-7)
    assert path.length == pytest.approx(layout_length(level), rel=1e-9)


def test_a_smaller_blower_pulley_needs_a_shorter_belt_and_has_less_wrap() -> None:
    """Going down in size on fixed centres shortens the belt and the wrap on that pulley."""
    smaller = LayoutPulley(BLOWER.x, BLOWER.y, 0.065)
    before, after = belt_path(DRIVE), belt_path([CRANK, smaller, IDLER])
    assert after.length < before.length
    assert after.wraps[1] < before.wraps[1]


def moved(pulleys: Sequence[LayoutPulley], dx: float, dy: float) -> list[LayoutPulley]:
    """Give the same layout drawn from another origin."""
    return [LayoutPulley(p.x + dx, p.y + dy, p.diameter, p.side) for p in pulleys]


@pytest.mark.parametrize(("dx", "dy"), [(0.7, -0.4), (-1.3, 0.2), (0.05, 2.0)])
def test_the_origin_does_not_matter(dx: float, dy: float) -> None:
    """A layout drawn from another origin has the same belt and the same faults."""
    path, elsewhere = belt_path(DRIVE), belt_path(moved(DRIVE, dx, dy))
    assert elsewhere.length == pytest.approx(path.length, rel=1e-12)
    assert elsewhere.wraps == pytest.approx(path.wraps, rel=1e-9)
    for fault, pulleys in FAULTS.items():
        with pytest.raises(ValueError, match=fault):
            belt_path(moved(pulleys, dx, dy))


SQUARE = [LayoutPulley(x, y, 0.1) for x, y in ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))]
FAULTS = {
    "overlap or touch": [LayoutPulley(0.0, 0.0, 0.3), LayoutPulley(0.15, 0.0, 0.1)],
    "closes no loop": [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]],
    "crosses itself": [*SQUARE[:2], LayoutPulley(0.5, 0.5, 0.1, "outside")],
    "from pulley 1 to pulley 2 runs into pulley 4": [
        *SQUARE[:3],
        LayoutPulley(0.5, 0.3, 0.72, "outside"),
        SQUARE[3],
    ],
}


@pytest.mark.parametrize(("diameter", "clear"), [(0.698, True), (0.702, False)])
def test_a_millimetre_decides_whether_the_belt_runs_clear(diameter: float, clear: bool) -> None:
    """An idler that ends a millimetre above the lower strand is clear of it, one below is not."""
    pulleys = [*SQUARE[:3], LayoutPulley(0.5, 0.3, diameter, "outside"), SQUARE[3]]
    assert (layout_or_none(pulleys) is not None) == clear


def layout_or_none(pulleys: Sequence[LayoutPulley]) -> tuple[float, ...] | None:
    """Give the wraps, or None where there is no path."""
    try:
        return layout_wraps(pulleys)
    except ValueError:
        return None
