"""The head of a table: which column is what, in which unit.

A blower's map has a closed list of names. A curve's head may also say what a column is in the
trade's words of four languages, with any unit of the table; what nobody knows is kept as an extra
channel. A name that is one letter off is no extra channel: it was meant.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence

from specgen.archive.delimited.cells import looks_like_number
from specgen.archive.delimited.heads import Heading, heading
from specgen.archive.phrases.suggestion import listed, nearest
from specgen.archive.reading.table import Cell, Channel, Column, Table, cells_of, tell_marks
from specgen.findings import MOST_TOLD
from specgen.units import UnitError, unit, units_of
from specgen.vocabulary import quantity

#: Words this like those of a name in the list were meant to be it ("torgue"); "oil temperature" is
#: no "coolant temperature".
_MEANT = 0.75
#: A pressure in the manifold under load is never below this [Pa], so that less is gauge.
LEAST_ABSOLUTE = 60e3


def read_head(
    table: Table, rows: Sequence[tuple[int, str]], wanted: Sequence[Sequence[str]],
    *, known_words: bool = False,
) -> Sequence[tuple[int, str]]:  # fmt: skip
    """Read the head; give the rows below it, none where no row can make sense after it.

    `wanted` are the columns that must be there, each with others that may stand in for it.
    `known_words` lets a head use the trade's words, have a line of units below it, and name extra
    channels.
    """
    tell_marks(table, rows)
    line, text = rows[0]
    cells = cells_of(text, table.delimiter)[: 5 * MOST_TOLD]
    if known_words and all(looks_like_number(cell.text) for cell in cells if cell.text):
        example = table.delimiter.join(table.example(name) for name in list(table.names)[:2])
        table.fault(line, 1, "numbers in the first line", "a head: name [unit]", example)
        return ()
    below = rows[1:]
    units = _units_below(table, below) if known_words else []
    for index, cell in enumerate(cells):
        if known_words and not cell.text and index >= len(cells) - 1:
            continue  # what parts cells stands behind the last one too
        table.columns.append(
            _any_column(table, line, cell, units[index : index + 1])
            if known_words
            else _column(table, line, cell)
        )
    if not table.findings:
        for keys in wanted:
            if not any(table.column(key) for key in keys):
                names = [table.name(key) for key in keys]
                words, example = listed(names), table.example(names[0])
                table.fault(line, 1, f"no column of {words}", f"a column of {words}", example)
    return below[1:] if units else below


def _units_below(table: Table, rows: Sequence[tuple[int, str]]) -> list[str]:
    """Give the cells of a line of units below the head; none where a row of numbers follows."""
    cells = [cell.text for cell in cells_of(rows[0][1], table.delimiter)] if rows else []
    filled = [cell for cell in cells if cell]
    return [] if not filled or any(map(looks_like_number, filled)) or len(rows) < 2 else cells


def _any_column(
    table: Table, line: int, cell: Cell, unit_below: Sequence[str]
) -> Column | Channel | None:
    """Read one head cell of a curve: by its own name, by the trade's words, or as an extra one."""
    own = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", cell.text)
    name = own.group(1) if own else cell.text
    if name in table.names and own and not (unit_below and unit_below[0]):
        read = heading([cell.text])
        symbol = own.group(2)
        if read.unit is None or read.unit.of(quantity(table.names[name]).kind) is None:
            return _column(table, line, cell)
        return _known(table, line, cell, table.names[name], read, symbol)
    read = heading([cell.text, *unit_below])
    if read.meaning.quantity:
        return _known(table, line, cell, read.meaning.quantity, read, None)
    meant = _meant(name, table)
    if meant:
        hint = f"{meant} [{own.group(2)}]" if own and own.group(2) else table.example(meant)
        table.fault(
            line, cell.column, f'the column "{cell.text}"', f'"{meant}", if it is meant', hint
        )
        return None
    if not cell.text:
        table.fault(
            line, cell.column, "a column without a name", "a name for each column", "no such column"
        )
        return None
    return Channel(cell, read.name or cell.text, read.unit.text if read.unit else read.unit_text)


def _meant(name: str, table: Table) -> str:
    """Give the name of the list that a slip of the pen was meant to be, word for word alike."""
    words = name.lower().split()
    for known in table.names:
        pairs = list(zip(words, known.split(), strict=False))
        if len(words) == len(known.split()) and all(
            difflib.SequenceMatcher(None, *pair).ratio() >= _MEANT for pair in pairs
        ):
            return known
    return ""


def _known(
    table: Table, line: int, cell: Cell, key: str, read: Heading, symbol: str | None
) -> Column | None:
    """Make the column of a quantity, in the unit that was found, however it is spelled."""
    unclear = key == "boost_or_manifold"
    if unclear:
        told = read.meaning.reference
        unclear = not told
        key = "manifold_pressure" if told == "absolute" else "boost"
    kind = quantity(key)
    if table.column(key):
        words = f'a second column of {table.name(key)}, "{cell.text}"'
        table.fault(line, cell.column, words, "each quantity once", "only the one that holds")
        return None
    found = read.unit.of(kind.kind) if read.unit else None
    if symbol is not None:
        try:  # a reference that denies the name is no other spelling
            unit(kind.kind, symbol)
        except UnitError as error:
            if "is a unit of" in str(error):
                return _column(table, line, cell)
    if found is None and kind.kind in ("ratio", "angle"):
        found = units_of(kind.kind)[0]
    if found is None:
        words, example = f'"{cell.text}" without a unit', table.example(table.name(key))
        table.fault(line, cell.column, words, "name [unit]", example, "unknown-unit")
        return None
    return Column(cell, key, kind, found, unclear=unclear)


def judge_reference(table: Table, line: int) -> None:
    """Tell a pressure that may be gauge or absolute, where its size leaves both open."""
    for item in table.known:
        if not item.unclear:
            continue
        known = sorted(value for value in item.values if value == value)  # NaN: not recorded
        if not known or known[len(known) // 10] < LEAST_ABSOLUTE:
            continue
        symbol = item.unit.symbol
        found = f'"{item.cell.text}", which may be gauge or absolute'
        hint = f"boost [{symbol}] if gauge, manifold pressure [{symbol}] if absolute"
        table.fault(line, item.cell.column, found, "a name that says which", hint, "unclear")


def _column(table: Table, line: int, cell: Cell) -> Column | None:
    """Read one head cell, "name [unit]"."""
    found = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", cell.text)
    name = found.group(1) if found else cell.text
    key = table.names.get(name)
    if found is None or key is None:
        meant = nearest(re.sub(r"[\[(].*", "", name), table.names)
        hint = table.example(meant) if meant else "no such column"
        hint = table.instead.get(name, hint)
        words = f'the column "{cell.text}"' if cell.text else "a column without a name"
        table.fault(line, cell.column, words, f"one of: {', '.join(table.names)}", hint)
        return None
    if table.column(key):
        words = f'a second column "{name}"'
        table.fault(line, cell.column, words, "each quantity once", "only the one that holds")
        return None
    kind = quantity(key)
    symbol = found.group(2)
    if symbol is None and kind.kind != "ratio":
        words, example = f'"{cell.text}" without a unit', table.example(name)
        table.fault(line, cell.column, words, "name [unit]", example, "unknown-unit")
        return None
    try:
        return Column(cell, key, kind, unit(kind.kind, symbol or ""))
    except UnitError as error:
        hint = f"{name} [{error.hint}]" if error.meant else table.example(name)
        hint = _other_reference(table, key, symbol or "") or hint
        expected = f"one of the units {listed(it.symbol for it in units_of(kind.kind)[:6])}"
        table.fault(line, cell.column, f"{error}", expected, hint, "unknown-unit")
        return None


_OTHERS = {"boost": "manifold_pressure", "manifold_pressure": "boost"}


def _other_reference(table: Table, key: str, symbol: str) -> str:
    """Give the head that a gauge or absolute unit is at home in, with the unit that was found."""
    other = _OTHERS.get(key, "")
    if other not in table.names.values():
        return ""
    try:
        unit(quantity(other).kind, symbol)
    except UnitError:
        return ""
    return f"{table.name(other)} [{symbol}]"
