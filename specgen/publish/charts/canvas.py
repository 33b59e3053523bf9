"""A sheet of drawing paper: matplotlib artists placed in pixels, and the SVG they give.

Charts say where things stand (origin at the top left, as in SVG); nothing here knows quantities.
No pyplot, no layout engine and no axes object: matplotlib's own axes, ticks and text measuring
cost 8 ms a panel and 0.4 ms a label, and each chart is drawn twice (wide and narrow). Text is not
measured at all, because the reader's fonts are not this machine's.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any, Literal

import matplotlib as mpl
import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import IdentityTransform
from numpy.typing import NDArray

from specgen.publish.charts import svg

Floats = NDArray[np.float64]
Point = tuple[float, float]
Anchor = Literal["left", "center", "right"]

_SETTINGS: dict[Any, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "specgen",
    "path.simplify": False,
}
#: One user unit is one pixel at this resolution, which is also matplotlib's point.
_DPI = 72
_FONTS: dict[tuple[float, bool], FontProperties] = {}


class _Words(Text):
    """A text that is written where it stands, without measuring it first."""

    def draw(self, renderer: Any) -> None:
        """Hand the text to the renderer with its anchor."""
        gc = renderer.new_gc()
        gc.set_foreground(self.get_color())
        renderer.open_group("text", gid=self.get_gid())
        x, y = self.get_transform().transform(self.get_unitless_position())
        # An SVG's y runs down, and a renderer expects its caller to have turned it.
        y = renderer.get_canvas_width_height()[1] - y
        renderer.draw_text(gc, x, y, self.get_text(), self.get_fontproperties(), 0.0, mtext=self)
        renderer.close_group("text")
        gc.restore()


class Canvas:
    """One drawing of `width` by `height` pixels."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self._figure = Figure(figsize=(width / _DPI, height / _DPI), dpi=_DPI, frameon=False)
        self._backend = FigureCanvasSVG(self._figure)
        self._depth = 0

    def line(
        self,
        x: Floats | Sequence[float],
        y: Floats | Sequence[float],
        colour: str,
        *,
        width: float = 1.0,
        dash: Sequence[float] = (),
        gid: str = "",
        opacity: float | None = None,
    ) -> None:
        """Draw a line through points; a NaN leaves a gap. `dash` is in pixels."""
        artist = Line2D(
            np.asarray(x, dtype=float),
            self.height - np.asarray(y, dtype=float),
            color=colour,
            linewidth=width,
            # matplotlib counts dashes in line widths: a thick and a thin line share one rhythm here
            linestyle=(0, tuple(length / width for length in dash)) if dash else "-",
            alpha=opacity,
            dash_capstyle="butt",
            solid_capstyle="round",
        )
        self._add(artist, gid)

    def segments(
        self,
        lines: Sequence[tuple[Point, Point]],
        colour: str,
        *,
        width: float = 1.0,
        gid: str,
        opacity: float | None = None,
    ) -> None:
        """Draw many straight strokes of one kind, such as grid lines, as one path."""
        points = [(x, self.height - y) for pair in lines for x, y in pair]
        self._stroke(points, colour, width, gid, opacity)

    def dots(
        self, x: Floats | Sequence[float], y: Floats | Sequence[float], colour: str, **kind: Any
    ) -> None:
        """Draw a round dot at each point, left out where either coordinate is NaN.

        `size` is the diameter, `gid` the role. A dot is a stroke of no length with round ends:
        one path for all of them, a fifth of the bytes of repeated symbols.
        """
        places = [
            (float(a), self.height - float(b))
            for a, b in zip(x, y, strict=True)
            if np.isfinite(a) and np.isfinite(b)
        ]
        twice = [place for place in places for _ in range(2)]
        self._stroke(twice, colour, kind.get("size", 5.0), kind.get("gid", ""))

    def area(
        self, points: Sequence[Point], colour: str, *, opacity: float | None = None, gid: str = ""
    ) -> None:
        """Fill the polygon through these points, to a tenth of a pixel: a fill has no fine edge."""
        if len(points) < 3:
            return
        corners = [(round(x, 1), round(self.height - y, 1)) for x, y in points]
        outline = Path(corners, closed=False)
        patch = PathPatch(outline, facecolor=colour, edgecolor="none", alpha=opacity, linewidth=0)
        self._add(patch, gid)

    def words(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float,
        colour: str = svg.INK,
        anchor: Anchor = "left",
        bold: bool = False,
        gid: str = "",
    ) -> None:
        """Write a text with its baseline at `y`; `anchor` is left, center or right."""
        if not text:
            return
        artist = _Words(
            x,
            self.height - y,
            svg.plain(text),
            color=colour,
            horizontalalignment=anchor,
            verticalalignment="baseline",
            fontproperties=_font(size, bold),
            parse_math=False,
        )
        self._add(artist, gid)

    def _stroke(
        self,
        points: Sequence[Point],
        colour: str,
        width: float,
        gid: str,
        opacity: float | None = None,
    ) -> None:
        """Draw pairs of points as separate strokes of one path."""
        if not points:
            return
        codes = np.tile(np.array([Path.MOVETO, Path.LINETO], dtype=np.uint8), len(points) // 2)
        outline = Path(points, codes)
        outline.should_simplify = False
        patch = PathPatch(outline, fill=False, edgecolor=colour, linewidth=width, capstyle="round")
        patch.set_alpha(opacity)
        self._add(patch, gid)

    def _add(self, artist: Artist, gid: str) -> None:
        """Put an artist on top of what is drawn, in pixels."""
        self._depth += 1
        artist.set_transform(IdentityTransform())
        artist.set_zorder(self._depth)
        if gid:
            artist.set_gid(" ".join(f"sg-c-{name}" for name in gid.split()))
        self._figure.add_artist(artist)

    def markup(self) -> str:
        """The drawing as matplotlib writes it: the same bytes for the same drawing."""
        buffer = io.StringIO()
        with mpl.rc_context(_SETTINGS):
            # not Figure.savefig, which draws twice
            self._backend.print_svg(buffer, metadata={"Date": None, "Creator": None})  # type: ignore[no-untyped-call]
        return buffer.getvalue()

    def inline(self, name: str, title: str, description: str, classes: str) -> str:
        """The drawing as inline SVG whose ids begin with `name`."""
        return svg.inline(
            self.markup(), name=name, title=title, description=description, classes=classes
        )


def _font(size: float, bold: bool) -> FontProperties:
    """Share one font object per size and weight; the family is the page's business."""
    key = (size, bold)
    if key not in _FONTS:
        _FONTS[key] = FontProperties(size=size, weight=600 if bold else 400)
    return _FONTS[key]
