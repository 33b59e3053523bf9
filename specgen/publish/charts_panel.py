"""One panel over engine speed: its scales, grid, both unit systems' axes, and labels at line ends.

Metric ticks stand on the left with the grid, imperial ticks on the right beyond the labels, so
that both can be read on paper; their classes `sg-axis-metric` and `sg-axis-imperial` let a page
hide one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from specgen.publish import svg
from specgen.publish.charts_canvas import Canvas
from specgen.publish.charts_scale import (
    Scale,
    decimals_of,
    nice_step,
    shortened,
    spread,
    ticks,
    width_of,
    wrap,
)
from specgen.publish.charts_series import Series
from specgen.publish.charts_words import series_name
from specgen.units import text_of
from specgen.vocabulary import Quantity, System, quantity

_SPEED = quantity("engine_speed")
#: Room above the highest point for the peak's own label, in type sizes.
_HEADROOM = 2.6
#: A band or a limit may stretch the axis to this many times the highest point, not further.
_STRETCH = 1.3
_LINE = 1.25


@dataclass(frozen=True, slots=True)
class Layout:
    """The measures of one drawing in pixels."""

    width: float
    left: float
    right: float
    top: float
    panel: float
    gap: float
    bottom: float
    gutter: float
    type_size: float
    speeds: int


WIDE = Layout(720, 44, 42, 34, 176, 46, 46, 150, 12.5, 8)
NARROW = Layout(360, 36, 36, 32, 160, 44, 62, 88, 12.5, 4)


class Label(NamedTuple):
    """Words to stand at a line's end: where the line ends, what it says, its colour."""

    x: float
    y: float
    words: str
    colour: str
    dash: tuple[float, ...]


class Panel:
    """The part of a drawing that one quantity has, with its scales in SI."""

    def __init__(
        self, canvas: Canvas, layout: Layout, top: float, series: Sequence[Series], kind: Quantity
    ) -> None:
        """Lay the panel out: speeds and labels over all `series`, values over those of `kind`."""
        self.canvas = canvas
        self.layout = layout
        self.kind = kind
        self.top = top
        self.bottom = top + layout.panel
        self.left = layout.left
        self.edge = layout.width - layout.right
        self.end = self.edge - gutter_of(series, layout)
        self.speed = Scale(*speed_range(series, layout.speeds), self.left, self.end)
        room = _HEADROOM * layout.type_size / layout.panel
        members = [item for item in series if item.quantity == kind.key]
        self.value = Scale(*value_range(members, kind, room), self.bottom, self.top)

    def draw_axes(self, *, numbered: bool) -> None:
        """Draw grid, ticks of both systems and heading; `numbered` writes the speeds below."""
        self._grid()
        self._value_ticks("metric")
        self._value_ticks("imperial")
        self._heading()
        self._speed_ticks(numbered=numbered)

    def _grid(self) -> None:
        shown = self.kind.metric
        span = (shown.from_si(self.value.low), shown.from_si(self.value.high))
        heights = [self.value(shown.to_si(tick)) for tick in ticks(*span, self._most)]
        lines = [((self.left, y), (self.end, y)) for y in heights]
        self.canvas.segments(lines, svg.GRID, width=1, gid="grid")
        zero = self.value(shown.to_si(0.0))
        base = ((self.left, zero), (self.end, zero))
        self.canvas.segments([base], svg.MUTED, width=1, gid="base")

    @property
    def _most(self) -> int:
        return 5 if self.layout.panel > 120 else 4

    def _value_ticks(self, system: System) -> None:
        """Write one system's ticks: metric beside the grid, imperial at the far edge."""
        shown = self.kind.unit(system)
        span = (shown.from_si(self.value.low), shown.from_si(self.value.high))
        numbers = ticks(*span, self._most)
        decimals = decimals_of(numbers)
        metric = system == "metric"
        strokes = []
        for tick in numbers:
            y = self.value(shown.to_si(tick))
            text = text_of(shown.to_si(tick), shown, decimals)
            x = self.left - 6 if metric else self.edge + 7
            self._small(x, y + 4, text, "right" if metric else "left", f"axis-{system}")
            strokes.append(((self.edge, y), (self.edge + 4, y)))
        if not metric:
            self.canvas.segments(strokes, svg.MUTED, width=1, gid="axis-imperial")

    def _heading(self) -> None:
        y = self.top - 10
        size = self.layout.type_size
        room = self.edge - 30
        title = shortened(f"{self.kind.title}, {self.kind.metric.shown}", size, room)
        self.canvas.words(2, y, title, size=size, bold=True, gid="heading")
        unit = self.kind.imperial.shown
        x = self.layout.width - 2
        self.canvas.words(
            x, y, unit, size=size, anchor="right", colour=svg.MUTED, gid="axis-imperial"
        )

    def _speed_ticks(self, *, numbered: bool) -> None:
        shown = _SPEED.metric
        low, high = shown.from_si(self.speed.low), shown.from_si(self.speed.high)
        numbers = ticks(low, high, self.layout.speeds)
        strokes = []
        for tick in numbers:
            x = self.speed(shown.to_si(tick))
            strokes.append(((x, self.bottom), (x, self.bottom + 4)))
            if numbered:
                text = text_of(shown.to_si(tick), shown, decimals_of(numbers))
                self._small(x, self.bottom + 18, text, "center", "speed")
        self.canvas.segments(strokes, svg.MUTED, width=1, gid="base")
        if numbered:
            self._small(self.edge, self.bottom + 18, shown.shown, "right", "speed")

    def _small(self, x: float, y: float, text: str, anchor: str, gid: str) -> None:
        size = self.layout.type_size - 0.5
        self.canvas.words(x, y, text, size=size, anchor=anchor, colour=svg.MUTED, gid=gid)

    def draw_labels(self, labels: Sequence[Label]) -> None:
        """Write each label beside its line's end, pushed apart, joined to it by a short stroke."""
        if not labels:
            return
        size, height = self.layout.type_size, self.layout.type_size * _LINE
        room = self.edge - self.end - 22
        most = max(1, min(3, int(self.layout.panel / height / len(labels))))
        texts = [wrap(label.words, size, room, most) for label in labels]
        heights = [height * len(lines) + 2 for lines in texts]
        places = spread([label.y for label in labels], heights, self.top, self.bottom)
        for label, lines, place in zip(labels, texts, places, strict=True):
            x = [label.x + 5, self.end + 5, self.end + 17]
            self.canvas.line(x, [label.y, label.y, place], label.colour, width=1, gid="leader")
            first = place - height * len(lines) / 2 + size
            for index, line in enumerate(lines):
                y = first + index * height
                self.canvas.words(self.end + 21, y, line, size=size, gid="label")

    def draw_peak(self, x: float, y: float, text: str, colour: str) -> None:
        """Mark the peak with a dot and its value above, kept inside the panel."""
        size = self.layout.type_size
        self.canvas.dots([x], [y], svg.GROUND, size=11, gid="peak-ground")
        self.canvas.dots([x], [y], colour, size=8, gid="peak")
        half = width_of(text, size) / 2
        low, high = self.left + half + 2, self.end - half
        middle = min(max(x, low), high) if low < high else (self.left + self.end) / 2
        self.canvas.words(middle, y - 11, text, size=size, anchor="center", bold=True, gid="value")


def gutter_of(series: Sequence[Series], layout: Layout) -> float:
    """Room for the labels at the lines' ends: what they need, up to what the layout grants."""
    names = [series_name(item) for item in series if item.standing != "limit" and item.recorded]
    longest = max((width_of(name, layout.type_size) for name in names), default=0.0)
    return min(layout.gutter, longest + 24)


def speed_range(series: Sequence[Series], most: int) -> tuple[float, float]:
    """Engine speeds (rev/s) a chart runs over: from a round number to the last reading."""
    shown = _SPEED.metric
    speeds = [
        shown.from_si(float(speed))
        for item in series
        if item.standing != "limit"
        for speed in item.x[item.placed]
    ]
    low, high = (min(speeds), max(speeds)) if speeds else (1000.0, 6000.0)
    if high - low < 0.02 * abs(high) or high == low:
        low, high = low - max(0.1 * abs(low), 500.0), high + max(0.1 * abs(high), 500.0)
    step = nice_step(high - low, most) / 2
    start = max(0.0, np.floor(low / step + 1e-9) * step)
    return shown.to_si(float(start)), shown.to_si(high)


def value_range(series: Sequence[Series], kind: Quantity, room: float) -> tuple[float, float]:
    """Values (SI) an axis runs over: zero always, every reading, bands and limits within reason.

    `room` is the share of the axis kept free above the highest point.
    """
    reading = [item for item in series if item.standing != "limit" and item.recorded]
    values = np.concatenate([item.y[np.isfinite(item.y)] for item in reading] or [np.zeros(1)])
    low, high = min(0.0, float(values.min())), max(0.0, float(values.max()))
    size = max(high, -low) or abs(kind.metric.factor)
    edges = [(item.y - item.margin(), item.y + item.margin()) for item in reading]
    bottom = min([low, *(float(np.nanmin(under)) for under, _ in edges)])
    top = max([high, *(float(np.nanmax(over)) for _, over in edges)])
    limits = [float(np.nanmin(item.y)) for item in series if is_limit(item)]
    top = max([top, *(limit for limit in limits if limit <= high + (_STRETCH - 1) * size)])
    top = min(top, high + (_STRETCH - 1) * size)
    bottom = max(bottom, low - (_STRETCH - 1) * size) if low < 0 else 0.0
    top = max(top, high, bottom + 1e-3 * size)
    return bottom, bottom + (top - bottom) / (1 - room)


def is_limit(item: Series) -> bool:
    """Tell whether a series is a limit that was recorded."""
    return item.standing == "limit" and item.recorded
