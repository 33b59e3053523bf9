"""Draw engines nobody has built: hidden figures for a synthetic archive of any size.

All ranges are common practice (no source): what such workshops build, and a little around it.
Belts drawn here do not slip, so that a wrong prediction is the predictor's fault.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from tests.generator.dyno import Bench
from tests.generator.truth import (
    FUELS,
    Air,
    Belt,
    Charger,
    Cooler,
    Displacer,
    DriveLine,
    Engine,
    Impeller,
    Inlet,
    Setup,
    Truth,
)

Kind = Literal["lobe", "screw", "vane", "centrifugal", "natural"]
KINDS: tuple[Kind, ...] = ("lobe", "screw", "vane", "centrifugal", "natural")

_CRANK_PULLEY = 0.150
_DENSITY = 1.16
_BELT = Belt(tension=8000.0)
#: Swept flow of the blower over what the engine sweeps, times both efficiencies.
_SURPLUS = 1.5
_FILLED = 0.93 / 0.87


def random_truth(rng: np.random.Generator, kind: Kind | None = None) -> Truth:
    """Draw the hidden figures of one build; half of them have lobe blowers if no kind is given."""
    chosen = kind or KINDS[rng.choice(len(KINDS), p=[0.5, 0.22, 0.1, 0.1, 0.08])]
    engine = random_engine(rng)
    boosted = 1.0 if chosen == "natural" else 1.6
    flow = boosted * _DENSITY * engine.swept_volume * engine.max_speed / 2
    inlet = Inlet(_area(flow, rng.uniform(2e3, 7e3), _DENSITY), rng.uniform(2.0, 10.0))
    cooler = None
    if chosen != "natural" and rng.random() < 0.65:
        cooler = Cooler(
            rng.uniform(0.7, 2.0),
            flow,
            rng.uniform(285.0, 308.0),
            flow * 1005.0 * rng.uniform(8.0, 20.0),
            _area(flow, rng.uniform(2e3, 6e3), 1.7),
        )
    line = DriveLine(rng.uniform(0.90, 0.97), rng.uniform(1.0, 5.0), rng.uniform(0.92, 0.97))
    return Truth(engine, inlet, _random_charger(rng, chosen, engine, flow), cooler, _BELT, line)


def random_engine(rng: np.random.Generator) -> Engine:
    """Draw an engine of 0.5 to 6 L whose pistons reach 14 to 21 m/s."""
    cylinders = int(rng.choice([2, 3, 4, 4, 5, 6, 6, 8]))
    volume = 1e-3 * np.exp(rng.uniform(np.log(0.25), np.log(0.75)))
    ratio = rng.uniform(0.9, 1.25)
    stroke = float((volume * 4 / np.pi / ratio**2) ** (1 / 3))
    top = min(rng.uniform(14.0, 21.0) / (2 * stroke), 8000 / 60)
    flow = 1.4 * _DENSITY * cylinders * volume * top / 2
    return Engine(
        cylinders,
        round(ratio * stroke, 4),
        round(stroke, 4),
        round(rng.uniform(8.0, 10.0), 1),
        round(top * 60, -2) / 60,
        filling=rng.normal(0.93, 0.03),
        valve_restriction=345 * rng.uniform(0.42, 0.62) / (2 * stroke * top),
        tuned_speed=rng.uniform(0.55, 0.75) * top,
        tuning_gain=rng.uniform(0.02, 0.06),
        tuning_width=rng.uniform(0.15, 0.25) * top,
        burn_quality=rng.normal(0.83, 0.02),
        friction=rng.normal(1.0, 0.08),
        octane_need=rng.uniform(66.0, 78.0),
        exhaust_area=_area(flow, rng.uniform(10e3, 25e3), 0.33),
    )


def _area(flow: float, loss: float, density: float) -> float:
    """Effective area that loses so much pressure at this flow, by Bernoulli."""
    return float(flow / np.sqrt(2 * density * loss))


def _random_charger(rng: np.random.Generator, kind: Kind, engine: Engine, flow: float) -> Charger:
    if kind == "natural":
        return None
    ratio = rng.uniform(1.5, 2.2)
    if kind == "centrifugal":
        return _random_impeller(rng, engine, flow)
    slow = 0.6 if kind == "vane" else 1.0
    displacement = _SURPLUS * _FILLED * engine.swept_volume / 2 / (ratio * slow)
    size = displacement / 1e-3
    return Displacer(
        round(displacement, 5),
        built_in_ratio={"lobe": 1.0, "screw": rng.uniform(1.2, 1.4)}.get(kind, 1.2),
        leak_area=42e-6 * size ** (2 / 3) * np.exp(rng.normal(0.0, 0.25)) * slow,
        filling=rng.uniform(0.93, 0.975),
        choke_speed=650.0 * slow * size ** (-1 / 3),
        index=rng.uniform(1.40, 1.46),
        port_loss=rng.uniform(0.01, 0.03),
        casing_conductance=rng.uniform(5.0, 11.0) * size ** (2 / 3),
        drag_torque=rng.uniform(0.3, 0.6) * size / slow,
        windage_torque=rng.uniform(0.3, 0.6) * size / slow,
        gear_efficiency=rng.uniform(0.93, 0.97),
    )


def _random_impeller(rng: np.random.Generator, engine: Engine, flow: float) -> Impeller:
    """Size an impeller for 300 to 350 m/s at its rim and the best flow at the engine's top."""
    tip, best = rng.uniform(300.0, 350.0), rng.uniform(0.075, 0.09)
    diameter = float(np.sqrt(flow / _DENSITY / (best * tip)))
    step_up = tip / (np.pi * diameter) / (1.95 * engine.max_speed)
    return Impeller(
        round(diameter, 3),
        round(step_up, 2),
        head=rng.uniform(0.56, 0.64),
        best_flow=best,
        efficiency=rng.uniform(0.68, 0.77),
    )


def random_setups(rng: np.random.Generator, truth: Truth, count: int = 4) -> tuple[Setup, ...]:
    """Draw a ladder of blower pulleys, the largest first, on one fuel and mixture."""
    name = str(rng.choice(["petrol-98", "petrol-102", "e50", "e85", "methanol"]))
    mixture = round(rng.uniform(0.80, 0.88), 2)
    if not isinstance(truth.charger, Displacer | Impeller):
        return (Setup(FUELS[name], mixture),) * min(count, 1)
    ratio = _first_ratio(rng, truth)
    steps = ratio * 1.055 ** np.arange(count)
    line = 2 * truth.belt.line
    pulleys = [round((_CRANK_PULLEY + line) / step - line, 3) for step in steps]
    return tuple(Setup(FUELS[name], mixture, _CRANK_PULLEY, pulley) for pulley in pulleys)


def _first_ratio(rng: np.random.Generator, truth: Truth) -> float:
    """Pulley ratio of the ladder's first step: a little boost for every kind of blower."""
    if isinstance(truth.charger, Displacer):
        swept = _FILLED * truth.engine.swept_volume / 2
        return float(rng.uniform(1.25, 1.45) * swept / truth.charger.displacement)
    return float(rng.uniform(1.55, 1.7))


def random_air(rng: np.random.Generator) -> Air:
    """Draw the air of a test cell somewhere between sea level and 800 m."""
    return Air(rng.uniform(92e3, 102.5e3), rng.uniform(278.0, 308.0), rng.uniform(0.25, 0.85))


def random_bench(truth: Truth) -> Bench:
    """A bench that sweeps an engine from 35 % of its highest speed to the whole, 100 rpm apart."""
    top = truth.engine.max_speed
    low = round(0.35 * top * 60, -2) / 60
    return Bench(low, top)
