"""How a build's workings are put together: scopes, the fit, and the setups that rest on it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from specgen.analysis.control_seen import control_seen
from specgen.analysis.estimate import Kind
from specgen.analysis.fit.calibrating import calibrate
from specgen.analysis.fit.calibration import Calibration
from specgen.analysis.fit.observations import Observation, observation_of
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Fixed, Scope
from specgen.analysis.tables.engine import ENGINE
from specgen.analysis.tables.estimated import kind_of
from specgen.analysis.tables.measured_map import map_of
from specgen.analysis.tables.pull import PULL
from specgen.analysis.tables.session import SESSION
from specgen.analysis.tables.setup import SETUP
from specgen.analysis.words import fuel_words
from specgen.analysis.workings import (
    FIT,
    PullSheet,
    SessionSheet,
    SetupSheet,
    Workings,
    fit_without,
)
from specgen.archive.model.build import (
    Air,
    Archive,
    Build,
    Dyno,
    Figures,
    Given,
    Pull,
    Session,
    Setup,
)
from specgen.findings import Place
from specgen.physics import Unphysical


def assemble(archive: Archive, build: Build) -> Workings:
    """Put one build's workings together: scopes, the fit to its pulls, the setups resting on it."""
    name = build.induction.blower
    blower = archive.blowers.get(name.value) if name else None
    subjects = {
        "settings": archive.settings,
        "build": build,
        "blower": blower,
        "blower_map": map_of(blower),
    }
    engine = Scope("engine", ENGINE, subjects, title="Engine and drive")
    sessions = tuple(_session_sheet(build, index, engine) for index in range(len(build.sessions)))
    control = control_seen(build, engine, sessions)
    fit, unfitted = None, ""
    try:
        fit = fit_of(build, engine, sessions, control)
    except Unphysical as problem:
        unfitted = f"the figures of this build contradict each other: in the fit, {problem}"
    barred = [*_nothing_estimated(engine, unfitted), *control]
    setups = tuple(_setup_sheet(setup, engine, sessions, fit, barred) for setup in build.setups)
    by_id = {setup.id: setup for setup in setups}
    for session in sessions:
        for pull in session.session.pulls:
            _add_pull(pull, session, by_id[pull.setup.value])
    return Workings(build, blower, archive, engine, setups, sessions, fit, unfitted)


def _session_sheet(build: Build, index: int, engine: Scope) -> SessionSheet:
    """A session, named by its date, and what was read in it; two of one day are counted."""
    session = build.sessions[index]
    same = [other for other in build.sessions[:index] if other.date.value == session.date.value]
    suffix = f" {len(same) + 1}" if same else ""
    name, title = f"session {session.date.text}{suffix}", f"Session of {session.date.text}"
    rows = Scope(name, SESSION, {"session": session}, [engine], title=title)
    setups = {setup.id.value: setup for setup in build.setups}
    readings = {}
    for pull in session.pulls:
        subjects = {"pull": pull, "setup": as_run(setups[pull.setup.value], [pull])}
        readings[pull.id] = Scope(
            f"pull {pull.id}", PULL, subjects, [rows], title=f"Pull {pull.id}"
        )
    return SessionSheet(session, rows, readings)


def as_run(setup: Setup, pulls: Sequence[Pull]) -> Setup:
    """A setup with the ethanol that was tested in its pulls' fuel: the mean, where batches differ.

    The fuel keeps its name, by which setups of one fuel share what was learned of it.
    """
    tested = [it.fuel_batch.ethanol for it in pulls if it.fuel_batch and it.fuel_batch.ethanol]
    if not tested or setup.fuel is None:
        return setup
    mean = sum(it.value for it in tested) / len(tested)
    alike = all(it.value == tested[0].value for it in tested)
    content = replace(tested[0], value=mean, text=tested[0].text if alike else "")
    return replace(setup, fuel=replace(setup.fuel, tested=content))


def fit_of(
    build: Build,
    engine: Scope,
    sessions: tuple[SessionSheet, ...],
    control: tuple[Scope, ...] = (),
) -> Calibration | None:
    """Fit the build's unknowns to all of its pulls; None where nothing can be fitted."""
    kind = kind_of(engine)
    if kind is None:
        return None
    return calibrate(kind, observations_of(build, engine, sessions, kind, control))


def observations_of(
    build: Build,
    engine: Scope,
    sessions: tuple[SessionSheet, ...],
    kind: Kind,
    control: tuple[Scope, ...] = (),
) -> list[Observation]:
    """What the build's pulls say to the fit, each in the air of its own session."""
    by_id = {setup.id.value: setup for setup in build.setups}
    found = []
    for session in sessions:
        for pull in session.session.counted:
            setup = as_run(by_id[pull.setup.value], [pull])
            prior = Scope("prior", SETUP, {"setup": setup}, [*control, session.rows, engine])
            rows = session.readings[pull.id]
            seen = observation_of(pull, setup, session.session, rows, prior, kind)
            found += [seen] if seen else []
    return found


def _setup_sheet(
    setup: Setup,
    engine: Scope,
    sessions: tuple[SessionSheet, ...],
    fit: Calibration | None,
    barred: list[Scope],
) -> SetupSheet:
    """A setup is estimated in the air it was tested in; a planned one in the latest session's."""
    name = setup.id.value
    own = [item for item in sessions if any(p.setup.value == name for p in item.session.counted)]
    standing = [item for item in sessions if not item.session.withdrawn]
    latest = sorted(standing, key=lambda item: item.session.date.value)[-1:]
    chosen = next(iter([*own, *latest]), None)
    air = chosen.rows if chosen else Scope("session none", SESSION, {}, [engine])
    pulls = [pull for item in own for pull in item.session.counted if pull.setup.value == name]
    setup = as_run(setup, pulls)
    estimated = _Estimated(setup, air, (*barred, air, engine))
    return SetupSheet(
        setup,
        estimated.by_all(fit),
        estimated.by_others(fit, "", _peak_speeds(pulls)),
        estimated.by_others(fit, " over speed", None),
        chosen.session if chosen else None,
    )


def setup_of(sheet: Workings, setup: Setup, air: Air | None = None) -> SetupSheet:
    """A setup that no file has, resting on all pulls of a build: in the newest session's air.

    `air` puts it in another air; its humidity or pressure may be unknown, and then the reference
    air of ISO 1585 stands in for that.
    """
    standing = [item for item in sheet.sessions if not item.session.withdrawn]
    newest = max(standing, key=lambda item: item.session.date.value, default=None)
    session = newest.session if newest else None
    rows = newest.rows if newest else Scope("session none", SESSION, {}, [sheet.engine])
    if air is not None:
        session = replace(session, air=air) if session else _no_session(air, setup.id.place)
        rows = Scope("air asked for", SESSION, {"session": session}, [sheet.engine],
                     title="The air asked for")  # fmt: skip
    seen = control_seen(sheet.build, sheet.engine, sheet.sessions)
    barred = [*_nothing_estimated(sheet.engine, sheet.unfitted), *seen]
    own = _Estimated(setup, rows, (*barred, rows, sheet.engine)).by_all(sheet.calibration)
    return SetupSheet(setup, own, own, own, session)


def _no_session(air: Air, place: Place) -> Session:
    """A session that never was: its air alone, power told at the flywheel."""
    flywheel = Dyno(Given("engine", "", place), Given("flywheel", "", place))
    day = Given(datetime.date.min, "", place)
    observed = Figures("observed", place)
    return Session(day, flywheel, figures=observed, place=place, air=air)


@dataclass(frozen=True, slots=True)
class _Estimated:
    """A setup in the air it is estimated in, and its scopes by the fit that they rest on.

    `below` is what its scopes rest on beside the fit, the air among it. Setups that rest on one
    fit share its rows: their scope says which fit they are of.
    """

    setup: Setup
    air: Scope
    below: tuple[Scope, ...]

    @property
    def name(self) -> str:
        """Name of the setup's own scope."""
        return f"setup {self.setup.id.value}"

    @property
    def title(self) -> str:
        """What a page calls it."""
        return f"Setup {(self.setup.title or self.setup.id).value}"

    def by_all(self, fit: Calibration | None) -> Scope:
        """The setup's own scope, resting on all pulls of the build."""
        parents = self._parents(fit, FIT)
        subjects = {"setup": self.setup, "speeds": None}
        return Scope(self.name, SETUP, subjects, parents, title=self.title)

    def by_others(self, fit: Calibration | None, words: str, speeds: Array | None) -> Scope:
        """A scope that rests on the pulls of the other setups alone, told from others by `words`.

        It is evaluated at `speeds`, or over the whole speed range.
        """
        own, fit_name = self.setup.id.value, FIT
        if fit is not None and own in fit.setups:
            fit, fit_name = fit.without(own), fit_without(own)
        return Scope(
            f"{self.name}{words} from the others",
            SETUP,
            {"setup": self.setup, "speeds": speeds},
            self._parents(fit, fit_name),
            title=f"{self.title}, predicted from the others",
            twin=self.name,
        )

    def _parents(self, fit: Calibration | None, fit_name: str) -> list[Scope]:
        """The fitted parameters, where there is a fit, before the air and the engine."""
        if fit is None or not fit.labels:
            return [*self.below]
        session = self.air.subjects.session
        point = session.dyno.measured_at.value if session else "flywheel"
        fitted = fit.rows(fuel_words(self.setup.fuel), point, fit_name)
        rules = [Fixed(key, row) for key, row in fitted.items()]
        rules += [Fixed(key, row) for key, row in self._doubts(fit).items()]
        return [Scope(fit_name, rules, {}), *self.below]

    def _doubts(self, fit: Calibration) -> dict[str, Row]:
        """What a setup left out, if it is the nearest by its ratio, leaves open here: as shares."""
        own, build = self.setup.id.value, self.below[-1].subjects.build
        aside = {item.setup: item for item in fit.set_aside if item.setup != own}
        if not aside or build is None:
            return {}
        near = {
            item.id.value: abs(self._turns(item) - self._turns(self.setup))
            for item in build.setups
            if item.id.value != own and item.id.value in {*fit.setups, *aside}
        }
        nearest = aside.get(min(near, key=lambda name: near[name], default=""))
        if nearest is None:
            return {}
        words = f"the nearest setup, {nearest.setup}, disagrees with the others and was left out"
        return {
            f"left_out_{figure}": self.below[-1].present(
                f"left_out_{figure}", "share", 0.0, f"Doubt by a setup left out, of {name}",
                source=words, spread={f"{nearest.setup} left out": nearest.share(figure)},
            )
            for figure, name in (("boost", "pressure"), ("power", "power"))
        }  # fmt: skip

    def _turns(self, setup: Setup) -> float:
        """Rotor speed over crank speed of a setup of the build; nought where it has no drive."""
        row = Scope("ratio", SETUP, {"setup": setup}, [self.below[-1]])["rotor_ratio"]
        return row.scalar if row.present else 0.0


def _nothing_estimated(engine: Scope, unfitted: str) -> list[Scope]:
    """Take from a setup what every estimate needs, where the fit says that a figure is wrong."""
    key = "volumetric_efficiency"
    if not unfitted:
        return []
    return [Scope("no fit", [Fixed(key, engine.absent(key, key, "", unfitted))], {})]


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
        for values in (columns.get("boost", columns.get("manifold_pressure")), power, torque):
            if values is not None and np.isfinite(values).any():
                speeds.add(float(speed[np.nanargmax(values)]))
    return np.array(sorted(speeds)) if len(speeds) > 1 else None


def _add_pull(pull: Pull, session: SessionSheet, setup: SetupSheet) -> None:
    rows = session.readings[pull.id]
    rows.rest_on(setup.rows)
    made = PullSheet(pull, session.session, setup, rows)
    if session.session.withdrawn or pull.withdrawn:
        session.withdrawn.append(made)
        return
    session.pulls.append(made)
    setup.pulls.append(made)
