"""Belt paths with idlers on both sides against a construction by ruler and compass in shapely."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest
import shapely  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from specgen.physics.layout import LayoutPulley, belt_path
from specgen.physics.tensioner import share_of_travel, travelled_length

pytestmark = pytest.mark.slow

Point = tuple[float, float]
ARC = 4000


def ring(
    shapes: list[tuple[float, float]], pressed: list[tuple[float, float]]
) -> list[LayoutPulley]:
    """Pulleys on a wide ring, and between some neighbours an idler that presses on the back.

    `shapes` are radius and shift of each inside pulley; `pressed` are depth and radius of the
    idler behind each, none where the depth is nothing.
    """
    step, found = 2 * pi / len(shapes), []
    for index, (radius, shift) in enumerate(shapes):
        turn = step * index + shift
        found.append(LayoutPulley(0.6 * cos(turn), 0.6 * sin(turn), 2 * radius))
        depth, size = pressed[index]
        if depth:
            turn += step / 2
            away = 0.6 * cos(step / 2) + size - depth
            found.append(LayoutPulley(away * cos(turn), away * sin(turn), 2 * size, "outside"))
    return found


def touching(one: LayoutPulley, other: LayoutPulley) -> tuple[Point, Point]:
    """Where the belt leaves one pulley and meets the next, running anticlockwise.

    Both inside: the outer tangent to the right, by a similar triangle. One on the back: the inner
    tangent through the centre of similitude, its points by the circle of Thales over it.
    """
    a, b = np.array([one.x, one.y]), np.array([other.x, other.y])
    r, s = one.diameter / 2, other.diameter / 2
    along = (b - a) / np.linalg.norm(b - a)
    right = np.array([along[1], -along[0]])
    if one.side == other.side:
        side = 1.0 if one.side == "inside" else -1.0
        lean = (r - s) / np.linalg.norm(b - a)
        normal = lean * along + side * np.sqrt(1 - lean**2) * right
        return tuple(a + r * normal), tuple(b + s * normal)
    middle = (s * a + r * b) / (r + s)
    side = 1.0 if one.side == "inside" else -1.0
    return thales(a, r, middle, side * right), thales(b, s, middle, -side * right)


def thales(centre: np.ndarray, radius: float, point: np.ndarray, towards: np.ndarray) -> Point:
    """The tangent point on a circle of a line through a point, on the side of a direction."""
    away = float(np.linalg.norm(point - centre))
    unit = (point - centre) / away
    across = np.array([-unit[1], unit[0]])
    across = across if across @ towards > 0 else -across
    near = radius**2 / away
    return tuple(centre + near * unit + np.sqrt(radius**2 - near**2) * across)


def constructed(pulleys: list[LayoutPulley]) -> shapely.Polygon:
    """The loop of the belt as a polygon: tangents joined by finely stepped arcs."""
    count, corners = len(pulleys), []
    ends = [touching(pulleys[i], pulleys[(i + 1) % count]) for i in range(count)]
    for index, pulley in enumerate(pulleys):
        meet, leave = ends[index - 1][1], ends[index][0]
        start = np.arctan2(meet[1] - pulley.y, meet[0] - pulley.x)
        end = np.arctan2(leave[1] - pulley.y, leave[0] - pulley.x)
        turn = 1.0 if pulley.side == "inside" else -1.0
        swept = turn * ((turn * (end - start)) % (2 * pi))
        angles = start + swept * np.linspace(0, 1, ARC)
        corners += [
            (pulley.x + pulley.diameter / 2 * cos(t), pulley.y + pulley.diameter / 2 * sin(t))
            for t in angles
        ]
    return shapely.Polygon(corners)


shapes = st.lists(st.tuples(st.floats(0.03, 0.08), st.floats(-0.1, 0.1)), min_size=3, max_size=6)
depths = st.lists(
    st.tuples(st.sampled_from([0.0, 0.02, 0.05, 0.09]), st.floats(0.03, 0.06)),
    min_size=6,
    max_size=6,
)


@settings(max_examples=40, deadline=None)
@given(shapes, depths)
def test_a_path_with_idlers_is_the_construction(
    inside: list[tuple[float, float]], pressed: list[tuple[float, float]]
) -> None:
    """Length to 1e-6, and a loop that holds the inside pulleys and leaves the others outside."""
    pulleys = ring(inside, pressed)
    path, loop = belt_path(pulleys), constructed(pulleys)
    assert loop.is_valid
    assert path.length == pytest.approx(float(loop.exterior.length), rel=1e-6)
    for pulley in pulleys:
        assert loop.contains(shapely.Point(pulley.x, pulley.y)) == (pulley.side == "inside")


@settings(max_examples=25, deadline=None)
@given(st.floats(0.05, 0.95), st.floats(0.03, 0.06), st.floats(-0.4, 0.4))
def test_the_tensioner_stands_where_a_search_finds_it(
    share: float, size: float, aside: float
) -> None:
    """Solved for, a tensioner's place is that of a blind search for the same length."""
    pulleys = [
        LayoutPulley(0.0, 0.0, 0.184),
        LayoutPulley(0.45, 0.06, 0.09),
        LayoutPulley(0.25, 0.07 + size, 2 * size, "outside"),
    ]
    end = (0.25 + 0.1 * aside, -0.01 + size)
    wanted = travelled_length(pulleys, 2, end, share)
    searched = minimize_scalar(
        lambda s: (travelled_length(pulleys, 2, end, s) - wanted) ** 2,
        bounds=(0.0, 1.0),
        method="bounded",
        options={"xatol": 1e-10},
    )
    found = share_of_travel(pulleys, 2, end, wanted)
    assert found == pytest.approx(share, abs=1e-6)
    assert found == pytest.approx(float(searched.x), abs=1e-4)
