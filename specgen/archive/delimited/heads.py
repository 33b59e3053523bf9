"""Heads of columns: one to three lines of cells to a name, a unit and a meaning each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from specgen.archive.delimited.cells import looks_like_number
from specgen.archive.delimited.spelling import SHORT, Spelling, fold_unit, spelled
from specgen.archive.delimited.words import Meaning, meaning

_BRACKETS = re.compile(r"\[([^\[\]]*)\]|\(([^()]*(?:\([^()]*\))?[^()]*)\)|\{([^{}]*)\}|<([^<>]*)>")
#: Where a name may end and its unit begin.
_PARTING = re.compile(r"\s*[\s/_,;:|–-]\s*")
#: A head has at most so many lines.
_TALLEST = 3


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's head: all of its text, the name and unit in it, and what it means."""

    text: str
    name: str
    unit: Spelling | None
    meaning: Meaning
    unit_text: str = ""

    @property
    def known(self) -> bool:
        """Whether it says what the column is."""
        return bool(self.meaning.quantity or self.meaning.role)


def heading(texts: Sequence[str]) -> Heading:
    """Read the cells that stand above a column, from the top."""
    filled = [" ".join(text.split()) for text in texts if text.strip()]
    whole = " ".join(dict.fromkeys(filled))
    if len(filled) > 1:
        last = filled[-1]
        inside = _BRACKETS.fullmatch(last)
        unit = spelled(next(filter(None, inside.groups()), "") if inside else last)
        name = " ".join(dict.fromkeys(filled[:-1]))
        if unit or inside:
            text = last.strip("[](){}<> ")
            return Heading(whole, name, unit, meaning(name, unit), text)
    return _one(whole)


@lru_cache(maxsize=1024)  # the files of one dyno have one head
def _one(text: str) -> Heading:
    """Read a head of one cell: the first reading that is known, else the one with a unit."""
    readings = [
        Heading(text, name, unit, meaning(name, unit), words) for name, unit, words in _ways(text)
    ]
    known = [item for item in readings if item.known]
    return known[0] if known else readings[0]


def _ways(text: str) -> Iterator[tuple[str, Spelling | None, str]]:
    """Give each way to part a head into name and unit, the likeliest first."""
    name, unit = _without_brackets(text)
    if unit is not None:
        yield name, unit, unit.text
        return
    bare = text.strip("[](){} ")
    whole = spelled(bare)
    if whole is not None and not text.startswith("-"):
        yield "", whole, bare
        yield bare, None, ""
        return
    for match in _PARTING.finditer(text):
        end = text[match.end() :]
        unit = spelled(end)
        inside = len(re.findall(r"[\[({]", text[: match.start()])) > len(
            re.findall(r"[\])}]", text[: match.start()])
        )
        if unit is not None and match.start() > 0 and not end.isdigit() and not inside:
            yield text[: match.start()], unit, end
    front = _PARTING.search(text)
    if front and (unit := spelled(text[: front.start()])) and fold_unit(unit.text) not in SHORT:
        yield text, unit, unit.text
    brackets = _BRACKETS.search(text)
    unknown = next(filter(None, brackets.groups()), "") if brackets else ""
    yield (_BRACKETS.sub(" ", text).strip() if brackets else text), None, unknown


def _without_brackets(text: str) -> tuple[str, Spelling | None]:
    """Take the brackets with a unit out of a head; brackets with other words stay in the name."""
    found: Spelling | None = None
    for match in _BRACKETS.finditer(text):
        inside = next(filter(None, match.groups()), "")
        unit = spelled(inside)
        if unit is None and "," in inside:
            unit = spelled(inside.replace(",", " "))
        if unit is not None and (unit.text or inside):
            found = unit
            text = text.replace(match.group(), " ", 1)
    return " ".join(text.split()).strip(" _-,:/"), found


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a table: its first line's index among those given, and a heading a column."""

    start: int
    headings: tuple[Heading, ...]

    @property
    def known(self) -> int:
        """How many columns are known by it."""
        return sum(item.known for item in self.headings)


def head_above(rows: Sequence[Sequence[str]], width: int) -> Head:
    """Find the head in the rows above a table: of one to three lines, that knows the most columns.

    Of two that know as many the shorter, unless a word above every column says more of one.
    """
    best = Head(len(rows), tuple(heading([]) for _ in range(width)))
    for tall in range(1, min(_TALLEST, len(rows)) + 1):
        lines = rows[len(rows) - tall :]
        if not _may_head(lines[0], width, tall):
            break
        filled = [[*line, *[""] * width][:width] for line in lines]
        headings = tuple(heading([line[at] for line in filled]) for at in range(width))
        head = Head(len(rows) - tall, headings)
        gained = _score(head), _score(best)
        names = tall == 2 and _only_units(lines[-1])
        if gained[0] > gained[1] or (
            gained[0] == gained[1] and all(filled[0]) and (names or _says_more(head, best))
        ):
            best = head
    return best


def _only_units(line: Sequence[str]) -> bool:
    """Whether a line has nothing but units, so that names stand in the one above."""
    return all(spelled(cell.strip("[](){} ")) for cell in line if cell.strip(" -"))


def _says_more(head: Head, other: Head) -> bool:
    """Whether a head says of some column in what state it is, as corrected or absolute."""
    pairs = zip(head.headings, other.headings, strict=True)
    return any(
        one.meaning.state > it.meaning.state or (one.meaning.reference and not it.meaning.reference)
        for one, it in pairs
    )


def _score(head: Head) -> tuple[int, int, int]:
    """Weigh a head: how many quantities it tells, of how many columns, how many with units."""
    told = {item.meaning.quantity for item in head.headings}
    return len(told), head.known, sum(item.unit is not None for item in head.headings)


def _may_head(line: Sequence[str], width: int, tall: int) -> bool:
    """Whether a line can belong to a head: words over most of the table, no facts with a colon."""
    filled = [cell for cell in line if cell.strip()]
    numbers = [cell for cell in filled if looks_like_number(cell)]
    # "Lambda 1" over two lines has its number in a cell of its own
    few = 4 * len(numbers) <= len(filled) and all(re.fullmatch(r"\d{1,2}", it) for it in numbers)
    if not filled or not few:
        return False
    if any(re.search(r"\d{1,4}[./-]\d{1,2}[./-]\d{2,4}|\d:\d\d", cell) for cell in filled):
        return False
    if tall > 1 and any(cell.rstrip().endswith((":", "=")) or ": " in cell for cell in filled):
        return False
    last = max(index for index, cell in enumerate(line) if cell.strip())
    return last + 1 > width // 2 or (tall > 1 and len(line) >= width)
