"""The one printer of figures: a row becomes HTML with every unit system in it.

Styles show one of them; nothing else in this package turns a number into text.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from markupsafe import Markup, escape

from specgen.analysis.rows.row import Row
from specgen.archive.model.build import Given
from specgen.publish.typesetting.markup import safe
from specgen.units import NARROW_SPACE
from specgen.vocabulary import Quantity, System, quantity, systems

#: One end of a range, and its expanded uncertainty if it is known.
End = tuple[float, float | None]

# Finished HTML is put together as plain text and marked as HTML at the end: a sheet prints
# thousands of figures, and Markup's own formatting takes ten times as long.


def in_both(printed: Callable[[System], Markup], kind: str = "sg-fig", href: str = "") -> Markup:
    """Print in each unit system, once for those that read the same; `kind` is the class.

    With `href` the whole is a link to where the figure comes from, and needs no other element.
    """
    inside = _in_each(printed)
    return linked(inside, href) if href else Markup(f'<span class="{kind}">{inside}</span>')


def _in_each(printed: Callable[[System], Markup]) -> Markup:
    texts: dict[str, str] = {}
    for system in systems():
        text = str(printed(system))
        texts[text] = f"{texts[text]} sg-{system[0]}" if text in texts else f"sg-{system[0]}"
    if len(texts) == 1:
        return Markup(text)
    # The space between them stands inside the later one: a comma may follow the first.
    each = [f'<span class="{names}"> {text}</span>' for text, names in texts.items()]
    each[0] = each[0].replace("> ", ">", 1)
    return Markup("".join(each))


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
    """Print an SI value in one system: number, expanded uncertainty unless `bare`, unit.

    What stands behind the number is a step lighter, in one element: a sheet has thousands.
    """
    printed = shown.printed(value, system, expanded, bare=bare)
    margin = f"±{NARROW_SPACE}{safe(printed.margin)}" if printed.margin else ""
    lighter = f"{margin}{printed.gap}{_unit(printed.unit)}"
    behind = f"{' ' if margin else ''}<small>{lighter}</small>" if lighter else ""
    return Markup(f"{safe(printed.number)}{behind}")


@cache
def _unit(label: str) -> Markup:
    """A unit as HTML; few are printed thousands of times."""
    return safe(label)


def value_figure(key: str, value: float, expanded: float | None = None) -> Markup:
    """Print an SI value of a quantity that has no row of its own, with its margin if it has one."""
    shown = quantity(key)
    return in_both(lambda system: value_text(shown, value, system, expanded))


def figure(row: Row | None, href: str = "", *, bare: bool = False) -> Markup:
    """Print a row, linked to `href` if one is given; an absent row prints a quiet dash.

    `bare` leaves the uncertainty out, but it still limits the decimals.
    """
    if row is None or not row.present or row.is_curve:
        reason = row.reason if row is not None else ""
        return Markup(f'<span class="sg-absent" title="{safe(reason)}">–</span>')
    shown, value, expanded = row.quantity, row.scalar, row.expanded
    return in_both(lambda system: value_text(shown, value, system, expanded, bare=bare), href=href)


def between(low: Row, high: Row, href: str) -> Markup:
    """Print a range from one row to another of the same quantity, linked to `href`."""
    return span(low.quantity, (low.scalar, low.expanded), (high.scalar, high.expanded), href)


def linked(text: Markup, href: str) -> Markup:
    """Let a printed figure lead to where it comes from."""
    return Markup(f'<a class="sg-row" href="{escape(href)}">{text}</a>')


def span(shown: Quantity, low: End, high: End, href: str = "") -> Markup:
    """Print a range by its ends, each with the uncertainty that limits its decimals."""

    def printed(system: System) -> Markup:
        first = safe(shown.number(low[0], system, low[1]))
        return Markup("{} to {}").format(
            first, value_text(shown, high[0], system, high[1], bare=True)
        )

    return in_both(printed, href=href)


def written(given: Given[Any]) -> Markup:
    """Print a value of the archive that needs no row: a quantity in both systems, else its text."""
    if given.quantity is None:
        return safe(given.text or str(given.value))
    printed = value_figure(given.quantity, float(given.value))
    if given.at is None:
        return printed
    return Markup("{} at {}").format(printed, written(given.at))
