"""What a schema cannot see: names that point nowhere, figures that deny one another.

This room runs the checks and holds those about names and the engine; the rooms beside it, named
checks_ and their subject, hold the others. Each check is one small function that gives findings.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.checks import belt as checks_belt
from specgen.archive.checks import blueprint as checks_blueprint
from specgen.archive.checks import drive as checks_drive
from specgen.archive.checks import dyno as checks_dyno
from specgen.archive.checks import fuel as checks_fuel
from specgen.archive.checks import heat as checks_heat
from specgen.archive.checks import readings as checks_readings
from specgen.archive.checks import record as checks_record
from specgen.archive.checks import session as checks_session
from specgen.archive.model.build import Bench, Blower, Build
from specgen.archive.phrases.figures import allowance, error, shown
from specgen.archive.phrases.suggestion import nearest, one_of
from specgen.archive.pictures import pictures
from specgen.archive.reading.folders import RESERVED, named_table, word_fault
from specgen.archive.reading.pulls import COLUMNS
from specgen.failure import about
from specgen.findings import Finding
from specgen.physics.engine import swept_volume

#: A stated displacement may differ from bore, stroke and cylinders by this share.
DISPLACEMENT_TOLERANCE = 0.015


@dataclass(frozen=True, slots=True)
class Across:
    """The archive as far as it could be read; the names count faulty blowers and builds too."""

    blowers: Mapping[str, Blower]
    blower_names: tuple[str, ...]
    builds: Mapping[str, Build]
    build_names: frozenset[str] = frozenset()
    dynos: tuple[Bench, ...] = ()

    def blower_of(self, build: Build) -> Blower | None:
        """Give the blower of a build, if it has one that could be read."""
        named = build.induction.blower
        return self.blowers.get(named.value) if named else None


def run(across: Across, root: Path) -> Iterator[Finding]:
    """Run every check over every build and blower."""
    for build in across.builds.values():
        with about(build.id):
            yield from _of_one(build, across, root)
    yield from former_ids(across)
    yield from checks_dyno.described(across.dynos, COLUMNS)
    for blower in across.blowers.values():
        yield from performance_file(blower, root)


def _of_one(build: Build, across: Across, root: Path) -> Iterator[Finding]:
    """Run every check over one build."""
    for check in ALONE:
        yield from check(build)
    yield from unknown_blower(build, across)
    yield from checks_dyno.unknown_dynos(build, across.dynos)
    yield from pictures(build, root)
    blower = across.blower_of(build)
    if blower is not None:
        for check_both in WITH_BLOWER:
            yield from check_both(build, blower)


def unknown_blower(build: Build, across: Across) -> Iterator[Finding]:
    """The blower a build names has a file."""
    named = build.induction.blower
    if named is None or named.value in across.blower_names:
        return
    known = across.blower_names
    meant = nearest(named.value, known)
    hint = f"blower: {meant}" if meant else f"blowers/{named.value}.yaml, as a new file"
    expected = one_of(known) if known else "a file in the folder blowers"
    yield error("unknown-reference", named.place, f'no blower "{named.value}"', expected, hint)


def unknown_setups(build: Build) -> Iterator[Finding]:
    """The setup a pull names is one of the build."""
    known = [setup.id.value for setup in build.setups]
    for session in build.sessions:
        for pull in session.pulls:
            name = pull.setup.value
            if name in known:
                continue
            meant = nearest(name, known)
            hint = f"setup: {meant}" if meant else f"- {{id: {name}}} under setups"
            expected = one_of(known) if known else "a setup of this build"
            yield error("unknown-reference", pull.setup.place, f'no setup "{name}"', expected, hint)


def repeated_setups(build: Build) -> Iterator[Finding]:
    """Each setup has an id of its own."""
    lines: dict[str, int] = {}
    for setup in build.setups:
        name, place = setup.id.value, setup.id.place
        if name in lines:
            found = f'the setup id "{name}" again; it stands in line {lines[name]} already'
            yield error("duplicate-id", place, found, "each id once", f"id: {name}-2")
        elif fault := word_fault(name):
            hint = f"id: {name}-1"
            yield error("reserved-id", place, f'the setup id "{name}", {fault}', "another id", hint)
        lines.setdefault(name, place.line)


def repeated_pulls(build: Build) -> Iterator[Finding]:
    """Each id that was written for a pull is the id of one pull."""
    lines: dict[str, int] = {}
    for session in build.sessions:
        for own in (pull.written_id for pull in session.pulls):
            if own is not None and own.value in lines:
                found = f'the pull id "{own.value}" again; line {lines[own.value]} has it already'
                yield error("duplicate-id", own.place, found, "each id once", f"id: {own.value}-2")
            elif own is not None:
                lines[own.value] = own.place.line


def former_ids(across: Across) -> Iterator[Finding]:
    """A former id leads to one build only, so it is nobody's id now."""
    owners: dict[str, str] = {}
    for build in across.builds.values():
        for former in build.formerly:
            name, hint = former.value, "only ids that this build had and that nobody has now"
            found = f'the former id "{name}"'
            if name in RESERVED:
                why = "which the site needs for itself"
                yield error("reserved-id", former.place, f"{found}, {why}", "another id", hint)
            elif fault := word_fault(name):
                yield error("reserved-id", former.place, f"{found}, {fault}", "another id", hint)
            elif name in across.builds or name in across.build_names:
                why = "which is the id of a build"
                yield error("duplicate-id", former.place, f"{found}, {why}", "a free id", hint)
            elif owners.setdefault(name, build.id) != build.id:
                why = f'which "{owners[name]}" has as well'
                yield error("duplicate-id", former.place, f"{found}, {why}", "one owner", hint)


def performance_file(blower: Blower, root: Path) -> Iterator[Finding]:
    """The measured map a blower names is there."""
    if blower.performance is not None:
        _, fault = named_table(root / "blowers", blower.performance)
        if fault:
            yield fault


def displacement(build: Build) -> Iterator[Finding]:
    """A stated displacement agrees with bore, stroke and cylinders."""
    engine = build.engine
    stated = engine.displacement
    if stated is None:
        return
    due = float(swept_volume(engine.bore.value, engine.stroke.value, engine.cylinders.value))
    if abs(stated.value - due) <= DISPLACEMENT_TOLERANCE * due + allowance(stated):
        return
    text = shown("swept_volume", due)
    found = (
        f"a displacement of {stated.text} beside {engine.cylinders.text} cylinders of "
        f"{engine.bore.text} bore and {engine.stroke.text} stroke"
    )
    expected = f"{text}, which follows from bore, stroke and cylinders"
    hint = f"displacement: {text}, or the right bore and stroke"
    yield error("contradiction", stated.place, found, expected, hint)


def repeated_curves(build: Build) -> Iterator[Finding]:
    """Two pulls do not name the same curve file."""
    lines: dict[str, int] = {}
    for session in build.sessions:
        for pull in session.pulls:
            if pull.curve_file is None:
                continue
            name, place = pull.curve_file.value, pull.curve_file.place
            same = posixpath.normpath(name).lower()  # some systems cannot tell capitals apart
            if same in lines:
                found = f'the curve file "{name}" again; line {lines[same]} names it already'
                yield error("duplicate-id", place, found, "a file for each pull", _OWN_FILE)
            lines.setdefault(same, place.line)


_OWN_FILE = "curve: pulls/2025-05-14-2.csv, with what this pull recorded"

#: The checks that need nothing but the build itself.
ALONE: tuple[Callable[[Build], Iterator[Finding]], ...] = (
    unknown_setups,
    repeated_setups,
    repeated_pulls,
    repeated_curves,
    displacement,
    checks_fuel.blends,
    checks_fuel.tested_fuels,
    checks_drive.pulleys_without_blower,
    checks_drive.layout_members,
    checks_drive.layout_diameters,
    checks_belt.layout_path,
    checks_belt.tensioner_travel,
    checks_belt.belt_length,
    checks_dyno.unsaid_figures,
    checks_dyno.unrecorded,
    checks_session.peaks_agree,
    checks_session.peak_speeds,
    checks_session.curve_speeds,
    checks_session.measuring_point,
    checks_session.recomputable_correction,
    checks_session.sea_level_barometer,
    checks_session.pressure_at_elevation,
    checks_readings.single_rows,
    checks_readings.pressure_without_barometer,
    checks_readings.high_barometer,
    checks_readings.dry_air,
    checks_readings.factor_and_air,
    checks_heat.hot_readings,
    checks_blueprint.measured_counts,
    checks_blueprint.against_engine,
    checks_blueprint.deck_stack,
    checks_blueprint.volumes,
    checks_record.long_durations,
    checks_record.events_and_durations,
    checks_record.centre_lines,
    checks_record.checking_lifts,
    checks_record.clearance_kinds,
    checks_record.nothing_to_judge,
    checks_record.part_days,
)

#: The checks that hold a build against its blower.
WITH_BLOWER: tuple[Callable[[Build, Blower], Iterator[Finding]], ...] = (
    checks_drive.fits_the_engine,
    checks_drive.offered_pulleys,
    checks_drive.belt_ribs,
    checks_drive.blower_speed_limit,
    checks_readings.blower_and_engine,
    checks_heat.hot_setups,
)
