"""The dyno: where it measures, what it loses on the way, its noise, its smoothing, its paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from tests.generator.balance import Case, Output, State, balance, output
from tests.generator.gas import Array, saturation_pressure
from tests.generator.laws import PLAIN, Laws
from tests.generator.truth import Air, DriveLine, MeasuringPoint, Setup, Truth


@dataclass(frozen=True, slots=True)
class Noise:
    """Standard deviations of one reading: half of the variance is common to the whole pull."""

    power: float = 0.01
    boost: float = 1.5e3
    temperature: float = 1.5
    mixture: float = 0.01
    flow: float = 0.015
    blower_speed: float = 0.002
    pressure_drop: float = 0.15e3
    spark: float = 0.2


@dataclass(frozen=True, slots=True)
class Bench:
    """One dyno and how it is driven: speeds [rev/s], measuring point, smoothing, standard."""

    low: float
    high: float
    step: float = 100.0 / 60
    measured_at: MeasuringPoint = "flywheel"
    #: width of the running mean over engine speed [rev/s]
    smoothing: float = 2.0
    #: correction that the dyno puts on torque and power by itself
    standard: str | None = None
    noise: Noise = Noise()
    #: engine speed [rev/s] that passes before a thermometer has followed 63 % of a change
    lag: float = 0.0


@dataclass(frozen=True, slots=True)
class Sweep:
    """One pull: channels over engine speed [rev/s], true and as the dyno wrote them, in SI.

    Channels: torque, power (both at the measuring point), boost, manifold_pressure,
    inlet_pressure_drop, intake_temperature, discharge_temperature, charge_temperature,
    blower_speed, air_mass_flow, fuel_mass_flow, lambda, air_fuel_ratio, ignition_advance.
    `factor` is what the dyno multiplied torque and power by. Torque and power of `true` are
    before any correction.
    """

    engine_speed: Array
    true: Mapping[str, Array]
    measured: Mapping[str, Array]
    state: State
    output: Output
    factor: float = 1.0


def run(
    truth: Truth,
    setup: Setup,
    air: Air,
    rng: np.random.Generator,
    bench: Bench,
    laws: Laws = PLAIN,
) -> Sweep:
    """Sweep an engine over the bench's speeds and read it with noise."""
    count = round((bench.high - bench.low) / bench.step) + 1
    speed = np.asarray(bench.low + bench.step * np.arange(count), dtype=np.float64)
    case = Case(truth, setup, air, speed, laws)
    state = balance(case)
    result = output(case, state)
    true = _channels(case, bench, state, result)
    factor = correction(bench.standard, air) if bench.standard else 1.0
    measured = _read(true, rng, bench, speed, factor)
    return Sweep(speed, MappingProxyType(true), MappingProxyType(measured), state, result, factor)


def delivered(line: DriveLine, point: MeasuringPoint, speed: Array, power: Array) -> Array:
    """Power [W] left at the measuring point: gear losses, drag, then the tyre.

    Gearbox and final drive 0.90 to 0.98 by Joachim, Boerner and Kurz (2012); the tyre's share is
    common practice, no source.
    """
    if point == "flywheel":
        return power
    hub = power * line.gear_efficiency - 2 * np.pi * speed * line.drag_torque
    return np.asarray(hub if point == "hub" else hub * line.tyre_efficiency)


def _channels(case: Case, bench: Bench, state: State, result: Output) -> dict[str, Array]:
    """Lay out every channel as it truly is."""
    truth, air, speed = case.truth, case.air, case.speed
    power = delivered(truth.drive_line, bench.measured_at, speed, result.brake)
    air_flow = np.asarray(state.intake_flow)
    return {
        "power": power,
        "torque": np.asarray(power / (2 * np.pi * speed)),
        "boost": state.manifold_pressure - air.pressure,
        "manifold_pressure": state.manifold_pressure,
        "inlet_pressure_drop": air.pressure - state.inlet_pressure,
        "intake_temperature": state.inlet_temperature,
        "discharge_temperature": state.outlet_temperature,
        "charge_temperature": state.manifold_temperature,
        "blower_speed": state.blower_speed,
        "air_mass_flow": air_flow,
        "fuel_mass_flow": result.fuel,
        "lambda": result.mixture,
        "air_fuel_ratio": np.asarray(air_flow / result.fuel),
        "ignition_advance": result.spark,
    }


_SIGMAS = {
    "boost": "boost",
    "manifold_pressure": "boost",
    "inlet_pressure_drop": "pressure_drop",
    "intake_temperature": "temperature",
    "discharge_temperature": "temperature",
    "charge_temperature": "temperature",
    "ignition_advance": "spark",
}
_RELATIVE = {
    "torque": "power",
    "blower_speed": "blower_speed",
    "air_mass_flow": "flow",
    "fuel_mass_flow": "flow",
    "lambda": "mixture",
    "air_fuel_ratio": "mixture",
}


def _read(
    true: Mapping[str, Array], rng: np.random.Generator, bench: Bench, speed: Array, factor: float
) -> dict[str, Array]:
    """Read each channel smoothed and with noise; power follows from the torque that was read.

    The manometer of the pressure drop has its stop at nought.
    """
    read: dict[str, Array] = {}
    for name, sigma in _SIGMAS.items():
        spread = getattr(bench.noise, sigma)
        felt = lagged(true[name], bench) if name.endswith("temperature") else true[name]
        read[name] = smooth(felt, bench) + spread * wander(rng, speed, bench)
    for name, sigma in _RELATIVE.items():
        spread = getattr(bench.noise, sigma)
        read[name] = smooth(true[name], bench) * (1 + spread * wander(rng, speed, bench))
    read["inlet_pressure_drop"] = np.maximum(read["inlet_pressure_drop"], 0.0)
    read["torque"] = read["torque"] * factor
    read["power"] = np.asarray(2 * np.pi * speed * read["torque"])
    return read


def lagged(values: Array, bench: Bench) -> Array:
    """What a thermometer shows that follows the gas with a time constant, while speed rises."""
    if bench.lag == 0:
        return values
    keep = np.exp(-bench.step / bench.lag)
    shown = [float(values[0])]
    for value in values[1:]:
        shown.append(keep * shown[-1] + (1 - keep) * float(value))
    return np.array(shown)


def smooth(values: Array, bench: Bench) -> Array:
    """Running mean with Gaussian weights over engine speed, its ends mirrored about themselves."""
    weights = _weights(bench)
    reach = len(weights) // 2
    if reach == 0 or len(values) <= reach:
        return values
    before = 2 * values[0] - values[reach:0:-1]
    after = 2 * values[-1] - values[-2 : -reach - 2 : -1]
    return np.convolve(np.concatenate([before, values, after]), weights, mode="valid")


def _weights(bench: Bench) -> Array:
    reach = int(2 * bench.smoothing / bench.step)
    offsets = np.arange(-reach, reach + 1) * bench.step
    weights = np.exp(-0.5 * (offsets / max(bench.smoothing, 1e-9)) ** 2)
    return np.asarray(weights / weights.sum())


def wander(rng: np.random.Generator, speed: Array, bench: Bench) -> Array:
    """Noise of unit variance: half common to the pull, half along it, smoothed as the dyno does."""
    weights = _weights(bench)
    raw = rng.standard_normal(len(speed) + len(weights) - 1)
    along = np.convolve(raw, weights, mode="valid") / np.sqrt(np.sum(weights**2))
    return np.asarray((rng.standard_normal() + along) / np.sqrt(2.0))


def correction(standard: str, air: Air) -> float:
    """Factor that a dyno of this standard would put on power, from its own weather station.

    ISO 1585 (99 kPa/p_d)^1.2 (T/298)^0.6; SAE J1349 of 1990 1.18 (99 kPa/p_d) sqrt(T/298) - 0.18;
    SAE J607 (29.92 inHg/p_d) sqrt(T/288.7); DIN 70020 (101.3 kPa/p) sqrt(T/293), p total. All
    restated by second sources; the dyno writes T = t + 273.
    """
    dry = air.pressure - air.humidity * saturation_pressure(air.temperature)
    warm = air.temperature - 0.15
    factors = {
        "iso-1585": (99e3 / dry) ** 1.2 * (warm / 298) ** 0.6,
        "sae-j1349": 1.18 * (99e3 / dry) * (warm / 298) ** 0.5 - 0.18,
        "sae-j607": (101320.8 / dry) * (warm / 288.7) ** 0.5,
        "din-70020": (101.3e3 / air.pressure) * (warm / 293) ** 0.5,
    }
    return float(factors[standard])
