"""The table of rows that belong to the engine and what is bolted to it, whatever was tested."""

from __future__ import annotations

from collections.abc import Mapping

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
    given,
)
from specgen.analysis.tables import defaults
from specgen.analysis.tables.cooler import COOLANT
from specgen.analysis.tables.defaults import instrument
from specgen.analysis.tables.efficiency import EFFICIENCY, bends
from specgen.analysis.tables.measured_map import MAP
from specgen.physics import blueprint, engine, motion
from specgen.physics.blower_map import REFERENCE_TEMPERATURE

_LENGTH = instrument("length")


def _blower_row(key: str, quantity: str, field: str, **more: object) -> Stated:
    """A figure of the blower's own file."""
    return Stated(key, quantity, f"blower.{field}", **more)  # type: ignore[arg-type]


def _internal_ratio(scope: Scope) -> Default | None:
    """No step-up is stated: the pulley turns the rotors."""
    if scope.subjects.blower is None:
        return None
    return Default(1.0, 0.0, "none stated: the pulley turns the rotors")


def _cooler(scope: Scope) -> bool:
    build = scope.subjects.build
    return build is not None and build.induction.charge_cooler is not None


def _effectiveness(scope: Scope) -> Default:
    """A cooler that is there but not measured; no cooler at all is an effectiveness of nothing."""
    if _cooler(scope):
        return Default(0.65, 0.07, f"charge cooler fitted, not measured; {defaults.PRACTICE}")
    return Default(0.0, 0.0, "no charge cooler")


def _cooler_drop(scope: Scope) -> Default:
    if _cooler(scope):
        return Default(4000.0, 2000.0, f"4 kPa at the highest speed; {defaults.PRACTICE}")
    return Default(0.0, 0.0, "no charge cooler")


def _design_temperature(scope: Scope) -> Default | None:
    """The air that a blower's figures are referred to; as a map's, where nobody wrote it."""
    blower = scope.subjects.blower
    if blower is None or blower.design_point is None:
        return None
    stated = blower.performance_air
    if stated is not None:
        return Default(stated.temperature.value, 1.0, "stated with the blower's figures")
    return Default(REFERENCE_TEMPERATURE, 5.0, "25 °C, as for a map that says nothing else")


def _duty_limit(_scope: Scope) -> Default:
    return Default(0.85, 0.0, f"85 %; {defaults.PRACTICE}")


def _injector_rows(scope: Scope) -> Mapping[str, Row]:
    """The pressure the injectors' flow was measured at is the working one unless written."""
    base = Stated(
        "injector_rated_pressure",
        "fuel_pressure",
        "build.fuel_system.injectors.at|build.fuel_system.pressure",
        title="Pressure the injectors were measured at",
    )
    return base.rows(scope)


_DESIGN = "no operating point of the centrifugal blower recorded"

ENGINE: tuple[Rule, ...] = (
    Stated("cylinders", "cylinders", "build.engine.cylinders"),
    Stated("bore", "bore", "build.engine.bore", uncertainty=_LENGTH),
    Stated("stroke", "stroke", "build.engine.stroke", uncertainty=_LENGTH),
    Stated("rod_length", "rod_length", "build.engine.rod_length", uncertainty=_LENGTH),
    Stated("compression_ratio", "compression_ratio", "build.engine.compression_ratio"),
    Stated("max_speed", "engine_speed", "build.engine.max_speed", title="Highest engine speed"),
    given(
        "swept_volume",
        "swept_volume",
        engine.swept_volume,
        bore="bore",
        stroke="stroke",
        cylinders="cylinders",
    ),
    Derived(
        (Output("cylinder_volume", "cylinder_volume"),),
        engine.swept_volume,
        {"bore": "bore", "stroke": "stroke"},
        fixed={"cylinders": 1},
    ),
    given(
        "clearance_volume",
        "clearance_volume",
        blueprint.clearance_volume,
        cylinder_swept_volume="cylinder_volume",
        compression_ratio="compression_ratio",
    ),
    Derived(
        (Output("piston_speed", "piston_speed", "Mean piston speed at the highest speed"),),
        engine.mean_piston_speed,
        {"stroke": "stroke", "speed": "max_speed"},
    ),
    Derived(
        (Output("piston_acceleration", "piston_acceleration"),),
        motion.peak_piston_acceleration,
        {"stroke": "stroke", "rod_length": "rod_length", "speed": "max_speed"},
    ),
    Stated(
        "volumetric_efficiency",
        "volumetric_efficiency",
        "build.engine.volumetric_efficiency",
        title="Volumetric efficiency at the best speed",
        uncertainty=defaults.absolute(0.02, "two points, as for a stated figure"),
        default=defaults.breathing,
    ),
    Parameter(
        "best_speed",
        "engine_speed",
        title="Speed at which the engine breathes best",
        default=defaults.best_speed,
        missing="highest engine speed not recorded",
    ),
    Parameter(
        "temperature_exponent",
        "ratio",
        title="Exponent of charge temperature in the volumetric efficiency",
        default=defaults.fixed(
            0.4,
            0.2,
            "0.5 by the square root of temperature in SAE J1349 and Rajput, Ex 7.9, less by NACA "
            "Report 277; 0.1 to 0.2 where hot ports alone warm the charge by a tenth of the way",
        ),
    ),
    *bends("breathing", "Breathing against the usual shape", 0.05),
    *MAP,
    *EFFICIENCY,
    _blower_row(
        "blower_displacement",
        "blower_displacement",
        "displacement",
        uncertainty=defaults.relative(0.005, defaults.PRACTICE),
        missing="no blower displacement recorded",
    ),
    _blower_row(
        "internal_ratio",
        "internal_ratio",
        "internal_ratio",
        default=_internal_ratio,
        missing="no blower",
    ),
    _blower_row(
        "built_in_ratio",
        "built_in_ratio",
        "built_in_ratio",
        default=defaults.built_in_ratio,
        missing="no blower with compression inside",
    ),
    _blower_row(
        "blower_max_speed",
        "blower_speed",
        "max_speed",
        title="Highest speed of the blower",
        missing="no highest blower speed recorded",
    ),
    _blower_row(
        "limit_efficiency",
        "volumetric_efficiency",
        "volumetric_efficiency",
        title="Volumetric efficiency of the blower without pressure difference",
        uncertainty=defaults.absolute(0.01, "one point, as for a stated figure"),
        default=defaults.limit_efficiency,
        missing="no blower that displaces",
    ),
    Parameter(
        "leak_area",
        "leak_area",
        default=defaults.leak_area,
        missing="no blower that displaces, or its leakage is in its measured map",
    ),
    _blower_row(
        "mechanical_efficiency",
        "mechanical_efficiency",
        "mechanical_efficiency",
        uncertainty=defaults.absolute(0.01, "one point, as for a stated figure"),
        default=defaults.blower_mechanical_efficiency,
        missing="no blower",
    ),
    Stated(
        "design_ratio",
        "pressure_ratio",
        "blower.design_point.pressure_ratio",
        title="Pressure ratio at the blower's stated point",
        uncertainty=defaults.relative(0.02, defaults.PRACTICE),
        missing=_DESIGN,
    ),
    Stated(
        "design_speed",
        "blower_speed",
        "blower.design_point.speed",
        title="Speed at the blower's stated point",
        missing=_DESIGN,
    ),
    Parameter(
        "design_temperature",
        "air_temperature",
        title="Air temperature at the blower's stated point",
        default=_design_temperature,
        missing=_DESIGN,
    ),
    Stated(
        "design_efficiency",
        "isentropic_efficiency",
        "blower.design_point.isentropic_efficiency",
        uncertainty=defaults.absolute(0.02, defaults.PRACTICE),
        default=lambda _: Default(0.70, 0.05, defaults.PRACTICE),
    ),
    Stated(
        "inlet_drop",
        "inlet_pressure_drop",
        "build.induction.inlet_pressure_drop",
        title="Pressure lost before the blower, at its reference speed",
        uncertainty=defaults.relative(0.1, defaults.PRACTICE),
        default=defaults.inlet_drop,
    ),
    Stated(
        "effectiveness",
        "effectiveness",
        "build.induction.charge_cooler.effectiveness",
        uncertainty=defaults.absolute(0.03, "three points, as for a stated figure"),
        default=_effectiveness,
    ),
    Stated(
        "coolant_temperature",
        "coolant_temperature",
        "build.induction.charge_cooler.coolant_temperature",
        title="Temperature of what cools the charge",
        uncertainty=defaults.absolute(3.0, "3 K, as for a stated figure"),
        missing="not recorded: the air's own temperature is taken",
    ),
    *COOLANT,
    Parameter(
        "cooler_exponent",
        "ratio",
        title="How the cooler's transfer units fall with flow, as a power of it",
        default=defaults.fixed(
            0.4, 0.2, f"0.2 with turbulent flow, 1 with none of it; {defaults.PRACTICE}"
        ),
    ),
    Parameter(
        "intake_warming",
        "temperature_uncertainty",
        title="Warming of the air on its way to the blower",
        default=defaults.fixed(
            5.0, 4.0, f"ducts and filter beside a warm engine; {defaults.PRACTICE}"
        ),
    ),
    Stated(
        "cooler_drop",
        "cooler_pressure_drop",
        "build.induction.charge_cooler.pressure_drop",
        title="Pressure lost in the charge cooler, at its reference speed",
        uncertainty=defaults.relative(0.1, defaults.PRACTICE),
        default=_cooler_drop,
    ),
    Stated(
        "injector_count",
        "count",
        "build.fuel_system.injectors.count",
        title="Injectors",
        missing="injectors not recorded",
    ),
    Stated(
        "injector_rated_flow",
        "injector_flow",
        "build.fuel_system.injectors.flow",
        title="Injector flow as rated",
        uncertainty=defaults.relative(0.02, defaults.PRACTICE),
        missing="injectors not recorded",
    ),
    Made(("injector_rated_pressure",), _injector_rows),
    Stated(
        "fuel_pressure",
        "fuel_pressure",
        "build.fuel_system.pressure",
        uncertainty=defaults.relative(0.02, defaults.PRACTICE),
        missing="fuel pressure not recorded",
    ),
    Stated(
        "limit_injector_duty",
        "injector_duty",
        "build.limits.injector_duty",
        title="Limit of injector duty",
        default=_duty_limit,
    ),
    Stated("limit_power", "power", "build.limits.power", title="Limit of power"),
    Stated("limit_torque", "torque", "build.limits.torque", title="Limit of torque"),
    Stated("limit_boost", "boost", "build.limits.boost", title="Limit of boost"),
    Stated(
        "limit_belt_speed", "belt_speed", "build.limits.belt_speed", title="Limit of belt speed"
    ),
    Stated(
        "limit_piston_speed",
        "piston_speed",
        "build.limits.piston_speed",
        title="Limit of mean piston speed",
    ),
    Stated(
        "limit_charge_temperature",
        "charge_temperature",
        "build.limits.charge_temperature",
        title="Limit of charge temperature",
    ),
)
