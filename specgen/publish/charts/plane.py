"""Figures over another figure that is no engine speed: lines, bands, dots and limits with words.

Panels above one another share their scale across. Lines carry their words at their ends and tell
themselves apart by dash as well as colour, so that they can be read in grey.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Canvas, Point
from specgen.publish.charts.scale import Scale, decimals_of, spread, ticks, width_of, wrap
from specgen.publish.charts.series import Chart, Floats
from specgen.publish.charts.words import both
from specgen.units import text_of
from specgen.vocabulary import Quantity, quantity, side_by_side, stands_left, systems

_SIZE, _LINE = 13.0, 16.0
#: Dashes that lines take in turn, in pixels; the first is unbroken.
DASHES: tuple[tuple[float, ...], ...] = ((), (8, 4), (2, 3), (10, 3, 2, 3), (5, 2), (14, 4))


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """One line, SI on both axes, with a band around it where its doubt is known.

    `dash` is an index into the dashes; an `estimated` line is dashed whatever that says.
    """

    label: str
    x: Floats
    y: Floats
    band: Floats | None = None
    group: int = 0
    dash: int = 0
    estimated: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """One point that was measured, with its margin (k = 2); a hollow one is only expected."""

    x: float
    y: float
    label: str = ""
    margin: float = 0.0
    hollow: bool = False


@dataclass(frozen=True, slots=True)
class Edge:
    """A limit: a stroke across at `y`, or upright at `x`, with its words."""

    words: str
    x: float | None = None
    y: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """One panel: the quantity upwards, and what stands on it.

    `words_above` writes each line's words above its last point instead of beside the panel.
    """

    quantity: str
    heading: str
    lines: Sequence[Line] = ()
    spots: Sequence[Spot] = ()
    edges: Sequence[Edge] = ()
    from_zero: bool = False
    words_above: bool = False


@dataclass(frozen=True, slots=True)
class _Form:
    """The measures of one drawing in pixels."""

    width: float
    panel: float
    gutter: float
    across: int
    left: float = 46.0
    right: float = 44.0
    top: float = 34.0
    gap: float = 50.0

    @property
    def edge(self) -> float:
        return self.width - self.right

    @property
    def end(self) -> float:
        return self.edge - self.gutter


@dataclass(slots=True)
class _Words:
    """Words beside the right end, gathered before they are pushed apart."""

    at: list[Point] = field(default_factory=list)
    texts: list[list[str]] = field(default_factory=list)
    inks: list[str] = field(default_factory=list)


def planes(
    panels: Sequence[Plane], across: str, title: str, description: str, *, name: str
) -> Chart:
    """Draw panels over one quantity `across` (a vocabulary key); ValueError for nothing to draw."""
    if not any(panel.lines or panel.spots for panel in panels):
        raise ValueError("a chart needs a line or a point")
    names = [line.label for panel in panels for line in panel.lines if not panel.words_above]
    wanted = max((width_of(name, _SIZE) for name in names), default=34.0) + 26
    forms = (
        _Form(720.0, 190.0, min(168.0, wanted), 8),
        _Form(360.0, 190.0, min(104.0, wanted), 4),
    )
    drawings = [partial(_draw, panels, quantity(across), form) for form in forms]
    return Chart(name, title, svg.spoken(description), *drawings)


def _draw(panels: Sequence[Plane], across: Quantity, form: _Form) -> Canvas:
    low, high = _reach([v for p in panels for v in _across(p)], room=0.02)
    x = Scale(low, high, form.left, form.end)
    rows = 2 if across.metric.shown != across.imperial.shown else 1
    below = form.top + len(panels) * (form.panel + form.gap) + 17 * (rows - 1) + 6
    notes = [line for panel in panels for line in _not_from_zero(panel, form)]
    canvas = Canvas(form.width, below + _LINE * len(notes))
    for index, words in enumerate(notes):
        canvas.words(2, below + 8 + _LINE * index, words, size=_SIZE, colour=inks.MUTED,
                     role="note")  # fmt: skip
    for index, panel in enumerate(panels):
        top = form.top + index * (form.panel + form.gap)
        y = Scale(*_upward(panel), top + form.panel, top)
        _axes(canvas, panel, form, x, y)
        _across_axis(canvas, across, form, x, top + form.panel)
        _edges(canvas, panel, form, x, y)
        _content(canvas, panel, form, x, y)
    return canvas


def _not_from_zero(panel: Plane, form: _Form) -> list[str]:
    """That a panel's axis leaves zero out, where its quantity is one of amount."""
    kind, (low, _) = quantity(panel.quantity), _upward(panel)
    if low <= 0 or kind.metric.offset or not kind.metric.shown:
        return []
    title = panel.heading[:1].lower() + panel.heading[1:]
    return wrap(f"The axis of {title} begins at {both(kind, low)}, not at zero", _SIZE,
                form.width - 4, 2)  # fmt: skip


def _across(panel: Plane) -> list[float]:
    values = [float(v) for line in panel.lines for v in line.x if math.isfinite(v)]
    return values + [spot.x for spot in panel.spots]


def _upward(panel: Plane) -> tuple[float, float]:
    """The values a panel runs over: lines, spots, bands and limits not too far above them."""
    values = [0.0] if panel.from_zero else []
    for line in panel.lines:
        band = np.zeros_like(line.y) if line.band is None else line.band
        values += [float(v) for v in (*(line.y - band), *(line.y + band)) if math.isfinite(v)]
    for spot in panel.spots:
        values += [spot.y - spot.margin, spot.y + spot.margin]
    low, high = min(values), max(values)
    reach = high + 0.35 * (high - low)
    values += [edge.y for edge in panel.edges if edge.y is not None and edge.y <= reach]
    low, high = _reach(values, room=0.06)
    if panel.words_above:
        high += 0.2 * (high - low)
    return (0.0 if panel.from_zero and min(values) >= 0 else low), high


def _reach(values: Sequence[float], room: float) -> tuple[float, float]:
    low, high = min(values), max(values)
    size = (high - low) or abs(high) or 1.0
    return low - room * size, high + room * size


def _axes(canvas: Canvas, panel: Plane, form: _Form, x: Scale, y: Scale) -> None:
    kind = quantity(panel.quantity)
    heading = wrap(panel.heading, _SIZE, form.edge - form.left - 46, 1, bold=True)[0]
    canvas.words(form.left, y.at_high - 12, heading, size=_SIZE, bold=True, role="heading")
    for system in systems():
        shown, left = kind.unit(system), stands_left(system)
        hidden = None if system in side_by_side() else 0.0
        numbers = ticks(shown.from_si(y.low), shown.from_si(y.high), 6)
        decimals = decimals_of(numbers)
        at = [(y(shown.to_si(tick)), tick) for tick in numbers]
        grid = None if system == side_by_side()[0] else 0.0
        lines = [((form.left, place), (form.end, place)) for place, _ in at]
        canvas.segments(lines, inks.GRID, width=1, role=f"grid-{system}", opacity=grid)
        where, anchor = (form.left - 6, "right") if left else (form.edge + 6, "left")
        for place, tick in at:
            text = text_of(shown.to_si(tick), shown, decimals)
            canvas.words(where, place + 4, text, size=_SIZE, anchor=anchor,  # type: ignore[arg-type]
                         colour=inks.MUTED, role=f"axis-{system}", opacity=hidden)  # fmt: skip
        canvas.words(where, y.at_high - 12, shown.shown, size=_SIZE, anchor=anchor,  # type: ignore[arg-type]
                     colour=inks.MUTED, role=f"axis-{system}", opacity=hidden)  # fmt: skip
    base = ((x.at_low, y.at_low), (x.at_high, y.at_low))
    canvas.segments([base], inks.MUTED, width=1, role="base")


def _across_axis(canvas: Canvas, kind: Quantity, form: _Form, x: Scale, bottom: float) -> None:
    """Ticks along the bottom; a quantity that reads otherwise in the other system has two rows."""
    for row, system in enumerate(side_by_side()):
        if row and kind.metric.shown == kind.imperial.shown:
            break
        shown = kind.unit(system)
        numbers = ticks(shown.from_si(x.low), shown.from_si(x.high), form.across)
        decimals = decimals_of(numbers)
        places = [x(shown.to_si(tick)) for tick in numbers]
        lines = [((place, bottom), (place, bottom + 4)) for place in places if not row]
        canvas.segments(lines, inks.MUTED, role="base")
        for place, tick in zip(places, numbers, strict=True):
            canvas.words(place, bottom + 18 + 17 * row, text_of(shown.to_si(tick), shown, decimals),
                         size=_SIZE, anchor="center", colour=inks.MUTED, role=f"axis-{system}"
                         if row else "axis")  # fmt: skip
        name = shown.shown or kind.title.partition(",")[0].lower()
        words = wrap(name, _SIZE, form.gutter + form.right - 26, 2)
        for line, text in enumerate(words):
            canvas.words(form.end + 24, bottom + 18 + 17 * (row + line), text, size=_SIZE,
                         colour=inks.MUTED, role=f"axis-{system}" if row else "axis")  # fmt: skip


def _edges(canvas: Canvas, panel: Plane, form: _Form, x: Scale, y: Scale) -> None:
    """Limits as thin strokes; the words of upright ones lean on their stroke, one below another."""
    upright = sorted((e for e in panel.edges if e.x is not None), key=lambda edge: edge.x or 0.0)
    row = 0
    for edge in panel.edges:
        if edge.y is not None and y.low <= edge.y <= y.high:
            place = y(edge.y)
            canvas.line([form.left, form.end], [place, place], inks.INK, dash=(6, 3), role="limit")
            lines = wrap(edge.words, _SIZE, form.end - form.left - 8, 2)
            top = place - 5 - _LINE * (len(lines) - 1)
            first = top if top - _SIZE > y.at_high - 6 else place + _SIZE + 3
            for line, text in enumerate(lines):
                height = first + _LINE * line
                canvas.words(form.left + 4, height, text, size=_SIZE, role="limit-words")
    for edge in upright:
        assert edge.x is not None
        if not x.low <= edge.x <= x.high:
            continue
        place = x(edge.x)
        canvas.line([place, place], [y.at_high, y.at_low], inks.INK, dash=(2, 3), role="limit")
        if edge.words:
            wide = width_of(edge.words, _SIZE)
            # Beside the stroke, left of it where the right has no room, and never over the axis.
            start = place + 5 if place + 5 + wide <= form.end else place - 5 - wide
            canvas.words(max(start, form.left + 4), y.at_low - 8 - _LINE * row, edge.words,
                         size=_SIZE, role="limit-words")  # fmt: skip
            row = (row + 1) % 4


def _content(canvas: Canvas, panel: Plane, form: _Form, x: Scale, y: Scale) -> None:
    words = _Words()
    for line in panel.lines:
        colour = inks.colour_of(line.group)
        px, py = [x(v) for v in line.x], [_held(y, v) for v in line.y]
        if line.band is not None:
            canvas.area(_band(x, y, line), colour, opacity=0.2, role="band")
        dash = (6, 4) if line.estimated else DASHES[line.dash % len(DASHES)]
        canvas.line(px, py, colour, width=2, dash=dash, role="line")
        known = [(a, b) for a, b in zip(px, py, strict=True) if math.isfinite(b)]
        if known and line.label and panel.words_above:
            _above(canvas, known[-1], line.label, raised=len(words.at) % 2 == 1)
            words.at.append(known[-1])
        elif known and line.label:
            words.at.append(known[-1])
            words.texts.append(wrap(line.label, _SIZE, form.gutter - 24, 3))
            words.inks.append(colour)
    _spots(canvas, panel.spots, x, y)
    if not panel.words_above:
        _end_words(canvas, words, form, y)


def _above(canvas: Canvas, at: Point, text: str, *, raised: bool) -> None:
    """Words above a line's end; every other one a line higher, so that neighbours keep apart."""
    place = at[1] - 6 - _LINE * raised
    canvas.words(at[0], place, text, size=_SIZE, anchor="center", role="label")


def _held(y: Scale, value: float) -> float:
    return y(value) if math.isfinite(value) else math.nan


def _band(x: Scale, y: Scale, line: Line) -> list[Point]:
    assert line.band is not None
    known = np.isfinite(line.y) & np.isfinite(line.band)
    across, middle, half = line.x[known], line.y[known], line.band[known]
    upper = [(x(a), y(min(b + h, y.high))) for a, b, h in zip(across, middle, half, strict=True)]
    lower = [(x(a), y(max(b - h, y.low))) for a, b, h in zip(across, middle, half, strict=True)]
    return [*upper, *reversed(lower)]


def _spots(canvas: Canvas, spots: Sequence[Spot], x: Scale, y: Scale) -> None:
    """Draw all dots of a panel, each kind of stroke at once: margins, grounds, dots, rings."""
    margins = [((x(it.x), y(it.y - it.margin)), (x(it.x), y(it.y + it.margin)))
               for it in spots if it.margin]  # fmt: skip
    canvas.segments(margins, inks.INK, width=1.2, role="margin")
    across, up = [x(it.x) for it in spots], [y(it.y) for it in spots]
    canvas.dots(across, up, inks.GROUND, size=11, role="spot-ground")
    canvas.dots(across, up, inks.INK, size=8, role="spot")
    hollow = [it for it in spots if it.hollow]
    canvas.dots([x(it.x) for it in hollow], [y(it.y) for it in hollow], inks.GROUND, size=4.5,
                role="spot-ground")  # fmt: skip
    for spot in spots:
        if spot.label:
            canvas.words(x(spot.x), y(spot.y) - 9, spot.label, size=_SIZE, anchor="center",
                         role="value")  # fmt: skip


def _end_words(canvas: Canvas, words: _Words, form: _Form, y: Scale) -> None:
    """Words at the lines' ends, pushed apart, each joined to its end by a short stroke."""
    if not words.at:
        return
    heights = [_LINE * len(lines) + 2 for lines in words.texts]
    places = spread([at[1] for at in words.at], heights, y.at_high, y.at_low)
    for at, lines, colour, place in zip(words.at, words.texts, words.inks, places, strict=True):
        canvas.line([at[0] + 3, form.end + 17], [at[1], place], colour, width=1, role="leader")
        first = place - _LINE * len(lines) / 2 + _SIZE
        for index, text in enumerate(lines):
            canvas.words(form.end + 21, first + index * _LINE, text, size=_SIZE, role="label")
