"""Checks of how hot the air leaves the blower: as it was read, and as its pulleys let expect.

What is expected here is a rough balance that rests on the files alone; the sheet's own estimate
knows more. So only what lies beyond the limit by it is told, and told as about.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from specgen.archive.checks.drive import pairs
from specgen.archive.checks.readings import SWEEPS, sweep_share
from specgen.archive.model.build import Blower, Build, ChargeCooler, Setup
from specgen.archive.phrases.figures import shown, warning
from specgen.findings import Finding, Place
from specgen.physics.air import KAPPA, ZERO_CELSIUS
from specgen.physics.compression import (
    centrifugal_pressure_ratio,
    discharge_temperature,
    work_over_inlet_pressure,
)
from specgen.physics.engine import swept_volume
from specgen.physics.pulley import pitch_ratio

#: Hotter air than this hardly leaves a blower whose seals and coatings last: common practice, no
#: source.
HOTTEST = ZERO_CELSIUS + 200.0
#: What the rough balance takes for granted, all common practice without a source: air of 25 degC,
#: how a blower and an engine fill, a cooler that nobody measured, an impeller without a figure.
_OUTSIDE, _FILLS, _BREATHES, _COOLS, _IMPELLER = ZERO_CELSIUS + 25.0, 0.85, 0.90, 0.65, 0.70
#: Compression inside by kind of blower, where its file is silent: common practice, no source.
_INSIDE = {"lobe": 1.0, "vane": 1.3, "screw": 1.3}
#: Rounds in which supply and demand settle: each round's error is about a third of the last one's.
_ROUNDS = 40
_EXPECTED = "at most about {limit}, which the parts behind a blower are usually built for"


def hot_readings(build: Build) -> Iterator[Finding]:
    """No curve has the air leave the blower hotter than blowers stand."""
    for session in build.sessions:
        for pull in session.pulls:
            curve = pull.curve
            values = None if curve is None else curve.columns.get("discharge_temperature")
            if curve is None or values is None or not np.isfinite(values).any():
                continue
            index = int(np.nanargmax(values))
            if values[index] <= HOTTEST:
                continue
            found = (
                f"air that leaves the blower at "
                f"{shown('discharge_temperature', float(values[index]))}, at "
                f"{shown('engine_speed', float(curve.engine_speed[index]))}"
            )
            hint = "the unit of that column again; if it is right, a slower blower or more cooling"
            yield warning("beyond-limit", curve.place, found, _expected(), hint)


def hot_setups(build: Build, blower: Blower) -> Iterator[Finding]:
    """No setup asks so much of the blower that its air leaves it hotter than blowers stand."""
    for crank, pulley, place, name, setup in pairs(build):
        if _held(build, setup):
            continue
        inside = blower.internal_ratio.value if blower.internal_ratio else 1.0
        turns = float(pitch_ratio(crank.value, pulley.value)) * inside
        hot = _displaced(build, blower, turns) if blower.displaces else _spun(build, blower, turns)
        about = None if hot is None else _rounded(hot)
        if about is not None and about > HOTTEST:
            yield _told(place, name, about, build)


def _expected() -> str:
    return _EXPECTED.format(limit=shown("discharge_temperature", HOTTEST))


def _rounded(temperature: float) -> float:
    """A temperature [K] to ten degrees Celsius, as a rough balance gives it."""
    return ZERO_CELSIUS + 10.0 * round((temperature - ZERO_CELSIUS) / 10.0)


def _told(place: Place, name: str, about: float, build: Build) -> Finding:
    top = build.engine.max_speed
    at = f" with the engine at {top.text}" if top else " at the highest engine speed"
    hot = shown("discharge_temperature", about)
    found = f"{name} lets expect air that leaves the blower at about {hot}{at}"
    hint = "a larger blower_pulley, or displacement, bore, stroke and pulleys again"
    return warning("beyond-limit", place, found, _expected(), hint)


def _held(build: Build, setup: Setup | None) -> bool:
    """Whether a control keeps boost below what the pulleys would give."""
    control = (setup.boost_control if setup else None) or build.induction.boost_control
    return control is not None and control.value != "fixed-ratio"


def _displaced(build: Build, blower: Blower, turns: float) -> float | None:
    """Discharge temperature [K] of a blower that displaces, where supply and demand meet.

    The engine swallows by the density in its manifold, and a warm charge by the root of its
    temperature less badly; the blower's work goes into the air.
    """
    if blower.displacement is None:
        return None
    engine = build.engine
    swept = float(swept_volume(engine.bore.value, engine.stroke.value, engine.cylinders.value))
    share = sweep_share(blower.displacement.value, turns, swept)
    if not SWEEPS[0] <= share <= SWEEPS[1]:
        return None  # told already, as a blower for another engine
    supply = share * _FILLS / _BREATHES
    inside = blower.built_in_ratio.value if blower.built_in_ratio else _INSIDE[blower.kind.value]
    cooling = _cooling(build.induction.charge_cooler)
    ratio, warm = supply, 1.0
    for _ in range(_ROUNDS):
        work = float(work_over_inlet_pressure(max(ratio, 1.0), max(inside, 1.0)))
        warm = 1.0 + (KAPPA - 1.0) / KAPPA * work / _FILLS
        ratio = supply * (warm - cooling * (warm - 1.0)) ** 0.5
    return _OUTSIDE * warm


def _spun(build: Build, blower: Blower, turns: float) -> float | None:
    """Discharge temperature [K] of a centrifugal blower at its highest speed here."""
    point, top = blower.design_point, build.engine.max_speed
    if point is None or top is None or point.pressure_ratio.value < 1:
        return None
    speed = top.value * turns
    ratio = centrifugal_pressure_ratio(point.pressure_ratio.value, speed, point.speed.value)
    stated = point.isentropic_efficiency
    efficiency = min(stated.value if stated else _IMPELLER, 1.0)
    return float(discharge_temperature(_OUTSIDE, ratio, efficiency))


def _cooling(cooler: ChargeCooler | None) -> float:
    """Share of the heat that the charge cooler takes out; none where there is no cooler."""
    if cooler is None:
        return 0.0
    return min(cooler.effectiveness.value if cooler.effectiveness else _COOLS, 1.0)
