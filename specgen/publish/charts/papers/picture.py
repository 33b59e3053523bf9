"""The second back of a canvas: the same drawing as a file, drawn by matplotlib.

The only room that knows matplotlib; it is imported when something is drawn. Letters are DejaVu's,
which the library carries, so that a file is the same wherever it is made.
"""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Literal

import matplotlib as mpl
import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.image import BboxImage
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.patheffects import withStroke
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Bbox
from numpy.typing import NDArray

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import (
    Arc,
    Area,
    Canvas,
    Circle,
    Curve,
    Mark,
    Point,
    Shown,
    Stroke,
    Words,
)

Layout = Literal["png", "svg", "pdf"]

_WHITE = "#ffffff"
#: Decimals of a place in pixels.
_FINE = 2
#: One pixel of a canvas is one point of the library at this resolution.
_DPI = 72
#: How much finer than a point pictures are in files that are drawn to any size.
_FINER = 4
#: Words that may cross a line keep a rim of the ground, as in `charts.css`.
_RIMMED, _RIM = {"label", "value", "limit-words"}, 3.0
_SETTINGS: dict[Any, Any] = {
    "svg.fonttype": "path",
    "svg.hashsalt": "specgen",
    "pdf.fonttype": 42,
    "path.simplify": False,
    "font.family": ["DejaVu Sans"],
}
#: What a file says of its making: nothing that differs from day to day or place to place.
_METADATA: dict[Layout, dict[str, str | None]] = {
    "png": {"Software": None},
    "svg": {"Date": None, "Creator": "specgen"},
    "pdf": {"CreationDate": None, "Creator": "specgen", "Producer": None},
}


def file_of(
    canvas: Canvas, layout: Layout, width: float, title: str = "", *, clear: bool = False
) -> bytes:
    """Draw a canvas as a PNG, SVG or PDF file: the same bytes for the same drawing.

    `width` is in pixels of a PNG, in points (1/72 inch) of the others. SVG and PDF carry `title`.
    With `clear` there is no ground, and a white rim keeps words and lines legible over any picture.
    """
    told = {"Title": svg.plain(title)} if title and layout != "png" else {}
    stream = io.BytesIO()
    with _settled():
        figure = _figure(canvas, width / canvas.width, clear=clear)
        fine = _DPI if layout == "png" else _FINER * _DPI  # of pictures in it
        figure.savefig(stream, format=layout, dpi=fine, metadata=_METADATA[layout] | told)
    return stream.getvalue()


def pixels(canvas: Canvas) -> NDArray[np.uint8]:
    """Draw a canvas pixel by pixel: red, green, blue, alpha of shape (height, width, 4)."""
    with _settled():
        backend = FigureCanvasAgg(_figure(canvas, 1.0))
        backend.draw()  # type: ignore[no-untyped-call]
        return np.array(backend.buffer_rgba())  # type: ignore[no-untyped-call]


@contextmanager
def _settled() -> Iterator[None]:
    """Our settings of the library; a character that the font lacks is a box, not a warning."""
    with mpl.rc_context(_SETTINGS), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        yield


def _figure(canvas: Canvas, scale: float, *, clear: bool = False) -> Figure:
    """Lay out a figure with all marks; a mark that waits unseen for a reader's switch is left out.

    The canvas counts downwards from the top, the library upwards.
    """
    height = round(canvas.height * scale, _FINE)
    size = (canvas.width * scale / _DPI, height / _DPI)
    figure = Figure(figsize=size, dpi=_DPI, facecolor="none" if clear else _WHITE)
    down = Affine2D().scale(scale, -scale).translate(0.0, height)
    for depth, mark in enumerate(canvas.marks):
        if getattr(mark, "opacity", None) == 0:
            continue
        rimmed = clear and (isinstance(mark, Words) or "line" in mark.role.split())
        for artist in _artists(mark, scale):
            if rimmed and _colour(getattr(mark, "colour", "")) != _WHITE:
                artist.set_path_effects([withStroke(linewidth=_RIM * scale, foreground=_WHITE)])
            artist.set_transform(down)
            artist.set_zorder(depth)
            figure.add_artist(artist)
    for shown in canvas.pictures:
        figure.add_artist(_shown(shown, scale, height))
    return figure


def _shown(picture: Shown, scale: float, height: float) -> BboxImage:
    """A picture in its place, which the library counts upwards from the bottom."""
    bottom = height - (picture.top + picture.height) * scale
    box = Bbox.from_bounds(picture.left * scale, bottom, picture.width * scale,
                           picture.height * scale)  # fmt: skip
    image = BboxImage(box, interpolation="hanning", zorder=1_000_000)
    image.set_data(picture.pixels)
    return image


def _artists(mark: Mark, scale: float) -> Iterator[Artist]:
    match mark:
        case Stroke():
            yield from _stroke(mark, scale)
        case Area():
            yield _filled(Path(mark.points), mark.colour, mark.opacity)
        case Circle():
            outline = Path.circle(_placed(mark.centre), round(mark.radius, _FINE))
            if mark.fill:
                yield _filled(outline, mark.fill)
            if mark.edge:
                yield _lined(outline, mark.edge, scale)
        case Curve():
            ends: Literal["butt", "round"] = "butt" if mark.blunt else "round"
            yield _lined(_curve(mark), mark.colour, mark.width * scale, ends, mark.opacity)
        case Words():
            yield _words(mark, scale)


def _placed(point: Point) -> Point:
    """Give a place to a hundredth of a pixel: what is finer differs between processors."""
    return (round(float(point[0]), _FINE), round(float(point[1]), _FINE))


def _colour(colour: str) -> str:
    """A file's ground is white."""
    return _WHITE if colour == inks.GROUND else colour


def _filled(outline: Path, colour: str, opacity: float | None = None) -> PathPatch:
    return PathPatch(outline, facecolor=_colour(colour), edgecolor="none", linewidth=0,
                     alpha=opacity)  # fmt: skip


def _lined(
    outline: Path,
    colour: str,
    width: float,
    ends: Literal["butt", "round"] = "round",
    opacity: float | None = None,
) -> PathPatch:
    return PathPatch(outline, fill=False, edgecolor=_colour(colour), linewidth=width,
                     capstyle=ends, joinstyle="round", alpha=opacity)  # fmt: skip


def _stroke(mark: Stroke, scale: float) -> Iterator[Artist]:
    """Lines as one path; dots as discs, because a line of no length has no ends in every format."""
    lines = [run for run in mark.runs if len(run) > 1]
    if lines:
        outline = Path.make_compound_path(*(Path([*map(_placed, run)]) for run in lines))
        ends: Literal["butt", "round"] = "butt" if mark.dash else "round"
        line = _lined(outline, mark.colour, mark.width * scale, ends, mark.opacity)
        if mark.dash:
            # The library counts dashes in line widths.
            line.set_linestyle((0, tuple(length / mark.width for length in mark.dash)))
        yield line
    dots = [Path.circle(_placed(run[0]), mark.width / 2) for run in mark.runs if len(run) == 1]
    if dots:
        yield _filled(Path.make_compound_path(*dots), mark.colour, mark.opacity)


def _curve(mark: Curve) -> Path:
    """Straight steps and arcs as one path."""
    points, codes = [_placed(mark.start)], [Path.MOVETO]
    for step in mark.steps:
        if isinstance(step, Arc):
            bend = _bend(points[-1], step)
            points += bend
            codes += [Path.CURVE4] * len(bend)
        else:
            points.append(_placed(step))
            codes.append(Path.LINETO)
    if mark.closed:
        points.append(points[0])
        codes.append(Path.CLOSEPOLY)
    return Path(points, [int(code) for code in codes])


def _bend(start: Point, arc: Arc) -> list[Point]:
    """An arc in pieces of an eighth of a turn at most, as cubic curves.

    Each piece's handles are 4/3 tan(angle/4) of the radius long, which keeps a curve within
    5e-6 of the radius here (from memory).
    """
    (x, y), end, radius = _placed(arc.centre), _placed(arc.end), round(arc.radius, _FINE)
    first = math.atan2(start[1] - y, start[0] - x)
    last = math.atan2(end[1] - y, end[0] - x)
    turn = (last - first) % math.tau if arc.clockwise else -((first - last) % math.tau)
    if not arc.large and abs(turn) > math.pi:  # it only touches, off by rounding
        turn = 0.0
    pieces = max(1, math.ceil(abs(turn) / (math.tau / 8)))
    step = turn / pieces
    handle = 4 / 3 * math.tan(step / 4)
    bend: list[Point] = []
    for index in range(pieces):
        for angle, side in ((first + index * step, 1), (first + (index + 1) * step, -1)):
            cosine, sine = math.cos(angle), math.sin(angle)
            bend.append((x + radius * (cosine - side * handle * sine),
                         y + radius * (sine + side * handle * cosine)))  # fmt: skip
        angle = first + (index + 1) * step
        bend.append((x + radius * math.cos(angle), y + radius * math.sin(angle)))
    return bend


def _words(mark: Words, scale: float) -> Text:
    """A text with nothing in it that means more than itself."""
    font = FontProperties(size=mark.size * scale, weight="bold" if mark.bold else "normal")
    text = Text(*_placed((mark.x, mark.y)), svg.plain(mark.text), color=_colour(mark.colour),
                fontproperties=font, horizontalalignment=mark.anchor, verticalalignment="baseline",
                parse_math=False)  # fmt: skip
    if _RIMMED & set(mark.role.split()):
        text.set_path_effects([withStroke(linewidth=_RIM * scale, foreground=_WHITE)])
    return text
