"""The one printer of figures: a row becomes HTML with both unit systems in it.

Styles show one of the two; nothing else in this package turns a number into text.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from markupsafe import Markup

from specgen.analysis.row import Row
from specgen.archive.model import Given
from specgen.publish.markup import safe
from specgen.units import NARROW_SPACE
from specgen.vocabulary import Quantity, System, quantity

# The space that parts the two stands inside the second: the first may be followed by a comma.
_BOTH = Markup('<span class="{}"><span class="sg-m">{}</span><span class="sg-i"> {}</span></span>')
_ONE = Markup('<span class="{}">{}</span>')
_UNIT = Markup('<span class="sg-u">{}</span>')
_LINK = Markup('<a class="sg-row" href="#{}">{}</a>')
_PLUS_MINUS = Markup('<span class="sg-pm">±{}{}</span>')


def in_both(printed: Callable[[System], Markup], kind: str = "sg-fig") -> Markup:
    """Print in both unit systems, once where both read the same; `kind` is the class."""
    metric, imperial = printed("metric"), printed("imperial")
    if metric == imperial:
        return _ONE.format(kind, metric)
    return _BOTH.format(kind, metric, imperial)


def words_in_both(printed: Callable[[System], str]) -> Markup:
    """Print a sentence with figures in it in both unit systems."""
    return in_both(lambda system: safe(printed(system)), "sg-both")


def value_text(
    shown: Quantity,
    value: float,
    system: System,
    expanded: float | None = None,
    *,
    bare: bool = False,
) -> Markup:
    """Print an SI value in one system: number, expanded uncertainty unless `bare`, unit."""
    number = safe(shown.number(value, system, expanded))
    if expanded and not bare:
        margin = shown.margin(expanded, system)
        number = Markup("{} {}").format(number, _PLUS_MINUS.format(NARROW_SPACE, safe(margin)))
    label = shown.unit(system).shown
    if not label:
        return number
    gap = "" if label == "°" else NARROW_SPACE
    return Markup("{}{}{}").format(number, gap, _UNIT.format(safe(label)))


def value_figure(
    key: str, value: float, expanded: float | None = None, *, bare: bool = False
) -> Markup:
    """Print an SI value of a quantity that has no row of its own."""
    shown = quantity(key)
    return in_both(lambda system: value_text(shown, value, system, expanded, bare=bare))


def figure(row: Row | None, anchor: str = "", *, bare: bool = False) -> Markup:
    """Print a row, linked to `anchor` if one is given; an absent row prints a quiet dash.

    `bare` leaves the uncertainty out, but it still limits the decimals.
    """
    if row is None or not row.present or row.is_curve:
        reason = row.reason if row is not None else ""
        return Markup('<span class="sg-absent" title="{}">–</span>').format(safe(reason))
    shown, value, expanded = row.quantity, row.scalar, row.expanded
    text = in_both(lambda system: value_text(shown, value, system, expanded, bare=bare))
    return _LINK.format(anchor, text) if anchor else text


def written(given: Given[Any]) -> Markup:
    """Print a value of the archive that needs no row: a quantity in both systems, else its text."""
    if given.quantity is None:
        return safe(given.text or str(given.value))
    printed = value_figure(given.quantity, float(given.value))
    if given.at is None:
        return printed
    return Markup("{} at {}").format(printed, written(given.at))
