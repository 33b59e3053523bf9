"""The build record: what was specified, measured and fitted, and what follows from it.

`record_of` is the one way in. Everything is a row or made of rows, so that each figure opens to
its formula, inputs and place like any other figure of the sheet; nothing here is formatted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from specgen.analysis.record.air import AirParts, air_of, air_rules
from specgen.analysis.record.blueprint import Blueprint, blueprint_of, blueprint_rules
from specgen.analysis.record.cam import Cam, cam_of, cam_rules
from specgen.analysis.record.clearances import (
    Clearance,
    Summary,
    clearance_rules,
    clearances_of,
    summary_of,
)
from specgen.analysis.record.parts import Parts, State, parts_of
from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Fixed, Rule, Scope
from specgen.analysis.workings import SetupSheet, Workings
from specgen.archive.model.build import Build, Session
from specgen.archive.model.record import Picture
from specgen.findings import Finding


@dataclass(frozen=True, eq=False)
class Record:
    """The record of one build; parts of it that nobody recorded are None or empty.

    `contradictions` are the findings of the build's file that set two of its figures against
    each other and did not keep it out of the archive.
    """

    scope: Scope
    blueprint: Blueprint | None
    cam: Cam | None
    clearances: tuple[Clearance, ...]
    parts: Parts
    air: AirParts | None
    pictures: tuple[Picture, ...]
    contradictions: tuple[Finding, ...]

    @cached_property
    def summary(self) -> Summary:
        """The clearances by verdict."""
        return summary_of(self.clearances)

    @property
    def states(self) -> tuple[State, ...]:
        """The states of the build, the first one without a day."""
        return self.parts.states

    def state_of(self, session: Session) -> State:
        """The state of the build in which a session was run."""
        return self.parts.state_at(session.date.value)

    def states_of(self, setup: SetupSheet) -> tuple[State, ...]:
        """The states in which a setup was run; the last one where it is only planned."""
        numbers = {self.state_of(pull.session).number for pull in setup.pulls}
        return tuple(self.states[number] for number in sorted(numbers)) or self.states[-1:]


def record_of(sheet: Workings) -> Record | None:
    """Make a build's record; None where nothing of it was recorded."""
    build = sheet.build
    lead = sheet.best.setup if sheet.best else next(iter(sheet.setups), None)
    parents = [lead.rows if lead else sheet.engine]
    scope = Scope("record", _rules(sheet, lead), {}, parents, title="Build record")
    record = Record(
        scope,
        blueprint_of(build, scope),
        cam_of(build, scope),
        clearances_of(build, scope),
        parts_of(build),
        air_of(build, scope, sheet.engine),
        build.pictures,
        _contradictions(sheet),
    )
    return record if _says_something(record, build) else None


def _says_something(record: Record, build: Build) -> bool:
    return bool(build.record or build.parts or build.pictures or record.air)


def _rules(sheet: Workings, lead: SetupSheet | None) -> list[Rule]:
    """The rules of all parts of the record, with the boost they are to be seen with."""
    build = sheet.build
    return [
        *blueprint_rules(build),
        *_boost(sheet, lead),
        *cam_rules(build),
        *clearance_rules(build),
        *air_rules(build),
    ]


def _boost(sheet: Workings, lead: SetupSheet | None) -> list[Rule]:
    """Boost as measured in the leading pull, else as estimated; and the air outside."""
    missing = "no setup, so no boost"
    scope = Scope("record", [], {})
    boost = scope.absent("record_boost", "boost", "Boost", missing)
    air = scope.absent("record_air_pressure", "air_pressure", "Air pressure", missing)
    if lead is not None:
        measured = sheet.best.rows["boost"] if sheet.best else boost
        boost = _first(measured, lead.rows["boost_at_top"])
        air = lead.rows["estimate_pressure"]
    return [Fixed("record_boost", boost), Fixed("record_air_pressure", air)]


def _first(row: Row, other: Row) -> Row:
    return row if row.present else other


def _contradictions(sheet: Workings) -> tuple[Finding, ...]:
    file = sheet.build.place.file
    return tuple(
        item
        for item in sheet.archive.findings
        if item.code == "contradiction" and item.place.file == file
    )
