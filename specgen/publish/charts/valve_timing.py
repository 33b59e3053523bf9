"""The valves' events around the crank's circle: top dead centre above, turning clockwise.

Written by hand rather than with matplotlib, because SVG has the arc of a circle. Two rings, one
for each valve, run from opening to closing; where both are drawn, both valves are open.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from specgen.publish.charts import svg
from specgen.publish.charts.scale import spread
from specgen.publish.charts.series import Chart
from specgen.publish.charts.words import capital
from specgen.vocabulary import System, quantity

_ANGLE = quantity("valve_event")
_SIZE = 13.0
_LINE = 16.0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Opening:
    """How long one valve is open: crank angles from the top dead centre of overlap [rad].

    `opens` and `closes` say in words where that is ("14° before top dead centre").
    """

    name: str
    opening: float
    closing: float
    opens: str
    closes: str
    group: int = 0


class _Form(NamedTuple):
    """The measures of one drawing in pixels."""

    name: str
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


_WIDE = _Form("wide", 720, 118, roomy=True)
_NARROW = _Form("narrow", 360, 74, roomy=False)
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

    def drawn(form: _Form) -> str:
        return svg.root(
            (form.width, form.height),
            _body(form, openings),
            name=f"{name}-{form.name}",
            title=finding,
            description=words,
            classes=f"sg-chart sg-chart-{form.name}",
            hidden=form.name == "narrow",
        )

    return Chart(name, finding, words, drawn(_WIDE), drawn(_NARROW))


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


def _body(form: _Form, openings: Sequence[Opening]) -> str:
    rim = svg.paint("stroke", svg.GRID)
    x, y = form.centre
    circle: dict[str, str | float] = {"cx": x, "cy": y, "r": form.radius, **rim}
    parts = [svg.tag("circle", circle), _dead_centres(form), _turning(form)]
    parts += [_ring(form, item, _RINGS[index % 2]) for index, item in enumerate(openings)]
    parts.append(_names(form, openings))
    return "".join(parts) + _labels(form, openings)


def _at(form: _Form, angle: float, radius: float) -> Point:
    """The pixel at a crank angle: zero above, clockwise."""
    x, y = form.centre
    return x + radius * math.sin(angle), y - radius * math.cos(angle)


def _dead_centres(form: _Form) -> str:
    """Ticks and words at the top and the bottom."""
    x, y = form.centre
    up, down = y - form.radius, y + form.radius
    data = f"M{svg.number(x)} {svg.number(up - 6)}V{svg.number(down + 6)}"
    line = svg.tag("path", {"d": data, **svg.paint("stroke", svg.GRID)})
    names = ("top dead centre", "bottom dead centre") if form.roomy else ("TDC", "BDC")
    muted = {"text_anchor": "middle", "class": "sg-c-angle"}
    above = svg.text(x, up - 12, names[0], **muted)
    return line + above + svg.text(x, down + 22, names[1], **muted)


def _turning(form: _Form) -> str:
    """An arrow inside the rings that tells which way the crank turns, where there is room."""
    if not form.roomy:
        return ""
    radius = form.radius - _RINGS[1] - 2.2 * _THICK
    start, end = _at(form, math.radians(60), radius), _at(form, math.radians(120), radius)
    shown = svg.number(radius)
    data = f"M{_pair(start)}A{shown} {shown} 0 0 1 {_pair(end)}"
    arc = svg.tag("path", {"d": data, **svg.paint("stroke", svg.MUTED)})
    corners = [_at(form, math.radians(127), radius)]
    corners += [_at(form, math.radians(117), radius + side) for side in (4.0, -4.0)]
    outline = " ".join(f"{svg.number(x)},{svg.number(y)}" for x, y in corners)
    return arc + svg.tag("polygon", {"points": outline, **svg.paint("fill", svg.MUTED)})


def _ring(form: _Form, item: Opening, inset: float) -> str:
    """One valve's ring from its opening to its closing, a dot on the rim at either."""
    radius = form.radius - inset
    first, last = _at(form, item.opening, radius), _at(form, item.closing, radius)
    swept = item.closing - item.opening
    shown = svg.number(radius)
    large = int(swept % math.tau > math.pi)
    colour = svg.colour_of(item.group)
    stroke = svg.paint("stroke", colour)
    stroke["class"] = f"sg-c-ring {stroke['class']}"
    thick: dict[str, str | float] = {"stroke-width": _THICK, "stroke-linecap": "butt"}
    data = f"M{_pair(first)}A{shown} {shown} 0 {large} 1 {_pair(last)}"
    ring = svg.tag("path", {"d": data, **stroke, **thick, "stroke-opacity": "0.55"})
    return ring + "".join(_spoke(form, angle, colour) for angle in (item.opening, item.closing))


def _spoke(form: _Form, angle: float, colour: str) -> str:
    inner, outer = _at(form, angle, form.radius - 33), _at(form, angle, form.radius + 4)
    data = f"M{_pair(inner)}L{_pair(outer)}"
    return svg.tag("path", {"d": data, **svg.paint("stroke", colour), "stroke-width": 1.5})


def _names(form: _Form, openings: Sequence[Opening]) -> str:
    """Which ring is which, in the middle of the circle."""
    x, y = form.centre
    told = []
    for index, item in enumerate(openings):
        where = ("outer ring", "inner ring")[index % 2]
        lines = [f"{capital(item.name)}: {where}"] if form.roomy else [f"{item.name},", where]
        told += lines
    top = y - _LINE * (len(told) - 1) / 2 + 4
    return "".join(
        svg.text(x, top + _LINE * index, line, text_anchor="middle", **{"class": "sg-c-label"})
        for index, line in enumerate(told)
    )


def _labels(form: _Form, openings: Sequence[Opening]) -> str:
    """Each event's words beside the circle, left or right as it lies, joined by a thin line."""
    sides: dict[int, list[tuple[float, list[str], str]]] = {-1: [], 1: []}
    for item in openings:
        for angle, verb, where in (
            (item.opening, "opens", item.opens),
            (item.closing, "closes", item.closes),
        ):
            side = 1 if math.sin(angle) >= 0 else -1
            lines = _event_lines(form, f"{capital(item.name)} {verb}", where)
            sides[side].append((angle, lines, svg.colour_of(item.group)))
    return "".join(_side(form, side, events) for side, events in sides.items())


def _event_lines(form: _Form, what: str, where: str) -> list[str]:
    if form.roomy:
        return [what, where]
    number, _, rest = where.partition(" ")
    side, _, centre = rest.partition(" ")
    short = "TDC" if centre.startswith("top") else "BDC"
    name, _, verb = what.partition(" ")
    return [name, verb, f"{number} {side}", short]


def _side(form: _Form, side: int, events: list[tuple[float, list[str], str]]) -> str:
    """Write the events of one side, pushed apart."""
    if not events:
        return ""
    wanted = [_at(form, angle, form.radius + 16)[1] for angle, _, _ in events]
    heights = [_LINE * len(lines) + 4 for _, lines, _ in events]
    places = spread(wanted, heights, 2, form.height - 2)
    x = form.centre[0] + side * (form.radius + (34 if form.roomy else 12))
    anchor = "start" if side > 0 else "end"
    written = []
    for (angle, lines, colour), place in zip(events, places, strict=True):
        start = _at(form, angle, form.radius + 4)
        data = f"M{_pair(start)}L{_pair((x - side * 5, place))}"
        written.append(svg.tag("path", {"d": data, **svg.paint("stroke", colour)}))
        top = place - _LINE * len(lines) / 2 + _SIZE - 1
        written += [
            svg.text(x, top + _LINE * index, line, text_anchor=anchor,
                     font_weight=600 if index == 0 else 400, **{"class": "sg-c-label"})
            for index, line in enumerate(lines)
        ]  # fmt: skip
    return "".join(written)


def _pair(point: Point) -> str:
    return f"{svg.number(point[0])} {svg.number(point[1])}"
