"""The belt's path drawn to scale: pulleys as circles, the belt along its free spans and arcs.

The geometry (tangent points, wrap) is calculated elsewhere and only drawn here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal, NamedTuple

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Arc, Canvas, Point
from specgen.publish.charts.scale import nice_step, shortened, width_of
from specgen.publish.charts.series import Chart
from specgen.publish.charts.words import both, capital
from specgen.vocabulary import System, quantity, side_by_side

_DIAMETER = quantity("pulley_diameter")
_LENGTH = quantity("belt_slack")
_WRAP = quantity("wrap")
_SIZE = 13.0
_LINE = 16.0

Span = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Pulley:
    """A pulley on the belt's path: centre and diameter in metres, y upwards.

    `side` tells whether it runs inside the loop or on the belt's back; `wrap` (radians) is shown
    where given. The diameter is where the belt runs; `size` is the one written beside it, if
    another.
    """

    name: str
    x: float
    y: float
    diameter: float
    side: Literal["inside", "outside"] = "inside"
    wrap: float | None = None
    size: float | None = None

    @property
    def written(self) -> float:
        """The diameter to write beside it [m]."""
        return self.diameter if self.size is None else self.size


class _Box(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: _Box) -> bool:
        """Tell whether two boxes share any ground."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def holds(self, point: Point) -> bool:
        """Tell whether a point lies in the box."""
        return self.left < point[0] < self.right and self.top < point[1] < self.bottom


class _Map:
    """Metres, y upwards, to pixels, y downwards, at one scale for both."""

    def __init__(self, pulleys: Sequence[Pulley], width: float, most: float, margin: Point) -> None:
        left = min(item.x - item.diameter / 2 for item in pulleys)
        right = max(item.x + item.diameter / 2 for item in pulleys)
        low = min(item.y - item.diameter / 2 for item in pulleys)
        high = max(item.y + item.diameter / 2 for item in pulleys)
        across, up = margin
        self.pixels = min((width - 2 * across) / (right - left), most / (high - low))
        self.width = width
        self.height = (high - low) * self.pixels + 2 * up + 34
        self._left = (width - (right - left) * self.pixels) / 2 - left * self.pixels
        self._top = up + high * self.pixels

    def point(self, x: float, y: float) -> Point:
        """The pixel of a place."""
        return self._left + x * self.pixels, self._top - y * self.pixels


def belt_layout(
    pulleys: Sequence[Pulley],
    spans: Sequence[Span],
    title: str | None = None,
    *,
    name: str = "belt",
    system: System = "metric",
) -> Chart:
    """Draw a belt's path to scale.

    `pulleys` stand in the order the belt runs. `spans` are the free stretches, each two points
    (x, y) in metres: span i runs from pulley i to the next one, the last back to the first; none
    draws the pulleys alone. ValueError for no pulley, a diameter that is not positive, or another
    number of spans.
    """
    _check(pulleys, spans)
    finding = title or belt_title(pulleys, system)
    words = belt_description(pulleys)

    def drawn(width: float, most: float, margin: Point) -> Canvas:
        return _draw(_Map(pulleys, width, most, margin), pulleys, spans)

    wide = partial(drawn, 720.0, 340.0, (150.0, 44.0))
    narrow = partial(drawn, 360.0, 300.0, (52.0, 56.0))
    return Chart(name, finding, words, wide, narrow)


def _check(pulleys: Sequence[Pulley], spans: Sequence[Span]) -> None:
    if not pulleys or any(not item.diameter > 0 for item in pulleys):
        raise ValueError("a belt layout needs pulleys with positive diameters")
    if spans and len(spans) != len(pulleys):
        raise ValueError(f"{len(pulleys)} pulleys need as many spans; found {len(spans)}")


def belt_title(pulleys: Sequence[Pulley], system: System = "metric") -> str:
    """State the finding: the blower pulley's wrap if known, else how many pulleys there are."""
    for item in pulleys:
        if item.wrap is not None and "blower" in item.name.lower():
            size = _DIAMETER.text(item.written, system)
            wrap = _WRAP.text(item.wrap, system)
            return capital(f"the belt wraps {wrap} of the {size} {item.name} pulley")
    count = len(pulleys)
    return f"Belt path over {count} pulleys" if count > 1 else "One pulley, no belt path"


def belt_description(pulleys: Sequence[Pulley]) -> str:
    """The alternative text: each pulley in the order the belt runs."""
    told = ["The belt's path drawn to scale, pulleys in the order the belt runs."]
    for item in pulleys:
        back = ", on the belt's back" if item.side == "outside" else ""
        wrap = f", wrap {_WRAP.text(item.wrap, 'metric')}" if item.wrap is not None else ""
        told.append(f"{capital(item.name)}: {both(_DIAMETER, item.written)}{wrap}{back}.")
    return svg.spoken(" ".join(told))


def _draw(paper: _Map, pulleys: Sequence[Pulley], spans: Sequence[Span]) -> Canvas:
    canvas = Canvas(paper.width, round(paper.height))
    for item in pulleys:
        # filled inside the loop, open on the belt's back
        fill = inks.GRID if item.side == "inside" else inks.GROUND
        radius = item.diameter / 2 * paper.pixels
        at = paper.point(item.x, item.y)
        canvas.circle(at, radius, fill=fill, edge=inks.MUTED, role="pulley")
    if spans:
        _draw_belt(canvas, paper, pulleys, spans)
    _draw_labels(canvas, paper, pulleys, spans)
    _draw_scale_bar(canvas, paper)
    return canvas


def _draw_belt(
    canvas: Canvas, paper: _Map, pulleys: Sequence[Pulley], spans: Sequence[Span]
) -> None:
    """The closed path of spans and arcs, and an arrow's head on the longest span."""
    steps: list[Point | Arc] = []
    for index, (start, end) in enumerate(spans):
        steps.append(paper.point(*end))
        follower = pulleys[(index + 1) % len(pulleys)]
        steps.append(_arc(paper, follower, (start, end), spans[(index + 1) % len(spans)][0]))
    start = paper.point(*spans[0][0])
    canvas.curve(start, steps, inks.colour_of(0), width=3, closed=True, role="belt")
    _draw_arrow(canvas, paper, spans)


def _arc(paper: _Map, pulley: Pulley, arriving: Span, leaving: Point) -> Arc:
    """The belt on one pulley, from the end of the arriving span to the start of the next.

    The belt turns the pulley the way it arrives: the sign of radius × direction of travel.
    """
    (x_from, y_from), (x, y) = arriving
    turn = (x - pulley.x) * (y - y_from) - (y - pulley.y) * (x - x_from)
    start = math.atan2(y - pulley.y, x - pulley.x)
    end = math.atan2(leaving[1] - pulley.y, leaving[0] - pulley.x)
    swept = (end - start if turn > 0 else start - end) % math.tau
    if swept > math.tau - 0.02:  # a belt that only just touches, off by rounding
        swept = 0.0
    centre, radius = paper.point(pulley.x, pulley.y), pulley.diameter / 2 * paper.pixels
    return Arc(centre, radius, paper.point(*leaving), large=swept > math.pi, clockwise=turn <= 0)


def _draw_arrow(canvas: Canvas, paper: _Map, spans: Sequence[Span]) -> None:
    """An arrow's head in the middle of the longest span: the way the belt runs."""
    start, end = max(spans, key=lambda span: math.dist(*span))
    (x1, y1), (x2, y2) = paper.point(*start), paper.point(*end)
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 24:
        return
    along = ((x2 - x1) / length, (y2 - y1) / length)
    across = (-along[1], along[0])
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    corners = [(8.0, 0.0), (-5.0, 6.0), (-5.0, -6.0)]
    points = [
        (x + a * along[0] + b * across[0], y + a * along[1] + b * across[1]) for a, b in corners
    ]
    canvas.area(points, inks.colour_of(0), role="way")


def _draw_labels(
    canvas: Canvas, paper: _Map, pulleys: Sequence[Pulley], spans: Sequence[Span]
) -> None:
    """Each pulley's words where they cover least of belt, pulleys and other words."""
    taken = [_around(paper, item) for item in pulleys]
    belt = [point for span in spans for point in _along(paper, span)]
    placed: list[_Box] = []
    for index, item in enumerate(pulleys):
        lines = _lines(item, 190.0 if paper.width > 500 else 118.0)
        boxes = _places(paper, item, lines)
        others = taken[:index] + taken[index + 1 :]

        def cost(box: _Box, others: list[_Box] = others) -> float:
            outside = box.left < 0 or box.right > paper.width or box.top < 0
            hidden = sum(box.holds(point) for point in belt)
            circles = sum(box.overlaps(other) for other in others)
            words = sum(box.overlaps(other) for other in placed)
            return 40 * outside + 20 * words + 6 * circles + hidden

        best = min(boxes, key=cost)
        placed.append(best)
        _write(canvas, best, lines)


def _around(paper: _Map, item: Pulley) -> _Box:
    x, y = paper.point(item.x, item.y)
    radius = item.diameter / 2 * paper.pixels
    return _Box(x - radius, y - radius, x + radius, y + radius)


def _along(paper: _Map, span: Span) -> list[Point]:
    (x1, y1), (x2, y2) = paper.point(*span[0]), paper.point(*span[1])
    return [(x1 + (x2 - x1) * step / 40, y1 + (y2 - y1) * step / 40) for step in range(41)]


def _lines(item: Pulley, room: float) -> list[str]:
    """What stands beside a pulley: its name, its diameter in both units, its wrap."""
    lines = [shortened(capital(item.name), _SIZE, room, bold=True)]
    if room > 150:
        lines.append(both(_DIAMETER, item.written))
    else:
        lines += [_DIAMETER.text(item.written, system) for system in side_by_side()]
    if item.wrap is not None:
        lines.append(f"wrap {_WRAP.text(item.wrap, 'metric')}")
    return lines


def _places(paper: _Map, item: Pulley, lines: Sequence[str]) -> list[_Box]:
    """Boxes the words may take: in the middle if they fit, else around the pulley."""
    width = max(width_of(line, _SIZE, bold=index == 0) for index, line in enumerate(lines))
    height = _LINE * len(lines)
    x, y = paper.point(item.x, item.y)
    radius = item.diameter / 2 * paper.pixels
    gap = radius + 7
    slant = gap * 0.75
    centres = [
        *((x + side * (gap + width / 2), y) for side in (1, -1)),
        *((x, y + side * (gap + height / 2)) for side in (-1, 1)),
        *(
            (x + across * (slant + width / 2), y + up * (slant + height / 2))
            for across in (1, -1)
            for up in (-1, 1)
        ),
    ]
    if math.hypot(width, height) / 2 < radius - 4:
        centres = [(x, y)]
    return [
        _Box(cx - width / 2, cy - height / 2, cx + width / 2, cy + height / 2) for cx, cy in centres
    ]


def _write(canvas: Canvas, box: _Box, lines: Sequence[str]) -> None:
    middle = (box.left + box.right) / 2
    for index, line in enumerate(lines):
        y = box.top + _LINE * index + _SIZE - 1
        canvas.words(middle, y, line, size=_SIZE, anchor="center", bold=index == 0, role="label")


def _draw_scale_bar(canvas: Canvas, paper: _Map) -> None:
    """A bar of a round length at the lower left, with its length in both systems."""
    length = nice_step(paper.width / paper.pixels * 0.2, 1)
    right = 6 + length * paper.pixels
    y = paper.height - 12
    canvas.line([6, 6, right, right], [y - 5, y, y, y - 5], inks.INK)
    canvas.words(right + 8, y + 1, both(_LENGTH, length), size=_SIZE, role="scale")
