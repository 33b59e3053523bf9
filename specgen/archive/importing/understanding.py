"""A file's bytes to what an import makes of them; nothing is written here."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from specgen.archive.delimited.grid import Block, Grid, NoTable, grid_of
from specgen.archive.delimited.letters import NoText, decoded
from specgen.archive.importing.answers import Answers, Question
from specgen.archive.importing.choice import Choice
from specgen.archive.importing.columns import Chooser
from specgen.archive.importing.curves import curve_text, impossible
from specgen.archive.importing.facts import Facts, days_in, facts_of
from specgen.archive.importing.sweeps import Rows, Sweep, sweeps_of
from specgen.archive.reading.pulls import read_curve
from specgen.physics.engine import torque_from_power


class CannotImport(Exception):  # noqa: N818 - it tells of the file, not of the program
    """Nothing of a file can be taken in: the message says what was found and what to do."""


@dataclass(frozen=True, slots=True)
class Found:
    """One pull that a file holds: the curve file's text, how it was made, and from which lines."""

    text: str
    method: str
    points: int
    rows: int
    lines: tuple[int, int]


@dataclass(slots=True)
class Understood:
    """What a file says and what of it would be taken in."""

    name: str
    data: bytes
    encoding: str
    delimiter: str
    facts: Facts
    choice: Choice
    pulls: list[Found] = field(default_factory=list)
    rows: int = 0
    dropped_rows: list[str] = field(default_factory=list)
    heads: tuple[str, ...] = ()

    @property
    def questions(self) -> list[Question]:
        """What is left open."""
        return self.choice.questions

    @property
    def blocked(self) -> bool:
        """Whether nothing can be taken in before a question is answered."""
        return any(item.needed for item in self.questions)


def understood(data: bytes, name: str, answers: Answers) -> Understood:
    """Understand a file; CannotImport where there is nothing to understand."""
    try:
        text, encoding = decoded(data)
        grid = grid_of(text)
    except (NoText, NoTable) as problem:
        raise CannotImport(
            f"{name}: found {problem}; expected a table with a head, engine speed and torque or "
            "power; export the log as text (CSV) and import that"
        ) from problem
    facts = facts_of(grid.preamble, grid.notations)
    _days_by(facts, answers)
    result = Understood(
        name, data, encoding, grid.delimiter_words, facts, Choice(grid.notations[0])
    )
    _blocks(result, grid, answers)
    return result


def _days_by(facts: Facts, answers: Answers) -> None:
    """Tell the day where it is given, or where it is known which of day and month stands first."""
    if answers.date:
        if len(facts.dates) == 2 and answers.date in facts.dates:
            facts.order = ("day-first", "month-first")[facts.dates.index(answers.date)]
        facts.dates = (answers.date,)
    elif len(facts.dates) == 2 and answers.date_order:
        facts.dates = (facts.dates[0 if answers.date_order == "day-first" else 1],)


def _blocks(result: Understood, grid: Grid, answers: Answers) -> None:
    """Take the sweeps of each block of rows."""
    choosers = [Chooser(block, grid.notations, answers) for block in grid.blocks]
    for chooser in choosers:
        chooser.essential()
    able = [item for item in choosers if not _needs(item.choice)]
    result.heads = tuple(item.text for item in grid.blocks[0].headings)
    result.rows = sum(len(block.rows) for block in grid.blocks)
    result.choice = (able or choosers)[0].choice
    for chooser in able:
        _sweeps(result, chooser)
    if able and not result.pulls and not result.blocked:
        raise CannotImport(
            f"{result.name}: found no sweep of three rows or more in which the engine speed rises "
            "under load; expected one; check that the file holds a pull"
        )
    result.dropped_rows += [
        f'line {number}: "{_short(row)}"' for number, row in grid.stray if any(row)
    ]


def _needs(choice: Choice) -> bool:
    return any(item.needed for item in choice.questions)


def _short(row: Sequence[str]) -> str:
    text = " ".join(cell.strip() for cell in row if cell.strip())
    return text if len(text) <= 40 else f"{text[:39]}…"


def _sweeps(result: Understood, chooser: Chooser) -> None:
    """Find the sweeps of a block and write each as a curve."""
    sweeps = _found(chooser)
    if not sweeps:
        return
    rows = np.concatenate([sweep.rows for sweep in sweeps])
    choice = chooser.others(rows)
    dead = [item for item in choice.taken if any(impossible(chooser, item, it) for it in sweeps)]
    for item in dead:
        if item.quantity not in ("engine_speed", "torque", "power"):
            choice.taken.remove(item)
            choice.dropped.append(
                (item.heading.text, "figures that cannot be, as a dead sensor gives")
            )
    result.choice = choice if not result.pulls else result.choice
    if _needs(choice):
        result.choice = choice
        return
    result.pulls += [_pull(chooser, sweep) for sweep in sweeps]
    _refuse_faulty(result)
    result.dropped_rows += _left(chooser.block, rows)


def _found(chooser: Chooser) -> list[Sweep]:
    speed, torque = chooser.choice.of("engine_speed"), chooser.choice.of("torque")
    power = chooser.choice.of("power")
    assert speed is not None
    assert speed.unit is not None
    n = speed.unit.factor * chooser.values(speed.at)
    if torque is not None:
        load = chooser.values(torque.at)
    else:
        assert power is not None
        load = np.asarray(torque_from_power(chooser.values(power.at), np.maximum(n, 1e-3)))
    return sweeps_of(n * 60, load)


def _pull(chooser: Chooser, sweep: Sweep) -> Found:
    text = curve_text(chooser, chooser.choice.taken, sweep)
    lines = [chooser.block.lines[int(row)] for row in (sweep.rows.min(), sweep.rows.max())]
    return Found(text, sweep.method, text.count("\n") - 1, len(sweep.rows), (lines[0], lines[1]))


def _refuse_faulty(result: Understood) -> None:
    """Read each curve back as the archive will: what it would refuse is not written."""
    for pull in result.pulls:
        curve, _, findings = read_curve(pull.text.encode(), result.name)
        if curve is None:
            first = findings[0]
            raise CannotImport(
                f"{result.name}: found {first.found} in lines {pull.lines[0]} to {pull.lines[1]}; "
                f"expected {first.expected}; {first.hint}"
            )


def _left(block: Block, rows: Rows) -> list[str]:
    """Name the rows that belong to no sweep, in stretches."""
    left = np.setdiff1d(np.arange(len(block.rows)), rows)
    return [
        f"lines {block.lines[a]} to {block.lines[b]}: before, between or behind sweeps"
        if a < b
        else f"line {block.lines[a]}: before, between or behind sweeps"
        for a, b in _stretches(left)
    ]


def _stretches(rows: Rows) -> Iterator[tuple[int, int]]:
    if not len(rows):
        return
    breaks = np.flatnonzero(np.diff(rows) > 1)
    for a, b in zip([0, *(breaks + 1)], [*breaks, len(rows) - 1], strict=True):
        yield int(rows[a]), int(rows[b])


def day_of_name(name: str) -> datetime.date | None:
    """Give the one day that a file's name tells, year first; None where it tells none."""
    days = days_in(name.replace("_", " "))
    return days[0] if len(days) == 1 else None
