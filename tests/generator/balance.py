"""The steady state at each speed: what the blower passes on is what the engine swallows.

The manifold fills or empties until both flows agree, as it would on the dyno; the belt slips
where the blower asks for more torque than it carries.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.generator import belt as drive
from tests.generator.blower import Delivery, deliver, spin
from tests.generator.charge import cool
from tests.generator.engine import (
    best_spark,
    blend,
    filling,
    friction_pressure,
    indicated_efficiency,
    knock_retard,
    released_energy,
)
from tests.generator.gas import (
    GAS_CONSTANT,
    HEAT_CAPACITY,
    KAPPA,
    Array,
    orifice_loss,
    vapour_share,
)
from tests.generator.truth import Air, Displacer, Impeller, Setup, Truth, Turbine

_SETTLED = 1e-9
_LONGEST = 400


@dataclass(frozen=True, slots=True)
class State:
    """The gas along its way at each speed: pressures [Pa], temperatures [K], flow [kg/s].

    `grip` is blower speed over what the pulleys ask for, `shaft_power` what the blower takes at
    its own pulley [W], `intake_flow` what the engine swallows.
    """

    inlet_pressure: Array
    inlet_temperature: Array
    outlet_pressure: Array
    outlet_temperature: Array
    manifold_pressure: Array
    manifold_temperature: Array
    exhaust_pressure: Array
    flow: Array
    intake_flow: Array
    grip: Array
    blower_speed: Array
    shaft_power: Array


@dataclass(frozen=True, slots=True)
class Output:
    """What the engine gives at the flywheel, each in W, with its fuel [kg/s] and spark [deg]."""

    heat: Array
    gross: Array
    friction: Array
    pumping: Array
    blower: Array
    brake: Array
    fuel: Array
    mixture: Array
    spark: Array


def start(truth: Truth, setup: Setup, air: Air, speed: Array) -> State:
    """Guess the state: the room's air in the whole engine, belt gripping."""
    same = np.ones_like(speed)
    p, t = air.pressure * same, (air.temperature + truth.inlet.pickup) * same
    flow = 0.9 * p / (GAS_CONSTANT * t) * truth.engine.swept_volume * speed / 2
    ratio = drive.speed_ratio(truth.belt, setup) if setup.blower_pulley else 0.0
    step_up = truth.charger.internal_ratio if _is_driven(truth) else 0.0
    turning = speed * ratio * step_up
    return State(p, t, p, t, p, t, p, flow, flow, same, turning, 0.0 * same)


def _is_driven(truth: Truth) -> bool:
    return isinstance(truth.charger, Displacer | Impeller)


def balance(truth: Truth, setup: Setup, air: Air, speed: Array) -> State:
    """Let the manifold fill until flows agree to 1e-9; RuntimeError if they never do."""
    first = state = start(truth, setup, air, speed)
    for _ in range(_LONGEST):
        after = _step(truth, setup, air, speed, state, first.blower_speed)
        pairs = (
            (after.outlet_pressure, state.outlet_pressure),
            (after.flow, state.flow),
            (after.outlet_temperature, state.outlet_temperature),
            (after.grip, state.grip),
        )
        state = after
        if all(np.max(np.abs(new / old - 1)) < _SETTLED for new, old in pairs):
            return state
    raise RuntimeError("the manifold never settled: these hidden parameters make no engine")


def _step(truth: Truth, setup: Setup, air: Air, speed: Array, state: State, asked: Array) -> State:
    """One step of filling: inlet, blower, cooler, engine, belt, in the order of the air."""
    room = np.full_like(speed, air.pressure)
    warm = np.full_like(speed, air.temperature + truth.inlet.pickup)
    inlet = (room - orifice_loss(truth.inlet.area, room, warm, state.flow), warm)
    state = replace(state, inlet_pressure=inlet[0], blower_speed=asked * state.grip)
    outlet, delivery = _charge(truth, air, speed, state)
    p_m, t_m = cool(truth.cooler, outlet, delivery.temperature, delivery.flow)
    exhaust = _exhaust_pressure(truth, air, state.flow, p_m)
    breathing = filling(truth.engine, setup, speed, (p_m, t_m, exhaust))
    swallowed = breathing * p_m / (GAS_CONSTANT * t_m) * truth.engine.swept_volume * speed / 2
    driven = isinstance(truth.charger, Displacer)
    filled = outlet * (delivery.flow / swallowed) ** 0.7 if driven else outlet
    flow = delivery.flow if driven else swallowed
    return replace(
        state,
        outlet_pressure=filled,
        outlet_temperature=np.sqrt(state.outlet_temperature * delivery.temperature),
        manifold_pressure=p_m,
        manifold_temperature=t_m,
        exhaust_pressure=exhaust,
        flow=np.sqrt(state.flow * flow),
        intake_flow=swallowed,
        grip=_grip(truth, setup, speed, state, delivery.shaft_power),
        shaft_power=delivery.shaft_power,
    )


def _charge(truth: Truth, air: Air, speed: Array, state: State) -> tuple[Array, Delivery]:
    """Outlet pressure and delivery of whatever feeds the engine."""
    inlet = (state.inlet_pressure, state.inlet_temperature)
    charger = truth.charger
    if isinstance(charger, Displacer):
        outlet = (state.outlet_pressure, state.outlet_temperature)
        return outlet[0], deliver(charger, state.blower_speed, inlet, outlet)
    if isinstance(charger, Impeller):
        return spin(charger, state.blower_speed, inlet, state.flow)
    if isinstance(charger, Turbine):
        return _turbocharge(charger, air, speed, state)
    return inlet[0], Delivery(state.flow, inlet[1], 0.0 * state.flow)


def _turbocharge(charger: Turbine, air: Air, speed: Array, state: State) -> tuple[Array, Delivery]:
    """Boost as the wastegate allows once spooled; heating by compressor efficiency.

    The rise over speed is a logistic curve: common practice, no source.
    """
    spooled = 1 / (1 + np.exp(-(speed - charger.spool_speed) / charger.spool_width))
    cooler_loss = state.outlet_pressure - state.manifold_pressure
    outlet = air.pressure + charger.boost * spooled + np.maximum(cooler_loss, 0.0)
    ratio = np.maximum(outlet / state.inlet_pressure, 1.0)
    rise = state.inlet_temperature * (ratio ** ((KAPPA - 1) / KAPPA) - 1) / charger.efficiency
    return outlet, Delivery(state.flow, state.inlet_temperature + rise, 0.0 * speed)


def _exhaust_pressure(truth: Truth, air: Air, flow: Array, manifold: Array) -> Array:
    """Pressure the pistons push against: the pipe's loss, or the turbine's wish.

    Exhaust gas at 1050 K (common practice, no source) through the pipe's effective area.
    """
    density = air.pressure / (GAS_CONSTANT * 1050.0)
    loss = (1.07 * flow / truth.engine.exhaust_area) ** 2 / (2 * density)
    plain = air.pressure + np.minimum(loss, 80e3)
    if isinstance(truth.charger, Turbine):
        return np.maximum(plain, truth.charger.back_pressure_ratio * manifold)
    return np.asarray(plain)


def _grip(truth: Truth, setup: Setup, speed: Array, state: State, shaft: Array) -> Array:
    """Creep while the belt holds; where torque exceeds what it carries, the blower falls back."""
    if not _is_driven(truth):
        return state.grip
    pulley_speed = speed * drive.speed_ratio(truth.belt, setup) * state.grip
    demand = np.maximum(shaft / (2 * np.pi * pulley_speed), 1e-3)
    margin = drive.torque_capacity(truth.belt, setup, speed) / demand
    holding = 1 - truth.belt.creep / np.maximum(margin, 1.0)
    return np.clip(state.grip * margin**0.3, 0.4, holding)


def output(truth: Truth, setup: Setup, air: Air, speed: Array, state: State) -> Output:
    """Energy balance per second: heat released to brake power, with each loss between."""
    engine = truth.engine
    blended = blend(setup.fuel)
    dry = state.intake_flow * (1 - vapour_share(air.pressure, air.temperature, air.humidity))
    mixture = setup.mixture * (1 + 0.012 * np.cos(3 * np.pi * speed / engine.max_speed))
    heat = dry * released_energy(blended, mixture)
    knock = knock_retard(engine, setup, state.manifold_pressure, state.manifold_temperature)
    retard = knock + setup.retard
    gross = heat * indicated_efficiency(engine, speed, retard)
    displaced = engine.swept_volume * speed / 2
    friction = friction_pressure(engine, speed, gross / displaced) * displaced
    pumping = (state.exhaust_pressure - state.manifold_pressure) * displaced
    taken = state.shaft_power / state.grip / truth.belt.efficiency
    brake = gross - friction - pumping - taken
    fuel = dry / (blended.air_need * mixture)
    spark = best_spark(speed, state.manifold_pressure) - retard
    return Output(heat, gross, friction, pumping, taken, brake, fuel, mixture, spark)


def cooled_heat(state: State) -> Array:
    """Heat that the charge cooler takes out of the charge [W]."""
    drop = state.outlet_temperature - state.manifold_temperature
    return np.asarray(state.flow * HEAT_CAPACITY * drop)
