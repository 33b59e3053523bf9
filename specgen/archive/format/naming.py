"""The id of each pull: it stays what it is when another pull goes or comes.

What somebody wrote comes first, then the name of the curve's file, then the day with the setup.
Whatever a pull could have been called before leads to it still.
"""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Sequence
from pathlib import PurePosixPath

from specgen.archive.model.session import Pull, Session
from specgen.archive.phrases.suggestion import plain_id


def named(sessions: Sequence[Session]) -> tuple[Session, ...]:
    """Give each pull of a build its id, no two alike, and the ids that it had before."""
    counts: Counter[str] = Counter()
    taken = {pull.written_id.value for visit in sessions for pull in visit.pulls if pull.written_id}
    out = []
    for visit in sessions:
        day, pulls = visit.day or "undated", []
        for pull in visit.pulls:
            counts[day] += 1
            counted, made = f"{day}-{counts[day]}", _free(_made(pull, day), taken)
            taken.add(made)
            own = pull.written_id.value if pull.written_id else made
            before = (*(it.value for it in pull.formerly), made, counted)
            earlier = tuple(dict.fromkeys(it for it in before if it != own))
            pulls.append(dataclasses.replace(pull, id=own, earlier=earlier))
        out.append(dataclasses.replace(visit, pulls=tuple(pulls)))
    return _without_doubt(out)


def _made(pull: Pull, day: str) -> str:
    """The id of a pull that nobody gave one."""
    stem = PurePosixPath(pull.curve_file.value).stem if pull.curve_file else ""
    return plain_id(stem) or f"{day}-{plain_id(pull.setup.value) or 'pull'}"


def _free(wanted: str, taken: set[str]) -> str:
    """An id that nobody has yet: the wanted one, or with the first number that makes it one."""
    number, free = 1, wanted
    while free in taken:
        number += 1
        free = f"{wanted}-{number}"
    return free


def _without_doubt(sessions: Sequence[Session]) -> tuple[Session, ...]:
    """Let an earlier id lead nowhere where a pull has it now, or where two had it."""
    pulls = [pull for visit in sessions for pull in visit.pulls]
    claims = Counter([pull.id for pull in pulls])
    claims.update(earlier for pull in pulls for earlier in pull.earlier)

    def sure(pull: Pull) -> Pull:
        earlier = tuple(it for it in pull.earlier if claims[it] == 1)
        return dataclasses.replace(pull, earlier=earlier)

    return tuple(
        dataclasses.replace(visit, pulls=tuple(map(sure, visit.pulls))) for visit in sessions
    )
