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

_BOTH = Markup(
    '<span class="sg-fig"><span class="sg-m">{}</span> <span class="sg-i">{}</span></span>'
)
_ONE = Markup('<span class="sg-fig">{}</span>')
_UNIT = Markup('<span class="sg-u">{}</span>')
_LINK = Markup('<a class="sg-row" href="#{}">{}</a>')
_PLUS_MINUS = Markup('<span class="sg-pm">±{}{}</span>')


def in_both(printed: Callable[[System], Markup]) -> Markup:
    """Print in both unit systems, once where both read the same."""
    metric, imperial = printed("metric"), printed("imperial")
    return _ONE.format(metric) if metric == imperial else _BOTH.format(metric, imperial)


def value_text(
    shown: Quantity,
    value: float,
    system: System,
    expanded: float | None = None,
    *,
    bare: bool = False,
) -> Markup:
    """Print an SI value in one system: number, expanded uncertainty if there is one, unit.

    `bare` leaves the uncertainty out, but it still limits the decimals.
    """
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


def figure(row: Row | None, *, bare: bool = False, link: bool = True) -> Markup:
    """Print a row; `bare` leaves the uncertainty out. An absent row prints a quiet dash."""
    if row is None or not row.present or row.is_curve:
        reason = row.reason if row is not None else ""
        return Markup('<span class="sg-absent" title="{}">–</span>').format(safe(reason))
    shown, value, expanded = row.quantity, row.scalar, row.expanded
    text = in_both(lambda system: value_text(shown, value, system, expanded, bare=bare))
    return _LINK.format(row.anchor, text) if link else text


def reasoned(row: Row | None) -> Markup:
    """Print a row, or in words why it is absent."""
    if row is not None and not row.present:
        return Markup('<span class="sg-absent">{}</span>').format(safe(row.reason))
    return figure(row)


def written(given: Given[Any]) -> Markup:
    """Print a value of the archive that needs no row: a quantity in both systems, else its text."""
    if given.quantity is None:
        return safe(given.text or str(given.value))
    printed = value_figure(given.quantity, float(given.value))
    if given.at is None:
        return printed
    return Markup("{} at {}").format(printed, written(given.at))
