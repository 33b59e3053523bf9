"""What is near its limit: a bar for each, as a share of the limit, nearest first."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import partial
from typing import NamedTuple

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Canvas
from specgen.publish.charts.scale import wrap
from specgen.publish.charts.series import Chart
from specgen.publish.charts.words import both, capital
from specgen.vocabulary import System, quantity, side_by_side

#: From here a bar is drawn as near its limit (common practice, no source).
NEAR = 0.9
#: The longest bar that is drawn; what goes further ends in an arrow's head.
_LONGEST = 1.2
#: How much of its colour the bar of a planned figure has.
_PLANNED = 0.3
_SIZE = 13.0
_LINE = 17.0
_WIDE, _NARROW = 720.0, 360.0


class LimitItem(NamedTuple):
    """One figure and its limit, both SI; `quantity` is a vocabulary key.

    `words` is printed beside the bar, for instance "14 900 of 16 000 rpm, 7 % left"; where it is
    empty `limit_words` gives it. A NaN value is "not recorded". `margin` is the value's expanded
    uncertainty (k = 2, same unit), drawn as a line over the bar's end. A `planned` figure's bar
    is only outlined.
    """

    name: str
    value: float
    limit: float
    quantity: str
    words: str = ""
    margin: float = 0.0
    planned: bool = False


def limits(
    items: Iterable[LimitItem | tuple[str, float, float, str, str]],
    title: str | None = None,
    *,
    name: str = "limits",
    system: System = "metric",
) -> Chart:
    """Draw each figure as a bar towards its limit, the nearest one first.

    Items are (name, value, limit, quantity key, words). Items without a finite limit are left
    out; those without a value stand last and say so.
    """
    told = [LimitItem(*item) for item in items]
    ordered = sorted((item for item in told if math.isfinite(item.limit)), key=_order)
    finding = title or limits_title(ordered, system)
    words = limits_description(ordered)
    drawings = [partial(_draw, ordered, width, system) for width in (_WIDE, _NARROW)]
    return Chart(name, finding, words, *drawings)


def share_of(item: LimitItem) -> float:
    """The value as a share of its limit; NaN where it cannot be said.

    Temperatures are compared by their distance from 0 °C, as the trade reads them: a share of an
    absolute temperature would make every charge look hot.
    """
    kind = quantity(item.quantity)
    zero = kind.metric.offset
    if not math.isfinite(item.value) or item.limit - zero <= 0:
        return math.nan
    return (item.value - zero) / (item.limit - zero)


def _order(item: LimitItem) -> tuple[bool, float, str]:
    share = share_of(item)
    return (math.isnan(share), -share if math.isfinite(share) else 0.0, item.name)


def limit_words(item: LimitItem, system: System = "metric") -> str:
    """Say how much is left, such as "14 900 of 16 000 rpm, 7 % left"."""
    kind = quantity(item.quantity)
    limit = kind.text(item.limit, system)
    if not math.isfinite(item.value):
        return f"not recorded; the limit is {limit}"
    return f"{kind.number(item.value, system)} of {limit}, {left_words(item, system)}"


def left_words(item: LimitItem, system: System = "metric") -> str:
    """Say what is left, as a share; in degrees for a temperature, in points for a share.

    A value whose margin reaches over its limit, from either side, may be beyond it.
    """
    kind, rest = quantity(item.quantity), item.limit - item.value
    if abs(rest) < item.margin:
        return "may be beyond"
    side = "left" if rest >= 0 else "over"
    shown = kind.unit(system)
    if kind.kind in ("temperature", "fraction"):
        decimals = kind.decimals_in(system)
        size = abs(round(rest / shown.factor, decimals))
        unit = "points" if kind.kind == "fraction" else shown.shown
        return f"{size:.{max(decimals, 0)}f}\u202f{unit} {side}" if size else "none left"
    share = share_of(item)
    if math.isnan(share):
        return side
    percent = round(100 * abs(1 - share))
    if percent == 0:
        return "none left" if rest >= 0 else "less than 1\u202f% over"
    return f"{percent}\u202f% {side}"


def limits_title(items: list[LimitItem], system: System = "metric") -> str:
    """State what is exceeded or nearest: items come nearest first."""
    known = [item for item in items if not math.isnan(share_of(item))]
    if not known:
        return "No limits to compare with"
    over = [item for item in known if item.value - item.margin > item.limit]
    if len(over) > 1:
        names = ", ".join(item.name for item in over[:-1]) + f" and {over[-1].name}"
        return capital(f"{names} are beyond their limits")
    nearest = known[0]
    words = left_words(nearest, system)
    if words == "may be beyond":
        return capital(f"{nearest.name} may be beyond its limit")
    if over:
        return capital(f"{nearest.name} is beyond its limit: {words}")
    verdict = "nearest to its limit" if len(known) > 1 else "within its limit"
    return capital(f"{nearest.name} is {verdict}: {words}")


def limits_description(items: list[LimitItem]) -> str:
    """The alternative text, nearest first, with both unit systems."""
    if not items:
        return "Bars towards limits. Nothing is recorded."
    told = []
    for item in items:
        kind = quantity(item.quantity)
        limit = both(kind, item.limit)
        if math.isfinite(item.value):
            left = left_words(item, side_by_side()[0])
            told.append(f"{capital(item.name)}: {both(kind, item.value)} of {limit}, {left}.")
        else:
            told.append(f"{capital(item.name)}: not recorded; the limit is {limit}.")
    return svg.spoken(" ".join(["Bars towards limits, nearest first.", *told]))


def _draw(items: list[LimitItem], width: float, system: System) -> Canvas:
    """A row for each item: name and words above the bar on a phone, beside it on a page."""
    rows = [_Row(item, width, system) for item in items]
    canvas = Canvas(width, max(sum(row.height for row in rows), 30.0))
    top = 0.0
    for row in rows:
        row.draw(canvas, top)
        top += row.height
    if not items:
        canvas.words(2, 20, "no limits recorded", size=_SIZE, role="empty")
    return canvas


class _Row:
    """One item's words, broken to fit, and where they and the bar stand."""

    def __init__(self, item: LimitItem, width: float, system: System) -> None:
        self.item = item
        self.wide = width > 500
        words = item.words or limit_words(item, system)
        self.names = wrap(capital(item.name), _SIZE, 208 if self.wide else width - 4, 2, bold=True)
        self.lines = wrap(words, _SIZE, 236 if self.wide else width - 4, 2)
        above = len(self.names) + len(self.lines)
        broadest = max(len(self.names), len(self.lines))
        self.height = _LINE * broadest + 15 if self.wide else _LINE * above + 36

    def draw(self, canvas: Canvas, top: float) -> None:
        """Write the words and draw the bar, this row's upper edge at `top`."""
        first = 0 if self.wide else len(self.names)
        for index, line in enumerate(self.names):
            y = top + 18 + _LINE * index
            canvas.words(2, y, line, size=_SIZE, bold=True, role="name")
        for index, line in enumerate(self.lines):
            y = top + 18 + _LINE * (first + index)
            canvas.words(482 if self.wide else 2, y, line, size=_SIZE, role="words")
        under = 7 if self.wide else 9 + _LINE * (len(self.names) + len(self.lines))
        left, right = (214.0, 416.0) if self.wide else (2.0, canvas.width - 72)
        _draw_bar(canvas, self.item, left, right, top + under)


def _draw_bar(canvas: Canvas, item: LimitItem, left: float, right: float, top: float) -> None:
    """The bar up to the limit's tick at `right`; what is over runs on in another tone."""
    height = 12.0 if canvas.width > 500 else 10.0
    bottom = top + height
    canvas.area(_box(left, right, top, bottom), inks.GRID, role="room")
    share = share_of(item)
    length = right - left
    opacity = _PLANNED if item.planned else None
    if not math.isnan(share):
        reach = left + length * min(max(share, 0.0), 1.0)
        near = share >= NEAR
        role = "bar near" if near else "bar"
        canvas.area(_box(left, reach, top, bottom), inks.colour_of(0), opacity=opacity, role=role)
    if share > 1:
        reach = left + length * min(share, _LONGEST)
        over = _over(right, reach, top, bottom, share)
        canvas.area(over, inks.colour_of(1), opacity=opacity, role="over")
    if item.planned and share > 0:
        _outline(canvas, left, left + length * min(share, _LONGEST), top, bottom)
    canvas.segments([((right, top - 4), (right, bottom + 4))], inks.INK, width=1.6, role="limit")
    _draw_margin(canvas, item, left, length, (top + bottom) / 2)


def _outline(canvas: Canvas, left: float, right: float, top: float, bottom: float) -> None:
    """Draw a dashed frame around what is only planned."""
    corners = [*_box(left, right, top, bottom), (left, top)]
    x, y = [corner[0] for corner in corners], [corner[1] for corner in corners]
    canvas.line(x, y, inks.colour_of(0), width=1, dash=(3, 2), role="planned")


def _draw_margin(canvas: Canvas, item: LimitItem, left: float, length: float, y: float) -> None:
    """Draw the value's uncertainty as a line over the bar's end, as far as the drawing goes."""
    if not (item.margin > 0 and math.isfinite(item.value)):
        return
    ends = [share_of(item._replace(value=item.value + side * item.margin)) for side in (-1, 1)]
    low, high = (left + length * min(max(end, 0.0), _LONGEST) for end in ends)
    canvas.segments([((low, y), (high, y))], inks.INK, width=1, role="margin")


def _box(left: float, right: float, top: float, bottom: float) -> list[tuple[float, float]]:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _over(
    left: float, right: float, top: float, bottom: float, share: float
) -> list[tuple[float, float]]:
    """What is beyond the limit; pointed where it goes further than is drawn."""
    box = _box(left + 1, right, top + 2, bottom - 2)
    if share > _LONGEST:
        box.insert(2, (right + 6, (top + bottom) / 2))
    return box
