"""The picture that stands beside a shared link: title, headline figures and the power curve.

A PNG, because the places where links are shared show no SVG. Everything in it is handed over as
text and numbers; the same input gives the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageColor

from specgen.publish.charts.papers.canvas import Anchor, Canvas
from specgen.publish.charts.papers.inks import SERIES_COLOURS
from specgen.publish.charts.papers.letters import READERS, advance
from specgen.publish.charts.scale import Scale, ticks, wrap
from specgen.publish.charts.series import Series
from specgen.units import NARROW_SPACE
from specgen.vocabulary import System, quantity

WIDTH, HEIGHT = 1200, 630
#: The size that pages of shared links ask for, in pixels (common practice, no source).
_LEFT, _RIGHT = 60, 1140
_INK, _QUIET, _RULE, _ACCENT = "#1b1b1b", "#59626b", "#c9ced2", "#0a5a72"
_GROUND = "#ffffff"
#: A few inks and their blends at the edges of letters: a third of the bytes of full colour.
_COLOURS = 48
_TITLE, _LARGE, _UNIT, _SMALL, _TINY = 50, 60, 26, 22, 18


@dataclass(frozen=True, slots=True)
class ShareFigure:
    """One headline figure: what it is, its number, margin and unit, and what stands beneath."""

    title: str
    number: str
    margin: str
    unit: str
    beneath: str


def share_image(
    title: str,
    line: str,
    figures: Sequence[ShareFigure],
    curve: Series | None,
    foot: str,
    *,
    system: System = "metric",
) -> bytes:
    """Draw the picture, 1200 by 630 pixels, as PNG.

    `curve` is the power curve, none where there is none; `system` is that of its axis.
    """
    paper = _Paper()
    top = paper.heading(title, line)
    drawn = curve is not None and curve.recorded and curve.placed.sum() > 1
    # Without a curve the figures take its room.
    top = paper.headline(figures, top + (30 if drawn else 120))
    if curve is not None and drawn:
        paper.curve(curve, top + 48, HEIGHT - 92, system)
    paper.foot(foot)
    return paper.png()


def _fitted(text: str, size: float, room: float, most: int, *, bold: bool = False) -> list[str]:
    """The picture brings its own font, so that it needs no room for a reader's broader one."""
    return wrap(" ".join(text.split()), size, room * READERS, most, bold=bold)


def _step(columns: int) -> float:
    """From one headline figure to the next."""
    return (_RIGHT - _LEFT) / max(columns, 3)


def name_lines(title: str, columns: int) -> list[str]:
    """The name of a headline figure, one of `columns` in a row, in the lines that it takes."""
    return _fitted(title, _SMALL, _step(columns) - 24, 2)


class _Paper:
    """The sheet; places are in pixels from its top left corner."""

    def __init__(self) -> None:
        self.canvas = Canvas(WIDTH, HEIGHT)

    def words(
        self, x: float, y: float, text: str, size: float, colour: str = _INK, *,
        bold: bool = False, anchor: Anchor = "left"
    ) -> None:  # fmt: skip
        """Write a text with its foot at a height; no character in it means anything but itself."""
        self.canvas.words(x, y, text, size=size, colour=colour, anchor=anchor, bold=bold)

    def line(self, x: Sequence[float], y: Sequence[float], colour: str, width: float) -> None:
        """Draw a line through places; NaN parts it."""
        self.canvas.line(x, y, colour, width=width)

    def heading(self, title: str, line: str) -> float:
        """Title and line of facts; give the height below them."""
        y = 78.0
        for part in _fitted(title, _TITLE, _RIGHT - _LEFT, 2, bold=True):
            self.words(_LEFT, y, part, _TITLE, bold=True)
            y += 56
        for part in _fitted(line, _SMALL, _RIGHT - _LEFT, 2):
            self.words(_LEFT, y - 14, part, _SMALL, _QUIET)
            y += 30
        return y - 20

    def headline(self, figures: Sequence[ShareFigure], top: float) -> float:
        """Large figures in a row under a rule; give the height below them."""
        self.line((_LEFT, _RIGHT), (top, top), _RULE, 2)
        shown = list(figures)[:4]
        step = _step(len(shown))
        titles = [name_lines(item.title, len(shown)) for item in shown]
        for index, lines in enumerate(titles):
            for row, part in enumerate(lines):
                self.words(_LEFT + index * step, top + 38 + 28 * row, part, _SMALL, _QUIET)
        top += 28 * (max(map(len, titles), default=1) - 1)
        for index, item in enumerate(shown):
            x = _LEFT + index * step
            self.words(x, top + 100, item.number, _LARGE)
            after = x + advance(item.number, _LARGE) + 10
            unit = f"{item.margin}{NARROW_SPACE}{item.unit}".strip(NARROW_SPACE)
            if after + advance(unit, _UNIT) > x + step - 8:
                unit = item.unit
            self.words(after, top + 100, unit, _UNIT, _QUIET)
            for row, part in enumerate(_fitted(item.beneath, _TINY, step - 20, 2)):
                self.words(x, top + 132 + 24 * row, part, _TINY, _QUIET)
        return top + 160

    def curve(self, curve: Series, top: float, bottom: float, system: System) -> None:
        """Draw the power curve with few ticks and its peak."""
        shown, unit = curve.kind, curve.kind.unit(system)
        speeds = quantity("engine_speed").metric
        x = (curve.x[curve.placed] - speeds.offset) / speeds.factor
        y = (curve.y[curve.placed] - unit.offset) / unit.factor
        marks = ticks(0.0, max(float(y.max()), 1e-9), 3)
        high = max(float(y.max()) * 1.05, marks[-1])
        across = Scale(float(x.min()), float(x.max()), _LEFT + 70, _RIGHT - 12)
        up = Scale(0.0, high, bottom, top)
        for mark in marks:
            self.line((_LEFT + 70, _RIGHT), (up(mark), up(mark)), _RULE, 1.5)
            self.words(_LEFT + 58, up(mark) + 6, f"{mark:g}", _TINY, _QUIET, anchor="right")
        self.words(_LEFT, top - 14, unit.shown, _TINY, _QUIET)
        speed_marks = ticks(float(x.min()), float(x.max()), 6)
        for mark in speed_marks:
            rpm = f"{NARROW_SPACE}rpm" if mark == speed_marks[-1] else ""
            text = f"{mark:,.0f}".replace(",", NARROW_SPACE) + rpm
            self.words(across(mark), bottom + 26, text, _TINY, _QUIET, anchor="center")
        drawn = [across(float(value)) for value in x], [up(float(value)) for value in y]
        self.line(*drawn, SERIES_COLOURS[0], 4)
        self._peak(drawn[0], drawn[1], shown.text(float(curve.y[curve.placed].max()), system))

    def _peak(self, x: Sequence[float], y: Sequence[float], text: str) -> None:
        """A dot at the highest point, and the figure beside it where it keeps clear of the line."""
        at = int(np.argmin(y))
        self.canvas.dots([x[at]], [y[at]], SERIES_COLOURS[0], size=11)
        anchor: Anchor = "right" if x[at] > WIDTH / 2 else "left"
        self.words(x[at], y[at] - 14, text, _SMALL, _ACCENT, bold=True, anchor=anchor)

    def foot(self, text: str) -> None:
        """Whose sheet it is."""
        self.line((0, WIDTH), (HEIGHT - 44, HEIGHT - 44), _ACCENT, 3)
        self.words(_LEFT, HEIGHT - 15, _fitted(text, _SMALL, _RIGHT - _LEFT, 1)[0], _SMALL, _ACCENT)

    def png(self) -> bytes:
        """Give the picture's bytes, in few colours."""
        from specgen.publish.charts.papers.picture import pixels

        stream = io.BytesIO()
        drawn = Image.fromarray(pixels(self.canvas)).convert("RGB")
        few = drawn.quantize(_COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
        palette = few.getpalette() or []
        ground = few.tobytes()[0]
        palette[3 * ground : 3 * ground + 3] = ImageColor.getrgb(_GROUND)
        few.putpalette(palette)
        few.save(stream, "PNG")
        return stream.getvalue()
