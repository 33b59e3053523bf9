"""A text as a table: preamble, head, rows, and what stands between and behind them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from specgen.archive.delimited.beside import units_in_head
from specgen.archive.delimited.cells import (
    DELIMITERS,
    NOTHING,
    Notation,
    delimiter_of,
    looks_like_number,
    notations,
    part,
    whole_lines,
)
from specgen.archive.delimited.heads import Head, Heading, head_above

Row = list[str]


class NoTable(Exception):  # noqa: N818 - it tells of the file, not of the program
    """No table of numbers can be read: the message says what is missing."""


@dataclass(slots=True)
class Block:
    """Rows under one head: headings, the lines' numbers, and each row's cells."""

    headings: tuple[Heading, ...]
    lines: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    head_line: int = 0
    delimiter: str = ""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table as it was found in a text.

    `preamble` are the lines above the first head; `stray` those between rows or behind them that
    are none of the table's.
    """

    delimiter: str
    notations: tuple[Notation, ...]
    preamble: tuple[tuple[int, Row], ...]
    blocks: tuple[Block, ...]
    stray: tuple[tuple[int, Row], ...]

    @property
    def delimiter_words(self) -> str:
        """How cells are parted, for a reader."""
        return DELIMITERS[self.delimiter]


def grid_of(text: str) -> Grid:
    """Find the table in a text; NoTable where there is none."""
    lines = whole_lines(units_in_head(text))
    delimiter = delimiter_of([line for _, line in lines])
    if delimiter is None:
        raise NoTable("no rows of numbers" if lines else "an empty file")
    numbers = [number for number, _ in lines]
    rows = _parted([line for _, line in lines], delimiter)
    first = _first_data(rows)
    if first is None:
        raise NoTable("no three rows of numbers below one another")
    return _blocks(delimiter, numbers, rows, first)


def _parted(lines: list[str], delimiter: str) -> list[Row]:
    if len(delimiter) == 1 and delimiter != " " and not any('"' in line for line in lines):
        return [line.split(delimiter) for line in lines]
    return [part(line, delimiter) for line in lines]


def _is_data(row: Row) -> bool:
    """Whether most of a row's filled cells are numbers, and at least two."""
    filled = [cell for cell in row if cell.strip()]
    count = sum(looks_like_number(cell) for cell in filled)
    nothing = sum(cell.strip().lower() in NOTHING for cell in filled)
    return count >= 2 and 2 * (count + nothing) > len(filled)


def _first_data(rows: Sequence[Row]) -> int | None:
    """Give the first of three rows of numbers below one another, as wide as each other."""
    for index in range(len(rows) - 2):
        three = rows[index : index + 3]
        if all(map(_is_data, three)) and len({_width(row) for row in three}) <= 2:
            return index
    return None


def _width(row: Row) -> int:
    """Give how many cells a row has, without empty ones behind."""
    width = len(row)
    while width and not row[width - 1].strip():
        width -= 1
    return width


def _blocks(delimiter: str, numbers: list[int], rows: list[Row], first: int) -> Grid:
    """Part the rows into blocks: a head that comes again begins a new one."""
    width = max(_width(row) for row in rows[first : first + 50])
    above = [[cell.strip() for cell in row] for row in rows[max(0, first - 8) : first]]
    head = head_above(above, width)
    start = first - len(above) + head.start
    line = numbers[start] if start < first else 0
    block = Block(head.headings, head_line=line, delimiter=delimiter)
    blocks, stray, between = [block], list[tuple[int, Row]](), list[tuple[int, Row]]()
    fits = _Fits(head)
    for number, row in zip(numbers[first:], rows[first:], strict=True):
        if fits(row):
            if between:
                block = _after(block, between, blocks, stray, width)
                fits = _Fits(Head(0, block.headings)) if not block.rows else fits
                between = []
            block.lines.append(number)
            block.rows.append(row)
        else:
            between.append((number, row))
    stray += between
    sample = [cell for item in blocks for row in _sample(item.rows) for cell in row]
    numeric = [cell.strip() for cell in sample if looks_like_number(cell)]
    preamble = tuple(
        (number, [cell.strip() for cell in row])
        for number, row in zip(numbers[:start], rows[:start], strict=True)
    )
    return Grid(delimiter, tuple(notations(numeric)), preamble, tuple(blocks), tuple(stray))


def _sample(rows: Sequence[Row], most: int = 400) -> Sequence[Row]:
    return rows[:: max(1, len(rows) // most)]


class _Fits:
    """Whether a row is one of the table's: a number stands where the head's first known one does.

    Most rows are as wide as the table and have numbers in two known columns; only others are looked
    at closely.
    """

    def __init__(self, head: Head) -> None:
        known = [at for at, item in enumerate(head.headings) if item.meaning.quantity]
        speed = [at for at in known if head.headings[at].meaning.quantity == "engine_speed"]
        self.at = (speed or known or [0])[0]
        self.other = next((at for at in known if at != self.at), None)
        self.width = len(head.headings)

    def __call__(self, row: Row) -> bool:
        if len(row) <= self.at or not looks_like_number(row[self.at]):
            return False
        other = self.other
        quick = other is not None and len(row) >= self.width and looks_like_number(row[other])
        return quick or _is_data(row)


def _after(
    block: Block,
    between: list[tuple[int, Row]],
    blocks: list[Block],
    stray: list[tuple[int, Row]],
    width: int,
) -> Block:
    """Tell what lay between rows: a head again begins a block, all else is stray."""
    rows = [[cell.strip() for cell in row] for _, row in between]
    head = head_above(rows[-8:], width)
    if head.known < 2:
        stray += between
        return block
    start = len(rows) - len(rows[-8:]) + head.start
    stray += between[:start]
    new = Block(head.headings, head_line=between[start][0], delimiter=block.delimiter)
    blocks.append(new)
    return new


def values_of(block: Block, column: int, notation: Notation) -> NDArray[np.float64]:
    """Give the numbers of a column; NaN where a cell has none."""
    cells = [row[column] if column < len(row) else "" for row in block.rows]
    try:
        if notation.decimal == "." and not notation.thousands:
            return np.array(list(map(float, cells)))
        return np.array([float(notation.plain(cell)) for cell in cells])
    except ValueError:
        pass
    found = (notation.number(cell) for cell in cells)
    return np.array([float("nan") if value is None else value for value in found])
