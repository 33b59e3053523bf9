"""Where the figures of pages come from: every figure printed is remembered and explained once.

A page prints its figures through here. On the page that tells of them stands every row that was
printed, and every row that one rests on, inputs before results, each opening to formula, inputs
and source.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, ClassVar

import numpy as np
from markupsafe import Markup

from specgen.analysis.rows.formula import Formula
from specgen.analysis.rows.row import Row
from specgen.archive.model.build import Given
from specgen.publish.addresses import Links
from specgen.publish.typesetting.figures import between, figure, span, words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import quantity

_BASIS = {
    "stated": "written in the file",
    "measured": "measured",
    "derived": "worked out",
    "default": "assumed",
    "estimated": "estimated",
    "fitted": "fitted to its pulls",
    "absent": "not there",
}


#: From so many inputs on, rows that share them refer to the first.
_MANY = 8


def _alike(row: Row, other: Row) -> bool:
    """Whether two rows say the same: same figure, same basis, same place."""
    return (row.title, row.basis, row.place) == (other.title, other.basis, other.place) and bool(
        np.array_equal(np.asarray(row.value), np.asarray(other.value), equal_nan=True)
    )


def _plain(row: Row) -> Markup:
    """Print an input's value shortly: no link, no uncertainty; a curve is named as one."""
    shown, expanded = row.quantity, row.expanded
    if row.is_curve:
        return safe("over speed")
    return words_in_both(lambda system: shown.text(row.scalar, system, expanded))


@dataclass(frozen=True, slots=True)
class Explained(Context):
    """Where the figures come from.

    `groups`: a scope's title and its rows; `page`: gives each row its address, and an input its
    line; `method`: the link to the method page; `basis`: words for how a figure came; `value`:
    prints a row.
    """

    template: ClassVar[str] = "typesetting/provenance.jinja"
    groups: Sequence[tuple[str, Sequence[Row]]]
    page: Provenance
    method: str
    basis: Mapping[str, str]
    value: Callable[[Row], Markup]


class Provenance:
    """The rows that pages show, and the way from one of these pages to where a row is told of.

    `links` are those of the page that shows them, `told_at` is the address of the page that tells
    of them; `twins` gives a scope's twin by their names, `earlier` the names it had before.
    """

    def __init__(
        self,
        links: Links,
        told_at: str,
        twins: Mapping[str, str] = MappingProxyType({}),
        earlier: Mapping[str, Sequence[str]] = MappingProxyType({}),
    ) -> None:
        self.links = links
        self._told_at = told_at
        self._twins = twins
        self._earlier = earlier
        self._rows: dict[tuple[str, str], Row] = {}
        self._names: dict[tuple[str, str], tuple[str, str]] = {}
        self._anchors: dict[tuple[str, str], str] = {}
        self._taken: set[str] = set()
        self._lines: dict[tuple[str, str], Markup] = {}
        self._explained: dict[tuple[object, ...], Row] = {}
        self._equations: dict[str, tuple[str, str]] = {}

    def seen_from(self, links: Links) -> Provenance:
        """The same remembered rows, for another page that shows some of them."""
        other = copy.copy(self)
        other.links = links
        return other

    def show(self, row: Row | None, *, bare: bool = False) -> Markup:
        """Print a row and remember it; `bare` leaves its uncertainty out."""
        if row is None or not row.present:
            return figure(row)
        self._leads_to(row)
        return figure(row, self.href(row), bare=bare)

    def between(self, low: Row, high: Row) -> Markup:
        """Print a range of two rows and remember both; the link leads to the second."""
        self._remember(low)
        self._leads_to(high)
        return between(low, high, self.href(high))

    def reasoned(self, row: Row) -> Markup:
        """Print a row, or in words why it is absent."""
        if row.present:
            return self.show(row)
        return Markup('<span class="sg-absent">{}</span>').format(safe(row.reason))

    def written(self, key: str, title: str, given: Given[Any] | None) -> Markup:
        """Print a value of the archive that no table of rows makes; "" where it is not written."""
        if given is None:
            return Markup("")
        if given.quantity is None:
            return safe(given.text or str(given.value))
        printed = self.show(self.row_of(key, title, given))
        if given.at is None:
            return printed
        return Markup("{} at {}").format(printed, self.written(f"{key}-at", title, given.at))

    def row_of(self, key: str, title: str, given: Given[Any]) -> Row:
        """Make the row of a written value."""
        shown = quantity(given.quantity or "ratio")
        value = float(given.value)
        return Row(key, "file", title, shown, "stated", value, place=given.place, text=given.text)

    def href(self, row: Row) -> Markup:
        """The link to where a row is told of."""
        return self.links.to(self._told_at, self.anchor(row))

    def anchor(self, row: Row) -> str:
        """The row's address on the page that tells of it; unlike rows never share one."""
        name = self._name(row)
        if name not in self._anchors:
            plain = re.sub(r"[^\w.-]+", "-", row.anchor)
            free = plain if plain not in self._taken else f"{plain}-{len(self._taken)}"
            self._anchors[name] = free
            self._taken.add(free)
        return self._anchors[name]

    def earlier_anchors(self, row: Row) -> list[str]:
        """The addresses that a row had before, under the names that its scope had."""
        own = self.anchor(row)
        known = [replace(row, scope=name).anchor for name in self._earlier.get(row.scope, ())]
        return [plain for it in known if (plain := re.sub(r"[^\w.-]+", "-", it)) != own]

    def _remember(self, row: Row) -> None:
        """Keep a row and all it rests on, inputs first."""
        name = (row.scope, row.key)
        if name in self._names:
            return
        self._names[name] = self._twin_of(row)
        if self._names[name] != name:
            return
        for part in (*row.inputs, *((row.at,) if row.at else ())):
            if part.present:
                self._remember(part)
        self._rows[name] = row

    def _name(self, row: Row) -> tuple[str, str]:
        """Scope and key under which a row is explained."""
        name = (row.scope, row.key)
        return self._names.get(name, name)

    def _twin_of(self, row: Row) -> tuple[str, str]:
        """Scope and key, or those of the setup's own row where a prediction shares it.

        A setup predicted from the others has pulleys, fuel and air in common with the setup
        itself: they are explained once.
        """
        own = (self._twins.get(row.scope, row.scope), row.key)
        twin = self._rows.get(own)
        return own if twin is not None and _alike(row, twin) else (row.scope, row.key)

    def same_as(self, row: Row) -> Row | None:
        """The row explained before that has the same inputs, if they are many.

        An estimate gives pressure, temperature and power at once, from some fifty figures.
        """
        if len(row.inputs) <= _MANY:
            return None
        first = self._explained.setdefault(tuple(self._name(part) for part in row.inputs), row)
        return None if first is row else first

    def has_equation(self, row: Row, formula: Formula) -> bool:
        """Whether a row is told with its equation and the equation's source: one row a formula is.

        It is the first that a figure leads to, else the first that others rest on.
        """
        return self._equations.setdefault(formula.name, self._name(row)) == self._name(row)

    def _leads_to(self, row: Row) -> None:
        """Note that a figure leads to a row."""
        self._remember(row)
        if row.formula:
            self._equations.setdefault(row.formula.name, self._name(row))

    def groups(self, titles: dict[str, str]) -> Iterator[tuple[str, list[Row]]]:
        """The remembered rows by their scope's title, in the order of `titles`, then the rest."""
        by_title: dict[str, list[Row]] = {title: [] for title in titles.values()}
        for row in self._rows.values():
            title = titles.get(row.scope, row.scope[:1].upper() + row.scope[1:])
            by_title.setdefault(title, []).append(row)
        for title, rows in by_title.items():
            if rows:
                yield title, rows

    def part(self, titles: dict[str, str], method: str) -> Part:
        """Print the section that explains every figure that was shown."""
        block = rendered(
            Explained(
                groups=list(self.groups(titles)),
                page=self,
                method=method,
                basis=_BASIS,
                value=self.value,
            )
        )
        return Part("Where the figures come from", block, searchable=False)

    def line(self, row: Row) -> Markup:
        """Print an input as a line of a list, which leads to where it is told of itself.

        A figure is an input of a hundred others: its line is put together once, as plain text.
        """
        name = (row.scope, row.key)
        if name not in self._lines:
            there, place = safe(self.anchor(row)), ""
            if row.place:
                where = f"{safe(row.place.file)} line {row.place.line}"
                place = f' <span class="sg-place">{where}</span>'
            link = f'<a href="#{there}">{safe(row.title)}</a>'
            self._lines[name] = Markup(f"<li>{link} {_plain(row)}{place}</li>")
        return self._lines[name]

    def value(self, row: Row) -> Markup:
        """Print a row's own value without a link; a curve by its ends and its points."""
        if not row.is_curve:
            return figure(row)
        known = row.curve[np.isfinite(row.curve)]
        if not known.size:
            return Markup('<span class="sg-absent">no value</span>')
        ends = span(row.quantity, (float(known.min()), None), (float(known.max()), None))
        return Markup("{}, {} points").format(ends, str(known.size))
