"""The steady state at each speed: what the blower passes on is what the engine swallows.

The manifold fills or empties until both flows agree, as it would on the dyno; the belt slips
where the blower asks for more torque than it carries.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.generator import belt as drive
from tests.generator.blower import Delivery, deliver, spin
from tests.generator.engine import (
    best_spark,
    blend,
    friction_pressure,
    indicated_efficiency,
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
from tests.generator.laws import PLAIN, Laws
from tests.generator.truth import Air, Displacer, Impeller, Setup, Truth, Turbine

_SETTLED = 1e-9
_LONGEST = 400
_FILLING = 0.7


@dataclass(frozen=True, slots=True)
class Case:
    """What is swept: truth, setup, the room's air, engine speeds [rev/s], and by which laws."""

    truth: Truth
    setup: Setup
    air: Air
    speed: Array
    laws: Laws = PLAIN


@dataclass(frozen=True, slots=True)
class State:
    """The gas along its way at each speed: pressures [Pa], temperatures [K], flow [kg/s].

    `grip` is blower speed over what the pulleys ask for, `shaft_power` what the blower takes at
    its own pulley [W], `intake_flow` what the engine swallows, `surplus` the logarithm of what
    the blower passes on over that.
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
    surplus: Array


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


def start(case: Case) -> State:
    """Guess the state: the room's air in the whole engine, belt gripping."""
    truth, air, speed = case.truth, case.air, case.speed
    same = np.ones_like(speed)
    p, t = air.pressure * same, (air.temperature + truth.inlet.pickup) * same
    flow = 0.9 * p / (GAS_CONSTANT * t) * truth.engine.swept_volume * speed / 2
    return State(p, t, p, t, p, t, p, flow, flow, same, asked_speed(case), 0.0 * same, 0.0 * same)


def asked_speed(case: Case) -> Array:
    """Blower speed [rev/s] that the pulleys ask for; none where nothing is driven."""
    charger = case.truth.charger
    if not isinstance(charger, Displacer | Impeller):
        return np.zeros_like(case.speed)
    ratio = drive.speed_ratio(case.truth.belt, case.setup)
    return np.asarray(case.speed * ratio * charger.internal_ratio)


def balance(case: Case) -> State:
    """Let the manifold fill until flows agree to 1e-9; RuntimeError if they never do.

    Each speed is filled with its own gain, halved where the manifold overshoots: a blower that
    hardly boosts answers steeply, since leakage goes with the root of the pressure difference.
    """
    state = start(case)
    gain = np.full_like(case.speed, _FILLING)
    for _ in range(_LONGEST):
        after = _step(case, state, gain)
        overshot = after.surplus * state.surplus < 0
        gain = np.where(overshot, 0.5 * gain, np.minimum(1.15 * gain, _FILLING))
        settled = _change(state, after) < _SETTLED and np.max(np.abs(after.surplus)) < _SETTLED
        state = after
        if settled:
            return state
    raise RuntimeError("the manifold never settled: these hidden parameters make no engine")


def _change(before: State, after: State) -> float:
    """Largest relative change of the figures that a step carries on."""
    names = ("outlet_pressure", "outlet_temperature", "flow", "grip")
    pairs = [(getattr(after, name), getattr(before, name)) for name in names]
    return max(float(np.max(np.abs(new / old - 1))) for new, old in pairs)


def _step(case: Case, state: State, gain: Array) -> State:
    """One step of filling: inlet, blower, cooler, engine, belt, in the order of the air."""
    truth, air, speed = case.truth, case.air, case.speed
    room = np.full_like(speed, air.pressure)
    warm = np.full_like(speed, air.temperature + truth.inlet.pickup)
    inlet = (room - orifice_loss(truth.inlet.area, room, warm, state.flow), warm)
    state = replace(state, inlet_pressure=inlet[0], blower_speed=asked_speed(case) * state.grip)
    outlet, delivery = _charge(case, state)
    p_m, t_m = case.laws.cool(truth.cooler, outlet, delivery.temperature, delivery.flow)
    exhaust = _exhaust_pressure(case, state.flow, p_m)
    swallowed = _swallowed(case, (p_m, t_m, exhaust))
    driven = isinstance(truth.charger, Displacer)
    surplus = np.log(delivery.flow / swallowed)
    filled = outlet * np.exp(gain * surplus) if driven else outlet
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
        grip=_grip(case, state, delivery.shaft_power, gain),
        shaft_power=delivery.shaft_power,
        surplus=surplus,
    )


def _swallowed(case: Case, charge: tuple[Array, Array, Array]) -> Array:
    """Flow the engine takes from its manifold: every second revolution it fills once."""
    p_m, t_m, _ = charge
    breathing = case.laws.filling(case.truth.engine, case.setup, case.speed, charge)
    displaced = case.truth.engine.swept_volume * case.speed / 2
    return np.asarray(breathing * p_m / (GAS_CONSTANT * t_m) * displaced)


def _charge(case: Case, state: State) -> tuple[Array, Delivery]:
    """Outlet pressure and delivery of whatever feeds the engine."""
    inlet = (state.inlet_pressure, state.inlet_temperature)
    charger = case.truth.charger
    if isinstance(charger, Displacer):
        outlet = (state.outlet_pressure, state.outlet_temperature)
        return outlet[0], deliver(charger, state.blower_speed, inlet, outlet, case.laws.leakage)
    if isinstance(charger, Impeller):
        return spin(charger, state.blower_speed, inlet, state.flow)
    if isinstance(charger, Turbine):
        return _turbocharge(charger, case, state)
    return inlet[0], Delivery(state.flow, inlet[1], 0.0 * state.flow)


def _turbocharge(charger: Turbine, case: Case, state: State) -> tuple[Array, Delivery]:
    """Boost as the wastegate allows once spooled; heating by compressor efficiency.

    The rise over speed is a logistic curve: common practice, no source.
    """
    spooled = 1 / (1 + np.exp(-(case.speed - charger.spool_speed) / charger.spool_width))
    cooler_loss = state.outlet_pressure - state.manifold_pressure
    outlet = case.air.pressure + charger.boost * spooled + np.maximum(cooler_loss, 0.0)
    ratio = np.maximum(outlet / state.inlet_pressure, 1.0)
    rise = state.inlet_temperature * (ratio ** ((KAPPA - 1) / KAPPA) - 1) / charger.efficiency
    return outlet, Delivery(state.flow, state.inlet_temperature + rise, 0.0 * rise)


def _exhaust_pressure(case: Case, flow: Array, manifold: Array) -> Array:
    """Pressure the pistons push against: the pipe's loss, or the turbine's wish.

    Exhaust gas at 1050 K (common practice, no source) through the pipe's effective area.
    """
    truth, air = case.truth, case.air
    density = air.pressure / (GAS_CONSTANT * 1050.0)
    loss = (1.07 * flow / truth.engine.exhaust_area) ** 2 / (2 * density)
    plain = air.pressure + np.minimum(loss, 80e3)
    if isinstance(truth.charger, Turbine):
        return np.maximum(plain, truth.charger.back_pressure_ratio * manifold)
    return np.asarray(plain)


def _grip(case: Case, state: State, shaft: Array, gain: Array) -> Array:
    """Creep while the belt holds; where torque exceeds what it carries, the blower falls back."""
    truth, setup, speed = case.truth, case.setup, case.speed
    if not isinstance(truth.charger, Displacer | Impeller):
        return state.grip
    pulley_speed = speed * drive.speed_ratio(truth.belt, setup) * state.grip
    demand = np.maximum(shaft / (2 * np.pi * pulley_speed), 1e-3)
    margin = drive.torque_capacity(truth.belt, setup, speed, state.grip) / demand
    holding = 1 - truth.belt.creep / np.maximum(margin, 1.0)
    return np.clip(state.grip * margin ** (0.15 * gain), 0.4, holding)


def output(case: Case, state: State) -> Output:
    """Energy balance per second: heat released to brake power, with each loss between."""
    truth, setup, air, speed = case.truth, case.setup, case.air, case.speed
    engine = truth.engine
    blended = blend(setup.fuel)
    dry = state.intake_flow * (1 - vapour_share(air.pressure, air.temperature, air.humidity))
    mixture = setup.mixture * (1 + 0.012 * np.cos(3 * np.pi * speed / engine.max_speed))
    heat = dry * released_energy(blended, mixture)
    charge = (state.manifold_pressure, state.manifold_temperature)
    retard = case.laws.knock(engine, setup, speed, *charge) + setup.retard
    gross = heat * indicated_efficiency(engine, speed) * case.laws.late(retard)
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
