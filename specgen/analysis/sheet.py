"""A sheet: everything that follows from one build, as scopes of rows and what is made of them.

`analyse` is the one way in: archive in, sheets out, in the order of the index. Nothing here is
formatted; a page, a terminal table and a JSON file print the same rows.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.fit.calibration import Calibration, calibrate
from specgen.analysis.fit.observations import Observation, observation_of
from specgen.analysis.judging.air_path import AirPath, air_path_of
from specgen.analysis.judging.comparison import unlike
from specgen.analysis.judging.correction_words import words_of_build, words_of_session
from specgen.analysis.judging.diagnosis import Diagnosis, diagnose
from specgen.analysis.judging.ladder import Step, ladder_of
from specgen.analysis.judging.limits import Limit, limits_of
from specgen.analysis.judging.repeats import Repeat, repeats_of
from specgen.analysis.record.record import Record, record_of
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Fixed, Scope
from specgen.analysis.tables.engine import ENGINE
from specgen.analysis.tables.estimated import kind_of
from specgen.analysis.tables.measured_map import map_of
from specgen.analysis.tables.pull import PULL
from specgen.analysis.tables.session import SESSION
from specgen.analysis.tables.setup import SETUP
from specgen.analysis.words import fuel_words
from specgen.archive.model.build import Archive, Blower, Build, Pull, Session, Setup

#: Scope of the rows fitted to all pulls of a build.
FIT = "fit"
#: How the scope of a setup predicted without its own pulls is told from the setup's own.
OVER_SPEED, FROM_OTHERS = " over speed", " from the others"


@dataclass(frozen=True, eq=False)
class SetupSheet:
    """One combination with its rows and the pulls made with it.

    `rows` rest on everything that was measured on the build; `held_out` rest on the other setups
    alone (on the priors where there is no other), so that a setup's own pulls can be set against
    what would have been predicted without them.
    """

    setup: Setup
    rows: Scope
    held_out: Scope
    session: Session | None
    pulls: list[PullSheet] = field(default_factory=list)

    @property
    def id(self) -> str:
        """The setup's id, unique in its build."""
        return self.setup.id.value

    @property
    def title(self) -> str:
        """What a page calls it."""
        return self.setup.title.value if self.setup.title else self.id

    @property
    def planned(self) -> bool:
        """Whether no pull was made with it yet."""
        return not self.pulls

    @property
    def best(self) -> PullSheet | None:
        """The pull with the highest power, as a page leads with it."""
        return best_of(self.pulls)


@dataclass(frozen=True, eq=False)
class SessionSheet:
    """One visit to a dyno with its rows and its pulls."""

    session: Session
    rows: Scope
    pulls: list[PullSheet] = field(default_factory=list)

    @cached_property
    def correction_words(self) -> tuple[str, ...]:
        """What correction to standard air means for this visit, in plain sentences."""
        return words_of_session(self)


@dataclass(frozen=True, eq=False)
class PullSheet:
    """One sweep with its rows."""

    pull: Pull
    session: Session
    setup: SetupSheet
    rows: Scope

    @property
    def id(self) -> str:
        """The pull's id, unique in its build."""
        return self.pull.id


@dataclass(frozen=True, eq=False)
class Sheet:
    """Everything that follows from one build."""

    build: Build
    blower: Blower | None
    archive: Archive
    engine: Scope
    setups: tuple[SetupSheet, ...]
    sessions: tuple[SessionSheet, ...]
    calibration: Calibration | None

    @property
    def id(self) -> str:
        """The build's permanent id."""
        return self.build.id

    @cached_property
    def pulls(self) -> tuple[PullSheet, ...]:
        """All pulls, in the order of the file."""
        return tuple(pull for session in self.sessions for pull in session.pulls)

    @cached_property
    def best(self) -> PullSheet | None:
        """The pull that the sheet leads with: the highest power of the build."""
        return best_of(self.pulls)

    @cached_property
    def headline(self) -> tuple[Row, ...]:
        """Three to five figures to lead with."""
        return _headline(self)

    @cached_property
    def ladder(self) -> tuple[Step, ...]:
        """One step a setup."""
        return ladder_of(self.setups, self.calibration.counts if self.calibration else {})

    @cached_property
    def diagnoses(self) -> tuple[Diagnosis, ...]:
        """Pulls that lie outside what the rest of the build says, worst first."""
        return diagnose(self)

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """Limits with both figures known, nearest first."""
        return limits_of(self)

    @cached_property
    def air_path(self) -> AirPath | None:
        """The way of the air in the leading setup, at peak power or at the highest speed."""
        setup = self.best.setup if self.best else next(iter(self.setups), None)
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

    @cached_property
    def record(self) -> Record | None:
        """What was specified, measured and fitted while it was built; None if nobody said."""
        return record_of(self)

    @cached_property
    def repeats(self) -> tuple[Repeat, ...]:
        """Setups that were pulled twice or more in one session: how well that repeats."""
        return repeats_of(self)

    @property
    def scopes(self) -> Iterator[tuple[str, Scope]]:
        """Every scope with its title, for the table of where figures come from."""
        yield "Engine and drive", self.engine
        if self.record is not None and next(iter(self.record.scope), None) is not None:
            yield "Build record", self.record.scope
        for session in self.sessions:
            yield f"Session of {session.session.date.text}", session.rows
        for setup in self.setups:
            yield f"Setup {setup.title}", setup.rows
        for pull in self.pulls:
            yield f"Pull {pull.id}", pull.rows
        for repeat in self.repeats:
            day = repeat.session.session.date.text
            yield f"Repeat pulls of setup {repeat.setup.title}, {day}", repeat.rows


def best_of(pulls: list[PullSheet] | tuple[PullSheet, ...]) -> PullSheet | None:
    """The pull with the highest power; one without power only if there is no other."""
    powered = [pull for pull in pulls if pull.rows["power"].present]
    if powered:
        return max(powered, key=lambda pull: pull.rows["power"].scalar)
    return next(iter(pulls), None)


def analyse(archive: Archive) -> dict[str, Sheet]:
    """Make the sheet of every build, by id in the archive's order; rows are made when asked for."""
    return {build_id: sheet_of(archive, build) for build_id, build in archive.builds.items()}


def sheet_of(archive: Archive, build: Build) -> Sheet:
    """Make one build's sheet: its scopes, the fit to its pulls, and the setups that rest on it."""
    name = build.induction.blower
    blower = archive.blowers.get(name.value) if name else None
    subjects = {
        "settings": archive.settings,
        "build": build,
        "blower": blower,
        "blower_map": map_of(blower),
    }
    engine = Scope("engine", ENGINE, subjects)
    sessions = tuple(
        SessionSheet(session, Scope(_name(build, index), SESSION, {"session": session}, [engine]))
        for index, session in enumerate(build.sessions)
    )
    fit = fit_of(build, engine, sessions)
    setups = tuple(_setup_sheet(setup, engine, sessions, fit) for setup in build.setups)
    by_id = {setup.id: setup for setup in setups}
    for session in sessions:
        for pull in session.session.pulls:
            _add_pull(pull, session, by_id[pull.setup.value])
    return Sheet(build, blower, archive, engine, setups, sessions, fit)


def _name(build: Build, index: int) -> str:
    """Name a session's scope by its date; two sessions of one day are counted."""
    session = build.sessions[index]
    same = [other for other in build.sessions[:index] if other.date.value == session.date.value]
    suffix = f" {len(same) + 1}" if same else ""
    return f"session {session.date.text}{suffix}"


def fit_of(build: Build, engine: Scope, sessions: tuple[SessionSheet, ...]) -> Calibration | None:
    """Fit the build's unknowns to all of its pulls; None where nothing can be fitted."""
    kind = kind_of(engine)
    if kind is None:
        return None
    return calibrate(kind, observations_of(build, engine, sessions, kind))


def observations_of(
    build: Build, engine: Scope, sessions: tuple[SessionSheet, ...], kind: Kind
) -> list[Observation]:
    """What the build's pulls say to the fit, each in the air of its own session."""
    by_id = {setup.id.value: setup for setup in build.setups}
    found = []
    for session in sessions:
        for pull in session.session.pulls:
            setup = by_id[pull.setup.value]
            prior = Scope("prior", SETUP, {"setup": setup}, [session.rows, engine])
            rows = Scope(f"pull {pull.id}", PULL, {"pull": pull}, [session.rows, prior])
            seen = observation_of(pull, setup, session.session, rows, prior, kind)
            found += [seen] if seen else []
    return found


def _setup_sheet(
    setup: Setup, engine: Scope, sessions: tuple[SessionSheet, ...], fit: Calibration | None
) -> SetupSheet:
    """A setup is estimated in the air it was tested in; a planned one in the latest session's."""
    name = setup.id.value
    own = [item for item in sessions if any(p.setup.value == name for p in item.session.pulls)]
    latest = sorted(sessions, key=lambda item: item.session.date.value)[-1:]
    chosen = next(iter([*own, *latest]), None)
    air = chosen.rows if chosen else Scope("session none", SESSION, {}, [engine])
    parents = [air, engine]
    rows = _resting_on(fit, FIT, setup, f"setup {name}", parents)
    pulls = [pull for item in own for pull in item.session.pulls if pull.setup.value == name]
    held_out = _from_others(fit, setup, f"setup {name}", parents, _peak_speeds(pulls))
    return SetupSheet(setup, rows, held_out, chosen.session if chosen else None)


def _from_others(
    fit: Calibration | None,
    setup: Setup,
    name: str,
    parents: list[Scope],
    speeds: Array | None = None,
) -> Scope:
    """A setup's scope that rests on the pulls of the other setups alone."""
    own = setup.id.value
    measured = fit is not None and own in fit.setups
    others = fit.without(own) if fit is not None and measured else fit
    fit_name = f"{FIT} without {own}" if measured else FIT
    return _resting_on(others, fit_name, setup, name + FROM_OTHERS, parents, speeds)


def over_speed_from_others(sheet: Sheet, setup: SetupSheet) -> Scope:
    """A setup predicted from the others over the whole speed range, in its own session's air.

    `SetupSheet.held_out` is evaluated only where the measured peaks lie, which is all that the
    ladder reads; a chart needs the rest.
    """
    air = next(item.rows for item in sheet.sessions if item.session is setup.session)
    name = f"setup {setup.id}{OVER_SPEED}"
    return _from_others(sheet.calibration, setup.setup, name, [air, sheet.engine])


def _peak_speeds(pulls: list[Pull]) -> Array | None:
    """Engine speeds of the pulls' peaks: all that a prediction from the others is read at.

    None where a peak is only on paper, or there are no curves: then the whole range is estimated.
    """
    speeds: set[float] = set()
    for pull in pulls:
        if pull.curve is None:
            return None
        speed, columns = pull.curve.engine_speed, pull.curve.columns
        torque = columns.get("torque")
        power = columns.get("power", None if torque is None else torque * speed)
        for values in (columns.get("boost"), power, torque):
            if values is not None and np.isfinite(values).any():
                speeds.add(float(speed[np.nanargmax(values)]))
    return np.array(sorted(speeds)) if len(speeds) > 1 else None


def _resting_on(
    fit: Calibration | None,
    fit_name: str,
    setup: Setup,
    name: str,
    parents: list[Scope],
    speeds: Array | None = None,
) -> Scope:
    """A setup's scope whose parameters are the fitted ones where there is a fit.

    Setups that rest on one fit share its rows: the scope `fit_name` says which fit they are of.
    """
    subject: dict[str, object] = {"setup": setup, "speeds": speeds}
    if fit is None or not fit.labels:
        return Scope(name, SETUP, subject, parents)
    session = parents[0].subjects.get("session")
    point = session.dyno.measured_at.value if isinstance(session, Session) else "flywheel"
    fitted = fit.rows(fuel_words(setup.fuel), point, fit_name)
    rules = [Fixed(key, row) for key, row in fitted.items()]
    return Scope(name, SETUP, subject, [Scope(fit_name, rules, {}), *parents])


def _add_pull(pull: Pull, session: SessionSheet, setup: SetupSheet) -> None:
    rows = Scope(f"pull {pull.id}", PULL, {"pull": pull}, [session.rows, setup.rows])
    made = PullSheet(pull, session.session, setup, rows)
    session.pulls.append(made)
    setup.pulls.append(made)


def _headline(sheet: Sheet) -> tuple[Row, ...]:
    best = sheet.best
    if best is not None:
        power, observed = best.rows["power"], best.rows["observed_power"]
        rows = [power, best.rows["torque"], best.rows["boost"], best.rows["specific_power"]]
        if observed.present and power.standing.startswith("corrected"):
            rows.insert(1, observed)
        return tuple(row for row in rows if row.present)
    if not sheet.setups:
        return tuple(row for row in (sheet.engine["swept_volume"],) if row.present)
    planned = sheet.setups[0].rows
    keys = ("boost_at_top", "pulley_ratio", "blower_speed_at_top", "air_flow_at_top",
            "charge_temperature_at_top")  # fmt: skip
    return tuple(planned[key] for key in keys if planned[key].present)
