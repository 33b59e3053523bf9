"""What a table of the data package is made of: columns in SI, each cell guarded.

A column's name carries its unit as a curve file's head does ("power [W]"); a figure with a doubt
has a second column for its standard uncertainty.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.rounding import NOISE
from specgen.units import units_of
from specgen.vocabulary import quantity

Kind = Literal["string", "integer", "number", "boolean", "date"]
Cell = str | int | float | bool | datetime.date | None
#: Significant digits of a figure, and of a point of a curve, from which others are recomputed.
DIGITS, CURVE_DIGITS = 7, 10
#: First letters that make a spreadsheet take a text for a formula, or for the end of a cell.
_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name with its unit, the type of its cells, what it is, and how to fill it."""

    name: str
    kind: Kind
    words: str
    of: Callable[[Any], Cell]
    digits: int = DIGITS


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the package.

    `lines` gives what a build adds to it, one subject a line; `key` names the columns that tell
    lines apart; `refers` says which columns point at which table's key.
    """

    name: str
    title: str
    words: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    lines: Callable[[Sheet], Iterator[Any]]
    refers: tuple[tuple[tuple[str, ...], str], ...] = ()


def text(name: str, words: str, of: Callable[[Any], str | None]) -> Column:
    """A column of words."""
    return Column(name, "string", words, of)


def count(name: str, words: str, of: Callable[[Any], int | None]) -> Column:
    """A column of whole numbers."""
    return Column(name, "integer", words, of)


def yes(name: str, words: str, of: Callable[[Any], bool | None]) -> Column:
    """A column of true and false."""
    return Column(name, "boolean", words, of)


def day(name: str, words: str, of: Callable[[Any], datetime.date | None]) -> Column:
    """A column of days."""
    return Column(name, "date", words, of)


def si_unit(quantity_key: str) -> str:
    """The SI unit of a quantity, "" where it has none."""
    kind = quantity(quantity_key).kind
    plain = [it.symbol for it in units_of(kind) if it.factor == 1 and it.offset == 0]
    return plain[0] if plain else _DERIVED.get(kind, "")


#: SI units of kinds for which nobody writes them in a file.
_DERIVED = {
    "specific energy": "J/kg",
    "specific fuel consumption": "kg/J",
    "specific power": "W/m3",
}


def named(name: str, quantity_key: str) -> str:
    """A column's name with its unit in brackets."""
    symbol = si_unit(quantity_key)
    return f"{name} [{symbol}]" if symbol else name


def figure(
    name: str, quantity_key: str, words: str, of: Callable[[Any], Row | None]
) -> tuple[Column, Column]:
    """Two columns: a figure and its standard uncertainty, both in SI; empty where it is absent."""
    return (
        Column(named(name, quantity_key), "number", words, lambda it: _value(of(it))),
        Column(
            named(f"{name} u", quantity_key),
            "number",
            f"{words}: standard uncertainty",
            lambda it: _doubt(of(it)),
        ),
    )


def plain(name: str, quantity_key: str, words: str, of: Callable[[Any], Row | None]) -> Column:
    """A figure alone, where its doubt says little."""
    return figure(name, quantity_key, words, of)[0]


def _value(row: Row | None) -> float | None:
    return row.scalar if row is not None and row.present and not row.is_curve else None


def _doubt(row: Row | None) -> float | None:
    if _value(row) is None or row is None or not isinstance(row.uncertainty, float):
        return None
    return row.uncertainty


def written(cell: Cell, digits: int = DIGITS) -> str:
    """A cell as CSV text, not yet quoted; nothing for what is not there.

    A text that a spreadsheet would take for a formula has an apostrophe before it, which a
    spreadsheet does not show.
    """
    if cell is None or (isinstance(cell, float) and not math.isfinite(cell)):
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float):
        # as `rounded` has it, without turning the text into a number and back: there are millions
        return "0" if abs(cell) < NOISE else f"{cell:.{digits}g}"
    if isinstance(cell, datetime.date):
        return cell.isoformat()
    if isinstance(cell, int):
        return str(cell)
    return f"'{cell}" if cell.startswith(_STARTS) else cell


def csv_line(cells: Sequence[str]) -> str:
    """A line of CSV, quoted where it must be (RFC 4180), ended by a line feed."""
    return ",".join(map(_quoted, cells)) + "\n"


#: What a cell must be quoted for.
_QUOTED = re.compile(r'[,"\r\n]')


def _quoted(cell: str) -> str:
    if _QUOTED.search(cell):
        escaped = cell.replace('"', '""')
        return f'"{escaped}"'
    return cell
