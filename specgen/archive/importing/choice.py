"""What is taken of a table's columns, what is not and why, and what is open."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from specgen.archive.delimited.cells import Notation
from specgen.archive.delimited.heads import Heading
from specgen.archive.delimited.spelling import Spelling
from specgen.archive.delimited.words import Meaning
from specgen.archive.importing.answers import SKIP, Answers, Question
from specgen.archive.reading.pulls import COLUMNS
from specgen.units import Unit, UnitError, unit
from specgen.vocabulary import quantity

#: The name that a curve's head has for each quantity.
NAMES = {key: name for name, key in COLUMNS.items()}


@dataclass(frozen=True, slots=True)
class Taken:
    """A column that is taken: where it stands, its head, and as what with which unit.

    `quantity` is empty for an extra channel, which keeps its own name and the unit as spelled.
    """

    at: int
    heading: Heading
    quantity: str
    name: str
    unit: Unit | None
    symbol: str

    @property
    def head(self) -> str:
        """The head that the curve file has for it."""
        return f"{self.name} [{self.symbol}]" if self.symbol else self.name


@dataclass(slots=True)
class Choice:
    """What is taken of a table, what is not and why, what is open, and what was concluded."""

    notation: Notation
    taken: list[Taken] = field(default_factory=list)
    dropped: list[tuple[str, str]] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    concluded: list[str] = field(default_factory=list)

    def of(self, key: str) -> Taken | None:
        """Give the column of a quantity."""
        return next((item for item in self.taken if item.quantity == key), None)


def plain_name(text: str) -> str:
    """Give a name that can stand in a head of a curve file."""
    return " ".join(re.sub(r'[\[\](),;"|\t]', " ", text).split())


def example(key: str) -> str:
    """Write the head of a quantity's column as a curve file has it."""
    symbol = quantity(key).metric.symbol
    return f"{NAMES[key]} [{symbol}]" if symbol else NAMES[key]


def column_question(words: str, head: str) -> Question:
    """Ask for a column without which nothing can be taken in."""
    return Question("column", words, f'--column "HEAD={head}"', (), True)


def told_apart(headings: Sequence[Heading]) -> list[Heading]:
    """Number heads of the same text, so that each can be told by it."""
    seen: dict[str, int] = {}
    found = []
    for item in headings:
        seen[item.text] = seen.get(item.text, 0) + 1
        number = seen[item.text]
        again = item.text and number > 1
        found.append(replace(item, text=f"{item.text} ({number})") if again else item)
    return found


def answered(item: Heading, answers: Answers) -> Heading:
    """Let an answer about a head stand in for what its words say."""
    told = answers.columns.get(item.text)
    if told is None:
        return item
    if told == SKIP:
        return replace(item, meaning=replace(item.meaning, quantity="", role=""))
    return own_heading(told, item.text) or item


def own_heading(told: str, text: str) -> Heading | None:
    """Read what a column is as a curve's own head says it, "power [kW]"; None for other text."""
    found = re.fullmatch(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?", told.strip())
    key = COLUMNS.get(found.group(1)) if found else None
    if found is None or key is None:
        return None
    try:
        read = unit(quantity(key).kind, found.group(2) or "")
    except UnitError:
        return None
    return Heading(text, found.group(1), Spelling(read.symbol, (read,)), Meaning(key))
