"""What each part of the air's way costs at the sheet's own air flow: estimates, not readings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from specgen.analysis.rows.row import Row, point
from specgen.analysis.rows.scope import Derived, Made, Output, Rule, Scope
from specgen.analysis.rows.written import Assumed, Written
from specgen.analysis.tables.defaults import PRACTICE
from specgen.archive.model.build import Build, Throttle
from specgen.archive.model.record import Pipe
from specgen.physics import air, charge, flow

#: Wide open, shaft and plate in the way; the opening's own area is the bore's.
_DISCHARGE, _DISCHARGE_UNCERTAINTY = 0.90, 0.05
#: Drawn tube (Moody 1944, from memory).
_SMOOTH = 1.5e-6
#: Radius of a bend at the middle of the pipe, in bores.
_BEND = 1.5
_AT = "at the highest engine speed"


@dataclass(frozen=True, slots=True, eq=False)
class AirPart:
    """One part of the air's way; `velocity` is None where it has no bore of its own."""

    title: str
    side: str
    bore: Row | None
    velocity: Row | None
    drop: Row


@dataclass(frozen=True, slots=True, eq=False)
class AirParts:
    """All parts in the order of the air, and what the inlet's add up to.

    `measured` is the inlet's drop as the build states it, with its own engine speed; None where
    nobody measured it.
    """

    flow: Row
    parts: tuple[AirPart, ...]
    inlet: Row | None
    measured: Row | None


def air_rules(build: Build) -> list[Rule]:
    """Make the rules of filter, pipes and throttle; none where the build names none of them."""
    induction = build.induction
    rules: list[Rule] = [Made(("record_air_flow",), _flow)]
    inlet: list[str] = []
    if induction.filter_pressure_drop is not None:
        rules += _filter(build)
        inlet.append("filter_drop")
    for number, pipe in enumerate(induction.pipes, 1):
        rules += _pipe(f"pipe_{number}", _title(pipe, number), pipe)
        inlet += [f"pipe_{number}_drop"] if _side(pipe) == "inlet" else []
    if any(_side(pipe) == "charge" for pipe in induction.pipes):
        rules += _charge()
    if induction.throttle is not None and induction.throttle.bore is not None:
        rules += _throttle(induction.throttle)
        inlet.append("throttle_drop")
    if len(inlet) > 1:
        rules.append(_total(inlet))
    return rules if len(rules) > 1 else []


def _side(pipe: Pipe) -> str:
    return pipe.side.value if pipe.side else "inlet"


def _title(pipe: Pipe, number: int) -> str:
    return pipe.item.value if pipe.item else f"pipe {number}"


def _flow(scope: Scope) -> Mapping[str, Row]:
    """The air flow of the leading setup at the highest engine speed."""
    key, top = "record_air_flow", scope.find("air_flow_at_top")
    if top is None:
        reason = "no setup, so no air flow to reckon with"
        return {key: scope.absent(key, "air_mass_flow", "Air mass flow", reason)}
    return {key: top}


def _filter(build: Build) -> Iterator[Rule]:
    stated = build.induction.filter_pressure_drop
    yield Written("filter_measured", "part_pressure_drop", "Pressure lost in the filter as stated",
                  stated, "measured")  # fmt: skip

    def reference(scope: Scope) -> Mapping[str, Row]:
        row = scope["filter_measured"].at
        key, title = "filter_flow", "Air flow at which the filter was measured"
        if row is None:
            reason = "the air flow at which the filter was measured is not recorded"
            return {key: scope.absent(key, "air_mass_flow", title, reason)}
        return {key: row}

    yield Made(("filter_flow",), reference)
    yield _drop("filter_drop", f"Pressure lost in the filter {_AT}, estimated",
        charge.pressure_drop,
        {"reference_drop": "filter_measured", "reference_flow": "filter_flow",
         "flow": "record_air_flow"})  # fmt: skip


def _drop(key: str, title: str, function: Any, inputs: dict[str, str]) -> Derived:
    output = Output(key, "part_pressure_drop", title)
    return Derived((output,), function, inputs, basis="estimated")


def _pipe(name: str, title: str, pipe: Pipe) -> Iterator[Rule]:
    """Friction and bends of one pipe, at the density and temperature of its side."""
    density, temperature = _AIR[_side(pipe)]
    yield from _pipe_figures(name, title, pipe)
    yield Derived((Output(f"{name}_velocity", "air_velocity", f"Air velocity, {title}"),),
        flow.air_velocity,
        {"mass_flow": "record_air_flow", "density": density, "bore": f"{name}_bore"},
        basis="estimated")  # fmt: skip
    yield Derived((Output(f"{name}_viscosity", "viscosity", f"Viscosity of the air, {title}"),),
        flow.air_viscosity, {"temperature": temperature}, basis="estimated")  # fmt: skip
    yield Derived((Output(f"{name}_reynolds", "reynolds_number", f"Reynolds number, {title}"),),
        flow.reynolds_number,
        {"mass_flow": "record_air_flow", "bore": f"{name}_bore",
         "viscosity": f"{name}_viscosity"}, basis="estimated")  # fmt: skip
    yield Derived((Output(f"{name}_friction", "friction_factor", f"Friction factor, {title}"),),
        flow.friction_factor,
        {"reynolds_number": f"{name}_reynolds", "roughness": f"{name}_roughness",
         "bore": f"{name}_bore"}, basis="estimated")  # fmt: skip
    losses = {"loss_coefficient": f"{name}_bend_loss"} if _bends(pipe) else {}
    if losses:
        yield _bend_loss(name, title)
    yield _drop(f"{name}_drop", f"Pressure lost, {title}, {_AT}, estimated",
        flow.pipe_pressure_drop,
        {"mass_flow": "record_air_flow", "density": density, "bore": f"{name}_bore",
         "length": f"{name}_length", "friction_factor": f"{name}_friction", **losses}
    )  # fmt: skip


def _bends(pipe: Pipe) -> bool:
    return pipe.bends is not None and pipe.bends.value > 0


def _bend_loss(name: str, title: str) -> Derived:
    return Derived(
        (Output(f"{name}_bend_loss", "loss_coefficient", f"Loss of the bends, {title}"),),
        flow.bend_loss_coefficient,
        {"bend_radius": f"{name}_bend_radius", "bore": f"{name}_bore",
         "friction_factor": f"{name}_friction", "count": f"{name}_bends"},
        basis="estimated")  # fmt: skip


def _pipe_figures(name: str, title: str, pipe: Pipe) -> Iterator[Rule]:
    """What is written of a pipe, and what stands in for the rest."""
    yield Written(f"{name}_bore", "pipe_bore", f"Bore, {title}", pipe.bore)
    yield Written(f"{name}_length", "pipe_length", f"Length, {title}", pipe.length)
    if pipe.roughness is not None:
        yield Written(f"{name}_roughness", "roughness", f"Roughness, {title}", pipe.roughness)
    else:
        yield Assumed(f"{name}_roughness", "roughness", f"Roughness, {title}", _SMOOTH,
                      "drawn tube; Moody 1944, from memory")  # fmt: skip
    if not _bends(pipe):
        return
    yield Written(f"{name}_bends", "count", f"Bends, {title}", pipe.bends)
    if pipe.bend_radius is not None:
        yield Written(f"{name}_bend_radius", "bend_radius", f"Bend radius, {title}",
                      pipe.bend_radius)  # fmt: skip
    else:
        yield Assumed(f"{name}_bend_radius", "bend_radius", f"Bend radius, {title}",
                      _BEND * pipe.bore.value, f"one and a half bores; {PRACTICE}")  # fmt: skip


#: Density and temperature of the air on each side of the blower, by key.
_AIR = {
    "inlet": ("estimate_density", "estimate_temperature"),
    "charge": ("record_charge_density", "record_charge_temperature"),
}


def _charge() -> Iterator[Rule]:
    """The charge in the manifold at the highest speed, for the pipes behind the blower."""

    def state(scope: Scope) -> Mapping[str, Row]:
        made = {}
        for key, curve, quantity, title in (
            ("record_charge_pressure", "estimated_manifold_pressure", "manifold_pressure",
             f"Manifold pressure {_AT}, estimated"),
            ("record_charge_temperature", "estimated_charge_temperature", "charge_temperature",
             f"Charge temperature {_AT}, estimated"),
        ):  # fmt: skip
            whole = scope.find(curve)
            if whole is None or not whole.present:
                reason = whole.reason if whole is not None else "no setup to estimate"
                made[key] = scope.absent(key, quantity, title, reason)
            else:
                made[key] = point(whole, scope["speed"], scope["max_speed"], key, title)
        return made

    yield Made(("record_charge_pressure", "record_charge_temperature"), state)
    yield Derived(
        (Output("record_charge_density", "charge_density", f"Charge density {_AT}, estimated"),),
        air.dry_air_density,
        {"pressure": "record_charge_pressure", "temperature": "record_charge_temperature"},
        basis="estimated")  # fmt: skip


def _throttle(throttle: Throttle) -> Iterator[Rule]:
    yield Written("throttle_bore", "throttle_bore", "Throttle bore", throttle.bore)
    if throttle.count is not None:
        yield Written("throttle_count", "count", "Throttles", throttle.count)
    else:
        yield Assumed("throttle_count", "count", "Throttles", 1.0, "one, as none is recorded")
    yield Derived((Output("throttle_area", "throttle_area"),), flow.bore_area,
        {"bore": "throttle_bore", "count": "throttle_count"})  # fmt: skip
    yield Assumed("throttle_discharge", "ratio", "Discharge coefficient of the open throttle",
                  _DISCHARGE, f"wide open, plate and shaft in the way; {PRACTICE}",
                  _DISCHARGE_UNCERTAINTY)  # fmt: skip
    yield _drop("throttle_drop", f"Pressure lost in the open throttle {_AT}, estimated",
        flow.opening_pressure_drop,
        {"mass_flow": "record_air_flow", "density": "estimate_density", "area": "throttle_area",
         "discharge_coefficient": "throttle_discharge"})  # fmt: skip


def _total(keys: list[str]) -> Derived:
    output = Output("inlet_parts_drop", "part_pressure_drop",
                    f"Pressure lost in all parts of the inlet {_AT}, estimated")  # fmt: skip
    return Derived(
        (output,),
        lambda **drops: flow.drop_in_series(list(drops.values())),
        {key: key for key in keys},
        shown=flow.drop_in_series,
        basis="estimated",
    )


def air_of(build: Build, scope: Scope, engine: Scope) -> AirParts | None:
    """Collect the parts; None where the build names none, or nothing tells the air flow.

    The drop as it was measured is the engine's own row, not what a fit made of it.
    """
    flow_row = scope.find("record_air_flow")
    parts = tuple(_parts(build, scope)) if flow_row is not None and flow_row.present else ()
    if flow_row is None or not parts:
        return None
    stated = build.induction.inlet_pressure_drop is not None
    return AirParts(
        flow_row, parts, scope.find("inlet_parts_drop"), engine["inlet_drop"] if stated else None
    )


def _parts(build: Build, scope: Scope) -> Iterator[AirPart]:
    """Filter, pipes before the blower, throttle, then the pipes behind."""
    induction = build.induction
    if induction.filter_pressure_drop is not None:
        title = induction.filter.value if induction.filter else "filter"
        yield AirPart(title, "inlet", None, None, scope["filter_drop"])
    pipes = [
        AirPart(
            _title(pipe, number),
            _side(pipe),
            scope[f"pipe_{number}_bore"],
            scope[f"pipe_{number}_velocity"],
            scope[f"pipe_{number}_drop"],
        )
        for number, pipe in enumerate(induction.pipes, 1)
    ]
    yield from (part for part in pipes if part.side == "inlet")
    if induction.throttle is not None and induction.throttle.bore is not None:
        yield AirPart("Throttle", "inlet", scope["throttle_bore"], None, scope["throttle_drop"])
    yield from (part for part in pipes if part.side == "charge")
