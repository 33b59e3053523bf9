"""Valve lift over crank angle: both lobes, where both valves are open, and the card's events.

The curves are a law of motion drawn through the card's figures, never a measurement, so they are
dashed like every estimate; the dots on them are the card's own opening and closing events.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Anchor, Canvas
from specgen.publish.charts.scale import Scale, decimals_of, ticks, width_of, wrap
from specgen.publish.charts.series import Chart, Floats
from specgen.publish.charts.words import both, capital
from specgen.units import text_of
from specgen.vocabulary import System, quantity, side_by_side, stands_left, systems

_LIFT = quantity("valve_lift")
_OVERLAP = quantity("valve_overlap")
#: The same dash as every other estimate.
_DASH = (3.5, 2.5)
_POINTS = 61
_QUARTER = 90
_TYPE = 13.0
#: A lift below this is a valve on its seat; a checking lift below it is none [m].
_SEATED = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Lobe:
    """One lobe over crank angle: `angle` [rad] from the top dead centre of overlap, `lift` [m].

    `opening` and `closing` are the card's events on the same scale [rad], taken at the lift
    `at_lift` [m], zero for the seat. `group` is the index of the line's colour.
    """

    name: str
    angle: Floats
    lift: Floats
    opening: float
    closing: float
    at_lift: float = 0.0
    group: int = 0

    @property
    def highest(self) -> float:
        """The highest lift [m]."""
        return float(np.max(self.lift))


@dataclass(frozen=True, slots=True)
class _Form:
    """The measures of one drawing in pixels."""

    width: float
    left: float
    right: float
    top: float
    panel: float
    step: int
    roomy: bool

    @property
    def above(self) -> float:
        """Room between the panel and the words for the overlap: a phone's stand over the labels."""
        return 6 if self.roomy else 44


_WIDE = _Form(720, 44, 52, 58, 210, _QUARTER, roomy=True)
_NARROW = _Form(360, 36, 46, 92, 190, 2 * _QUARTER, roomy=False)


def valve_lift(
    lobes: Sequence[Lobe],
    overlap: tuple[float, float] | None,
    law: str,
    title: str | None = None,
    *,
    name: str = "valves",
    system: System = "metric",
) -> Chart:
    """Draw valve lift over crank angle, with the overlap shaded.

    `overlap` is where both valves are open, from and to [rad]; None where they never are.
    `law` states the law of motion that the curves follow and stands below them. ValueError for
    no lobe at all.
    """
    if not lobes:
        raise ValueError("a chart of valve lift needs a lobe")
    finding = title or valve_title(lobes, overlap, system)
    words = valve_description(lobes, overlap, law)
    drawings = [partial(_draw, lobes, overlap, law, form) for form in (_WIDE, _NARROW)]
    return Chart(name, finding, words, *drawings)


def valve_title(
    lobes: Sequence[Lobe], overlap: tuple[float, float] | None, system: System = "metric"
) -> str:
    """State the finding: how long both valves are open, or that they never are."""
    if len(lobes) < 2:
        lobe = lobes[0]
        height = _LIFT.text(lobe.highest, system)
        return f"The {lobe.name} valve lifts {height} over {_span(lobe)}"
    if overlap is None:
        return "The valves are never open together"
    width = _OVERLAP.text(overlap[1] - overlap[0], system)
    return f"Both valves are open for {width} of crank angle around top dead centre"


def _span(lobe: Lobe) -> str:
    return _OVERLAP.text(lobe.closing - lobe.opening, "metric")


def valve_description(lobes: Sequence[Lobe], overlap: tuple[float, float] | None, law: str) -> str:
    """The alternative text: each lobe with its events and lift, the overlap, and the law."""
    told = ["Valve lift over crank angle, counted from the top dead centre between both strokes."]
    for lobe in lobes:
        events = f"opens at {_angle(lobe.opening)} and closes at {_angle(lobe.closing)}"
        told.append(
            f"{capital(lobe.name)}: {events}{_at(lobe)}, highest lift {both(_LIFT, lobe.highest)}."
        )
    if overlap is not None:
        told.append(
            f"Both are open from {_angle(overlap[0])} to {_angle(overlap[1])}, "
            f"{_OVERLAP.text(overlap[1] - overlap[0], 'metric')} of overlap."
        )
    return svg.spoken(" ".join([*told, law]))


def _angle(angle: float) -> str:
    """A crank angle from the top dead centre of overlap, in whole degrees with its side."""
    degrees = math.degrees(angle)
    side = "after" if degrees >= 0 else "before"
    return f"{abs(degrees):.0f}° {side} top dead centre"


def _at(lobe: Lobe) -> str:
    return f", both at {both(_LIFT, lobe.at_lift)} of lift" if lobe.at_lift > _SEATED else ""


class _Panel:
    """The panel with its scales: degrees across, metres of lift up."""

    def __init__(self, lobes: Sequence[Lobe], form: _Form) -> None:
        self.form = form
        ends = [
            math.degrees(float(end)) for lobe in lobes for end in (lobe.angle[0], lobe.angle[-1])
        ]
        step = _QUARTER / 2
        low = math.floor(min(ends) / step) * step
        high = math.ceil(max(ends) / step) * step
        self.left, self.end = form.left, form.width - form.right
        self.top, self.bottom = form.top, form.top + form.panel
        self.across = Scale(low, high, self.left, self.end)
        self.up = Scale(0.0, 1.12 * max(lobe.highest for lobe in lobes), self.bottom, self.top)

    def x(self, angle: float) -> float:
        """The pixel of a crank angle [rad]."""
        return self.across(math.degrees(angle))


def _draw(
    lobes: Sequence[Lobe], overlap: tuple[float, float] | None, law: str, form: _Form
) -> Canvas:
    panel = _Panel(lobes, form)
    notes = wrap(" ".join([*_card_words(lobes), law]), _TYPE, form.width - 4, 8)
    canvas = Canvas(form.width, panel.bottom + 62 + 17 * len(notes))
    _draw_axes(canvas, panel)
    if overlap is not None:
        _draw_overlap(canvas, panel, lobes, overlap)
    _draw_centres(canvas, panel)
    for lobe in lobes:
        _draw_lobe(canvas, panel, lobe)
    for index, line in enumerate(notes):
        y = panel.bottom + 66 + 17 * index
        canvas.words(2, y, line, size=_TYPE, colour=inks.MUTED, role="note")
    return canvas


def _card_words(lobes: Sequence[Lobe]) -> list[str]:
    """Say what the dots are, and at which lift their events were taken."""
    lifts = {lobe.at_lift for lobe in lobes}
    where = [_event_lift(lift) for lift in lifts]
    if len(lifts) > 1:
        where = [f"{lobe.name} {_event_lift(lobe.at_lift)}" for lobe in lobes]
    return [f"Dots: opening and closing by the cam card, {', '.join(where)}."]


def _event_lift(lift: float) -> str:
    return f"at {both(_LIFT, lift)} of lift" if lift > _SEATED else "at the seat"


def _draw_axes(canvas: Canvas, panel: _Panel) -> None:
    """Grid and ticks of lift in both systems; degrees below with the dead centres' names."""
    for system in systems():
        _draw_lift_ticks(canvas, panel, system)
    floor = [((panel.left, panel.bottom), (panel.end, panel.bottom))]
    canvas.segments(floor, inks.MUTED, width=1, role="base")
    canvas.words(panel.left, 24, _LIFT.title, size=_TYPE, bold=True, role="heading")
    step = panel.form.step
    first = math.ceil(panel.across.low / step) * step
    strokes = []
    for degrees in range(first, int(panel.across.high) + 1, step):
        x = panel.across(degrees)
        strokes.append(((x, panel.bottom), (x, panel.bottom + 4)))
        text = f"{degrees}°".replace("-", "\N{MINUS SIGN}")
        canvas.words(x, panel.bottom + 18, text, size=_TYPE, anchor="center",
                     colour=inks.MUTED, role="angle")  # fmt: skip
    canvas.segments(strokes, inks.MUTED, width=1, role="base")


def _draw_lift_ticks(canvas: Canvas, panel: _Panel, system: System) -> None:
    shown = _LIFT.unit(system)
    numbers = ticks(0.0, shown.from_si(panel.up.high), 6)
    decimals = decimals_of(numbers)
    left, beside = stands_left(system), side_by_side()
    unseen = None if system in beside else 0.0
    side: Anchor = "right" if left else "left"
    x = panel.left - 6 if left else panel.end + 7
    role = f"axis-{system}"
    places = [panel.up(shown.to_si(number)) for number in numbers]
    grid = [((panel.left, y), (panel.end, y)) for y in places]
    hidden = None if system == beside[0] else 0.0
    canvas.segments(grid, inks.GRID, width=1, role=f"grid-{system}", opacity=hidden)
    for number, y in zip(numbers, places, strict=True):
        text = text_of(shown.to_si(number), shown, decimals)
        canvas.words(x, y + 4, text, size=_TYPE, anchor=side, colour=inks.MUTED, role=role,
                     opacity=unseen)  # fmt: skip
    canvas.words(x, panel.top - 16, shown.shown, size=_TYPE, anchor=side, colour=inks.MUTED,
                 role=role, opacity=unseen)  # fmt: skip
    if not left:
        strokes = [((panel.end, y), (panel.end + 4, y)) for y in places]
        canvas.segments(strokes, inks.MUTED, width=1, role=role, opacity=unseen)


def _draw_centres(canvas: Canvas, panel: _Panel) -> None:
    """Name the dead centres below their degrees, with a thin line at each."""
    names = {-180: "bottom dead centre", 0: "top dead centre", 180: "bottom dead centre"}
    for degrees, whole in names.items():
        if not panel.across.low <= degrees <= panel.across.high:
            continue
        x = panel.across(degrees)
        canvas.segments([((x, panel.top), (x, panel.bottom))], inks.GRID, width=1, role="centre")
        words = whole if panel.form.roomy else {"t": "TDC", "b": "BDC"}[whole[0]]
        canvas.words(x, panel.bottom + 36, words, size=_TYPE, anchor="center",
                     colour=inks.MUTED, role="angle")  # fmt: skip


def _draw_overlap(
    canvas: Canvas, panel: _Panel, lobes: Sequence[Lobe], overlap: tuple[float, float]
) -> None:
    """Shade where both valves are open, bounded by thin lines, with the words above."""
    low, high = panel.x(overlap[0]), panel.x(overlap[1])
    corners = [(low, panel.top), (high, panel.top), (high, panel.bottom), (low, panel.bottom)]
    canvas.area(corners, inks.GRID, opacity=0.6, role="overlap")
    if len(lobes) > 1:
        canvas.area(_under_both(panel, lobes), inks.MUTED, opacity=0.3, role="overlap-lift")
    words_at = panel.top - panel.form.above
    edges = [((x, min(panel.top, words_at + 4)), (x, panel.bottom)) for x in (low, high)]
    canvas.segments(edges, inks.MUTED, width=0.8, role="overlap-edge")
    text = f"overlap {_OVERLAP.text(overlap[1] - overlap[0], 'metric')}"
    canvas.words((low + high) / 2, words_at, text, size=_TYPE, anchor="center", bold=True,
                 role="value")  # fmt: skip


def _under_both(panel: _Panel, lobes: Sequence[Lobe]) -> list[tuple[float, float]]:
    """The outline of the lift that both valves have at once."""
    start = max(float(lobe.angle[0]) for lobe in lobes)
    stop = min(float(lobe.angle[-1]) for lobe in lobes)
    if stop <= start:
        return []
    angles = np.linspace(start, stop, 41)
    least = np.min([np.interp(angles, lobe.angle, lobe.lift) for lobe in lobes], axis=0)
    edge = [(panel.x(float(a)), panel.up(float(h))) for a, h in zip(angles, least, strict=True)]
    return [(edge[0][0], panel.bottom), *edge, (edge[-1][0], panel.bottom)]


def _draw_lobe(canvas: Canvas, panel: _Panel, lobe: Lobe) -> None:
    """Draw a lobe's line, its name over its top, and dots at its events."""
    colour = inks.colour_of(lobe.group)
    kept = np.linspace(0, len(lobe.angle) - 1, min(len(lobe.angle), _POINTS)).round().astype(int)
    x = [panel.x(float(angle)) for angle in lobe.angle[kept]]
    y = [panel.up(float(lift)) for lift in lobe.lift[kept]]
    canvas.line(x, y, colour, width=2.2, dash=_DASH, role="line estimated")
    top = int(np.argmax(lobe.lift))
    middle, height = panel.x(float(lobe.angle[top])), panel.up(lobe.highest)
    lines = [capital(lobe.name), *_lift_words(lobe, panel.form)]
    for index, line in enumerate(reversed(lines)):
        first = index == len(lines) - 1
        centre = _kept_inside(middle, line, panel, first)
        canvas.words(centre, height - 8 - 16 * index, line, size=_TYPE, anchor="center",
                     bold=first, role="label")  # fmt: skip
    events = [lobe.opening, lobe.closing]
    heights = [panel.up(lobe.at_lift)] * 2
    canvas.dots([panel.x(angle) for angle in events], heights, inks.GROUND, size=9, role="ground")
    canvas.dots([panel.x(angle) for angle in events], heights, colour, size=6, role="dots")


def _lift_words(lobe: Lobe, form: _Form) -> list[str]:
    """The highest lift in both systems, on one line where there is room."""
    if form.roomy:
        return [both(_LIFT, lobe.highest)]
    return [_LIFT.text(lobe.highest, system) for system in side_by_side()]


def _kept_inside(middle: float, text: str, panel: _Panel, bold: bool) -> float:
    half = width_of(text, _TYPE, bold=bold) / 2
    return min(max(middle, panel.left + half), panel.end - half)
