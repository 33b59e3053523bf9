"""A drawing with what it needs away from its page: its finding above, whose it is below."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from specgen.publish.charts.papers import inks
from specgen.publish.charts.papers.canvas import Arc, Area, Canvas, Circle, Curve, Mark, Stroke
from specgen.publish.charts.papers.letters import READERS
from specgen.publish.charts.scale import wrap

_MARGIN = 24.0
_TITLE, _TITLE_LINE = 19.0, 26.0
_FOOT, _FOOT_LINE = 13.0, 17.0


def framed(drawing: Canvas, title: str, foot: str) -> Canvas:
    """Lay a drawing out on a sheet of its own, with margins, a title and a foot."""
    width = drawing.width + 2 * _MARGIN
    room = drawing.width * READERS  # a file brings its own font
    titles = wrap(title, _TITLE, room, 3, bold=True)
    feet = wrap(foot, _FOOT, room, 2)
    top = _MARGIN + _TITLE_LINE * len(titles) + 6
    below = top + drawing.height + 14
    sheet = Canvas(width, below + _FOOT_LINE * len(feet) + _MARGIN - 8)
    for index, line in enumerate(titles):
        y = _MARGIN + _TITLE - 3 + _TITLE_LINE * index
        sheet.words(_MARGIN, y, line, size=_TITLE, bold=True, role="title")
    sheet.marks += moved(drawing.marks, _MARGIN, top)
    rule = ((_MARGIN, below - 8), (width - _MARGIN, below - 8))
    sheet.segments([rule], inks.GRID, role="rule")
    for index, line in enumerate(feet):
        y = below + _FOOT - 2 + _FOOT_LINE * index
        sheet.words(_MARGIN, y, line, size=_FOOT, colour=inks.MUTED, role="foot")
    return sheet


def moved(marks: Iterable[Mark], x: float, y: float) -> list[Mark]:
    """Marks so many pixels to the right and further down."""
    return [_moved(mark, x, y) for mark in marks]


def _moved(mark: Mark, x: float, y: float) -> Mark:
    def there(point: tuple[float, float]) -> tuple[float, float]:
        return point[0] + x, point[1] + y

    match mark:
        case Stroke():
            return replace(mark, runs=tuple(tuple(map(there, run)) for run in mark.runs))
        case Area():
            return replace(mark, points=tuple(map(there, mark.points)))
        case Circle():
            return replace(mark, centre=there(mark.centre))
        case Curve():
            steps = [
                step._replace(centre=there(step.centre), end=there(step.end))
                if isinstance(step, Arc)
                else there(step)
                for step in mark.steps
            ]
            return replace(mark, start=there(mark.start), steps=tuple(steps))
    return replace(mark, x=mark.x + x, y=mark.y + y)
