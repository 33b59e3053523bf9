"""The changes of a build as they were told before, kept by all that they are told from.

State by state, what was is kept elsewhere; a past that is as it was is told from one entry.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from specgen.analysis.method import METHODS, method
from specgen.past.chronicle import CAUSES, Cause, Event
from specgen.past.figures import Moved, Told, as_data, from_data
from specgen.past.kept import Kept
from specgen.past.known import Keeping, known_data
from specgen.past.states import State

#: Rises when changes are told or kept in another way.
_LAYOUT = 1


def name_of(states: Sequence[State], kept: Sequence[Kept]) -> str:
    """The name under which the changes of a build with these states are kept."""
    told = [
        ("past of a build", _LAYOUT, method().number, METHODS),
        *((it.key, it.commit.revision, it.commit.subject, it.commit.date) for it in states),
        *((it.method, it.state, known_data(it.known)) for it in kept),
    ]
    return hashlib.sha256(repr(told).encode("utf-8")).hexdigest()


def remembered(keeping: Keeping, name: str) -> tuple[Event, ...] | None:
    """What was kept under a name; None where there is nothing, or nothing that can be read."""
    told = keeping.head(name)
    try:
        return None if told is None else tuple(map(_event_from, told["events"]))
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def remember(keeping: Keeping, name: str, events: Iterable[Event]) -> None:
    """Keep the changes of a build."""
    keeping.keep(name, {"events": list(map(_event_data, events))}, {})


def _event_data(event: Event) -> dict[str, Any]:
    return {
        "date": None if event.date is None else event.date.isoformat(),
        "revision": event.revision,
        "causes": list(event.causes),
        "why": event.why,
        "moved": [[_told_data(it.before), _told_data(it.after)] for it in event.moved],
        "first": event.first,
        "corrected": event.corrected,
    }


def _told_data(told: Told | None) -> dict[str, Any] | None:
    return None if told is None else as_data([told])[0]


def _event_from(data: Mapping[str, Any]) -> Event:
    date = data["date"]
    return Event(
        None if date is None else datetime.date.fromisoformat(date),
        str(data["revision"]),
        tuple(_cause(it) for it in data["causes"]),
        str(data["why"]),
        tuple(Moved(_told_from(before), _told_from(after)) for before, after in data["moved"]),
        bool(data["first"]),
        bool(data["corrected"]),
    )


def _cause(word: Any) -> Cause:
    found = [it for it in CAUSES if it == word]
    if not found:
        raise ValueError(f"no cause {word!r}")
    return found[0]


def _told_from(data: Mapping[str, Any] | None) -> Told | None:
    return None if data is None else from_data([data])[0]
