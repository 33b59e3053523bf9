"""Rows of a setup that are estimated from the blower's supply and the engine's demand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from operator import itemgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.estimate import MAPPED, Kind, breathing_curve, estimate
from specgen.analysis.rows.row import Row, point
from specgen.analysis.rows.scope import Derived, FirstOf, Made, Output, Rule, Scope, given
from specgen.analysis.shapes import KNOTS
from specgen.analysis.tables import defaults
from specgen.analysis.tables.boost_control import control_of
from specgen.analysis.tables.measured_map import marked
from specgen.physics import air, engine, knock, map_matching, matching, pulley

#: Speeds of an estimate, from a third of the highest engine speed upwards.
GRID_POINTS, GRID_START = 22, 0.3

#: figure of `estimate`, quantity, what the row is called, the formula a reader is told of
_FIGURES = (
    ("boost", "boost", "Boost", None),
    ("manifold_pressure", "manifold_pressure", "Manifold pressure", None),
    ("inlet_pressure", "inlet_pressure", "Pressure at the blower inlet", None),
    ("intake_temperature", "intake_temperature", "Temperature at the blower inlet", None),
    ("discharge_pressure", "discharge_pressure", "Discharge pressure", None),
    ("discharge_temperature", "discharge_temperature", "Discharge temperature", None),
    ("charge_temperature", "charge_temperature", "Charge temperature", None),
    ("pressure_ratio", "pressure_ratio", "Pressure ratio over the blower", None),
    ("mass_flow", "air_mass_flow", "Air mass flow", None),
    ("drive_power", "blower_drive_power", "Power to drive the blower", None),
    ("breathing", "volumetric_efficiency", "Volumetric efficiency", breathing_curve),
    ("octane_asked", "octane", "Octane asked for", knock.octane_needed),
    ("retard", "ignition_retard", "Ignition taken back for want of octane", knock.octane_needed),
    ("power", "power", "Power as observed", engine.brake_power),
    ("torque", "torque", "Torque as observed", engine.torque_from_power),
)
#: The output of each figure, in the order of the table.
_OUTPUTS = {
    name: Output(f"estimated_{name}", key, f"{title}, estimated", itemgetter(name), shown)
    for name, key, title, shown in _FIGURES
}
OUTPUTS = tuple(_OUTPUTS.values())
#: Rows that an engine without a blower has too.
_NATURAL = {"mass_flow", "breathing", "octane_asked", "retard", "power", "torque"}
_POWER = {"octane_asked", "retard", "power", "torque"}

_SHARED = {
    "speed": "speed",
    "pressure": "estimate_pressure",
    "temperature": "estimate_temperature",
    "relative_humidity": "estimate_humidity",
    "swept_volume": "swept_volume",
    "stroke": "stroke",
    "max_speed": "max_speed",
    "best_speed": "best_speed",
    "volumetric_efficiency": "volumetric_efficiency",
    **{f"breathing_{index + 1}": f"breathing_{index + 1}" for index in range(len(KNOTS))},
    "temperature_exponent": "temperature_exponent",
    "pressure_allowance": "pressure_allowance",
    "temperature_allowance": "temperature_allowance",
    "inlet_drop": "inlet_drop",
    "effectiveness": "effectiveness",
    "cooler_drop": "cooler_drop",
    "intake_warming": "intake_warming",
    "cooler_exponent": "cooler_exponent",
    "reference_speed": "loss_speed",
}
_BLOWN = {
    "mechanical_efficiency": "mechanical_efficiency",
    "speed_ratio": "rotor_ratio",
    "reference_ratio": "loss_ratio",
}
_BURNING = {
    "mixture": "mixture",
    "stoichiometric_ratio": "stoichiometric_ratio",
    "heating_value": "heating_value",
    "latent_heat": "latent_heat",
    "evaporation_share": "evaporation_share",
    "indicated_efficiency": "indicated_efficiency",
    **{f"burning_{index + 1}": f"burning_{index + 1}" for index in range(len(KNOTS))},
    "fuel_factor": "fuel_factor",
    "boost_exponent": "boost_exponent",
    "octane": "fuel_octane",
    "octane_need": "octane_need",
    "octane_slope": "octane_slope",
    "octane_fall": "octane_fall",
    "knock_cost": "knock_cost",
    "gas_exchange_share": "gas_exchange_share",
    "friction_share": "friction_share",
    "drive_line_efficiency": "drive_line_efficiency",
    "power_allowance": "power_allowance",
}
_OWN: dict[Kind, dict[str, str]] = {
    "displacement": {
        **_BLOWN,
        "displacement": "blower_displacement",
        "limit_efficiency": "limit_efficiency",
        "leak_area": "leak_area",
        "built_in_ratio": "built_in_ratio",
    },
    "centrifugal": {
        **_BLOWN,
        "design_ratio": "design_ratio",
        "design_speed": "design_speed",
        "design_temperature": "design_temperature",
        "isentropic_efficiency": "design_efficiency",
    },
    "map": {
        **_BLOWN,
        "displacement": "blower_displacement",
        "volumetric_factor": "map_volumetric_factor",
        "efficiency_factor": "map_efficiency_factor",
    },
    "centrifugal-map": {
        **_BLOWN,
        "head_factor": "map_head_factor",
        "efficiency_factor": "map_efficiency_factor",
    },
    "natural": {"reference_ratio": "one"},
}
_OPTIONS = {
    "coolant_temperature": "coolant_temperature",
    "compression_ratio": "compression_ratio",
    "held_pressure": "held_pressure",
}
_FORMULAS: dict[Kind, Callable[..., Any]] = {
    "displacement": matching.match,
    "centrifugal": matching.match_centrifugal,
    "map": map_matching.match_map,
    "centrifugal-map": map_matching.match_centrifugal_map,
    "natural": matching.match_without_blower,
}


def kind_of(scope: Scope) -> Kind | None:
    """Which model serves a build; None where nothing can be estimated."""
    blower, build = scope.subjects.blower, scope.subjects.build
    if blower is not None:
        if blower.displaces:
            return "displacement" if blower.map is None else "map"
        return "centrifugal" if blower.map is None else "centrifugal-map"
    if build and build.induction.turbocharger is None:
        return "natural"
    return None


def rule_of(scope: Scope, kind: Kind) -> Derived:
    """The rule that estimates a setup; with power only where the fuel is known."""
    burning = scope["heating_value"].present
    figures = set(_OUTPUTS)
    figures = figures & _NATURAL if kind == "natural" else figures
    figures = figures if burning else figures - _POWER
    return Derived(
        tuple(output for name, output in _OUTPUTS.items() if name in figures),
        partial(estimate, kind, **_measured(scope, kind)),
        {**_SHARED, **_OWN[kind], **(_BURNING if burning else {})},
        options=_OPTIONS,
        shown=_FORMULAS[kind],
        basis="estimated",
        over_speed=True,
    )


def _measured(scope: Scope, kind: Kind) -> dict[str, Any]:
    """The blower's measured map, for the kinds that rest on one; made once for a sheet."""
    return {"blower_map": scope.subjects.blower_map} if kind in MAPPED else {}


def _made(scope: Scope, kind: Kind) -> Mapping[str, Row]:
    """The estimated rows; those off a measured map say so, and where it ends."""
    rule = rule_of(scope, kind)
    if kind not in MAPPED:
        return rule.rows(scope)
    outside: list[NDArray[np.int8]] = []

    def noted(**values: Any) -> dict[str, Any]:
        """The estimate, noting where the map ends: the first call begins with the base case."""
        figures: dict[str, Any] = rule.function(**values)
        outside.append(figures["outside"])
        return figures

    made = replace(rule, function=noted).rows(scope)
    if not any(row.present for row in made.values()):
        return made
    return marked(scope, made, outside[0][: scope["speed"].curve.size])


def _estimates(scope: Scope) -> Mapping[str, Row]:
    """Estimate by the kind of blower, or say why there is nothing to estimate."""
    kind = kind_of(scope)
    reason = "naturally aspirated: no blower"
    if kind is None:
        reason = "a turbocharger's boost is set by its control, not by pulleys: measured only"
    made = _made(scope, kind) if kind else {}
    if "estimated_power" not in made and not scope["heating_value"].present:
        reason = scope["heating_value"].reason if kind else reason
    return {
        output.key: made.get(output.key)
        or scope.absent(output.key, output.quantity, output.title, reason)
        for output in OUTPUTS
    }


def _held_pressure(scope: Scope) -> Mapping[str, Row]:
    """Manifold pressure that a control holds: its set point over the air it refers to."""
    key, title = "held_pressure", "Manifold pressure that the control holds"
    build, setup = scope.subjects.build, scope.subjects.setup
    control = control_of(build, setup) if build else None
    target = setup.boost_target if setup else None
    if control not in ("absolute", "gauge") or target is None:
        return {key: _observed_hold(scope, key, title)}
    air = scope["estimate_pressure" if control == "gauge" else "reference_pressure"]
    return {key: scope.present(key, "manifold_pressure", target.value + air.scalar, title,
                               basis="stated", place=target.place, text=target.text,
                               source=f"{control} control, set to {target.text}")}  # fmt: skip


def _observed_hold(scope: Scope, key: str, title: str) -> Row:
    """The same by the level at which the build's own pulls stay, where nobody wrote a set point."""
    level, build, setup = (
        scope.find("observed_set_point"), scope.subjects.build, scope.subjects.setup
    )  # fmt: skip
    fixed = build is not None and control_of(build, setup) == "fixed-ratio"
    if level is None or not level.present or fixed:
        return scope.absent(key, "manifold_pressure", title, "no control with a set point")
    air = scope["estimate_pressure"]
    return scope.present(key, "manifold_pressure", level.scalar + air.scalar, title,
                         basis="derived", source=level.source, spread=level.spread)  # fmt: skip


def _speed_grid(scope: Scope) -> Mapping[str, Row]:
    """Engine speeds at which the setup is estimated."""
    key, top = "speed", scope["max_speed"]
    chosen = scope.subjects.speeds
    if chosen is not None:
        source = "where the setup's own peaks lie"
        return {key: scope.present(key, "engine_speed", chosen, source=source)}
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
        "reference_humidity": scope.present(
            "reference_humidity", "humidity", 0.316, "Reference humidity",
            source="1 kPa of vapour at 25 °C, reference of ISO 1585; humidity not recorded: "
                   f"15 points of it either way, {defaults.PRACTICE}",
            spread={"reference humidity": 0.15}),
    }  # fmt: skip


def _loss_reference(scope: Scope) -> Mapping[str, Row]:
    """Where the stated pressure losses hold: their own speed, the drive's own pulleys."""
    own, build = scope["rotor_ratio"], scope.subjects.build
    speed = scope["inlet_drop"].at or scope["max_speed"]
    ratio = replace(own, key="loss_ratio", title="Speed ratio at which the losses are stated")
    drive = build.drive if build else None
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


#: What a setup left out of the fit adds to an allowance, by the allowance's key.
_DOUBTS = {"pressure_allowance": "left_out_boost", "power_allowance": "left_out_power"}


def _parts(row: Row) -> dict[str, float]:
    return {root: float(part) for root, part in row.spread.items()}


def _allowance(
    key: str, quantity_key: str, size: float | Callable[[Scope], float], text: str, title: str
) -> Made:
    """What the model leaves out: nothing on average, with its own uncertainty for each setup."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        own = size(scope) if callable(size) else size
        source = f"what the model leaves out, {text or f'{own:.1%}'}; {defaults.PRACTICE}"
        spread = {f"{scope.name} {key}": own}
        doubt = scope.find(_DOUBTS.get(key, ""))
        if doubt is not None:
            source, spread = f"{source}; {doubt.source}", {**spread, **_parts(doubt)}
        return {key: scope.present(key, quantity_key, 0.0, title, source=source.replace("%", " %"),
                                   spread=spread)}  # fmt: skip

    return Made((key,), rows)


ESTIMATE: tuple[Rule, ...] = (
    Made(("reference_pressure", "reference_temperature", "reference_humidity"), _reference_air),
    FirstOf("estimate_pressure", ("station_pressure", "reference_pressure")),
    FirstOf("estimate_temperature", ("air_temperature", "reference_temperature")),
    FirstOf("estimate_humidity", ("humidity", "reference_humidity")),
    given("estimate_density", "air_density", air.humid_air_density,
          pressure="estimate_pressure", temperature="estimate_temperature",
          relative_humidity="estimate_humidity"),
    Made(("held_pressure",), _held_pressure),
    Made(("speed",), _speed_grid),
    Made(("loss_speed", "loss_ratio"), _loss_reference),
    _allowance("pressure_allowance", "share", defaults.pressure_share, "",
               "Allowance on manifold pressure"),
    _allowance("power_allowance", "share", defaults.POWER_SHARE, "", "Allowance on power"),
    _allowance("temperature_allowance", "temperature_uncertainty", 4.0,
               "4 K, such as parts that warm over the pulls of a session",
               "Allowance on charge temperature"),
    Made(tuple(output.key for output in OUTPUTS), _estimates),
    _at_top("boost_at_top", "estimated_boost", "Boost at the highest speed, estimated"),
    _at_top("discharge_temperature_at_top", "estimated_discharge_temperature",
            "Discharge temperature at the highest speed, estimated"),
    _at_top("charge_temperature_at_top", "estimated_charge_temperature",
            "Charge temperature at the highest speed, estimated"),
    _at_top("drive_power_at_top", "estimated_drive_power",
            "Power to drive the blower at the highest speed, estimated"),
    _at_top("power_at_top", "estimated_power", "Power at the highest speed, estimated"),
    _at_top("torque_at_top", "estimated_torque", "Torque at the highest speed, estimated"),
    _at_top("air_flow_at_top", "estimated_mass_flow",
            "Air mass flow at the highest speed, estimated"),
)  # fmt: skip
