"""A canvas as the pixels of a picture: the few marks that a shared picture has, drawn with Pillow.

A site has one such picture a build. The library that draws charts as files takes six times as
long for it, most of it for letters, and starting it costs every process half a second; the letters
here are the very same font's, out of its files.
"""

from __future__ import annotations

import importlib.util
import io
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageColor, ImageDraw, ImageFont

from specgen.publish.charts.papers import svg
from specgen.publish.charts.papers.canvas import Canvas, Circle, Point, Stroke, Words

#: A few inks and their blends at the edges of letters: a third of the bytes of full colour.
_COLOURS = 48
_GROUND = "#ffffff"
#: How a text stands on its place: at its left end, middle or right end, by its baseline.
_ANCHORS = {"left": "ls", "center": "ms", "right": "rs"}
_FONTS = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}

Shares = NDArray[np.float64]


def png(canvas: Canvas) -> bytes:
    """Draw a canvas on white, pixel for pixel, as PNG in few colours.

    It knows strokes without dashes, discs and words; TypeError for another mark.
    """
    size = (round(canvas.width), round(canvas.height))
    drawn = Image.new("RGB", size, _GROUND)
    for mark in canvas.marks:
        match mark:
            case Stroke(dash=()):
                for run in mark.runs:
                    _stroke(drawn, run, mark.width, mark.colour)
            case Circle(edge=""):
                _stroke(drawn, (mark.centre,), 2 * mark.radius, mark.fill)
            case Words():
                _words(drawn, mark)
            case _:
                raise TypeError(f"a shared picture has no {type(mark).__name__} such as {mark}")
    stream = io.BytesIO()
    _in_few_colours(drawn).save(stream, "PNG")
    return stream.getvalue()


def _words(drawn: Image.Image, mark: Words) -> None:
    """Write a text; a character that the font lacks is a box."""
    ImageDraw.Draw(drawn).text(
        (round(mark.x, 2), round(mark.y, 2)), svg.plain(mark.text), fill=mark.colour,
        font=_font(mark.size, bold=mark.bold), anchor=_ANCHORS[mark.anchor],
    )  # fmt: skip


@cache
def _font(size: float, *, bold: bool) -> ImageFont.FreeTypeFont:
    """DejaVu at a size in pixels, from the files that the library of charts carries."""
    found = importlib.util.find_spec("matplotlib")
    assert found is not None
    assert found.submodule_search_locations is not None
    folder = Path(found.submodule_search_locations[0], "mpl-data", "fonts", "ttf")
    # the plain layout is the same on every system; the other needs a library that many lack
    return ImageFont.truetype(folder / _FONTS[bold], size, layout_engine=ImageFont.Layout.BASIC)


def _stroke(drawn: Image.Image, run: tuple[Point, ...], width: float, colour: str) -> None:
    """Draw one line with round ends and corners, or a disc for one point."""
    points = [(round(x, 2), round(y, 2)) for x, y in run]
    if len(points) == 2 and points[0][1] == points[1][1]:  # a level rule is crisp
        points = [(x, round(y)) for x, y in points]
    reach = width / 2 + 1
    left, top = (max(0, int(min(each) - reach)) for each in zip(*points, strict=True))
    right, bottom = (int(max(each) + reach) + 1 for each in zip(*points, strict=True))
    right, bottom = min(right, drawn.width), min(bottom, drawn.height)
    if right <= left or bottom <= top:
        return
    inked = np.zeros((bottom - top, right - left))
    for start, end in zip(points, points[1:] or points, strict=False):
        _ink(inked, (start[0] - left, start[1] - top), (end[0] - left, end[1] - top), width)
    mask = Image.fromarray((inked * 255 + 0.5).astype(np.uint8))
    drawn.paste(ImageColor.getrgb(colour), (left, top, right, bottom), mask)


def _ink(inked: Shares, start: Point, end: Point, width: float) -> None:
    """Ink the pixels near a straight piece, each by the share of it that the line covers.

    That share is taken from the distance between its middle and the line: exact for level lines.
    """
    reach = width / 2 + 1
    left, top = (max(0, int(min(pair) - reach)) for pair in zip(start, end, strict=True))
    right, bottom = (max(0, int(max(pair) + reach) + 1) for pair in zip(start, end, strict=True))
    part = inked[top:bottom, left:right]
    across = left + 0.5 + np.arange(part.shape[1]) - start[0]
    down = (top + 0.5 + np.arange(part.shape[0]) - start[1])[:, None]
    way = (end[0] - start[0], end[1] - start[1])
    length = way[0] * way[0] + way[1] * way[1]
    along = np.clip((across * way[0] + down * way[1]) / length, 0, 1) if length else 0.0
    beside, below = across - along * way[0], down - along * way[1]
    covered = width / 2 + 0.5 - np.sqrt(beside * beside + below * below)
    np.maximum(part, np.clip(covered, 0, 1), out=part)


def _in_few_colours(drawn: Image.Image) -> Image.Image:
    """The picture with a palette of few colours, of which the ground is white itself."""
    few = drawn.quantize(_COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    palette = few.getpalette() or []
    ground = few.tobytes()[0]
    palette[3 * ground : 3 * ground + 3] = ImageColor.getrgb(_GROUND)
    few.putpalette(palette)
    return few
