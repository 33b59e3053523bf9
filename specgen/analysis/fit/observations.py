"""What a pull says to the fit: a few points over speed, and how far each may be off.

A curve is thinned to nine points. A reading is off in three ways: all of a session alike (its
instrument), all of a pull alike, and each point for itself. Nobody states how an instrument's
uncertainty parts into these, so that each has an equal share of the variance.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from math import radians, sqrt
from typing import Any, ClassVar

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.tables.defaults import (
    POWER_SHARE,
    PRACTICE,
    PRESSURE_SHARE,
    pressure_share,
)
from specgen.analysis.tables.estimated import rule_of
from specgen.analysis.words import fuel_words
from specgen.archive.model.build import Pull, Session, Setup

#: Points that a curve is thinned to.
_POINTS = 9


@dataclass(frozen=True, slots=True)
class Allowed:
    """What instrument and model leave open of one figure, common practice, no source.

    `relative`: sizes are shares of the figure, of the whole manifold pressure for boost; else SI.
    `instrument` stands where the reading has no uncertainty of its own; `model` is what the model
    leaves out, of a pull as a whole and of each point again.
    """

    column: str
    model: float
    relative: bool = False
    instrument: float = 0.0


#: By figure of the estimate. Boost stands for the manifold's pressure, the drop for the inlet's.
FIGURES: dict[str, Allowed] = {
    "boost": Allowed("boost_curve", PRESSURE_SHARE, relative=True),
    "power": Allowed("observed_power_curve", POWER_SHARE, relative=True),
    "inlet_pressure": Allowed("inlet_pressure_drop_curve", 0.3e3),
    "intake_temperature": Allowed("intake_temperature_curve", 2.0),
    "discharge_temperature": Allowed("discharge_temperature_curve", 4.0),
    "charge_temperature": Allowed("charge_temperature_curve", 4.0),
    "mass_flow": Allowed("air_mass_flow_curve", 0.01, relative=True, instrument=0.02),
    "fuel_mass_flow": Allowed("fuel_mass_flow_curve", 0.015, relative=True, instrument=0.02),
    "mixture": Allowed("lambda_curve", 0.01, instrument=0.015),
    "blower_speed": Allowed("blower_speed_curve", 0.003, relative=True),
    "ignition_advance": Allowed("ignition_advance_curve", radians(1.5), instrument=radians(1.0)),
}


#: Unknowns that a logged ignition brings with it: value and standard uncertainty in degrees, title.
#: Common practice, no source.
BEST_SPARK = {
    "best_spark": (28.0, 6.0, "Best ignition advance at 100 kPa and 2000 rpm, were there no knock"),
    "best_spark_speed": (4.0, 4.0, "Best ignition advance, more at twice the engine speed"),
    "best_spark_pressure": (7.0, 4.0, "Best ignition advance, less at 100 kPa more"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Observation:
    """One pull at its points: the estimate's inputs there, what was measured, how well.

    `model` is the very function that makes the sheet's estimates. `own` is each point's standard
    uncertainty for itself, `level` what all points of the pull share, `gain` what all of its
    session share.
    """

    FIGURES: ClassVar[tuple[str, ...]] = tuple(FIGURES)

    pull: str
    setup: str
    session: str
    fuel: str
    point: str
    inputs: dict[str, Any]
    parameters: dict[str, Row]
    names: dict[str, str]
    model: Callable[..., dict[str, Any]]
    measured: dict[str, Array]
    own: dict[str, Array] = field(default_factory=dict)
    level: dict[str, Array] = field(default_factory=dict)
    gain: dict[str, Array] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """How many points there are."""
        return len(self.inputs["speed"])

    def values(self, figure: str) -> Array:
        """Measured values of a figure; not a number where there are none."""
        return self.measured.get(figure, np.full(self.size, np.nan))

    def part(self, sizes: dict[str, Array], figure: str) -> Array:
        """One of the three standard uncertainties of a figure; one where it was not measured."""
        return sizes.get(figure, np.ones(self.size))

    def input_of(self, key: str) -> str:
        """The estimate's name for a row's key."""
        return self.names.get(key, key)


def observation_of(
    pull: Pull, setup: Setup, session: Session, rows: Scope, prior: Scope, kind: Kind
) -> Observation | None:
    """Thin a pull to its observation; None where nothing of it can be compared.

    `rows` are the pull's own, `prior` the setup's in the air of the pull's session before any fit.
    """
    rule = rule_of(prior, kind)
    keys = {**rule.inputs, **rule.options}
    found = {name: prior[key] for name, key in keys.items()}
    if "indicated_efficiency" in keys and _logs_ignition(prior):
        found |= best_sparks(prior)
        keys |= {name: name for name in BEST_SPARK}
    known = {name: row for name, row in found.items() if row.present}
    if set(rule.inputs) - set(known):
        return None
    speeds, measured, sizes = _curves(rows) if pull.curve else _peaks(rows)
    if not measured:
        return None
    gauge = known["pressure"].scalar
    if "inlet_pressure" in measured:
        measured["inlet_pressure"] = gauge - measured["inlet_pressure"]
    own, level, gain = _parted(measured, sizes, gauge, pressure_share(prior))
    return Observation(
        pull.id,
        setup.id.value,
        str(session.date.place),
        fuel_words(setup.fuel),
        session.dyno.measured_at.value,
        {name: row.value for name, row in known.items()} | {"speed": speeds},
        {keys[name]: row for name, row in known.items()},
        {key: name for name, key in keys.items()},
        rule.function,
        measured,
        own,
        level,
        gain,
    )


def _logs_ignition(scope: Scope) -> bool:
    """Whether any pull of the build has its ignition logged: then all are told of it alike."""
    build = scope.subjects.build
    pulls = [pull for session in build.sessions for pull in session.counted] if build else []
    return any(pull.curve and "ignition_advance" in pull.curve.columns for pull in pulls)


def best_sparks(scope: Scope) -> dict[str, Row]:
    """Where an engine's spark would stand were there no knock: rows that only a log asks for."""
    return {
        key: scope.present(key, "ignition_advance", radians(value), title,
                           source=f"standard uncertainty {doubt:.0f}°; {PRACTICE}",
                           spread={f"default {key}": radians(doubt)})
        for key, (value, doubt, title) in BEST_SPARK.items()
    }  # fmt: skip


def _curves(rows: Scope) -> tuple[Array, dict[str, Array], dict[str, Array]]:
    """Means over equal stretches of the speed range."""
    speed = rows["speed_curve"].curve
    edges = np.linspace(0, len(speed), min(_POINTS, len(speed)) + 1).astype(int)
    stretches = [slice(a, b) for a, b in pairwise(edges)]
    thinned = np.array([speed[stretch].mean() for stretch in stretches])
    measured, sizes = {}, {}
    for figure, allowed in FIGURES.items():
        row = rows[allowed.column]
        if row.present and np.isfinite(row.curve).all():
            measured[figure] = np.array([row.curve[stretch].mean() for stretch in stretches])
            known = 0.0 if row.uncertainty is None else row.uncertainty
            size = np.broadcast_to(np.asarray(known, float), speed.shape)
            sizes[figure] = np.array([size[stretch].mean() for stretch in stretches])
    return thinned, measured, sizes


def _peaks(rows: Scope) -> tuple[Array, dict[str, Array], dict[str, Array]]:
    """Each peak with its speed is one point; torque counts as power at its own speed."""
    found: list[tuple[float, str, float, float]] = []
    for key, figure in (
        ("observed_power", "power"),
        ("observed_torque", "power"),
        ("boost", "boost"),
    ):
        row = rows[key]
        if not row.present or row.at is None:
            continue
        speed = row.at.scalar
        turn = 2 * np.pi * speed if key == "observed_torque" else 1.0
        found.append((speed, figure, row.scalar * turn, (row.expanded or 0.0) / 2 * turn))
    speeds = np.array([item[0] for item in found])
    measured, sizes = {}, {}
    for figure in {item[1] for item in found}:
        measured[figure] = np.array([x[2] if x[1] == figure else np.nan for x in found])
        sizes[figure] = np.array([x[3] if x[1] == figure else 1.0 for x in found])
    return speeds, measured, sizes


def _parted(
    measured: dict[str, Array], sizes: dict[str, Array], pressure: float, share: float
) -> tuple[dict[str, Array], dict[str, Array], dict[str, Array]]:
    """How far each point for itself, each pull, and each session may be off."""
    own, level, gain = {}, {}, {}
    for figure, values in measured.items():
        allowed = FIGURES[figure]
        whole = values + pressure if figure == "boost" else np.abs(values)
        scale = whole if allowed.relative else np.ones_like(values)
        third = np.maximum(sizes[figure], allowed.instrument * scale) / sqrt(3)
        model = share if figure == "boost" else allowed.model
        own[figure] = level[figure] = np.hypot(third, model * scale)
        gain[figure] = third
    return own, level, gain
