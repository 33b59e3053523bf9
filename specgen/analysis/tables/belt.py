"""Rows of a setup that belong to its belt: the path on its pulleys, and how much grip is used."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from math import radians
from operator import attrgetter
from typing import NamedTuple

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import (
    Default,
    Derived,
    Made,
    Output,
    Parameter,
    Rule,
    Scope,
    Stated,
)
from specgen.analysis.tables import defaults
from specgen.archive.belts import belt_line
from specgen.archive.model.build import Drive
from specgen.physics import Unphysical, belt, layout, pulley

#: Angle between the flanks of a PK groove; from memory.
GROOVE = radians(40.0)
#: Mass of a PK belt for each metre and rib [kg/m], with its standard uncertainty; from memory.
_RIB, _RIB_UNCERTAINTY = 0.015, 0.003
#: Wrap where no layout is recorded, with its standard uncertainty.
_WRAP, _WRAP_UNCERTAINTY = radians(150.0), radians(15.0)

_NO_LAYOUT = "no layout of the belt recorded"


class Path(NamedTuple):
    """What a layout says of the belt: effective length [m], wraps [rad], place in the travel."""

    length: float
    crank_wrap: float
    blower_wrap: float


def _worked(drive: Drive, crank_pulley: float, blower_pulley: float, belt_allowance: float) -> Path:
    """The path of the belt over a pair of pulleys; Unphysical where there is none."""
    line = belt_line(drive, crank_pulley, blower_pulley)
    if line is None:
        raise Unphysical("the layout of the belt is not complete")
    return Path(line.length + belt_allowance, line.wrap("crank"), line.wrap("blower"))


_PATH = (
    Output("belt_path", "belt_length", "Belt that the path asks for", attrgetter("length")),
    Output("crank_wrap", "wrap", "Wrap on the crank pulley", attrgetter("crank_wrap")),
    Output("blower_wrap", "wrap", "Wrap on the blower pulley", attrgetter("blower_wrap")),
)


def _path(scope: Scope) -> Mapping[str, Row]:
    """The path over this setup's pulleys, on the belt's pitch line."""
    build = scope.subjects.build
    if build is None or not build.drive.layout:
        return {item.key: scope.absent(item.key, item.quantity, item.title, _NO_LAYOUT)
                for item in _PATH}  # fmt: skip
    names = ("crank_pulley", "blower_pulley", "belt_allowance")
    worked = partial(_worked, build.drive)
    rule = Derived(_PATH, worked, {name: name for name in names}, shown=layout.belt_path)
    return rule.rows(scope)


def _slack(scope: Scope) -> Mapping[str, Row]:
    """How much longer the belt that is on is than the path; a tensioner takes that up."""
    key, title = "belt_slack", "Belt that is on, longer than the path by"
    inputs = {"on": "belt_on", "path": "belt_path"}
    shown = pulley.effective_belt_length
    rule = Derived((Output(key, "belt_slack", title),), _longer, inputs, shown=shown)
    return rule.rows(scope)


def _longer(on: float, path: float) -> float:
    return on - path


def _least_wrap(scope: Scope) -> Mapping[str, Row]:
    """The smaller wrap of crank and blower, where the belt slips first."""
    key, title = "least_wrap", "Least wrap of the driving and the driven pulley"
    known = [row for row in (scope["crank_wrap"], scope["blower_wrap"]) if row.present]
    if known:
        least = min(known, key=lambda row: row.scalar)
        return {key: least}
    return {key: scope.present(key, "wrap", _WRAP, title, spread={"wrap": _WRAP_UNCERTAINTY},
                               source=f"{_NO_LAYOUT}; 150°, {defaults.PRACTICE}")}  # fmt: skip


def _belt_mass(scope: Scope) -> Default | None:
    """Mass of the belt by its ribs, else by those of the blower's own pulley."""
    build, blower = scope.subjects.build, scope.subjects.blower
    fitted = build.drive.belt if build else None
    ribs = (fitted.ribs if fitted else None) or (blower.ribs if blower else None)
    if ribs is None:
        return None
    words = f"{1e3 * _RIB:.0f} g a metre for each of {ribs.value} ribs; from memory"
    return Default(_RIB * ribs.value, _RIB_UNCERTAINTY * ribs.value, words)


BELT: tuple[Rule, ...] = (
    Derived(
        (Output("crank_pitch_diameter", "pulley_diameter", "Crank pulley on the pitch line"),),
        pulley.pitch_diameter,
        {"effective_diameter": "crank_pulley"},
    ),
    Derived(
        (Output("belt_speed", "belt_speed", "Belt speed at the highest engine speed"),),
        pulley.belt_speed,
        {"diameter": "crank_pitch_diameter", "speed": "max_speed"},
    ),
    Parameter(
        "belt_allowance",
        "belt_slack",
        title="Allowance on the belt's path",
        default=defaults.fixed(0.0, 0.002, f"2 mm for centres as measured; {defaults.PRACTICE}"),
    ),
    Made(tuple(item.key for item in _PATH), _path),
    Stated(
        "belt_on",
        "belt_length",
        "build.drive.belt.length",
        title="Belt that is on",
        missing="no belt length recorded",
    ),
    Made(("belt_slack",), _slack),
    Made(("least_wrap",), _least_wrap),
    Stated(
        "belt_tension",
        "belt_tension",
        "build.drive.belt.tension",
        title="Belt tension at rest",
        uncertainty=defaults.relative(0.1, defaults.PRACTICE),
        missing="no belt tension recorded",
    ),
    Stated(
        "belt_friction",
        "friction",
        "build.drive.belt.friction",
        title="Friction of belt on pulley",
        uncertainty=defaults.relative(0.1, defaults.PRACTICE),
        default=defaults.fixed(0.35, 0.08),
    ),
    Parameter(
        "belt_mass",
        "linear_density",
        default=_belt_mass,
        title="Mass of the belt for each metre",
        missing="ribs of the belt not recorded",
    ),
    Derived(
        (
            Output(
                "belt_tension_ratio", "tension_ratio", "Ratio of the belt's pulls where it slips"
            ),
        ),
        belt.tension_ratio,
        {"friction": "belt_friction", "wrap": "least_wrap"},
        fixed={"groove_angle": GROOVE},
    ),
    Derived(
        (Output("centrifugal_tension", "belt_tension", "Pull by the belt's own mass"),),
        belt.centrifugal_tension,
        {"mass_per_length": "belt_mass", "belt_speed": "belt_speed"},
    ),
    Derived(
        (Output("slip_power", "power", "Power at which the belt slips at the highest speed"),),
        belt.slip_limit_power_at_rest_tension,
        {
            "rest_tension": "belt_tension",
            "belt_speed": "belt_speed",
            "tension_ratio": "belt_tension_ratio",
            "centrifugal": "centrifugal_tension",
        },
    ),
    Derived(
        (Output("grip_used", "grip_used", "Grip of the belt that is used at the highest speed"),),
        belt.grip_used,
        {"power": "drive_power_at_top", "slip_power": "slip_power"},
        basis="estimated",
    ),
)
