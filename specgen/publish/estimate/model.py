"""Which functions of the model a reader's browser gets: those that make every sheet."""

from __future__ import annotations

import json
from typing import Any

from specgen.analysis import burning, estimate, shapes
from specgen.analysis.tables import efficiency
from specgen.physics import (
    _balance,
    _sides,
    _speed_lines,
    air,
    blower,
    blower_map,
    charge,
    compression,
    engine,
    fuel,
    knock,
    map_matching,
    matching,
    pulley,
    stations,
)
from specgen.publish.estimate.translating import name_of, script_of

#: In an order in which each class stands below what it extends.
_WRITTEN: tuple[Any, ...] = (
    pulley.pitch_diameter, pulley.pitch_ratio, pulley.blower_speed,
    air.saturation_pressure, air.vapour_pressure, air.dry_pressure, air.humid_air_density,
    air.humid_gas_constant, air.humidity_ratio, air.standard_temperature, air.standard_pressure,
    engine.swept_volume, engine.mean_piston_speed, engine.friction_mean_pressure,
    engine.power_from_mean_pressure, engine.brake_power, engine.torque_from_power,
    fuel.air_fuel_ratio, fuel.fuel_mass_flow, fuel.injector_flow, fuel.injector_duty,
    knock.octane_needed, knock.spark_taken_back, knock.late_efficiency,
    compression.work_over_inlet_pressure, compression._machine,
    compression.centrifugal_pressure_ratio, compression.discharge_temperature,
    blower.drive_power, charge.effectiveness_at_flow, blower_map.corrected_speed,
    stations.Inlet, stations.Demand, stations.Supply, stations.Cooler, stations.Match,
    _sides.inlet_pressure, _sides.Sides,
    matching._Law, matching.match, matching._known_ratio, matching.match_centrifugal,
    map_matching.MappedSupply, map_matching.MappedImpeller, map_matching._warmth,
    map_matching._outside, map_matching._Drive, map_matching._Displacing, map_matching._Turning,
    map_matching.match_map, map_matching.match_centrifugal_map,
    efficiency.usual_efficiency, burning.evaporation, burning.octane_asked,
    burning.spark_taken_back, burning.fuel_fed,
    burning.brake,
    estimate.Losses, estimate.breathing_curve, estimate._demand, estimate._around,
    estimate._turned, estimate._swallowed, estimate.displacement_blower,
    estimate.centrifugal_blower, estimate.mapped_blower, estimate.mapped_centrifugal,
    estimate.figures_of, estimate.balance,
)  # fmt: skip

#: What works on whole curves or on tables here, and is written by hand for one point in
#: `elements.js`; and what an engine that is typed has not: a control of its boost, no blower.
_BY_HAND: dict[Any, str] = {
    _balance.first_crossing: "firstCrossing",
    _sides.speeds: "speedsOf",
    _speed_lines.SpeedLines: "SpeedLines",
    _speed_lines.Columns: "Columns",
    blower_map.DisplacementMap: "BlowerMap",
    blower_map.CentrifugalMap: "BlowerMap",
    map_matching._reason: "noReason",
    estimate._held: "unheld",
    estimate.natural: "unheld",
    shapes.bend: "bendOf",
    shapes.shape_of: "shapeOf",
}


#: What the other scripts call, by the names that they use.
_GIVEN: dict[str, Any] = {
    "balance": estimate.balance,
    "bladeSpeed": pulley.blower_speed,
    "duty": fuel.injector_duty,
    "efficiency": efficiency.usual_efficiency,
    "figures": estimate.figures_of,
    "fuelFlow": fuel.fuel_mass_flow,
    "airFuelRatio": fuel.air_fuel_ratio,
    "injectorFlow": fuel.injector_flow,
    "pitchRatio": pulley.pitch_ratio,
    "pressureAt": air.standard_pressure,
    "sweptVolume": engine.swept_volume,
}


#: Why nothing balances, in the order in which several are told.
_REASONS = (matching.STARVED, matching.OVERFED, matching.OVERDRIVEN)


def model_script() -> str:
    """The functions of the model as one script that gives them to `specgen.model`."""
    elements = ", ".join(sorted(_ELEMENTS))
    given = ", ".join(f"{name}: {name_of(item)}" for name, item in _GIVEN.items())
    reasons = json.dumps(_REASONS, ensure_ascii=False)
    written = script_of(_WRITTEN, _BY_HAND)
    return (
        f'"use strict";\nspecgen.model = (() => {{\nconst {{ {elements} }} = specgen.elements;\n'
        f"{written}return {{ {given}, reasons: {reasons} }};\n}})();\n"
    )


#: What of `elements.js` the written functions call.
_ELEMENTS = {
    "Unphysical", "asReplaced", "bendOf", "firstCrossing", "isAbove", "isAtLeastOne", "isBetween",
    "isEfficiency", "isNotNegative", "isPositive", "noReason", "shapeOf", "speedsOf", "toBrief",
    "toPower", "toSquare", "unheld",
}  # fmt: skip
