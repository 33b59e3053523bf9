"""A card set on its paper: broad, square or tall, for a talk, a post or a film.

The paper is drawn by the canvas that charts are drawn on, so that a card is a PNG, SVG or PDF.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from specgen.publish.cards.card import Card
from specgen.publish.charts.curves import within
from specgen.publish.charts.frame import moved
from specgen.publish.charts.papers import inks
from specgen.publish.charts.papers.canvas import Canvas, Shown
from specgen.publish.charts.papers.letters import READERS, advance
from specgen.publish.charts.scale import wrap
from specgen.publish.share.picture import ShareFigure

#: What is said of the margins, once on each card.
MEANT = "± says how far a figure may be off, in 19 cases of 20"
_INVENTED = "invented data"
_TILE, _TITLE, _LARGE, _UNIT, _SMALL = 36.0, 30.0, 40.0, 17.0, 14.0


class Shape(NamedTuple):
    """A card's paper in pixels of the canvas, and how wide its file is in pixels."""

    width: float
    height: float
    pixels: int


#: The shapes by the ratio of their sides: slides and films, posts, films held upright.
SHAPES = {
    "16:9": Shape(960, 540, 1920),
    "1:1": Shape(640, 640, 1080),
    "9:16": Shape(540, 960, 1080),
}


@dataclass
class _Paper:
    """A canvas with the height that is taken so far."""

    canvas: Canvas
    margin: float
    top: float

    @property
    def width(self) -> float:
        return self.canvas.width - 2 * self.margin

    def words(
        self, text: str, size: float, most: int = 2, *, bold: bool = False, colour: str = inks.INK
    ) -> None:
        """Write a text on as many lines as it needs, and take their height."""
        room = self.width * READERS  # a file brings its own font
        for line in wrap(text, size, room, most, bold=bold) if text else ():
            self.top += size * 1.25
            self.canvas.words(self.margin, self.top - size * 0.25, line, size=size, bold=bold,
                              colour=colour, role="words")  # fmt: skip


def set_card(card: Card, shape: str) -> Canvas:
    """Set a card on the paper of a shape, by its name in `SHAPES`."""
    width, height, _ = SHAPES[shape]
    paper = _Paper(Canvas(width, height), width / 24, width / 30)
    _head(paper, card)
    paper.words(card.title, _TITLE, bold=True)
    paper.top += 2
    paper.words(card.line, _UNIT, colour=inks.MUTED)
    paper.words(card.warning, _UNIT, 3, bold=True)
    below = _foot(paper, card)
    if width > height * 1.2 and card.series:
        _side_by_side(paper, card, below)
    else:
        _above(paper, card, below)
    return paper.canvas


def _head(paper: _Paper, card: Card) -> None:
    """The workshop's mark and name; at the other side that the data is invented, where it is."""
    canvas, left, top = paper.canvas, paper.margin, paper.top
    right, size = canvas.width - paper.margin, 16.0
    _mark(canvas, card, left, top)
    told = _INVENTED if card.invented else ""
    room = paper.width - _TILE - 12 - (advance(told, size, bold=True) + 16 if told else 0)
    lines = wrap(card.workshop, size, room * READERS, 2)
    first = top + (24 if len(lines) == 1 else 14)
    for at, line in enumerate(lines):
        canvas.words(left + _TILE + 12, first + 20 * at, line, size=size, role="workshop")
    canvas.words(right, top + 24, told, size=size, anchor="right", bold=True, role="invented")
    paper.top = top + _TILE + 12


def _mark(canvas: Canvas, card: Card, left: float, top: float) -> None:
    """The workshop's own picture, whole within the tile; else its letters on its colour."""
    if card.picture is not None:
        high, wide = card.picture.shape[:2]
        height, width = (_TILE * side / max(high, wide) for side in (high, wide))
        across, down = left + (_TILE - width) / 2, top + (_TILE - height) / 2
        canvas.pictures.append(Shown(across, down, width, height, card.picture))
        return
    corners = ((left, top), (left + _TILE, top), (left + _TILE, top + _TILE), (left, top + _TILE))
    canvas.area(corners, card.accent, role="mark")
    canvas.words(left + _TILE / 2, top + 24, card.letters, size=16, colour=inks.GROUND,
                 anchor="center", bold=True, role="mark-words")  # fmt: skip


def _foot(paper: _Paper, card: Card) -> float:
    """How it was measured and what a margin says, at the bottom; gives where they begin."""
    told = f"{card.told[:1].upper()}{card.told[1:]}."
    room = 0.98 * paper.width * READERS
    lines = [*wrap(told, _SMALL, room, 5), *wrap(f"{MEANT}.", _SMALL, room, 2)]
    step = _SMALL * 1.3
    start = paper.canvas.height - paper.canvas.width / 30 - step * len(lines)
    rule = ((paper.margin, start - 4), (paper.canvas.width - paper.margin, start - 4))
    paper.canvas.segments([rule], inks.GRID, role="rule")
    for at, line in enumerate(lines, 1):
        y = start + step * at - 3
        paper.canvas.words(paper.margin, y, line, size=_SMALL, colour=inks.MUTED, role="told")
    return start - 12


def _side_by_side(paper: _Paper, card: Card, below: float) -> None:
    """Figures in a column, the curves beside them."""
    paper.top += 8
    column = 0.3 * paper.width
    step = min((below - paper.top) / max(len(card.figures), 1), 118.0)
    for at, figure in enumerate(card.figures):
        _figure(paper, figure, paper.margin, paper.top + step * at, column - 8)
    _chart(paper, card, paper.margin + column, paper.top, below)


def _above(paper: _Paper, card: Card, below: float) -> None:
    """Figures in a row, or two by two where they are broad; the curves below them."""
    count = max(len(card.figures), 1)
    across = min(count, 3 if paper.width > 500 or count < 3 else 2)
    # where there is no curve the figures have the paper to themselves
    larger = 1.0 if card.series else 2.2 / across**0.5
    column, step = paper.width / across, 104.0 * larger
    paper.top += 8 * larger**2
    for at, figure in enumerate(card.figures):
        down, over = divmod(at, across)
        left = paper.margin + column * over
        _figure(paper, figure, left, paper.top + step * down, column - 10, larger)
    paper.top += step * -(-count // across)
    if card.series:
        _chart(paper, card, paper.margin, paper.top, below)


def _figure(
    paper: _Paper, figure: ShareFigure, left: float, top: float, room: float, larger: float = 1.0
) -> None:
    """One large figure: what it is, number with margin and unit, and what stands beneath."""
    canvas, small, unit = paper.canvas, _SMALL * larger**0.5, _UNIT * larger**0.5
    title, *_ = wrap(figure.title, small, room * READERS, 1)
    canvas.words(left, top + 16 * larger**0.5, title, size=small, colour=inks.MUTED, role="title")
    behind = f"{figure.margin} {figure.unit}".strip()
    size, base = _LARGE * larger, top + 56 * larger
    while size > 20 and advance(figure.number, size, bold=True) + 8 + advance(behind, unit) > room:
        size -= 1
    canvas.words(left, base, figure.number, size=size, bold=True, role="number")
    after = left + advance(figure.number, size, bold=True) + 8
    canvas.words(after, base, behind, size=unit, role="unit")
    beneath = 0.9 * small
    for at, line in enumerate(wrap(figure.beneath, beneath, room * READERS, 2), 1):
        y = base + 5 + 1.2 * beneath * at
        canvas.words(left, y, line, size=beneath, colour=inks.MUTED, role="beneath")


def _chart(paper: _Paper, card: Card, left: float, top: float, below: float) -> None:
    """The curves: power alone where there is little height, torque below it where there is more."""
    kinds = {item.quantity: item.kind for item in card.series}
    able = list(kinds.values())[: 2 if below - top > 420 else 1]
    series = [item for item in card.series if item.kind in able]
    shown = sum(item.kind in able for item in card.series[: card.shown])
    width = paper.canvas.width - paper.margin - left
    drawn = within(series, shown, able, width, below - top)
    paper.canvas.marks += moved(drawn.marks, left, top)
