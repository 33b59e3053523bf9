"""Checks of the dynos that sessions name, and of what was not recorded of a visit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specgen.archive.model.build import Build
from specgen.archive.model.session import NOT_RECORDED, NOT_SAID, Bench, Session
from specgen.archive.phrases.figures import error, warning
from specgen.archive.phrases.suggestion import nearest, one_of
from specgen.findings import Finding
from specgen.units import UnitError, unit
from specgen.vocabulary import quantity


def unsaid_figures(build: Build) -> Iterator[Finding]:
    """A session, or the dyno that it names, says what the figures already include."""
    for session in build.sessions:
        if session.figures is NOT_SAID:
            yield error(
                "missing-key",
                session.place,
                'no "figures" in an item of "sessions"',
                "what the dyno's figures already include, here or with its dyno in archive.yaml",
                "figures: observed; or unknown, where nobody knows",
            )


def unrecorded(build: Build) -> Iterator[Finding]:
    """What a sheet cannot do without, and nobody recorded, is told as long as it stands."""
    for session in build.sessions:
        yield from _unrecorded(session)


def _unrecorded(session: Session) -> Iterator[Finding]:
    again = "or accept the finding, where nobody knows any more"
    if session.when is None:
        found, due = "a day that is not recorded", "the day of the visit"
        hint = f"date: 2026-05-14, as the dyno's paper says; {again}"
        yield warning("unclear", session.date.place, found, due, hint)
    dyno = session.dyno
    if dyno.named is None:
        point = dyno.measured_at
        if NOT_RECORDED in (dyno.kind.value, point.value):
            found = "a dyno of which it is not recorded where power was measured"
            due = "flywheel, hub or roller: what its power means"
            hint = f"kind: roller and measured_at: roller, say; {again}"
            yield warning("unclear", point.place, found, due, hint)
    if not session.figures.recorded:
        found = "figures of which it is not recorded what they include"
        due = "observed, or the standard that the dyno corrected to"
        hint = f"figures: observed, or {{corrected: sae-j1349, factor: 1.023}}; {again}"
        yield warning("unclear", session.figures.place, found, due, hint)


def unknown_dynos(build: Build, dynos: Sequence[Bench]) -> Iterator[Finding]:
    """The dyno that a session names is one of the settings."""
    known = [item.id.value for item in dynos]
    for session in build.sessions:
        named = session.dyno.named
        if named is None or named.id.value in known:
            continue
        meant = nearest(named.id.value, known)
        hint = f"dyno: {meant}" if meant else f"- {{id: {named.id.value}, kind: hub, ...}} under "
        hint += "" if meant else "dynos in archive.yaml"
        expected = one_of(known) if known else "a dyno under dynos in archive.yaml"
        found = f'no dyno "{named.id.value}"'
        yield error("unknown-reference", named.id.place, found, expected, hint)


def described(dynos: Sequence[Bench], columns: dict[str, str]) -> Iterator[Finding]:
    """Dynos have ids of their own, gains against others that are there, columns that can be."""
    lines: dict[str, int] = {}
    for item in dynos:
        name, place = item.id.value, item.id.place
        if name in lines:
            found = f'the dyno "{name}" again; it stands in line {lines[name]} already'
            yield error("duplicate-id", place, found, "each id once", f"id: {name}-2")
        lines.setdefault(name, place.line)
    for item in dynos:
        against = item.gain.against if item.gain else None
        others = [name for name in lines if name != item.id.value]
        if against and against.value not in others:
            expected = one_of(others) if others else "another dyno of this list"
            hint = f"against: {others[0]}" if others else "no gain, or the other dyno beside it"
            found = f'a gain against "{against.value}", which is no other dyno here'
            yield error("unknown-reference", against.place, found, expected, hint)
        yield from _columns(item, columns)


def _columns(item: Bench, columns: dict[str, str]) -> Iterator[Finding]:
    """What a column is said to be is a head that a curve file can have, or skip."""
    for line in item.logs.columns:
        text = line.column.value
        name, _, symbol = text.partition("[")
        key = columns.get(name.strip())
        if text == "skip":
            continue
        if key is None:
            meant = nearest(name.strip(), columns)
            hint = f"column: {meant} [...], or skip" if meant else "column: power [kW], or skip"
            found, expected = f'the column "{text}"', f"one of: {', '.join(columns)}; or skip"
            yield error("wrong-value", line.column.place, found, expected, hint)
            continue
        kind = quantity(key).kind
        try:
            unit(kind, symbol.rstrip("] "))
        except UnitError as problem:
            hint = f"column: {name.strip()} [{problem.hint}]"
            yield error("unknown-unit", line.column.place, str(problem), problem.expected, hint)
