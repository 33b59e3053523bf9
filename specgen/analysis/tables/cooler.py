"""Rows about the charge cooler: what it has to take up, and how well it was measured to do so."""

from __future__ import annotations

from collections.abc import Mapping

from specgen.analysis.rows.row import Row, point
from specgen.analysis.rows.scope import (
    Default,
    Derived,
    FirstOf,
    Made,
    Output,
    Parameter,
    Rule,
    Scope,
    Stated,
)
from specgen.analysis.tables import defaults
from specgen.archive.model.build import ChargeCooler
from specgen.physics import charge
from specgen.physics.air import CP_AIR

NO_COOLER = "no charge cooler"
_NO_FLOW = "the coolant's flow is not recorded"
_NO_KIND = "what takes up the charge's heat, water or air, is not recorded"
#: Water at 25 °C: density [kg/m3], specific heat [J/(kg K)]; from memory. With glycol in it a
#: litre takes up to a seventh less (from memory), of which the spread is to speak.
_WATER = (997.0, 15.0), (4180.0, 170.0)


def cooler_of(scope: Scope) -> ChargeCooler | None:
    """The charge cooler of the build that a scope speaks of."""
    build = scope.subjects.build
    return build.induction.charge_cooler if build else None


def _medium(scope: Scope) -> str | None:
    cooler = cooler_of(scope)
    return cooler.kind.value if cooler and cooler.kind else None


def _density(scope: Scope) -> Default | None:
    medium = _medium(scope)
    if medium == "air-to-water":
        return Default(*_WATER[0], "water at 25 °C, from memory; a little glycol allowed for")
    return Default(1.18, 0.05, "air at 25 °C and 101 kPa") if medium == "air-to-air" else None


def _specific_heat(scope: Scope) -> Default | None:
    medium = _medium(scope)
    if medium == "air-to-water":
        return Default(*_WATER[1], "water at 25 °C, from memory; a little glycol allowed for")
    return Default(CP_AIR, 5.0, "air") if medium == "air-to-air" else None


COOLANT: tuple[Rule, ...] = (
    Stated(
        "coolant_flow",
        "coolant_flow",
        "build.induction.charge_cooler.coolant_flow",
        uncertainty=defaults.relative(0.05, defaults.PRACTICE),
        missing=_NO_FLOW,
    ),
    Parameter(
        "coolant_density",
        "coolant_density",
        default=_density,
        missing=_NO_KIND,
    ),
    Parameter(
        "coolant_specific_heat",
        "coolant_specific_heat",
        default=_specific_heat,
        missing=_NO_KIND,
    ),
    Derived(
        (Output("coolant_mass_flow", "coolant_mass_flow"),),
        charge.coolant_mass_flow,
        {"volume_flow": "coolant_flow", "density": "coolant_density"},
    ),
)

_HEAT = Derived(
    (
        Output(
            "heat_to_reject_at_top",
            "heat_flow",
            "Heat to reject at the highest speed, estimated",
        ),
    ),
    charge.heat_to_reject,
    {
        "mass_flow": "air_flow_at_top",
        "inlet_temperature": "discharge_temperature_at_top",
        "outlet_temperature": "charge_temperature_at_top",
    },
    basis="estimated",
)
_RISE = Derived(
    (
        Output(
            "coolant_rise_at_top",
            "coolant_rise",
            "Rise of the coolant's temperature at the highest speed, estimated",
        ),
    ),
    charge.coolant_temperature_rise,
    {
        "heat": "heat_to_reject_at_top",
        "coolant_flow": "coolant_mass_flow",
        "specific_heat": "coolant_specific_heat",
    },
    basis="estimated",
)


def _cooled(rule: Derived) -> Made:
    """A rule that makes sense only where the charge is cooled."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        if cooler_of(scope) is not None:
            return rule.rows(scope)
        return {
            output.key: scope.absent(output.key, output.quantity, output.title, NO_COOLER)
            for output in rule.outputs
        }

    return Made(rule.makes, rows)


COOLING: tuple[Rule, ...] = (_cooled(_HEAT), _cooled(_RISE))

_EFFECTIVENESS = Derived(
    (Output("effectiveness_curve", "effectiveness", "Charge-cooler effectiveness, measured"),),
    charge.cooler_effectiveness,
    {
        "inlet_temperature": "discharge_temperature_curve",
        "outlet_temperature": "charge_temperature_curve",
        "coolant_temperature": "coolant_reading",
    },
)


def _at_power(scope: Scope) -> Mapping[str, Row]:
    """Effectiveness where power was highest; outside 0 to 1 the readings deny one another."""
    key, title = "measured_effectiveness", "Charge-cooler effectiveness at peak power, measured"
    curve, at = scope["effectiveness_curve"], scope["power_speed"]
    if not curve.present or not at.present:
        reason = curve.reason or at.reason
        return {key: scope.absent(key, "effectiveness", title, reason)}
    row = point(curve, scope["speed_curve"], at, key, title)
    if row.present and not 0.0 <= row.scalar <= 1.0:
        reason = "discharge, charge and coolant temperature deny one another"
        return {key: scope.absent(key, "effectiveness", title, reason)}
    return {key: row}


MEASURED_COOLING: tuple[Rule, ...] = (
    FirstOf("coolant_reading", ("coolant_temperature_curve", "coolant_temperature")),
    _cooled(_EFFECTIVENESS),
    Made(("measured_effectiveness",), _at_power),
)
