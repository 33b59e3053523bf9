"""The valves' events around the crank's circle: top dead centre above, turning clockwise.

Two rings, one for each valve, run from opening to closing; where both are drawn, both valves are
open.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Anchor, Arc, Canvas, Point
from specgen.publish.charts.scale import spread, wrap
from specgen.publish.charts.series import Chart
from specgen.publish.charts.words import capital
from specgen.vocabulary import System, quantity

_ANGLE = quantity("valve_event")
_SIZE = 13.0
_LINE = 16.0


@dataclass(frozen=True, slots=True)
class Where:
    """A valve event in words: an angle ("14°"), its side ("before") of a dead centre.

    `centre` is its name, `short` the letters that stand for it where there is no room.
    """

    angle: str
    side: str
    centre: str
    short: str

    def __str__(self) -> str:
        return f"{self.angle} {self.side} {self.centre}"


@dataclass(frozen=True, slots=True)
class Opening:
    """How long one valve is open: crank angles from the top dead centre of overlap [rad]."""

    name: str
    opening: float
    closing: float
    opens: Where
    closes: Where
    group: int = 0


class _Form(NamedTuple):
    """The measures of one drawing in pixels."""

    width: float
    radius: float
    roomy: bool

    @property
    def centre(self) -> Point:
        """The middle of the circle."""
        return self.width / 2, self.radius + 34

    @property
    def height(self) -> float:
        """The height of the drawing."""
        return 2 * self.radius + 68


_WIDE = _Form(720, 118, roomy=True)
_NARROW = _Form(360, 74, roomy=False)
#: From the rim to each valve's ring, and the ring's thickness.
_RINGS, _THICK = (9.0, 25.0), 11.0


def valve_timing(
    openings: Sequence[Opening],
    title: str | None = None,
    *,
    name: str = "timing",
    system: System = "metric",
) -> Chart:
    """Draw the valves' events around the crank's circle.

    ValueError for no valve, or for one that closes before it opens.
    """
    if not openings or any(not item.closing > item.opening for item in openings):
        raise ValueError("a drawing of valve events needs valves that close after they open")
    finding = title or timing_title(openings, system)
    words = timing_description(openings)
    drawings = [partial(_draw, form, openings) for form in (_WIDE, _NARROW)]
    return Chart(name, finding, words, *drawings)


def timing_title(openings: Sequence[Opening], system: System = "metric") -> str:
    """State the finding: for how much of two turns each valve is open."""
    lengths = [
        f"{item.name} for {_ANGLE.text(item.closing - item.opening, system)}" for item in openings
    ]
    return f"Crank angle over which a valve is open: {', '.join(lengths)}"


def timing_description(openings: Sequence[Opening]) -> str:
    """The alternative text: where each valve opens and closes."""
    told = ["Valve events around the crank's circle, top dead centre above, turning clockwise."]
    told += [
        f"{capital(item.name)} opens {item.opens} and closes {item.closes}." for item in openings
    ]
    return svg.spoken(" ".join(told))


def _draw(form: _Form, openings: Sequence[Opening]) -> Canvas:
    canvas = Canvas(form.width, form.height)
    canvas.circle(form.centre, form.radius, edge=inks.GRID)
    _draw_dead_centres(canvas, form)
    if form.roomy:
        _draw_turning(canvas, form)
    for index, item in enumerate(openings):
        _draw_ring(canvas, form, item, _RINGS[index % 2])
    _draw_names(canvas, form, openings)
    _draw_labels(canvas, form, openings)
    return canvas


def _at(form: _Form, angle: float, radius: float) -> Point:
    """The pixel at a crank angle: zero above, clockwise."""
    x, y = form.centre
    return x + radius * math.sin(angle), y - radius * math.cos(angle)


def _draw_dead_centres(canvas: Canvas, form: _Form) -> None:
    """Ticks and words at the top and the bottom."""
    x, y = form.centre
    up, down = y - form.radius, y + form.radius
    canvas.segments([((x, up - 6), (x, down + 6))], inks.GRID, role="")
    names = ("top dead centre", "bottom dead centre") if form.roomy else ("TDC", "BDC")
    for height, name in ((up - 12, names[0]), (down + 22, names[1])):
        canvas.words(x, height, name, size=_SIZE, anchor="center", role="angle")


def _draw_turning(canvas: Canvas, form: _Form) -> None:
    """Draw an arrow inside the rings that tells which way the crank turns."""
    radius = form.radius - _RINGS[1] - 2.2 * _THICK
    start, end = _at(form, math.radians(60), radius), _at(form, math.radians(120), radius)
    arc = Arc(form.centre, radius, end, large=False, clockwise=True)
    canvas.curve(start, [arc], inks.MUTED)
    corners = [_at(form, math.radians(127), radius)]
    corners += [_at(form, math.radians(117), radius + side) for side in (4.0, -4.0)]
    canvas.area(corners, inks.MUTED)


def _draw_ring(canvas: Canvas, form: _Form, item: Opening, inset: float) -> None:
    """One valve's ring from its opening to its closing, a stroke across the rim at either."""
    radius = form.radius - inset
    first, last = _at(form, item.opening, radius), _at(form, item.closing, radius)
    large = (item.closing - item.opening) % math.tau > math.pi
    colour = inks.colour_of(item.group)
    arc = Arc(form.centre, radius, last, large=large, clockwise=True)
    canvas.curve(first, [arc], colour, width=_THICK, blunt=True, opacity=0.55, role="ring")
    for angle in (item.opening, item.closing):
        spoke = (_at(form, angle, form.radius - 33), _at(form, angle, form.radius + 4))
        canvas.segments([spoke], colour, width=1.5, role="")


def _draw_names(canvas: Canvas, form: _Form, openings: Sequence[Opening]) -> None:
    """Which ring is which, in the middle of the circle."""
    x, y = form.centre
    told = []
    for index, item in enumerate(openings):
        where = ("outer ring", "inner ring")[index % 2]
        lines = [f"{capital(item.name)}: {where}"] if form.roomy else [f"{item.name},", where]
        told += lines
    top = y - _LINE * (len(told) - 1) / 2 + 4
    for index, line in enumerate(told):
        canvas.words(x, top + _LINE * index, line, size=_SIZE, anchor="center", role="label")


def _draw_labels(canvas: Canvas, form: _Form, openings: Sequence[Opening]) -> None:
    """Each event's words beside the circle, left or right as it lies, joined by a thin line."""
    sides: dict[int, list[tuple[float, list[str], str]]] = {-1: [], 1: []}
    for item in openings:
        for angle, verb, where in (
            (item.opening, "opens", item.opens),
            (item.closing, "closes", item.closes),
        ):
            side = 1 if math.sin(angle) >= 0 else -1
            lines = _event_lines(form, capital(item.name), verb, where)
            sides[side].append((angle, lines, inks.colour_of(item.group)))
    for side, events in sides.items():
        _draw_side(canvas, form, side, events)


def _event_lines(form: _Form, name: str, verb: str, where: Where) -> list[str]:
    if form.roomy:
        room = form.width / 2 - form.radius - 36
        return [f"{name} {verb}", *wrap(str(where), _SIZE, room, 2)]
    return [name, verb, f"{where.angle} {where.side}", where.short]


def _draw_side(
    canvas: Canvas, form: _Form, side: int, events: list[tuple[float, list[str], str]]
) -> None:
    """Write the events of one side, pushed apart."""
    wanted = [_at(form, angle, form.radius + 16)[1] for angle, _, _ in events]
    heights = [_LINE * len(lines) + 4 for _, lines, _ in events]
    places = spread(wanted, heights, 2, form.height - 2) if events else []
    x = form.centre[0] + side * (form.radius + (34 if form.roomy else 12))
    anchor: Anchor = "left" if side > 0 else "right"
    for (angle, lines, colour), place in zip(events, places, strict=True):
        start = _at(form, angle, form.radius + 4)
        canvas.segments([(start, (x - side * 5, place))], colour, role="")
        top = place - _LINE * len(lines) / 2 + _SIZE - 1
        for index, line in enumerate(lines):
            canvas.words(x, top + _LINE * index, line, size=_SIZE, anchor=anchor,
                         bold=index == 0, role="label")  # fmt: skip
