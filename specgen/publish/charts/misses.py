"""How far predictions missed: a strip of stacked dots for each figure, one dot a setup."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.scale import Scale, decimals_of, ticks, wrap
from specgen.publish.charts.series import Chart
from specgen.units import MINUS, NARROW_SPACE

_SIZE = 13.0
_WIDE, _NARROW = 720.0, 360.0
_MARGIN = 26.0
#: A dot's diameter and the room it takes, in pixels; a high stack is pressed together.
_DOT, _STEP, _HIGHEST = 7.0, 9.0, 126.0
#: The axis reaches at least this far, so that good predictions are not magnified.
_LEAST = 0.05


class Dot(NamedTuple):
    """One setup's miss, measured less predicted, as a share; whether it lies inside its band.

    `named` marks one that its sheet names as disagreeing with the others.
    """

    label: str
    share: float
    inside: bool
    named: bool = False


class Strip(NamedTuple):
    """The misses of one figure; `half` and `most` are the median and the 90th percentile."""

    title: str
    dots: Sequence[Dot]
    half: float
    most: float


def misses(strips: Sequence[Strip], title: str, *, name: str = "misses") -> Chart:
    """Draw a strip for each figure over one scale of misses, zero in the middle."""
    words = svg.spoken(" ".join(["Dots along a scale of misses.", *map(_spoken, strips)]))
    drawings = [partial(_draw, strips, width) for width in (_WIDE, _NARROW)]
    return Chart(name, title, words, *drawings)


def percent(share: float, decimals: int = 1, *, signed: bool = False) -> str:
    """Print a share in per cent, with its sign if asked for."""
    number = f"{abs(share) * 100:.{decimals}f}"
    sign = "" if not float(number) else MINUS if share < 0 else "+" if signed else ""
    return f"{sign}{number}{NARROW_SPACE}%"


def _spoken(strip: Strip) -> str:
    shares = [dot.share for dot in strip.dots if not dot.named]
    told = f"{strip.title}: {len(shares)} setups"
    if shares:
        told += (
            f" from {percent(min(shares), signed=True)} to {percent(max(shares), signed=True)}, "
            f"half within {percent(strip.half)}, nine in ten within {percent(strip.most)}"
        )
    named = [f"{dot.label} {percent(dot.share, signed=True)}" for dot in strip.dots if dot.named]
    apart = f"Disagrees with the others: {', '.join(named)}." if named else ""
    return f"{told}. {apart}".strip()


def _draw(strips: Sequence[Strip], width: float) -> Canvas:
    reach = max([_LEAST, *(abs(dot.share) for strip in strips for dot in strip.dots)]) * 1.06
    scale = Scale(-reach, reach, _MARGIN, width - _MARGIN)
    stacks = [_stacked(strip.dots, scale) for strip in strips]
    heights = [_height(stack) for stack in stacks]
    notes = wrap(_note(strips), _SIZE, width - 4, 4)
    canvas = Canvas(width, sum(heights) + len(strips) * 74 + 17 * len(notes) + 8)
    top = 0.0
    for strip, stack, height in zip(strips, stacks, heights, strict=True):
        _draw_strip(canvas, strip, stack, scale, top + 40, height)
        top += height + 74
    for index, line in enumerate(notes):
        canvas.words(2, top + 14 + 17 * index, line, size=_SIZE, colour=inks.MUTED, role="note")
    return canvas


def _stacked(dots: Sequence[Dot], scale: Scale) -> list[tuple[float, int, Dot]]:
    """Each dot's place: pixel across, which it is in its stack from below, and the dot."""
    filled: dict[int, int] = defaultdict(int)
    placed = []
    for dot in sorted(dots, key=lambda item: (abs(item.share), item.label)):
        column = round((scale(dot.share) - scale(0.0)) / _STEP)
        placed.append((scale(0.0) + column * _STEP, filled[column], dot))
        filled[column] += 1
    return placed


def _height(stack: Sequence[tuple[float, int, Dot]]) -> float:
    most = max((level for _, level, _ in stack), default=0) + 1
    return max(2 * _STEP, min(most * _STEP, _HIGHEST))


def _draw_strip(
    canvas: Canvas,
    strip: Strip,
    stack: Sequence[tuple[float, int, Dot]],
    scale: Scale,
    top: float,
    height: float,
) -> None:
    """Draw one strip: its title, the two bands, the axis beneath and the dots on it."""
    bottom = top + height
    canvas.words(2, top - 24, strip.title, size=_SIZE, bold=True, role="heading")
    for share, opacity in ((strip.most, 0.10), (strip.half, 0.14)):
        if math.isfinite(share):
            left, right = scale(max(-share, scale.low)), scale(min(share, scale.high))
            box = [(left, top - 8), (right, top - 8), (right, bottom), (left, bottom)]
            canvas.area(box, inks.colour_of(0), opacity=opacity, role="band")
    canvas.segments([((scale(0.0), top - 12), (scale(0.0), bottom))], inks.MUTED, role="base")
    _draw_axis(canvas, scale, bottom)
    most = max((level for _, level, _ in stack), default=0) + 1
    step = min(_STEP, height / most)
    for kind in ("inside", "outside", "named"):
        places = [
            (x, bottom - step * (level + 0.5)) for x, level, dot in stack if _kind(dot) == kind
        ]
        _draw_dots(canvas, places, kind)


def _kind(dot: Dot) -> str:
    return "named" if dot.named else "inside" if dot.inside else "outside"


def _draw_dots(canvas: Canvas, places: Sequence[tuple[float, float]], kind: str) -> None:
    """Full dots are inside, rings outside their band; a cross disagrees with the others."""
    if kind == "named":
        arm = _DOT / 2
        strokes = [
            ((x - arm, y - side * arm), (x + arm, y + side * arm))
            for x, y in places
            for side in (1, -1)
        ]
        canvas.segments(strokes, inks.INK, width=1.6, role="named")
        return
    x, y = [place[0] for place in places], [place[1] for place in places]
    canvas.dots(x, y, inks.colour_of(0), size=_DOT, role=f"dots {kind}")
    if kind == "outside":
        canvas.dots(x, y, inks.GROUND, size=_DOT - 3.2, role="hollow")


def _draw_axis(canvas: Canvas, scale: Scale, y: float) -> None:
    canvas.segments([((scale.at_low, y), (scale.at_high, y))], inks.MUTED, width=1, role="base")
    room = 8 if canvas.width > 500 else 4
    numbers = ticks(100 * scale.low, 100 * scale.high, room)
    decimals = decimals_of(numbers)
    canvas.segments(
        [((scale(tick / 100), y), (scale(tick / 100), y + 4)) for tick in numbers],
        inks.MUTED, width=1, role="base",
    )  # fmt: skip
    for tick in numbers:
        words = percent(tick / 100, decimals, signed=True)
        canvas.words(scale(tick / 100), y + 18, words, size=_SIZE, anchor="center",
                     colour=inks.MUTED, role="axis")  # fmt: skip


def _note(strips: Sequence[Strip]) -> str:
    """What the marks and the shading mean, those that occur."""
    kinds = {_kind(dot) for strip in strips for dot in strip.dots}
    said = {
        "inside": "a full dot lies inside its band",
        "outside": "a ring outside it",
        "named": "a cross is named on its sheet as disagreeing with the others",
    }
    marks = "; ".join(words for kind, words in said.items() if kind in kinds)
    return f"Measured less predicted. One mark a setup: {marks}. Shaded: half, and nine in ten."
