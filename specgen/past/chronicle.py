"""How the figures of each build came to be: what moved, when, why, and by which of four causes."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from specgen.analysis import method
from specgen.past.figures import Moved, Told, moved
from specgen.past.known import Known
from specgen.past.states import State

Cause = Literal["data", "shared", "method", "words"]
#: What each cause is called.
CAUSES: dict[Cause, str] = {
    "data": "the build's own data",
    "shared": "a file shared with other builds",
    "method": "the method",
    "words": "words only",
}
#: Letters of a reason that are shown.
_WHY = 240


@dataclass(frozen=True, slots=True)
class Event:
    """One change of a build: when, by which causes, why, and the figures that it moved.

    `first` where the build was new; `revision` is nothing where no commit made it.
    """

    date: datetime.date | None
    revision: str
    causes: tuple[Cause, ...]
    why: str
    moved: tuple[Moved, ...]
    first: bool = False
    corrected: bool = False


def events(states: Sequence[State], known: Callable[[State], Known]) -> tuple[Event, ...]:
    """The changes of a build, oldest first; `known` works out a state's figures."""
    return tuple(_events(states, known))


def _events(states: Sequence[State], known: Callable[[State], Known]) -> Iterator[Event]:
    before: State | None = None
    was = Known()
    for state in states:
        now = known(state)
        if before is None or (was.figures is None and now.figures is not None):
            yield _first(state)
        elif now.figures is not None and was.figures is not None:
            event = _changed(before, state, was, now)
            if event.moved or before.own != state.own:  # else only a shared file's other words
                yield event
        before = state
        if now.figures is not None:
            was = now


def _first(state: State) -> Event:
    commit = state.commit
    return Event(commit.date, commit.revision, ("data",), _short(commit.subject), (), first=True)


def _changed(before: State, state: State, was: Known, now: Known) -> Event:
    assert was.figures is not None
    assert now.figures is not None
    found = moved(was.figures, now.figures)
    told = [it for it in now.corrections if it not in was.corrections]
    why = "; ".join(because for _, because in told) or state.commit.subject
    return Event(
        state.commit.date,
        state.commit.revision,
        _causes(before, state) if found else ("words",),
        _short(why),
        found,
        corrected=bool(told),
    )


def _causes(before: State, state: State) -> tuple[Cause, ...]:
    """Which files changed: the build's own, shared ones, or both."""
    found: list[Cause] = []
    if before.own != state.own:
        found.append("data")
    if before.said != state.said:
        found.append("shared")
    return tuple(found)


def method_events(
    kept: Iterable[tuple[int, tuple[Told, ...]]], now: Iterable[Told]
) -> tuple[Event, ...]:
    """What changes of the method did to a build whose files stayed as they are.

    `kept` are its figures as methods before this one gave them for these very files, by number.
    """
    by_number = {it.number: it for it in method.METHODS}
    steps = [*sorted(kept, key=lambda it: it[0]), (method.method().number, tuple(now))]
    found = []
    for (_, before), (number, after) in pairwise(steps):
        change = moved(before, after)
        if change and number in by_number:
            it = by_number[number]
            found.append(Event(it.since, "", ("method",), it.words, change))
    return tuple(found)


def _short(text: str) -> str:
    """The first line of a text, cut at a word."""
    line = " ".join(text.split("\n\n")[0].split())
    if len(line) <= _WHY:
        return line
    return f"{line[:_WHY].rsplit(' ', 1)[0]} …"
