"""A belt's path around many pulleys, with idlers that run on its back.

The belt is an ideal line of no thickness: an inside pulley carries the diameter of its pitch line,
a pulley that runs on the back the diameter on which the belt's pitch line bends around it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import asin, atan2, cos, hypot, isclose, pi, sin
from typing import Literal

from specgen.physics._domain import Unphysical, positive

_TURN = 2.0 * pi
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class LayoutPulley:
    """One pulley of a layout, in the order in which the belt meets it.

    Attributes:
        x: horizontal place of the centre [m]
        y: vertical place of the centre [m]
        diameter: diameter on which the belt's pitch line runs [m]
        side: "inside" of the belt's loop, or "outside" where the belt's back runs on it [text]
    """

    x: float
    y: float
    diameter: float
    side: Literal["inside", "outside"] = "inside"

    def __post_init__(self) -> None:
        positive(diameter_of_a_pulley=self.diameter)
        if self.side not in ("inside", "outside"):
            raise Unphysical(f'side must be "inside" or "outside", but is "{self.side}"')


@dataclass(frozen=True, slots=True)
class LayoutSpan:
    """A straight stretch of belt from one pulley to the next.

    Attributes:
        start: point where the belt leaves a pulley, x and y [m]
        end: point where it meets the next one, x and y [m]
        direction: angle of the way from start to end, anticlockwise from the x axis [rad]
    """

    start: tuple[float, float]
    end: tuple[float, float]
    direction: float

    @property
    def length(self) -> float:
        """Length of the stretch [m]."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True)
class BeltPath:
    """The whole path of a belt.

    Attributes:
        length: length of the belt [m]
        wraps: wrap angle on each pulley [rad]
        spans: straight stretches; the first leaves the first pulley
        anticlockwise: whether the belt meets the pulleys, in their order, anticlockwise
    """

    length: float
    wraps: tuple[float, ...]
    spans: tuple[LayoutSpan, ...]
    anticlockwise: bool


def belt_path(pulleys: Sequence[LayoutPulley], anticlockwise: bool | None = None) -> BeltPath:
    """Path of a belt around pulleys in the order in which it meets them.

    Equation:
        direction from pulley to pulley: phi = atan2(dy, dx) - asin((s_2 r_2 - s_1 r_1) / C), with
        s = 1 where the belt turns anticlockwise around a pulley and -1 where it turns clockwise;
        wrap theta = s (phi_out - phi_in); all turns s theta add up to one revolution;
        L = sum (C^2 - (s_2 r_2 - s_1 r_1)^2)^0.5 + sum r theta

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]
        anticlockwise: which way round the belt meets them; the shorter way if both are open [1]

    Returns:
        length, wraps and straight stretches [BeltPath]

    Raises:
        ValueError: if there are fewer than two pulleys or none inside, two overlap, the belt would
            run into one or across itself, or the order closes no loop

    Example:
        >>> path = belt_path([LayoutPulley(0.0, 0.0, 0.6), LayoutPulley(3.0, 0.0, 0.24)])
        >>> round(path.length, 4)
        7.3303

    Source:
        geometry; Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED); shapely 2.2.0 (RUN)
    """
    _check(pulleys)
    senses = (1, -1) if anticlockwise is None else (1 if anticlockwise else -1,)
    paths = [path for path in (_path(pulleys, sense) for sense in senses) if path is not None]
    if not paths:
        raise Unphysical(
            "a belt that meets the pulleys in this order closes no loop around those inside, or "
            "crosses itself: check their order, places and sides"
        )
    path = min(paths, key=lambda candidate: candidate.length)
    _check_clear(pulleys, path.spans)
    return path


def layout_length(pulleys: Sequence[LayoutPulley]) -> float:
    """Length of a belt around pulleys in the order in which it meets them.

    Equation:
        L = sum of the straight stretches + sum r theta

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]

    Returns:
        belt length, L [m]

    Raises:
        ValueError: if the layout has no belt path

    Example:
        >>> round(layout_length([LayoutPulley(0, 0, 0.6), LayoutPulley(0.9, 0, 0.3)]), 5)
        3.23878

    Source:
        as for belt_path; Jindal, Machine Design, Ex 21-2 (RESTATED)
    """
    return belt_path(pulleys).length


def layout_wraps(pulleys: Sequence[LayoutPulley]) -> tuple[float, ...]:
    """Wrap angle on each pulley of a layout.

    Equation:
        theta = s (phi_out - phi_in)

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]

    Returns:
        wrap angle on each pulley, theta [rad]

    Raises:
        ValueError: if the layout has no belt path

    Example:
        >>> wraps = layout_wraps([LayoutPulley(0, 0, 0.6), LayoutPulley(3, 0, 0.24)])
        >>> round(wraps[1] * 180 / pi, 2)
        173.12

    Source:
        as for belt_path; Khurmi and Gupta, Theory of Machines, Ex 11.15 (RESTATED)
    """
    return belt_path(pulleys).wraps


def layout_spans(pulleys: Sequence[LayoutPulley]) -> tuple[LayoutSpan, ...]:
    """Straight stretches of a belt with their ends on the pulleys, for a drawing.

    Equation:
        point on a pulley = centre + s r (sin phi, -cos phi)

    Parameters:
        pulleys: two pulleys or more in the order of the belt [LayoutPulley]

    Returns:
        straight stretches in order; the first leaves the first pulley [LayoutSpan]

    Raises:
        ValueError: if the layout has no belt path

    Example:
        >>> round(layout_spans([LayoutPulley(0, 0, 0.6), LayoutPulley(3, 0, 0.24)])[0].length, 4)
        2.9946

    Source:
        as for belt_path; shapely 2.2.0 (RUN)
    """
    return belt_path(pulleys).spans


def _check(pulleys: Sequence[LayoutPulley]) -> None:
    if len(pulleys) < 2:
        raise Unphysical(f"a belt needs two pulleys or more, but has {len(pulleys)}")
    if all(pulley.side == "outside" for pulley in pulleys):
        raise Unphysical("a belt needs a pulley inside its loop, but all are outside")
    for (first, one), (second, other) in combinations(enumerate(pulleys, start=1), 2):
        distance = hypot(other.x - one.x, other.y - one.y)
        reach = 0.5 * (one.diameter + other.diameter)
        if distance <= reach:
            raise Unphysical(
                f"pulleys {first} and {second} overlap or touch: their centres are "
                f"{1e3 * distance:.1f} mm apart, but must be more than {1e3 * reach:.1f} mm"
            )


def _path(pulleys: Sequence[LayoutPulley], sense: int) -> BeltPath | None:
    """Try the belt in one sense: 1 for anticlockwise, -1 for clockwise. None if it cannot run."""
    turns = [sense if pulley.side == "inside" else -sense for pulley in pulleys]
    count = len(pulleys)
    spans = [
        _span(pulleys[i], turns[i], pulleys[(i + 1) % count], turns[(i + 1) % count])
        for i in range(count)
    ]
    wraps = [_wrap(turns[i] * (spans[i].direction - spans[i - 1].direction)) for i in range(count)]
    turned = sum(turn * wrap for turn, wrap in zip(turns, wraps, strict=True))
    closed = isclose(turned, sense * _TURN, abs_tol=_ROUNDING * count)
    if not closed or any(_cross(one, other) for one, other in combinations(spans, 2)):
        return None
    arcs = sum(0.5 * p.diameter * wrap for p, wrap in zip(pulleys, wraps, strict=True))
    length = arcs + sum(span.length for span in spans)
    return BeltPath(length, tuple(wraps), tuple(spans), sense == 1)


def _span(one: LayoutPulley, turn: int, other: LayoutPulley, other_turn: int) -> LayoutSpan:
    """Give the tangent from one pulley to the other that fits how the belt turns around both."""
    radius, other_radius = 0.5 * turn * one.diameter, 0.5 * other_turn * other.diameter
    dx, dy = other.x - one.x, other.y - one.y
    direction = atan2(dy, dx) - asin((other_radius - radius) / hypot(dx, dy))
    right = (sin(direction), -cos(direction))
    return LayoutSpan(
        (one.x + radius * right[0], one.y + radius * right[1]),
        (other.x + other_radius * right[0], other.y + other_radius * right[1]),
        direction,
    )


def _wrap(angle: float) -> float:
    """Bring a wrap into 0 to one revolution; a rounding error below zero is zero."""
    wrapped = angle % _TURN
    return 0.0 if _TURN - wrapped < _ROUNDING else wrapped


def _cross(one: LayoutSpan, other: LayoutSpan) -> bool:
    """Tell whether two straight stretches cross within their lengths."""

    def side(span: LayoutSpan, point: tuple[float, float]) -> float:
        (x1, y1), (x2, y2) = span.start, span.end
        return (x2 - x1) * (point[1] - y1) - (y2 - y1) * (point[0] - x1)

    parts_other = side(one, other.start) * side(one, other.end) < 0.0
    return parts_other and side(other, one.start) * side(other, one.end) < 0.0


def _check_clear(pulleys: Sequence[LayoutPulley], spans: Sequence[LayoutSpan]) -> None:
    for leaving, span in enumerate(spans):
        meeting = (leaving + 1) % len(pulleys)
        for number, pulley in enumerate(pulleys):
            if number in (leaving, meeting):
                continue
            if _distance(pulley, span) < 0.5 * pulley.diameter * (1.0 - _ROUNDING):
                raise Unphysical(
                    f"the belt from pulley {leaving + 1} to pulley {meeting + 1} runs into pulley "
                    f"{number + 1}: check their order, places and sides"
                )


def _distance(pulley: LayoutPulley, span: LayoutSpan) -> float:
    """Give the distance of a pulley's centre from a straight stretch."""
    (x1, y1), (x2, y2) = span.start, span.end
    along = (pulley.x - x1) * (x2 - x1) + (pulley.y - y1) * (y2 - y1)
    share = min(max(along / max(span.length**2, 1e-300), 0.0), 1.0)
    return hypot(pulley.x - x1 - share * (x2 - x1), pulley.y - y1 - share * (y2 - y1))
