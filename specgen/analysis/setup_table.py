"""The table of rows that belong to one setup: drive, fuel, and what is estimated from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from operator import itemgetter

import numpy as np

from specgen.analysis import defaults
from specgen.analysis.defaults import instrument
from specgen.analysis.estimate import (
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
from specgen.archive.model import Blower, Build, Fuel, Setup
from specgen.physics import air, breathing, fuel, matching, pulley
from specgen.vocabulary import quantity

#: Shares by volume of the fuels that have a name; E85 carries the spread of what pumps sell.
BLENDS: dict[str, dict[str, float]] = {
    "petrol": {"petrol": 1.0},
    "petrol-95": {"petrol": 1.0},
    "petrol-98": {"petrol": 1.0},
    "petrol-102": {"petrol": 1.0},
    "e10": {"petrol": 0.90, "ethanol": 0.10},
    "e20": {"petrol": 0.80, "ethanol": 0.20},
    "e50": {"petrol": 0.50, "ethanol": 0.50},
    "e85": {"petrol": 1 - defaults.E85_MEAN, "ethanol": defaults.E85_MEAN},
    "ethanol": {"ethanol": 1.0},
    "methanol": {"methanol": 1.0},
}

#: Speeds of an estimate, from a third of the highest engine speed upwards.
GRID_POINTS, GRID_START = 29, 0.3

_ESTIMATES = (
    ("estimated_boost", "boost", "Boost, estimated"),
    ("estimated_manifold_pressure", "manifold_pressure", "Manifold pressure, estimated"),
    ("estimated_inlet_pressure", "inlet_pressure", "Pressure at the blower inlet, estimated"),
    ("estimated_discharge_pressure", "discharge_pressure", "Discharge pressure, estimated"),
    ("estimated_discharge_temperature", "discharge_temperature", "Discharge temperature, estimated"),
    ("estimated_charge_temperature", "charge_temperature", "Charge temperature, estimated"),
    ("estimated_pressure_ratio", "pressure_ratio", "Pressure ratio over the blower, estimated"),
    ("estimated_air_flow", "air_mass_flow", "Air mass flow, estimated"),
    ("estimated_drive_power", "blower_drive_power", "Power to drive the blower, estimated"),
    ("estimated_blower_efficiency", "volumetric_efficiency",
     "Volumetric efficiency of the blower, estimated"),
)  # fmt: skip
_FIELDS = (
    None,
    "manifold_pressure",
    "inlet_pressure",
    "discharge_pressure",
    "discharge_temperature",
    "charge_temperature",
    "pressure_ratio",
    "mass_flow",
    "drive_power",
    "blower_volumetric_efficiency",
)


def _share(component: str) -> Made:
    """The share of one component of the setup's fuel."""
    key = f"share_{component}"

    def rows(scope: Scope) -> Mapping[str, Row]:
        title = f"{component.capitalize()} in the fuel, by volume"
        setup = scope.subjects.get("setup")
        stated = setup.fuel if isinstance(setup, Setup) else None
        if stated is None:
            return {key: scope.absent(key, "fuel_share", title, "fuel not recorded")}
        return {key: _share_row(scope, key, title, component, stated)}

    return Made((key,), rows)


def _share_row(scope: Scope, key: str, title: str, component: str, stated: Fuel) -> Row:
    written = getattr(stated, component)
    row = Row(key, scope.name, title, quantity("fuel_share"), "stated")
    if stated.name is None:
        if written is None:
            return replace(row, value=0.0, basis="default", source="not in the stated blend")
        size = defaults.absolute(0.005, defaults.PRACTICE)(scope, written.value)
        spread = {str(written.place): size[0]}
        return replace(
            row, value=written.value, spread=spread, place=written.place, text=written.text,
            source=size[1],
        )  # fmt: skip
    share = BLENDS[stated.name.value].get(component, 0.0)
    spread, source = {}, f"by the fuel's name, {stated.name.value}"
    if stated.name.value == "e85" and component == "ethanol":
        spread, source = {str(stated.name.place): defaults.E85_UNCERTAINTY}, defaults.E85_SOURCE
    return replace(
        row, value=share, spread=spread, place=stated.name.place, text=stated.name.text,
        source=source,
    )  # fmt: skip


def blended(ethanol: float, methanol: float) -> fuel.Fuel:
    """Make a blend whose rest is petrol; a tiny negative rest from rounding counts as none."""
    shares = {"petrol": 1 - ethanol - methanol, "ethanol": ethanol, "methanol": methanol}
    return fuel.blend({name: max(share, 0.0) for name, share in shares.items()})


def _speed_grid(scope: Scope) -> Mapping[str, Row]:
    """Engine speeds at which the setup is estimated."""
    top = scope["max_speed"]
    if not top.present:
        reason = "highest engine speed not recorded"
        return {"speed": scope.absent("speed", "engine_speed", "", reason)}
    grid = np.linspace(GRID_START * top.scalar, top.scalar, GRID_POINTS)
    row = Row("speed", scope.name, "Engine speeds of the estimate", quantity("engine_speed"),
              "default", grid, source="thirty per cent to all of the highest speed")  # fmt: skip
    return {"speed": row}


def _matching(scope: Scope) -> Mapping[str, Row]:
    """Estimate by the kind of blower, or say why there is nothing to estimate."""
    blower = scope.subjects.get("blower")
    if not isinstance(blower, Blower):
        reason = _why_no_estimate(scope)
        return {
            key: scope.absent(key, quantity_key, title, reason)
            for key, quantity_key, title in _ESTIMATES
        }
    rule = _CENTRIFUGAL if blower.kind.value == "centrifugal" else _DISPLACEMENT
    return rule.rows(scope)


def _why_no_estimate(scope: Scope) -> str:
    build = scope.subjects.get("build")
    if isinstance(build, Build) and build.induction.turbocharger is not None:
        return "a turbocharger's boost is set by its control, not by pulleys: measured only"
    return "naturally aspirated: no blower"


def _outputs() -> tuple[Output, ...]:
    """One output a row; boost needs the air pressure, so `_with_gauge` adds it."""
    return tuple(
        Output(key, quantity_key, title, itemgetter(field or "boost"))
        for (key, quantity_key, title), field in zip(_ESTIMATES, _FIELDS, strict=True)
    )


def _figures(match: matching.Match, pressure: object) -> dict[str, object]:
    figures = {field: getattr(match, field) for field in _FIELDS if field}
    return {**figures, "boost": gauge(match, pressure)}  # type: ignore[arg-type]


def _estimate_displacement(**values: object) -> dict[str, object]:
    return _figures(displacement_blower(**values), values["pressure"])  # type: ignore[arg-type]


def _estimate_centrifugal(**values: object) -> dict[str, object]:
    return _figures(centrifugal_blower(**values), values["pressure"])  # type: ignore[arg-type]


_SHARED = {
    "speed": "speed",
    "pressure": "estimate_pressure",
    "temperature": "estimate_temperature",
    "swept_volume": "swept_volume",
    "volumetric_efficiency": "breathing",
    "mechanical_efficiency": "mechanical_efficiency",
    "inlet_drop": "inlet_drop",
    "effectiveness": "effectiveness",
    "cooler_drop": "cooler_drop",
}
_DISPLACEMENT = Derived(
    _outputs(),
    _estimate_displacement,
    {
        **_SHARED,
        "displacement": "blower_displacement",
        "speed_ratio": "rotor_ratio",
        "limit_efficiency": "limit_efficiency",
        "leak_area": "leak_area",
        "built_in_ratio": "built_in_ratio",
    },
    options={"coolant_temperature": "coolant_temperature"},
    shown=matching.match,
    basis="estimated",
    over_speed=True,
)
_CENTRIFUGAL = Derived(
    _outputs(),
    _estimate_centrifugal,
    {
        **_SHARED,
        "reference_ratio": "design_ratio",
        "reference_speed": "design_speed",
        "isentropic_efficiency": "design_efficiency",
        "speed_ratio": "rotor_ratio",
    },
    options={"coolant_temperature": "coolant_temperature"},
    shown=matching.match_centrifugal,
    basis="estimated",
    over_speed=True,
)


def _at_top(key: str, curve: str, title: str) -> Made:
    """The figure of an estimated curve at the highest engine speed."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        whole = scope[curve]
        if not whole.present:
            return {key: scope.absent(key, whole.quantity.key, title, whole.reason)}
        return {key: point(whole, scope["speed"], scope["max_speed"], key, title)}

    return Made((key,), rows)


def _pressure_across(scope: Scope) -> Mapping[str, Row]:
    """Pressure across the injector: rail to manifold, by what the regulator refers to."""
    key, title = "injector_pressure", "Pressure across the injectors"
    build = scope.subjects.get("build")
    reference = build.fuel_system.pressure_reference if isinstance(build, Build) else None
    rail, boost = scope["fuel_pressure"], scope["boost_at_top"]
    if not rail.present:
        return {key: scope.absent(key, "fuel_pressure", title, rail.reason)}
    if reference is None:
        reason = "whether the fuel pressure follows the manifold is not recorded"
        return {key: scope.absent(key, "fuel_pressure", title, reason)}
    if reference.value == "manifold" or not boost.present:
        source = "the regulator follows the manifold" if boost.present else "no boost"
        return {key: replace(rail, key=key, scope=scope.name, title=title, source=source)}
    return Derived(
        (Output(key, "fuel_pressure", title),),
        fuel.pressure_across_injector,
        {"rail_pressure": "fuel_pressure", "manifold_pressure": "boost_at_top"},
    ).rows(scope)


def _reference_air(scope: Scope) -> Mapping[str, Row]:
    """The reference air of ISO 1585, with one kilopascal of vapour in it."""
    pressure = Row("reference_pressure", scope.name, "Reference air pressure",
                   quantity("air_pressure"), "default", 100e3,
                   source="99 kPa dry and 1 kPa of vapour, reference of ISO 1585")  # fmt: skip
    temperature = Row("reference_temperature", scope.name, "Reference air temperature",
                      quantity("air_temperature"), "default", 298.15,
                      source="25 °C, reference of ISO 1585")  # fmt: skip
    return {row.key: row for row in (pressure, temperature)}


def _natural_flow(scope: Scope) -> Mapping[str, Row]:
    """Air flow at the highest speed: by the blower, or what a natural engine breathes."""
    key, title = "air_flow_at_top", "Air mass flow at the highest speed, estimated"
    build = scope.subjects.get("build")
    if isinstance(build, Build) and build.induction.natural is not None:
        rule = Derived(
            (Output(key, "air_mass_flow", title),),
            breathing.air_mass_flow,
            {"volumetric_efficiency": "breathing_at_top", "density": "estimate_density",
             "swept_volume": "swept_volume", "speed": "max_speed"},
            basis="estimated",
        )  # fmt: skip
        return rule.rows(scope)
    return _at_top(key, "estimated_air_flow", title).rows(scope)


_DESIGN = "no operating point of the centrifugal blower recorded"

SETUP: tuple[Rule, ...] = (
    Stated("crank_pulley", "pulley_diameter", "setup.crank_pulley|build.drive.crank_pulley",
           title="Crank pulley", uncertainty=instrument("length"),
           missing="no crank pulley recorded"),
    Stated("blower_pulley", "pulley_diameter", "setup.blower_pulley|build.drive.blower_pulley",
           title="Blower pulley", uncertainty=instrument("length"),
           missing="no blower pulley recorded"),
    given("pulley_ratio", "pulley_ratio", pulley.nominal_ratio,
          crank_diameter="crank_pulley", blower_diameter="blower_pulley"),
    Derived((Output("pitch_ratio", "pulley_ratio", "Drive ratio on pitch diameters"),),
            pulley.pitch_ratio,
            {"crank_diameter": "crank_pulley", "blower_diameter": "blower_pulley"}),
    Derived((Output("rotor_ratio", "pulley_ratio", "Speed ratio of the rotors to the crank"),),
            pulley.blower_speed,
            {"engine_speed": "one", "ratio": "pitch_ratio", "internal_ratio": "internal_ratio"}),
    Derived((Output("blower_speed_at_top", "blower_speed",
                    "Blower speed at the highest engine speed"),),
            pulley.blower_speed,
            {"engine_speed": "max_speed", "ratio": "pitch_ratio",
             "internal_ratio": "internal_ratio"}),
    Derived((Output("belt_speed", "belt_speed", "Belt speed at the highest engine speed"),),
            pulley.belt_speed, {"diameter": "crank_pulley", "speed": "max_speed"}),
    Made(("one",), lambda scope: {"one": Row("one", scope.name, "One turn of the crank",
                                              quantity("count"), "default", 1.0,
                                              source="by definition")}),
    _share("petrol"),
    _share("ethanol"),
    _share("methanol"),
    Derived(
        (Output("stoichiometric_ratio", "stoichiometric_ratio",
                take=lambda result: result.stoichiometric_ratio),
         Output("heating_value", "heating_value", take=lambda result: result.heating_value),
         Output("fuel_density", "fuel_density", take=lambda result: result.density)),
        blended,
        {"ethanol": "share_ethanol", "methanol": "share_methanol"},
        shown=fuel.blend,
    ),
    Stated("mixture", "lambda", "setup.mixture", title="Lambda under full load",
           uncertainty=defaults.absolute(0.01, defaults.PRACTICE), default=defaults.mixture),
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
    Made(tuple(key for key, _, _ in _ESTIMATES), _matching),
    _at_top("boost_at_top", "estimated_boost", "Boost at the highest speed, estimated"),
    _at_top("discharge_temperature_at_top", "estimated_discharge_temperature",
            "Discharge temperature at the highest speed, estimated"),
    _at_top("charge_temperature_at_top", "estimated_charge_temperature",
            "Charge temperature at the highest speed, estimated"),
    _at_top("drive_power_at_top", "estimated_drive_power",
            "Power to drive the blower at the highest speed, estimated"),
    _at_top("breathing_at_top", "breathing", "Volumetric efficiency at the highest speed"),
    Made(("air_flow_at_top",), _natural_flow),
    Derived(
        (Output("air_fuel_ratio", "air_fuel_ratio", "Air-fuel ratio under full load"),),
        fuel.air_fuel_ratio,
        {"excess_air_ratio": "mixture", "stoichiometric_ratio": "stoichiometric_ratio"},
    ),
    Derived((Output("fuel_flow_at_top", "fuel_mass_flow",
                    "Fuel mass flow at the highest speed, estimated"),),
            fuel.fuel_mass_flow,
            {"air_mass_flow": "air_flow_at_top", "air_fuel_ratio": "air_fuel_ratio"},
            basis="estimated"),
    Made(("injector_pressure",), _pressure_across),
    Derived((Output("injector_working_flow", "injector_flow",
                    "Injector flow at working pressure"),),
            fuel.injector_flow,
            {"rated_flow": "injector_rated_flow", "rated_pressure": "injector_rated_pressure",
             "pressure_across": "injector_pressure"}),
    Derived((Output("injector_duty", "injector_duty",
                    "Injector duty at the highest speed, estimated"),),
            fuel.injector_duty,
            {"fuel_mass_flow": "fuel_flow_at_top", "density": "fuel_density",
             "count": "injector_count", "injector_flow": "injector_working_flow"},
            basis="estimated"),
)  # fmt: skip
