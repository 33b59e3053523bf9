"""What a pull says to the fit: a few points over speed, each with its standard uncertainty.

A curve is thinned to nine points. Neighbouring points of one pull share the dyno's and the
model's faults, so that a whole curve counts as no more than a few independent readings.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, ClassVar

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Scope
from specgen.analysis.tables.estimated import rule_of
from specgen.analysis.words import fuel_words
from specgen.archive.model.build import Pull, Session, Setup

#: Points that a curve is thinned to, and how many independent readings it counts as.
_POINTS, _INDEPENDENT = 9, 3.0

#: What the model leaves out, as a share of the figure: of manifold pressure, of power.
_PRESSURE_SHARE, _POWER_SHARE = 0.006, 0.010
#: The same for charge temperature [K], which a sensor in the manifold reads late.
_TEMPERATURE = 6.0


@dataclass(frozen=True, slots=True, eq=False)
class Observation:
    """One pull at its points: the estimate's inputs there, what was measured, how well.

    `model` is the very function that makes the sheet's estimates.
    """

    FIGURES: ClassVar[tuple[str, ...]] = ("boost", "power", "charge_temperature", "inlet_pressure")

    pull: str
    setup: str
    fuel: str
    point: str
    inputs: dict[str, Any]
    parameters: dict[str, Row]
    names: dict[str, str]
    model: Callable[..., dict[str, Any]]
    measured: dict[str, Array]
    uncertainty: dict[str, Array]

    @property
    def size(self) -> int:
        """How many points there are."""
        return len(self.inputs["speed"])

    def values(self, figure: str) -> Array:
        """Measured values of a figure; not a number where there are none."""
        return self.measured.get(figure, np.full(self.size, np.nan))

    def sizes(self, figure: str) -> Array:
        """Standard uncertainty of each value, correlation within the pull allowed for."""
        return self.uncertainty.get(figure, np.ones(self.size))

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
    known = {name: row for name, row in found.items() if row.present}
    if set(rule.inputs) - set(known):
        return None
    speeds, measured, sizes = _curves(rows) if pull.curve else _peaks(rows)
    if not measured:
        return None
    gauge = known["pressure"].scalar
    if "inlet_pressure" in measured:
        measured["inlet_pressure"] = gauge - measured["inlet_pressure"]
    _allow(measured, sizes, gauge)
    return Observation(
        pull.id,
        setup.id.value,
        fuel_words(setup.fuel),
        session.dyno.measured_at.value,
        {name: row.value for name, row in known.items()} | {"speed": speeds},
        {keys[name]: row for name, row in known.items()},
        {key: name for name, key in keys.items()},
        rule.function,
        measured,
        sizes,
    )


_COLUMNS = {
    "boost": "boost_curve",
    "power": "observed_power_curve",
    "charge_temperature": "charge_temperature_curve",
    "inlet_pressure": "inlet_pressure_drop_curve",
}


def _curves(rows: Scope) -> tuple[Array, dict[str, Array], dict[str, Array]]:
    """Means over equal stretches of the speed range."""
    speed = rows["speed_curve"].curve
    edges = np.linspace(0, len(speed), min(_POINTS, len(speed)) + 1).astype(int)
    stretches = [slice(a, b) for a, b in pairwise(edges)]
    thinned = np.array([speed[stretch].mean() for stretch in stretches])
    measured, sizes = {}, {}
    widen = np.sqrt(max(len(thinned) / _INDEPENDENT, 1.0))
    for figure, key in _COLUMNS.items():
        row = rows[key]
        if row.present and np.isfinite(row.curve).all():
            measured[figure] = np.array([row.curve[stretch].mean() for stretch in stretches])
            known = 0.0 if row.uncertainty is None else row.uncertainty
            size = np.broadcast_to(np.asarray(known, float), speed.shape)
            sizes[figure] = widen * np.array([size[stretch].mean() for stretch in stretches])
    return thinned, measured, sizes


_PEAKS = {"observed_power": "power", "observed_torque": "power", "boost": "boost"}


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


def _allow(measured: dict[str, Array], sizes: dict[str, Array], pressure: float) -> None:
    """Widen each uncertainty by what the model leaves out."""
    for figure, values in measured.items():
        leaves = {
            "boost": _PRESSURE_SHARE * (values + pressure),
            "power": _POWER_SHARE * values,
            "charge_temperature": _TEMPERATURE * np.ones_like(values),
            "inlet_pressure": 0.3e3 * np.ones_like(values),
        }[figure]
        widen = np.sqrt(max(np.isfinite(values).sum() / _INDEPENDENT, 1.0))
        sizes[figure] = np.hypot(sizes[figure], widen * leaves)
