"""A sheet: everything that follows from one build, its workings and what is judged from them.

`analyse` is the one way in: archive in, sheets out, in the order of the index. Nothing here is
formatted; a page, a terminal table and a JSON file print the same rows.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from specgen.analysis.assembly import assemble
from specgen.analysis.judging.air_path import AirPath, air_path_of
from specgen.analysis.judging.comparison import unlike
from specgen.analysis.judging.correction_words import words_of_build, words_of_session
from specgen.analysis.judging.diagnosis import Diagnosis, diagnose
from specgen.analysis.judging.ladder import Step, ladder_of
from specgen.analysis.judging.limits import Limit, every_limit, limits_of
from specgen.analysis.judging.outings import Run, outings_of
from specgen.analysis.judging.repeats import Repeat, repeats_of
from specgen.analysis.planning.plan import Plan, plan_of
from specgen.analysis.record.record import Record, record_of
from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.workings import SessionSheet, Workings
from specgen.archive.model.build import Archive, Build


@dataclass(frozen=True, eq=False)
class Sheet(Workings):
    """Everything that follows from one build."""

    @cached_property
    def headline(self) -> tuple[Row, ...]:
        """Three to five figures to lead with."""
        return _headline(self)

    @cached_property
    def ladder(self) -> tuple[Step, ...]:
        """One step a setup."""
        return ladder_of(self, self.calibration.counts if self.calibration else {})

    @cached_property
    def diagnoses(self) -> tuple[Diagnosis, ...]:
        """Pulls that lie outside what the rest of the build says, worst first."""
        return diagnose(self)

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """Limits with both figures known, nearest first."""
        return limits_of(self)

    @cached_property
    def every_limit(self) -> tuple[Limit, ...]:
        """Each limit against each setup, measured or estimated."""
        return every_limit(self)

    @cached_property
    def air_path(self) -> AirPath | None:
        """The way of the air in the leading setup, at peak power or at the highest speed."""
        setup = self.lead
        if setup is None:
            return None
        at = self.best.rows["power_speed"] if self.best else setup.rows["max_speed"]
        return air_path_of(setup, at) if at.present else None

    @cached_property
    def unlike(self) -> tuple[str, ...]:
        """What makes the build's own best pulls not like for like."""
        return unlike([setup.best for setup in self.setups if setup.best])

    @cached_property
    def correction_words(self) -> tuple[str, ...]:
        """What correction to standard air means for this build, in plain sentences."""
        return words_of_build(self)

    def correction_words_of(self, session: SessionSheet) -> tuple[str, ...]:
        """What correction to standard air means for one visit, in plain sentences."""
        return words_of_session(self, session)

    @cached_property
    def record(self) -> Record | None:
        """What was specified, measured and fitted while it was built; None if nobody said."""
        return record_of(self)

    @cached_property
    def repeats(self) -> tuple[Repeat, ...]:
        """Setups that were pulled twice or more in one session: how well that repeats."""
        return repeats_of(self)

    @cached_property
    def plan(self) -> Plan:
        """Every pulley pair that the blower comes with, on the leading setup's fuel."""
        return plan_of(self)

    @cached_property
    def outings(self) -> tuple[Run, ...]:
        """Runs outside the dyno."""
        return outings_of(self)

    @property
    def scopes(self) -> Iterator[Scope]:
        """Every scope, for the table of where figures come from."""
        yield self.engine
        if self.record is not None and next(iter(self.record.scope), None) is not None:
            yield self.record.scope
        yield from (session.rows for session in self.sessions)
        yield from (setup.rows for setup in self.setups)
        yield from (pull.rows for pull in (*self.pulls, *self.withdrawn))
        yield from (repeat.rows for repeat in self.repeats)
        yield from (run.rows for run in self.outings)


def analyse(archive: Archive) -> dict[str, Sheet]:
    """Make the sheet of every build, by id in the archive's order; rows are made when asked for."""
    return {build_id: sheet_of(archive, build) for build_id, build in archive.builds.items()}


def sheet_of(archive: Archive, build: Build) -> Sheet:
    """Make one build's sheet."""
    return Sheet(**vars(assemble(archive, build)))


def _headline(sheet: Sheet) -> tuple[Row, ...]:
    best = sheet.best
    if best is not None:
        power, observed = best.rows["power"], best.rows["observed_power"]
        rows = [power, best.rows["torque"], best.rows["boost"], best.rows["specific_power"]]
        if observed.present and power.state == "corrected":
            rows.insert(1, observed)
        return tuple(row for row in rows if row.present)
    if not sheet.setups:
        return tuple(row for row in (sheet.engine["swept_volume"],) if row.present)
    planned = sheet.setups[0].rows
    keys = ("boost_at_top", "pitch_ratio", "blower_speed_at_top", "air_flow_at_top",
            "charge_temperature_at_top")  # fmt: skip
    return tuple(planned[key] for key in keys if planned[key].present)
