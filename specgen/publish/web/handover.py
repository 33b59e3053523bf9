"""Figures and data as the scripts of our pages take them over.

Scripts and not JSON files, because a page opened from a disk may load a script but fetch nothing.
Figures are made into text here, in each unit system; a reader's browser only places them.
"""

from __future__ import annotations

import json
import math
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from specgen.analysis.rows.row import Row
from specgen.rounding import rounded
from specgen.vocabulary import Quantity, quantity, systems

#: Rises when a key of what is handed over changes its meaning.
FORMAT = 1
#: A figure's text, "number|margin|imperial number|imperial margin", and so on for a workshop's own
#: units, with what repeats left out; or words. None: not recorded, or it does not apply.
Cell = str | None


def script(name: str, data: Mapping[str, Any]) -> str:
    """Wrap data as the script that hands it over under a name."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return f"specgen.take({json.dumps(name)},{text});\n"


class Words:
    """A list of texts, each kept once and named by its number."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def __call__(self, text: str) -> int:
        """Give a text's number, the next one if it is new."""
        return self._numbers.setdefault(text, len(self._numbers))

    @property
    def texts(self) -> list[str]:
        """All texts by number."""
        return list(self._numbers)


def columns(
    names: Sequence[str], rows: Sequence[Sequence[Any]], repeated: Collection[str], words: Words
) -> dict[str, list[Any]]:
    """Rows by columns; a text of a column that repeats is named by its number."""
    numbers = [
        [words(item) if name in repeated else item for name, item in zip(names, row, strict=True)]
        for row in rows
    ]
    return {name: [row[at] for row in numbers] for at, name in enumerate(names)}


def cell(value: Row | str | None) -> Cell:
    """A figure or words as the text that a browser places."""
    if value is None or isinstance(value, str):
        return value or None
    if not value.present or value.is_curve:
        return None
    return figure_text(value.quantity, value.scalar, value.expanded)


def figure_text(shown: Quantity, value: float, expanded: float | None = None) -> str:
    """A figure in each unit system; the last ones that read as metric does are left out."""
    printed = [shown.printed(value, system, expanded) for system in systems()]
    pairs = [(it.number, it.margin) for it in printed]
    while len(pairs) > 1 and pairs[-1] == pairs[0]:
        pairs.pop()
    return "|".join(part for pair in pairs for part in pair).rstrip("|")


def shown_units(key: str) -> list[list[str | float]]:
    """Label, factor, offset and decimals of a quantity, in each system, as scripts read it."""
    return units_of(quantity(key))


def units_of(shown: Quantity) -> list[list[str | float]]:
    """The same of a quantity that a log named."""
    units = ((shown.unit(system), shown.decimals_in(system)) for system in systems())
    return [[unit.shown, unit.factor, unit.offset, decimals] for unit, decimals in units]


def short(value: float, digits: int) -> float:
    """A number with so many significant digits, whole where it is whole."""
    if not math.isfinite(value):
        return 0
    number = rounded(value, digits)
    return int(number) if number == int(number) and abs(number) < 1e15 else number
