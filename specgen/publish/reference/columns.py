"""The columns that a curve may have: names, units, what logs call them; from the reader itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.archive.delimited.examples import CALLED
from specgen.archive.reading.pulls import COLUMNS
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import units_of
from specgen.vocabulary import System, quantity

#: So many units of a kind are named; the table of units has them all.
_UNITS = 6


@dataclass(frozen=True, slots=True)
class CurveColumn:
    """One column: its head as it is written, what it is, its units, and what logs call it."""

    head: str
    title: str
    units: str
    anchor: str
    called: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CurveColumns(Context):
    """The table of columns.

    `columns`: each column that a curve may have; `units`: the link to the table of units.
    """

    template: ClassVar[str] = "reference/columns.jinja"
    columns: Sequence[CurveColumn]
    units: str


def columns_page(units: System, folders: bool) -> str:
    """Print the columns that a curve may have."""
    links = Links(addresses.COLUMNS, folders)
    block = rendered(CurveColumns(columns=_columns(), units=links.to(addresses.UNITS)))
    description = "The columns of a curve file: names, units, and what logs call them."
    return fixed_page(links, description, [Part("", block)], units)


def _columns() -> list[CurveColumn]:
    found = []
    for name, key in COLUMNS.items():
        kind = quantity(key)
        symbol = kind.metric.symbol
        head = f"{name} [{symbol}]" if symbol else name
        symbols = [item.symbol for item in units_of(kind.kind) if item.symbol][:_UNITS]
        anchor = kind.kind.replace(" ", "-")
        found.append(
            CurveColumn(head, kind.title, ", ".join(symbols) or "none", anchor, CALLED[key])
        )
    return found
