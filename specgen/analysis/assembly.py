"""How a build's workings are put together: scopes, the fit, and the setups that rest on it."""

from __future__ import annotations

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.fit.calibration import Calibration, calibrate
from specgen.analysis.fit.observations import Observation, observation_of
from specgen.analysis.rows.row import Array
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
    FROM_OTHERS,
    OVER_SPEED,
    PullSheet,
    SessionSheet,
    SetupSheet,
    Workings,
)
from specgen.archive.model.build import Archive, Build, Pull, Session, Setup
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
    engine = Scope("engine", ENGINE, subjects)
    sessions = tuple(
        SessionSheet(session, Scope(_name(build, index), SESSION, {"session": session}, [engine]))
        for index, session in enumerate(build.sessions)
    )
    fit, unfitted = None, ""
    try:
        fit = fit_of(build, engine, sessions)
    except Unphysical as problem:
        unfitted = f"the figures of this build contradict each other: in the fit, {problem}"
    barred = _nothing_estimated(engine, unfitted)
    setups = tuple(_setup_sheet(setup, engine, sessions, fit, barred) for setup in build.setups)
    by_id = {setup.id: setup for setup in setups}
    for session in sessions:
        for pull in session.session.pulls:
            _add_pull(pull, session, by_id[pull.setup.value])
    return Workings(build, blower, archive, engine, setups, sessions, fit, unfitted)


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
    setup: Setup,
    engine: Scope,
    sessions: tuple[SessionSheet, ...],
    fit: Calibration | None,
    barred: list[Scope],
) -> SetupSheet:
    """A setup is estimated in the air it was tested in; a planned one in the latest session's."""
    name = setup.id.value
    own = [item for item in sessions if any(p.setup.value == name for p in item.session.pulls)]
    latest = sorted(sessions, key=lambda item: item.session.date.value)[-1:]
    chosen = next(iter([*own, *latest]), None)
    air = chosen.rows if chosen else Scope("session none", SESSION, {}, [engine])
    parents = [*barred, air, engine]
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


def over_speed_from_others(sheet: Workings, setup: SetupSheet) -> Scope:
    """A setup predicted from the others over the whole speed range, in its own session's air.

    `SetupSheet.held_out` is evaluated only where the measured peaks lie, which is all that the
    ladder reads; a chart needs the rest.
    """
    air = next(item.rows for item in sheet.sessions if item.session is setup.session)
    name = f"setup {setup.id}{OVER_SPEED}"
    parents = [*_nothing_estimated(sheet.engine, sheet.unfitted), air, sheet.engine]
    return _from_others(sheet.calibration, setup.setup, name, parents)


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
