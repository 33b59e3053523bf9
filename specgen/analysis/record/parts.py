"""The parts list over time: what was in at any day, and the days on which the build changed."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from specgen.archive.model.build import Build, Session
from specgen.archive.model.record import Part, replaced_part

Day = datetime.date


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part with the days it was in; `removed` also follows from what replaced it."""

    part: Part
    fitted: Day | None
    removed: Day | None
    replaced: Part | None = None
    replaced_by: Part | None = None

    def in_at(self, day: Day) -> bool:
        """Whether sessions of that day ran with it."""
        came = self.fitted is None or self.fitted <= day
        return came and (self.removed is None or day < self.removed)


@dataclass(frozen=True, slots=True)
class State:
    """One state of the build: from which day on, and what changed that day.

    The first state has no day and no change: it is how the build began.
    """

    number: int
    since: Day | None
    fitted: tuple[PartLine, ...] = ()
    removed: tuple[PartLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Parts:
    """All parts of a build, in the order of the file."""

    lines: tuple[PartLine, ...]
    states: tuple[State, ...]

    @property
    def groups(self) -> tuple[tuple[str, tuple[PartLine, ...]], ...]:
        """Parts by heading, headings in the order of the file; no heading is an empty text."""
        return _grouped(self.lines)

    def at(self, day: Day) -> tuple[PartLine, ...]:
        """What was in on a day."""
        return tuple(line for line in self.lines if line.in_at(day))

    def state_at(self, day: Day) -> State:
        """The state a day lies in."""
        return [state for state in self.states if state.since is None or state.since <= day][-1]


def _grouped(lines: Iterable[PartLine]) -> tuple[tuple[str, tuple[PartLine, ...]], ...]:
    groups: dict[str, list[PartLine]] = {}
    for line in lines:
        group = line.part.group
        groups.setdefault(group.value if group else "", []).append(line)
    return tuple((group, tuple(found)) for group, found in groups.items())


def parts_of(build: Build) -> Parts:
    """Follow what replaced what, and find the days on which parts changed."""
    replaced_by = {id(old): new for new in build.parts if (old := replaced_part(new, build.parts))}
    lines = tuple(_line(part, replaced_by.get(id(part)), build.parts) for part in build.parts)
    days = {day for line in lines for day in (line.fitted, line.removed) if day is not None}
    states = [State(0, None)]
    for number, day in enumerate(sorted(days), 1):
        fitted = tuple(line for line in lines if line.fitted == day)
        removed = tuple(line for line in lines if line.removed == day)
        states.append(State(number, day, fitted, removed))
    return Parts(lines, tuple(states))


def _line(part: Part, new: Part | None, parts: Sequence[Part]) -> PartLine:
    """A part came out the day another took its place, and the other way round."""
    old = replaced_part(part, parts)
    fitted, removed = part.fitted, part.removed
    if fitted is None and old is not None:
        fitted = old.removed
    if removed is None and new is not None:
        removed = new.fitted
    days = (fitted.value if fitted else None, removed.value if removed else None)
    return PartLine(part, *days, old, new)


def sessions_by_state(parts: Parts, sessions: Iterable[Session]) -> dict[int, list[Session]]:
    """The sessions of each state, by the state's number."""
    found: dict[int, list[Session]] = {}
    for session in sessions:
        found.setdefault(parts.state_at(session.date.value).number, []).append(session)
    return found
