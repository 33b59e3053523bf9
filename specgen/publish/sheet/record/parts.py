"""Parts and fluids on a sheet, and the states of the build between which parts were changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.parts import PartLine, State, sessions_by_state
from specgen.analysis.record.record import Record
from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Session
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.rendering import Context, rendered

#: Columns behind the part's name: heading, key of a line, whether it is a number.
_COLUMNS = (
    ("Count", "count", True),
    ("Maker's number", "maker_number", False),
    ("Serial", "serial", False),
    ("In the build", "days", False),
    ("Note", "note", False),
)


@dataclass(frozen=True, slots=True)
class PartsTable(Context):
    """Parts and fluids.

    `groups`: title and lines of each group; `columns`: heading, key and whether it is a number.
    """

    template: ClassVar[str] = "sheet/record/parts.jinja"
    groups: Sequence[tuple[str, Sequence[Mapping[str, str]]]]
    columns: Sequence[tuple[str, str, bool]]


@dataclass(frozen=True, slots=True)
class StateLine:
    """One state of the build.

    `name`: what it is called; `since`: from when; `changes`: what went in and out; `runs`: the
    sessions in it with their setups.
    """

    name: str
    since: str
    changes: Sequence[str]
    runs: Sequence[str]


@dataclass(frozen=True, slots=True)
class States(Context):
    """States of the build.

    `lines`: one a state; `planned`: setups not run yet; `last`: the state they are planned for.
    """

    template: ClassVar[str] = "sheet/record/states.jinja"
    lines: Sequence[StateLine]
    planned: Sequence[str]
    last: str


@dataclass(frozen=True, slots=True)
class SetupStates(Context):
    """In which states setups were run.

    `told`: a setup's title and its states.
    """

    template: ClassVar[str] = "sheet/record/setups.jinja"
    told: Sequence[tuple[str, str]]


def parts(record: Record) -> Markup:
    """Print the parts by group; columns in which nothing is written are left out."""
    groups = [(group, [_line(line) for line in lines]) for group, lines in record.parts.groups]
    lines = [line for _, found in groups for line in found]
    if not lines:
        return Markup("")
    columns = [column for column in _COLUMNS if any(line[column[1]] for line in lines)]
    return rendered(PartsTable(groups=groups, columns=columns))


def _line(line: PartLine) -> dict[str, str]:
    part = line.part
    return {
        "item": part.item.value,
        "count": str(part.quantity.value) if part.quantity else "",
        "maker_number": part.maker_number.value if part.maker_number else "",
        "serial": part.serial.value if part.serial else "",
        "days": _days(line),
        "note": "; ".join(_notes(line)),
        "gone": "yes" if line.removed is not None else "",
    }


def _days(line: PartLine) -> str:
    """Say from when to when a part was in; nothing where it was in all the time."""
    fitted = day_words(line.fitted) if line.fitted else ""
    removed = day_words(line.removed) if line.removed else ""
    if fitted and removed:
        return f"{fitted} to {removed}"
    if removed:
        return f"until {removed}"
    return f"since {fitted}" if fitted else ""


def _notes(line: PartLine) -> Iterator[str]:
    """The note, and what replaced what."""
    if line.part.note:
        yield line.part.note.value
    if line.part.replaces:
        yield f"replaced {line.part.replaces.value}"
    if line.replaced_by is not None:
        yield f"replaced by {line.replaced_by.item.value}"


def states(record: Record, sheet: Sheet) -> Markup:
    """Print the states of the build with their sessions; nothing where parts never changed."""
    if len(record.states) < 2:
        return Markup("")
    by_state = sessions_by_state(record.parts, sheet.build.sessions)
    lines = [
        StateLine(
            name=state_name(state),
            since=f"from {day_words(state.since)}" if state.since else "from the start",
            changes=list(_changes(state)),
            runs=[_runs(session, sheet) for session in by_state.get(state.number, [])],
        )
        for state in record.states
    ]
    planned = [setup.title for setup in sheet.setups if setup.planned]
    last = state_name(record.states[-1])
    return rendered(States(lines=lines, planned=planned, last=last))


def state_name(state: State) -> str:
    """What a state is called on a page, counted from one."""
    return f"state {state.number + 1}"


def setups_by_state(sheet: Sheet) -> Markup:
    """Say beside the setups in which states of the build they were run, where there are several."""
    record = sheet.record
    if record is None or len(record.states) < 2:
        return Markup("")
    told = [
        (setup.title, " and ".join(state_name(state) for state in record.states_of(setup)))
        for setup in sheet.setups
    ]
    return rendered(SetupStates(told=told))


def _changes(state: State) -> Iterator[str]:
    """What went in, what it went in for, and what came out without anything in its place."""
    for line in state.fitted:
        gone = line.replaced
        instead = f" in place of {gone.item.value}" if gone else ""
        if gone is None and line.part.replaces:
            instead = f" in place of {line.part.replaces.value}"
        yield f"in: {line.part.item.value}{instead}"
    replaced = {id(line.replaced) for line in state.fitted}
    for line in state.removed:
        if id(line.part) not in replaced:
            yield f"out: {line.part.item.value}"


def _runs(session: Session, sheet: Sheet) -> str:
    """One session with the setups that were run."""
    setups = {setup.id: setup.title for setup in sheet.setups}
    run = dict.fromkeys(setups[pull.setup.value] for pull in session.pulls)
    day = day_words(session.date.value)
    return f"{day}: {_listed(list(run))}" if run else day


def _listed(names: Sequence[str]) -> str:
    return f"{'setups' if len(names) > 1 else 'setup'} {'; '.join(names)}"
