"""A sheet of drawing paper: strokes, areas, circles, arcs and words, placed in pixels.

Charts say where things stand (origin at the top left, y downwards); nothing here knows quantities,
and nothing here draws. Two backs draw what was noted: `inline` writes SVG for the middle of a page,
`picture` a file with matplotlib.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from specgen.publish.charts.papers.inks import INK

Floats = NDArray[np.float64]
Point = tuple[float, float]
Anchor = Literal["left", "center", "right"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """Lines of one kind: runs of points; a run of one point is a round dot as wide as the line."""

    runs: tuple[tuple[Point, ...], ...]
    colour: str
    width: float
    role: str
    dash: tuple[float, ...] = ()
    opacity: float | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon."""

    points: tuple[Point, ...]
    colour: str
    role: str
    opacity: float | None = None


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle; no `fill` and no `edge` where the colour is empty."""

    centre: Point
    radius: float
    fill: str
    edge: str
    role: str


class Arc(NamedTuple):
    """A way along a circle to `end`: the longer one if `large`; `clockwise` as the reader sees."""

    centre: Point
    radius: float
    end: Point
    large: bool
    clockwise: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of straight steps and arcs from `start`; without round ends where it is `blunt`."""

    start: Point
    steps: tuple[Point | Arc, ...]
    colour: str
    width: float
    role: str
    closed: bool = False
    blunt: bool = False
    opacity: float | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """A text on one line with its baseline at `y`."""

    x: float
    y: float
    text: str
    size: float
    colour: str
    anchor: Anchor
    bold: bool
    role: str
    opacity: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """A picture on the paper, in pixels of the drawing, laid over all else by files alone.

    `pixels` are red, green, blue and alpha, of shape (height, width, 4).
    """

    left: float
    top: float
    width: float
    height: float
    pixels: NDArray[np.uint8]


class Plot(NamedTuple):
    """Where a panel of curves stands on a drawing, in pixels, and the SI values at its ends.

    `key` is the quantity; `speed` and `value` are the numbers at `left` and `right`, at `bottom`
    and `top`.
    """

    key: str
    left: float
    right: float
    top: float
    bottom: float
    speed: tuple[float, float]
    value: tuple[float, float]


Mark = Stroke | Area | Circle | Curve | Words


class Canvas:
    """One drawing of `width` by `height` pixels; `marks` lie on each other in their order.

    A `role` is one or more words that say what a mark stands for, such as "line measured". `plots`
    say where its panels of curves stand, for whoever reads values off them; `pictures` are shown
    in files, not on a page.
    """

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self.marks: list[Mark] = []
        self.plots: list[Plot] = []
        self.pictures: list[Shown] = []

    def line(
        self,
        x: Floats | Sequence[float],
        y: Floats | Sequence[float],
        colour: str,
        *,
        width: float = 1.0,
        dash: Sequence[float] = (),
        role: str = "",
    ) -> None:
        """Draw a line through points; a NaN leaves a gap. `dash` is in pixels."""
        runs = tuple(tuple(run) for run in _runs(zip(x, y, strict=True)) if len(run) > 1)
        if runs:
            self.marks.append(Stroke(runs, colour, width, role, tuple(dash)))

    def segments(
        self,
        lines: Sequence[tuple[Point, Point]],
        colour: str,
        *,
        width: float = 1.0,
        role: str,
        opacity: float | None = None,
    ) -> None:
        """Draw many straight strokes of one kind, such as grid lines."""
        if lines:
            self.marks.append(Stroke(tuple(lines), colour, width, role, opacity=opacity))

    def dots(
        self,
        x: Floats | Sequence[float],
        y: Floats | Sequence[float],
        colour: str,
        *,
        size: float = 5.0,
        role: str = "",
    ) -> None:
        """Draw a dot of this diameter at each point; none where either coordinate is NaN."""
        places = [(float(a), float(b)) for a, b in zip(x, y, strict=True)]
        known = tuple((place,) for place in places if all(map(math.isfinite, place)))
        if known:
            self.marks.append(Stroke(known, colour, size, role))

    def area(
        self, points: Sequence[Point], colour: str, *, opacity: float | None = None, role: str = ""
    ) -> None:
        """Fill the polygon through these points, to a tenth of a pixel: a fill has no fine edge."""
        if len(points) > 2:
            corners = tuple((round(x, 1), round(y, 1)) for x, y in points)
            self.marks.append(Area(corners, colour, role, opacity))

    def circle(
        self, centre: Point, radius: float, *, fill: str = "", edge: str = "", role: str = ""
    ) -> None:
        """Draw a circle, filled, with an edge one pixel wide, or both."""
        self.marks.append(Circle(centre, radius, fill, edge, role))

    def curve(
        self,
        start: Point,
        steps: Sequence[Point | Arc],
        colour: str,
        *,
        width: float = 1.0,
        role: str = "",
        closed: bool = False,
        blunt: bool = False,
        opacity: float | None = None,
    ) -> None:
        """Draw a line of straight steps and arcs of circles."""
        self.marks.append(Curve(start, tuple(steps), colour, width, role, closed, blunt, opacity))

    def words(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float,
        colour: str = INK,
        anchor: Anchor = "left",
        bold: bool = False,
        role: str = "",
        opacity: float | None = None,
    ) -> None:
        """Write a text with its baseline at `y`; `anchor` is left, center or right."""
        if text:
            self.marks.append(Words(x, y, text, size, colour, anchor, bold, role, opacity))


def _runs(points: Iterable[tuple[float, float]]) -> list[list[Point]]:
    """Points parted where a coordinate is not known."""
    runs: list[list[Point]] = [[]]
    for x, y in points:
        place = (float(x), float(y))
        if math.isfinite(place[0]) and math.isfinite(place[1]):
            runs[-1].append(place)
        elif runs[-1]:
            runs.append([])
    return runs
