"""What a session takes from the dyno of the settings that it names."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence

from specgen.archive.model.session import NOT_SAID, Bench, Dyno, Session


def with_dynos(sessions: Iterable[Session], dynos: Sequence[Bench]) -> tuple[Session, ...]:
    """Put what the settings say of a named dyno into each session that names it.

    A name that nobody has stays, without a kind; a check tells it.
    """
    known = {item.id.value: item for item in dynos}
    return tuple(_with_dyno(session, known) for session in sessions)


def _with_dyno(session: Session, known: dict[str, Bench]) -> Session:
    named = session.dyno.named
    bench = known.get(named.id.value) if named else None
    if named is None or bench is None:
        return session
    here = dataclasses.replace(bench, id=named.id)
    dyno = Dyno(bench.kind, bench.measured_at, named=here)
    figures = bench.figures if session.figures is NOT_SAID and bench.figures else session.figures
    return dataclasses.replace(session, dyno=dyno, figures=figures)
