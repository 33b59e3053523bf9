"""One panel over engine speed: its scales, grid, both unit systems' axes, and labels at line ends.

Metric ticks, or a workshop's own, stand on the left with the grid, imperial ticks on the right
beyond the labels, so that both can be read on paper; their classes, such as `sg-c-axis-metric` and
`sg-c-axis-imperial`, let a page show one alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from specgen.publish.charts.papers import inks
from specgen.publish.charts.papers.canvas import Anchor, Canvas, Plot, Point
from specgen.publish.charts.scale import (
    Scale,
    decimals_of,
    nice_step,
    shortened,
    spread,
    ticks,
    width_of,
    wrap,
)
from specgen.publish.charts.series import Series
from specgen.publish.charts.words import series_name
from specgen.units import text_of
from specgen.vocabulary import Quantity, System, quantity, side_by_side, stands_left, systems

_SPEED = quantity("engine_speed")
#: Room above the highest point for the peak's own label, in type sizes.
_HEADROOM = 2.6
#: A band or a limit may stretch the axis to this many times the highest point, not further.
_STRETCH = 1.3
_LINE = 1.25
#: Above this share of the highest, no reading is low: the axis need not begin at zero.
_HIGH = 0.5
#: Steps on a value axis, at most: some 28 pixels apart.
_TICKS = 7


@dataclass(frozen=True, slots=True)
class Layout:
    """The measures of one drawing in pixels."""

    width: float
    left: float
    right: float
    top: float
    panel: float
    gap: float
    gutter: float
    type_size: float
    speeds: int

    @property
    def roomy(self) -> bool:
        """Tell whether words may run on: the drawing is for a page, not for a phone."""
        return self.width > 500


WIDE = Layout(720, 44, 42, 34, 196, 46, 184, 13, 8)
#: A phone's gutter holds "estimated", the longest word of every label, unbroken.
NARROW = Layout(360, 36, 36, 28, 136, 36, 100, 13, 4)


class Label(NamedTuple):
    """Words to stand at a line's end: where the line ends, what they say, its colour."""

    x: float
    y: float
    words: str
    colour: str


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
        members = [item for item in series if item.quantity == kind.key]
        self.empty = not any(item.recorded for item in members)
        self.value = Scale(*value_range(members, kind, layout), self.bottom, self.top)

    @property
    def plot(self) -> Plot:
        """Where the panel stands, for whoever reads values off it."""
        speeds, values = (self.speed.low, self.speed.high), (self.value.low, self.value.high)
        return Plot(self.kind.key, self.left, self.end, self.top, self.bottom, speeds, values)

    def draw_axes(self, *, numbered: bool) -> None:
        """Draw grid, ticks of both systems and heading; `numbered` writes the speeds below."""
        self._grid()
        if not self.empty:
            for system in systems():
                self._value_ticks(system)
        self._heading()
        self._speed_ticks(numbered=numbered)

    def _grid(self) -> None:
        """Draw each system's grid; all but the first shown wait unseen for a reader's switch."""
        for system in () if self.empty else systems():
            lines = [((self.left, y), (self.end, y)) for y, _ in self._ticks(system)]
            hidden = None if system == side_by_side()[0] else 0.0
            self.canvas.segments(lines, inks.GRID, width=1, role=f"grid-{system}", opacity=hidden)
        floor = ((self.left, self.bottom), (self.end, self.bottom))
        self.canvas.segments([floor], inks.GRID, width=1, role="base")
        if self.value.low <= 0.0:
            zero = self.value(0.0)
            base = ((self.left, zero), (self.end, zero))
            self.canvas.segments([base], inks.MUTED, width=1, role="base")

    def _ticks(self, system: System) -> list[tuple[float, str]]:
        """One system's ticks as pixel and text."""
        shown = self.kind.unit(system)
        texts = _tick_texts(self.value.low, self.value.high, self.kind, system)
        return [(self.value(shown.to_si(tick)), text) for tick, text in texts]

    def _value_ticks(self, system: System) -> None:
        """Write one system's ticks, its unit above them: the first left, the other at the far edge.

        A third one stands in the place of one of the two and waits unseen.
        """
        beside = side_by_side()
        left = stands_left(system)
        hidden = None if system in beside else 0.0
        x = self.left - 6 if left else self.edge + 7
        anchor: Anchor = "right" if left else "left"
        role = f"axis-{system}"
        for y, text in self._ticks(system):
            if y >= self.top + 6:  # else it would touch the unit
                self._small(x, y + 4, text, anchor, role, hidden)
        self._small(x, self.top - 10, self.kind.unit(system).shown, anchor, role, hidden)
        strokes = [((self.edge, y), (self.edge + 4, y)) for y, _ in self._ticks(system)]
        if not left:
            self.canvas.segments(strokes, inks.MUTED, width=1, role=role, opacity=hidden)

    def _heading(self) -> None:
        size = self.layout.type_size
        title = shortened(self.kind.title, size, self.edge - self.left, bold=True)
        self.canvas.words(self.left, self.top - 10, title, size=size, bold=True, role="heading")

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
        self.canvas.segments(strokes, inks.MUTED, width=1, role="base")
        if numbered:
            last = self.speed(shown.to_si(numbers[-1])) if numbers else self.left
            self._small(
                max(self.end + 6, last + 24), self.bottom + 18, shown.shown, "left", "speed"
            )

    def _small(
        self, x: float, y: float, text: str, anchor: Anchor, role: str, hidden: float | None = None
    ) -> None:
        size = self.layout.type_size
        self.canvas.words(
            x, y, text, size=size, anchor=anchor, colour=inks.MUTED, role=role, opacity=hidden
        )

    def draw_labels(self, labels: Sequence[Label]) -> None:
        """Write each label beside its line's end, pushed apart, joined to it by a short stroke."""
        if not labels:
            return
        size, height = self.layout.type_size, self.layout.type_size * _LINE
        room = self.edge - self.end - 22
        most = 4
        texts = [wrap(label.words, size, room, most) for label in labels]
        while most > 1 and sum(len(lines) * height + 2 for lines in texts) > self.layout.panel:
            most -= 1
            texts = [wrap(label.words, size, room, most) for label in labels]
        heights = [height * len(lines) + 2 for lines in texts]
        places = spread([label.y for label in labels], heights, self.top, self.bottom)
        for label, lines, place in zip(labels, texts, places, strict=True):
            x = [self.end + 5, self.end + 17]
            self.canvas.line(x, [label.y, place], label.colour, width=1, role="leader")
            if label.x < self.end - 8:
                # Dotted, so that nobody takes the way to the label for a part of the curve.
                way, level = [label.x + 6, self.end], [label.y, label.y]
                self.canvas.line(way, level, label.colour, width=1, dash=(1, 4), role="leader")
            first = place - height * len(lines) / 2 + size
            for index, line in enumerate(lines):
                y = first + index * height
                self.canvas.words(self.end + 21, y, line, size=size, role="label")

    def draw_peak(
        self, at: Point, text: str, colour: str, taken: Sequence[Point], *, hollow: bool
    ) -> None:
        """Mark the peak and write its value above everything that is `taken` there.

        `taken` holds points of lines and edges of bands in pixels. The words stay inside the panel.
        The mark is a dot, `hollow` for an estimate.
        """
        x, y = at
        size = self.layout.type_size
        half = width_of(text, size, bold=True) / 2
        low, high = self.left + half + 2, self.end - half
        middle = min(max(x, low), high) if low < high else (self.left + self.end) / 2
        near = [height for place, height in taken if abs(place - middle) < half + 4]
        base = min([y - 11, *(height - 6 for height in near)])
        if base < y - 16:
            self.canvas.segments([((x, y), (x, base + 4))], inks.MUTED, width=0.8, role="peak-stem")
        self.canvas.dots([x], [y], inks.GROUND, size=11, role="peak-ground")
        self.canvas.dots([x], [y], colour, size=8, role="peak")
        if hollow:
            self.canvas.dots([x], [y], inks.GROUND, size=4.5, role="peak-ground")
        self.canvas.words(middle, base, text, size=size, anchor="center", bold=True, role="value")


def gutter_of(series: Sequence[Series], layout: Layout) -> float:
    """Room for the labels at the lines' ends: what they need, up to what the layout grants."""
    names = [series_name(item) for item in series if item.standing != "limit" and item.recorded]
    longest = max((width_of(name, layout.type_size) for name in names), default=0.0)
    return min(layout.gutter, longest + 24)


def _tick_texts(low: float, high: float, kind: Quantity, system: System) -> list[tuple[float, str]]:
    """The ticks of an axis over an SI range: number in the system's unit, and how it is written."""
    shown = kind.unit(system)
    numbers = ticks(shown.from_si(low), shown.from_si(high), _TICKS)
    decimals = decimals_of(numbers)
    return [(tick, text_of(shown.to_si(tick), shown, decimals)) for tick in numbers]


def fitted(layout: Layout, series: Sequence[Series], kinds: Sequence[Quantity]) -> Layout:
    """A layout whose margins hold the longest tick of these quantities."""
    left, right = layout.left, layout.right
    for kind in kinds:
        members = [item for item in series if item.quantity == kind.key]
        low, high = value_range(members, kind, layout)
        for system in systems():
            texts = _tick_texts(low, high, kind, system)
            longest = max(width_of(text, layout.type_size) for _, text in texts)
            unit_width = width_of(kind.unit(system).shown, layout.type_size)
            if stands_left(system):
                left = max(left, longest + 10, unit_width + 10)
            else:
                right = max(right, longest + 10, unit_width + 10)
    return replace(layout, left=left, right=right)


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
    if len(set(speeds)) < 4:
        # A few peaks from paper: a sweep's usual room around them, not a magnified sliver.
        low, high = 0.5 * low, 1.1 * high
    step = nice_step(high - low, most) / 2
    start = max(0.0, np.floor(low / step + 1e-9) * step)
    return shown.to_si(float(start)), shown.to_si(high)


def value_range(series: Sequence[Series], kind: Quantity, layout: Layout) -> tuple[float, float]:
    """Values (SI) an axis runs over: every reading, bands and limits within reason, zero mostly.

    Zero is left out where all readings lie in the upper half of what would be shown: a difference
    of a few per cent is what a reader came for.
    """
    room = _HEADROOM * layout.type_size / layout.panel
    zero = kind.metric.to_si(0.0)
    reading = [item for item in series if item.standing != "limit" and item.recorded]
    values = np.concatenate([item.y[np.isfinite(item.y)] - zero for item in reading]
                            or [np.zeros(1)])  # fmt: skip
    low, high = min(0.0, float(values.min())), max(0.0, float(values.max()))
    size = max(high, -low) or abs(kind.metric.factor)
    edges = [(item.y - zero - item.margin(), item.y - zero + item.margin()) for item in reading]
    bottom = min([low, *(float(np.nanmin(under)) for under, _ in edges)])
    top = max([high, *(float(np.nanmax(over)) for _, over in edges)])
    limits = [float(np.nanmin(item.y)) - zero for item in series if is_limit(item)]
    top = max([top, *(limit for limit in limits if limit <= high + (_STRETCH - 1) * size)])
    top = min(top, high + (_STRETCH - 1) * size)
    bottom = max(bottom, low - (_STRETCH - 1) * size) if low < 0 else 0.0
    bottom = max(bottom, _start(edges, top, kind))
    top = max(top, high, bottom + 1e-3 * size)
    return zero + bottom, zero + bottom + (top - bottom) / (1 - room)


def _start(
    edges: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]], top: float, kind: Quantity
) -> float:
    """A round number below readings of which none is low, above zero; else zero."""
    lowest = min((float(np.nanmin(under)) for under, _ in edges), default=0.0)
    if not lowest > _HIGH * top > 0:
        return 0.0
    step = nice_step((top - lowest or top) / kind.metric.factor, _TICKS) * kind.metric.factor
    return max(0.0, float(np.floor(lowest / step + 1e-9) - 1) * step)


def is_limit(item: Series) -> bool:
    """Tell whether a series is a limit that was recorded."""
    return item.standing == "limit" and item.recorded
