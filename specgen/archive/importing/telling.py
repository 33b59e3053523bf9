"""What was understood of a file, in a workshop's words, for a terminal."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from pathlib import Path

from specgen.archive.importing.plan import Change
from specgen.archive.importing.understanding import Understood

#: So many dropped stretches of rows are named; the rest are counted.
_NAMED = 6


def told(understood: Understood) -> str:
    """Say what a file is, what is taken of it, and what is dropped and why."""
    return "\n".join(_lines(understood))


def _lines(found: Understood) -> Iterator[str]:
    choice = found.choice
    marks = f"cells parted by {found.delimiter}, {choice.notation.words}"
    yield f"{found.name}: {found.encoding}, {marks}"
    for column in choice.taken:
        kept = "" if column.quantity else " (an extra channel)"
        yield f'  "{column.heading.text}" is taken as {column.head}{kept}'
    for words in choice.concluded:
        yield f"  concluded: {words}"
    for name, why in choice.dropped:
        yield f'  "{name}" is dropped: {why}'
    yield from _facts(found)
    for pull in found.pulls:
        first, last = pull.lines
        yield f"  a pull of {pull.points} points from lines {first} to {last}: {pull.method}"
    for words in found.dropped_rows[:_NAMED]:
        yield f"  dropped: {words}"
    if len(found.dropped_rows) > _NAMED:
        yield f"  dropped: {len(found.dropped_rows) - _NAMED} more stretches of lines"


def _facts(found: Understood) -> Iterator[str]:
    facts = found.facts
    if len(facts.dates) == 1 and facts.date_text:
        yield f"  line {facts.date_line}: the day is {facts.dates[0].isoformat()}"
    for name, fact in (("dyno", facts.dyno), ("correction", facts.standard),
                       ("factor", facts.factor)):  # fmt: skip
        if fact:
            yield f"  line {fact.line}: {name} {fact.text}"
    for key, fact in facts.air.items():
        yield f"  line {fact.line}: air {key} {fact.text}"


def difference(changes: Sequence[Change], archive: Path) -> str:
    """Show what would be written: the lines that change, and the files that are new."""
    parts = []
    for change in changes:
        name = change.file.relative_to(archive).as_posix()
        if change.before is None:
            parts.append(f"new file {name}, {len(change.after)} bytes")
            continue
        old, new = (data.decode("utf-8-sig").splitlines() for data in (change.before, change.after))
        parts.append("\n".join(difflib.unified_diff(old, new, name, name, lineterm="", n=1)))
    return "\n".join(parts)
