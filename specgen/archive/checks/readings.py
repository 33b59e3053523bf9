"""Checks of what was read beside the dyno and in its curves: single rows, air, factor, day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

import numpy as np
from numpy.typing import NDArray

from specgen.archive.checks.drive import pairs
from specgen.archive.model.build import Blower, Build
from specgen.archive.model.session import Curve, Session
from specgen.archive.phrases.figures import shown, warning
from specgen.findings import Finding
from specgen.physics.correction import STANDARDS
from specgen.physics.engine import swept_volume
from specgen.physics.pulley import pitch_ratio
from specgen.vocabulary import quantity

#: Columns in which a single row may stand out: what one reading of a dyno or a sensor spoils.
_SMOOTH = ("torque", "power", "boost", "manifold_pressure")
#: A row stands out by this share of the curve's largest value, by so many times what its two
#: neighbours differ, and by so many times what rows usually do; common practice, no source.
_JUMP, _NEIGHBOURS, _USUALLY, _FEWEST = 0.10, 3.0, 8.0, 7
#: Air at sea level is seldom above this, whatever the weather: common practice, no source.
_HIGHEST = 105e3
#: Drier air than this was hardly ever read; "0.55 %" is meant as 55 %.
_DRIEST = 0.02
#: A printed factor and the one that follows from the air may differ by this share.
_FACTOR = 0.02
#: What a blower that displaces may sweep over what its engine does, as far as such are built:
#: common practice, no source.
SWEEPS = (0.8, 3.5)


def single_rows(build: Build) -> Iterator[Finding]:
    """No row of a curve jumps out between its neighbours."""
    for session in build.sessions:
        for pull in session.pulls:
            if pull.curve is not None:
                yield from _jumps(pull.curve)


def _jumps(curve: Curve) -> Iterator[Finding]:
    speeds = curve.engine_speed
    for column in _SMOOTH:
        values = curve.columns.get(column)
        index = None if values is None else jumping(values)
        if values is None or index is None:
            continue
        at, ends = (
            shown("engine_speed", float(speeds[index])),
            (values[index - 1], values[index + 1]),
        )
        found = (
            f"one row of {quantity(column).title.lower()} that jumps: "
            f"{shown(column, float(values[index]))} at {at}"
        )
        low, high = (shown(column, float(end)) for end in sorted(ends))
        expected = f"about {low} to {high}, as in the rows before and after it"
        hint = "this reading again from the dyno's own file, or no such row"
        yield warning("unclear", curve.place, found, expected, hint)


def jumping(values: NDArray[np.float64]) -> int | None:
    """The row that stands out most between its neighbours; None where none does."""
    if len(values) < _FEWEST or not np.isfinite(values).all():
        return None
    middle = (values[:-2] + values[2:]) / 2
    off = np.abs(values[1:-1] - middle)
    apart = np.abs(values[2:] - values[:-2])
    ordered = np.sort(off)  # the library's own median first loads another of its rooms
    usual = float(ordered[(len(off) - 1) // 2] + ordered[len(off) // 2]) / 2
    out = (
        (off > _JUMP * np.abs(values).max())
        & (off > _NEIGHBOURS * apart)
        & (off > _USUALLY * usual)
    )
    return int(np.argmax(np.where(out, off, 0.0))) + 1 if out.any() else None


def pressure_without_barometer(build: Build) -> Iterator[Finding]:
    """A recorded manifold pressure becomes boost by the air's own pressure."""
    for session in build.sessions:
        air = session.air
        known = air.pressure is not None and air.barometer is not None
        for pull in session.pulls:
            curve = pull.curve
            if known or curve is None or "manifold_pressure" not in curve.columns:
                continue
            if "boost" in curve.columns:
                continue
            missing = "pressure" if air.pressure is None else "barometer"
            found = f'manifold pressure in a curve, and no "{missing}" of the air of that day'
            expected = "the air pressure at the station, from which boost follows"
            hint = "air: {pressure: 99.1 kPa, barometer: station} in this session"
            yield warning("unclear", session.date.place, found, expected, hint)
            break


def high_barometer(build: Build) -> Iterator[Finding]:
    """Air pressure that hardly any weather brings, where no elevation says so already."""
    for session in build.sessions:
        air = session.air
        if air.pressure is None or air.elevation is not None or air.pressure.value <= _HIGHEST:
            continue
        found = f"a barometer at {air.pressure.text}, which hardly any weather brings"
        expected = f"at most {shown('air_pressure', _HIGHEST)}, less the higher a place lies"
        hint = "the pressure that the dyno's own barometer showed, and its elevation"
        yield warning("unclear", air.pressure.place, found, expected, hint)


def dry_air(build: Build) -> Iterator[Finding]:
    """A humidity that was meant as a share and written in per cent."""
    for session in build.sessions:
        humidity = session.air.humidity
        if humidity is None or not 0 < humidity.value < _DRIEST:
            continue
        found = f"air of {humidity.text} relative humidity"
        expected = "some ten to a hundred per cent, as air usually has"
        meant = f"{1e4 * humidity.value:.0f} %"
        hint = f"humidity: {meant}, if a share was meant; or leave it if air was really so dry"
        yield warning("unclear", humidity.place, found, expected, hint)


def factor_and_air(build: Build) -> Iterator[Finding]:
    """A printed factor is about the one that follows from the air beside it."""
    for session in build.sessions:
        due = _due_factor(session)
        stated = session.figures.factor
        if due is None or stated is None or abs(stated.value / due - 1) <= _FACTOR:
            continue
        standard = session.figures.standard
        assert standard is not None
        found = f"a factor of {stated.text} beside air that gives {due:.3f}"
        expected = f"about {due:.3f} by {STANDARDS[standard.value].title} in that air"
        hint = "factor, pressure, barometer and temperature again as they were printed and read"
        yield warning("contradiction", stated.place, found, expected, hint)


def _due_factor(session: Session) -> float | None:
    """The factor of the session's standard from its own air; None where that is not known."""
    air, standard = session.air, session.figures.standard
    if standard is None or air.pressure is None or air.temperature is None:
        return None
    if air.barometer is None or air.barometer.value != "station":
        return None
    chosen = STANDARDS[standard.value]
    if chosen.dry and air.humidity is None:
        return None
    damp = air.humidity.value if air.humidity else 0.0
    return float(chosen.factor(air.pressure.value, air.temperature.value, damp))


def sweep_share(displacement: float, turns: float, swept: float) -> float:
    """What a blower sweeps over what its engine of four strokes does; `turns` of it a turn of that.

    Volumes [m3]; a share [1].
    """
    return displacement * turns / (swept / 2)


def blower_and_engine(build: Build, blower: Blower) -> Iterator[Finding]:
    """A blower that displaces sweeps so much, beside its engine, as such blowers are built for."""
    engine, size = build.engine, blower.displacement
    if size is None or not blower.displaces:
        return
    swallowed = float(swept_volume(engine.bore.value, engine.stroke.value, engine.cylinders.value))
    inside = blower.internal_ratio.value if blower.internal_ratio else 1.0
    for crank, pulley, place, name, _ in pairs(build):
        turns = float(pitch_ratio(crank.value, pulley.value)) * inside
        share = sweep_share(size.value, turns, swallowed)
        if SWEEPS[0] <= share <= SWEEPS[1]:
            continue
        little = share < SWEEPS[0]
        found = f"{name} lets the blower sweep {share:.2g} times what the engine does, "
        found += "which throttles it" if little else "more than such a blower is built for"
        expected = f"{SWEEPS[0]:g} to {SWEEPS[1]:g} times"
        hint = f"displacement of {blower.id}, its internal_ratio, pulleys, bore and stroke again"
        yield warning("unclear", place, found, expected, hint)


def after(builds: Iterable[Build], today: date) -> Iterator[Finding]:
    """Visits to a dyno that are yet to come, by the clock: never part of what is published."""
    for build in builds:
        for session in build.sessions:
            if session.date.value > today:
                found = f"a session of {session.date.text}, which is yet to come"
                expected = f"a day up to today, {today.isoformat()}"
                yield warning(
                    "unclear", session.date.place, found, expected, "date: the day itself"
                )
