"""Checks of what a dyno measured: peaks, measuring point, correction and air."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.archive.model.build import Air, Build, Number, Peaks, Session
from specgen.archive.model.session import NOT_RECORDED
from specgen.archive.phrases.figures import allowance, error, shown, warning
from specgen.archive.phrases.suggestion import listed
from specgen.findings import Finding, Place
from specgen.physics.air import standard_pressure
from specgen.physics.engine import power_from_torque, torque_from_power
from specgen.vocabulary import quantity

#: Peak torque and peak power may contradict each other by this share.
PEAK_TOLERANCE = 0.02
#: A peak may lie beyond the engine's highest speed by this share: the limiter cuts late.
OVERSPEED = 0.03
#: The weather moves air pressure by less than this share around the standard atmosphere;
#: the records at sea level are 87.0 and 108.5 kPa, common weather 96 to 105 (common practice,
#: no source).
WEATHER = 0.06
SEA_LEVEL = 101_325.0


def _peaks(build: Build) -> Iterator[Peaks]:
    for session in build.sessions:
        for pull in session.pulls:
            if pull.peaks is not None:
                yield pull.peaks


def peaks_agree(build: Build) -> Iterator[Finding]:
    """Peak power and peak torque allow each other: power is 2 pi times speed times torque."""
    for peaks in _peaks(build):
        power, torque = peaks.power, peaks.torque
        if power and torque and power.at and torque.at:
            yield from _torque_at_power(power, torque)
            yield from _power_at_torque(power, torque)


def _torque_at_power(power: Number, torque: Number) -> Iterator[Finding]:
    """No more torque at the power peak than at the torque peak."""
    assert power.at is not None
    due = float(torque_from_power(power.value, power.at.value))
    slack = PEAK_TOLERANCE + _rounding(power) + _rounding(torque)
    if due > torque.value * (1 + slack):
        found = f"power of {power.text}, which takes {shown('torque', due)}"
        expected = f"no more torque than its peak, {torque.text}"
        yield error("contradiction", power.place, found, expected, _AGAIN)


def _power_at_torque(power: Number, torque: Number) -> Iterator[Finding]:
    """No more power at the torque peak than at the power peak."""
    assert torque.at is not None
    due = float(power_from_torque(torque.value, torque.at.value))
    slack = PEAK_TOLERANCE + _rounding(power) + _rounding(torque)
    if due > power.value * (1 + slack):
        found = f"torque of {torque.text}, which makes {shown('power', due)}"
        expected = f"no more power than its peak, {power.text}"
        yield error("contradiction", torque.place, found, expected, _AGAIN)


_AGAIN = "both figures again with their units and engine speeds, from the same pull"


def _rounding(figure: Number) -> float:
    return allowance(figure) / figure.value


def peak_speeds(build: Build) -> Iterator[Finding]:
    """No peak lies beyond the engine's highest speed."""
    top = build.engine.max_speed
    for peaks in _peaks(build) if top else ():
        for figure in (peaks.power, peaks.torque, peaks.boost):
            if top and figure and figure.at and figure.at.value > top.value * (1 + OVERSPEED):
                yield _overspeed(figure.place, f"a peak at {figure.at.text}", top)


def curve_speeds(build: Build) -> Iterator[Finding]:
    """No curve goes beyond the engine's highest speed."""
    top = build.engine.max_speed
    for session in build.sessions if top else ():
        for pull in session.pulls:
            if top and pull.curve and pull.curve_file:
                last = float(pull.curve.engine_speed[-1])
                if last > top.value * (1 + OVERSPEED):
                    found = f"a curve up to {shown('engine_speed', last)}"
                    yield _overspeed(pull.curve_file.place, found, top)


def _overspeed(place: Place, found: str, top: Number) -> Finding:
    hint = "the engine speed as it was read, or the engine's max_speed as it is now"
    expected = f"at most {top.text}, the engine's max_speed"
    return warning("beyond-limit", place, f"{found}, beyond the engine's limit", expected, hint)


#: The measuring points each kind of dyno can have at all.
_POINTS = {"engine": ("flywheel",), "hub": ("hub", "flywheel"), "roller": ("roller", "flywheel")}


def measuring_point(build: Build) -> Iterator[Finding]:
    """A dyno measures where it takes hold; flywheel figures from the wheels are a calculation."""
    for session in build.sessions:
        kind, point = session.dyno.kind.value, session.dyno.measured_at
        if NOT_RECORDED in (kind, point.value):
            continue
        own = _POINTS[kind][0]
        if point.value not in _POINTS[kind]:
            found = f"a dyno of kind {kind} that measures at the {point.value}"
            hint = f"measured_at: {own}"
            expected = f"measured_at {own}"
            yield error("contradiction", point.place, found, expected, hint)
        elif point.value != own:
            found = (
                f"flywheel figures from a dyno of kind {kind}: its own guess of losses is in them"
            )
            expected = f"figures at the {own}, which is where it takes hold"
            hint = (
                f"measured_at: {own}, with the figures read there; or leave it if only these exist"
            )
            yield warning("unclear", point.place, found, expected, hint)


def recomputable_correction(build: Build) -> Iterator[Finding]:
    """Corrected figures come with their factor, or with the air it follows from."""
    for session in build.sessions:
        figures = session.figures
        standard = figures.standard
        if figures.state != "corrected" or figures.factor or standard is None:
            continue
        missing = _missing_air(session.air, standard.value)
        if missing:
            words = listed(missing, "and")
            found = f"figures corrected to {standard.value} without factor, and no {words}"
            hint = f"factor: 1.023, as the dyno's paper prints it; or {words} under air"
            expected = "the factor, or the air from which it follows"
            yield warning("unclear", figures.place, found, expected, hint)


def _missing_air(air: Air, standard: str) -> list[str]:
    """Name what a standard's factor needs and the session does not have."""
    needed = ["pressure", "temperature"]
    needed += [] if standard == "din-70020" else ["humidity"]
    if air.barometer and air.barometer.value == "sea-level":
        needed.append("elevation")
    return [name for name in needed if getattr(air, name) is None]


def sea_level_barometer(build: Build) -> Iterator[Finding]:
    """A barometer reduced to sea level is turned back by the elevation."""
    for session in build.sessions:
        air = session.air
        if air.barometer and air.barometer.value == "sea-level" and air.elevation is None:
            found = "a barometer reduced to sea level, and no elevation"
            expected = "the elevation of the dyno, to turn the pressure back"
            hint = "elevation: 600 m, with the dyno's own height; or a station barometer's reading"
            yield warning("unclear", air.barometer.place, found, expected, hint)


def pressure_at_elevation(build: Build) -> Iterator[Finding]:
    """The pressure is one that the place can have."""
    for session in build.sessions:
        yield from _odd_pressure(session)


def _odd_pressure(session: Session) -> Iterator[Finding]:
    air = session.air
    if air.pressure is None or air.elevation is None:
        return
    if not quantity("elevation").is_plausible(air.elevation.value):
        return  # which the schema has said
    reduced = air.barometer is not None and air.barometer.value == "sea-level"
    station = float(standard_pressure(air.elevation.value))
    due, other = (SEA_LEVEL, station) if reduced else (station, SEA_LEVEL)
    if _is_near(air.pressure.value, due):
        return
    kinds = ("sea-level", "station") if reduced else ("station", "sea-level")
    words = {"sea-level": "reduced to sea level", "station": "of the place itself"}
    fits_other = _is_near(air.pressure.value, other)
    found = f"air pressure of {air.pressure.text} at {air.elevation.text}"
    found += f", which looks like one {words[kinds[1]]}" if fits_other else ""
    hint = (
        f"barometer: {kinds[1]}" if fits_other else "pressure and elevation again as they were read"
    )
    expected = f"about {shown('air_pressure', due)} from a barometer {words[kinds[0]]}"
    yield warning("unclear", air.pressure.place, found, expected, hint)


def _is_near(pressure: float, due: float) -> bool:
    return abs(pressure - due) <= WEATHER * due
