"""Rows of a setup that are estimated from the blower's supply and the engine's demand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from operator import attrgetter, itemgetter
from typing import Any

import numpy as np

from specgen.analysis import defaults
from specgen.analysis.estimate import (
    Losses,
    breathing_curve,
    centrifugal_blower,
    displacement_blower,
    gauge,
)
from specgen.analysis.row import Row, point
from specgen.analysis.scope import (
    Default,
    Derived,
    FirstOf,
    Made,
    Output,
    Rule,
    Scope,
    Stated,
    given,
)
from specgen.archive.model import Blower, Build
from specgen.physics import air, breathing, matching, pulley

#: Speeds of an estimate, from a third of the highest engine speed upwards.
GRID_POINTS, GRID_START = 29, 0.3

#: field of `matching.Match` (boost is made beside it), quantity, what the row is called
_FIGURES = (
    ("boost", "boost", "Boost"),
    ("manifold_pressure", "manifold_pressure", "Manifold pressure"),
    ("inlet_pressure", "inlet_pressure", "Pressure at the blower inlet"),
    ("discharge_pressure", "discharge_pressure", "Discharge pressure"),
    ("discharge_temperature", "discharge_temperature", "Discharge temperature"),
    ("charge_temperature", "charge_temperature", "Charge temperature"),
    ("pressure_ratio", "pressure_ratio", "Pressure ratio over the blower"),
    ("mass_flow", "air_mass_flow", "Air mass flow"),
    ("drive_power", "blower_drive_power", "Power to drive the blower"),
    ("blower_volumetric_efficiency", "volumetric_efficiency",
     "Volumetric efficiency of the blower"),
)  # fmt: skip
_LOSSES = tuple(item.name for item in fields(Losses))
_OUTPUTS = tuple(
    Output(f"estimated_{field}", quantity_key, f"{title}, estimated", itemgetter(field))
    for field, quantity_key, title in _FIGURES
)


def _estimate(model: Callable[..., matching.Match]) -> Callable[..., dict[str, Any]]:
    """Let a model take the losses' parameters beside its own, and give figures by name."""
    read = {name: attrgetter(name) for name, _, _ in _FIGURES if name != "boost"}

    def figures(**values: Any) -> dict[str, Any]:
        losses = Losses(**{name: values.pop(name) for name in _LOSSES if name in values})
        match = model(**values, losses=losses)
        if not match.solved.any():
            raise ValueError(match.reason)
        named = {name: take(match) for name, take in read.items()}
        return {**named, "boost": gauge(match, values["pressure"])}

    return figures


_SHARED = {
    "speed": "speed",
    "pressure": "estimate_pressure",
    "temperature": "estimate_temperature",
    "swept_volume": "swept_volume",
    "volumetric_efficiency": "breathing",
    "mechanical_efficiency": "mechanical_efficiency",
    "speed_ratio": "rotor_ratio",
    "inlet_drop": "inlet_drop",
    "effectiveness": "effectiveness",
    "cooler_drop": "cooler_drop",
    "reference_speed": "loss_speed",
    "reference_ratio": "loss_ratio",
}
_OPTIONS = {"coolant_temperature": "coolant_temperature"}
_DISPLACEMENT = Derived(
    _OUTPUTS,
    _estimate(displacement_blower),
    {
        **_SHARED,
        "displacement": "blower_displacement",
        "limit_efficiency": "limit_efficiency",
        "leak_area": "leak_area",
        "built_in_ratio": "built_in_ratio",
    },
    options=_OPTIONS,
    shown=matching.match,
    basis="estimated",
    over_speed=True,
)
_CENTRIFUGAL = Derived(
    _OUTPUTS,
    _estimate(centrifugal_blower),
    {
        **_SHARED,
        "design_ratio": "design_ratio",
        "design_speed": "design_speed",
        "isentropic_efficiency": "design_efficiency",
    },
    options=_OPTIONS,
    shown=matching.match_centrifugal,
    basis="estimated",
    over_speed=True,
)


def _matching(scope: Scope) -> Mapping[str, Row]:
    """Estimate by the kind of blower, or say why there is nothing to estimate."""
    blower = scope.subjects.get("blower")
    if isinstance(blower, Blower):
        rule = _CENTRIFUGAL if blower.kind.value == "centrifugal" else _DISPLACEMENT
        return rule.rows(scope)
    build = scope.subjects.get("build")
    turbocharged = isinstance(build, Build) and build.induction.turbocharger is not None
    reason = (
        "a turbocharger's boost is set by its control, not by pulleys: measured only"
        if turbocharged
        else "naturally aspirated: no blower"
    )
    return {
        output.key: scope.absent(output.key, output.quantity, output.title, reason)
        for output in _OUTPUTS
    }


def _speed_grid(scope: Scope) -> Mapping[str, Row]:
    """Engine speeds at which the setup is estimated."""
    key, top = "speed", scope["max_speed"]
    if not top.present:
        return {key: scope.absent(key, "engine_speed", "", "highest engine speed not recorded")}
    grid = np.linspace(GRID_START * top.scalar, top.scalar, GRID_POINTS)
    source = "thirty per cent to all of the highest speed"
    return {key: scope.present(key, "engine_speed", grid, "Engine speeds of the estimate",
                               source=source)}  # fmt: skip


def _reference_air(scope: Scope) -> Mapping[str, Row]:
    """The reference air of ISO 1585, with one kilopascal of vapour in it."""
    return {
        "reference_pressure": scope.present(
            "reference_pressure", "air_pressure", 100e3, "Reference air pressure",
            source="99 kPa dry and 1 kPa of vapour, reference of ISO 1585"),
        "reference_temperature": scope.present(
            "reference_temperature", "air_temperature", 298.15, "Reference air temperature",
            source="25 °C, reference of ISO 1585"),
    }  # fmt: skip


def _loss_reference(scope: Scope) -> Mapping[str, Row]:
    """Where the stated pressure losses hold: their own speed, the drive's own pulleys."""
    own, build = scope["rotor_ratio"], scope.subjects.get("build")
    speed = scope["inlet_drop"].at or scope["max_speed"]
    ratio = replace(own, key="loss_ratio", title="Speed ratio at which the losses are stated")
    drive = build.drive if isinstance(build, Build) else None
    if own.present and drive and drive.crank_pulley and drive.blower_pulley:
        pitch = pulley.pitch_ratio(drive.crank_pulley.value, drive.blower_pulley.value)
        ratio = replace(ratio, value=pitch * scope["internal_ratio"].scalar, spread={},
                        source="on the drive's own pulleys")  # fmt: skip
    title = "Engine speed at which the losses are stated"
    return {"loss_speed": replace(speed, key="loss_speed", title=title), "loss_ratio": ratio}


def _at_top(key: str, curve: str, title: str) -> Made:
    """The figure of an estimated curve at the highest engine speed."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        whole = scope[curve]
        if not whole.present:
            return {key: scope.absent(key, whole.quantity.key, title, whole.reason)}
        return {key: point(whole, scope["speed"], scope["max_speed"], key, title)}

    return Made((key,), rows)


_FLOW_AT_TOP = "Air mass flow at the highest speed, estimated"
_NATURAL_FLOW = Derived(
    (Output("air_flow_at_top", "air_mass_flow", _FLOW_AT_TOP),),
    breathing.air_mass_flow,
    {
        "volumetric_efficiency": "breathing_at_top",
        "density": "estimate_density",
        "swept_volume": "swept_volume",
        "speed": "max_speed",
    },
    basis="estimated",
)


def _air_flow(scope: Scope) -> Mapping[str, Row]:
    """Air flow at the highest speed: by the blower, or what a natural engine breathes."""
    build = scope.subjects.get("build")
    natural = isinstance(build, Build) and build.induction.natural is not None
    blown = _at_top("air_flow_at_top", "estimated_mass_flow", _FLOW_AT_TOP)
    return (_NATURAL_FLOW if natural else blown).rows(scope)


_DESIGN = "no operating point of the centrifugal blower recorded"

ESTIMATE: tuple[Rule, ...] = (
    Made(("reference_pressure", "reference_temperature"), _reference_air),
    FirstOf("estimate_pressure", ("station_pressure", "reference_pressure")),
    FirstOf("estimate_temperature", ("air_temperature", "reference_temperature")),
    given("estimate_density", "air_density", air.dry_air_density,
          pressure="estimate_pressure", temperature="estimate_temperature"),
    Made(("speed",), _speed_grid),
    Derived((Output("breathing", "volumetric_efficiency", "Volumetric efficiency over speed"),),
            breathing_curve,
            {"speed": "speed", "volumetric_efficiency": "volumetric_efficiency",
             "best_speed": "best_speed"}, basis="estimated", over_speed=True),
    Stated("design_ratio", "pressure_ratio", "blower.design_point.pressure_ratio",
           title="Pressure ratio at the blower's stated point",
           uncertainty=defaults.relative(0.02, defaults.PRACTICE), missing=_DESIGN),
    Stated("design_speed", "blower_speed", "blower.design_point.speed",
           title="Speed at the blower's stated point", missing=_DESIGN),
    Stated("design_efficiency", "isentropic_efficiency",
           "blower.design_point.isentropic_efficiency",
           uncertainty=defaults.absolute(0.02, defaults.PRACTICE),
           default=lambda _: Default(0.70, 0.05, defaults.PRACTICE)),
    Made(("loss_speed", "loss_ratio"), _loss_reference),
    Made(tuple(output.key for output in _OUTPUTS), _matching),
    _at_top("boost_at_top", "estimated_boost", "Boost at the highest speed, estimated"),
    _at_top("discharge_temperature_at_top", "estimated_discharge_temperature",
            "Discharge temperature at the highest speed, estimated"),
    _at_top("charge_temperature_at_top", "estimated_charge_temperature",
            "Charge temperature at the highest speed, estimated"),
    _at_top("drive_power_at_top", "estimated_drive_power",
            "Power to drive the blower at the highest speed, estimated"),
    _at_top("breathing_at_top", "breathing", "Volumetric efficiency at the highest speed"),
    Made(("air_flow_at_top",), _air_flow),
)  # fmt: skip
