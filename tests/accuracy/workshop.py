"""One invented build and what its workshop knows: chosen by chance, written down with care.

Bore, stroke, pulleys and the like are known to the last digit; a pressure drop or a cooler's
effectiveness only where somebody once measured it, and then with an error. Which of these are
known, and all sizes of such errors: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np

from tests.generator import (
    Air,
    Bench,
    Fuel,
    Setup,
    Sweep,
    Truth,
    random_air,
    random_bench,
    random_setups,
    random_truth,
    run,
)
from tests.generator.belt import torque_capacity
from tests.generator.draw import Kind
from tests.generator.laws import PLAIN, Laws
from tests.generator.truth import FUELS, Displacer, Impeller, MeasuringPoint

_Chosen = TypeVar("_Chosen")

#: Blowers as the simulator draws them, without the engines that have none and so no ladder.
KINDS: dict[Kind, float] = {"lobe": 0.5, "screw": 0.22, "vane": 0.1, "centrifugal": 0.1}

#: Pulleys on each build's ladder, the largest first.
STEPS = 4

POINTS: dict[MeasuringPoint, float] = {"flywheel": 0.5, "hub": 0.2, "roller": 0.3}
#: Families of fuel, each with the names it is drawn from.
FAMILIES = {
    "petrol": ("petrol-98", "petrol-102"),
    "half ethanol": ("e50",),
    "ethanol": ("e85",),
    "methanol": ("methanol",),
}
_STANDARDS = ("iso-1585", "sae-j1349", "sae-j607", "din-70020")

#: Ethanol that a pump's E85 holds: 51 to 83 % by volume (ASTM D5798 as tabled by AFDC).
_PUMP = (0.51, 0.83)


#: Share of the highest speed at which a slack belt lets go: common practice, no source.
_SLIPPING = (0.84, 0.95)


@dataclass(frozen=True, slots=True)
class Known:
    """What the workshop wrote down beside pulleys and curves; an empty text where it did not.

    `headers` are the columns of its curve files. `drops` are relative errors of the inlet's and
    the cooler's pressure loss as once measured, `reach` and `coolant` the errors of the cooler's
    effectiveness [-] and coolant [K]; None where the figure was never measured.
    """

    headers: tuple[str, ...]
    fuel: str
    mixture: bool
    standard: str
    factor: bool
    inlet_drop: float | None
    cooler_drop: float | None
    reach: float | None
    coolant: float
    filling: float | None
    built_in_ratio: bool
    design: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Another day's air, its name, and what the planned pulleys truly give in it, by step."""

    name: str
    air: Air
    sweeps: Mapping[int, Sweep] = field(repr=False)


@dataclass(frozen=True, slots=True)
class Case:
    """One build: what is hidden, what the workshop knows, and a pull with each of its pulleys.

    `first` is the step that the workshop measured where it measured only one; `elsewhere` the air
    of another day, in which the planned pulley is predicted; `tension` the static tension [N] of a
    belt that was set too slack.
    """

    number: int
    kind: Kind
    truth: Truth
    setups: tuple[Setup, ...]
    air: Air
    bench: Bench
    known: Known
    first: int
    sweeps: tuple[Sweep, ...] = field(repr=False)
    laws: Laws = PLAIN
    elsewhere: Elsewhere | None = None
    tension: float | None = None


def draw_case(seed: int, number: int) -> Case:
    """Draw a build by seed and number; the same one whatever else is drawn."""
    rng = np.random.Generator(np.random.PCG64([seed, number]))
    kind = one_of(rng, KINDS)
    truth = random_truth(rng, kind)
    setups, fuel = fuelled(rng, random_setups(rng, truth, STEPS))
    air = random_air(rng)
    known = known_by(rng, truth, fuel)
    bench = replace(
        random_bench(truth), measured_at=one_of(rng, POINTS), standard=known.standard or None
    )
    first = int(rng.integers(STEPS - 1))
    sweeps = tuple(run(truth, setup, air, rng, bench) for setup in setups)
    return Case(number, kind, truth, setups, air, bench, known, first, sweeps)


def one_of(rng: np.random.Generator, shares: dict[_Chosen, float]) -> _Chosen:
    """Choose one by its share."""
    sizes = np.array(list(shares.values()))
    return list(shares)[rng.choice(len(shares), p=sizes / sizes.sum())]


def fuelled(rng: np.random.Generator, setups: tuple[Setup, ...]) -> tuple[tuple[Setup, ...], str]:
    """The setups with the fuel that was really in the tank, and its name in the build's file.

    Half of those who ran E85 tested or mixed it and wrote the blend; the others wrote the pump's
    name, and had what the pump held that day.
    """
    name = next(name for name, fuel in FUELS.items() if fuel == setups[0].fuel)
    if name != "e85":
        return setups, name
    if rng.random() < 0.5:
        return setups, "{petrol: 15 %, ethanol: 85 %}"
    ethanol = float(rng.uniform(*_PUMP))
    half, most = FUELS["e50"], FUELS["e85"]
    octane = np.interp(ethanol, [half.ethanol, most.ethanol], [half.octane, most.octane])
    fuel = Fuel(1 - ethanol, ethanol, octane=float(octane))
    return tuple(replace(setup, fuel=fuel) for setup in setups), name


def known_by(rng: np.random.Generator, truth: Truth, fuel: str) -> Known:
    """Choose what this workshop measured and wrote."""
    cooled = truth.cooler is not None
    error = _errors(rng)
    return Known(
        headers=_headers(rng, cooled),
        fuel=fuel,
        mixture=bool(rng.random() < 0.75),
        standard=str(rng.choice(_STANDARDS)) if rng.random() < 0.3 else "",
        factor=bool(rng.random() < 0.5),
        inlet_drop=error(0.5, 0.05),
        cooler_drop=error(0.4, 0.05) if cooled else None,
        reach=error(0.6, 0.02) if cooled else None,
        coolant=float(rng.normal(0.0, 1.0)),
        filling=error(0.4, 0.01),
        built_in_ratio=bool(rng.random() < 0.7),
        design=(float(rng.normal(0.0, 0.01)), float(rng.normal(0.0, 0.01))),
    )


def _errors(rng: np.random.Generator) -> Callable[[float, float], float | None]:
    """A drawer of errors of measurement: None where nobody measured."""

    def error(share: float, size: float) -> float | None:
        return float(rng.normal(0.0, size)) if rng.random() < share else None

    return error


def _headers(rng: np.random.Generator, cooled: bool) -> tuple[str, ...]:
    """Columns of the workshop's curve files: torque or power, boost, and what else it logs."""
    power = "torque [N m]" if rng.random() < 0.7 else "power [kW]"
    boost = "boost [kPa]" if rng.random() < 0.7 else "boost [psi]"
    others = {
        "lambda": 0.7,
        "intake temperature [degC]": 0.5,
        "discharge temperature [degC]": 0.15,
        "charge temperature [degC]": 0.6 if cooled else 0.3,
        "inlet pressure drop [kPa]": 0.3,
    }
    logged = [name for name, share in others.items() if rng.random() < share]
    return ("engine speed [rpm]", power, boost, *logged)


def family_of(fuel: str) -> str:
    """The fuel's family by its name in a build's file; a blend written out is ethanol."""
    return next((key for key, names in FAMILIES.items() if fuel in names), "ethanol")


def with_slack_belt(case: Case, step: int) -> Case | None:
    """The same build, but with one pulley the belt was so slack that it slips.

    It lets go somewhere in `_SLIPPING` of the highest speed and slips from there on; the workshop
    does not know. None where the simulator finds no steady state, since the belt gives way
    altogether.
    """
    rng = np.random.Generator(np.random.PCG64([case.number, step]))
    share = float(rng.uniform(*_SLIPPING))
    slack = replace(case.truth.belt, tension=_slack_tension(case, step, share), fade=0.3)
    truth = replace(case.truth, belt=slack)
    try:
        sweep = run(truth, case.setups[step], case.air, rng, case.bench, case.laws)
    except RuntimeError:
        return None
    sweeps = (*case.sweeps[:step], sweep, *case.sweeps[step + 1 :])
    return replace(case, sweeps=sweeps, tension=slack.tension)


def _slack_tension(case: Case, step: int, share: float) -> float:
    """Static tension [N] at which the belt carries just what the blower takes at that speed.

    What a belt carries is linear in its tension less the centrifugal one, so that two tensions
    give the line.
    """
    sweep, setup = case.sweeps[step], case.setups[step]
    charger, tight = case.truth.charger, case.truth.belt
    assert isinstance(charger, Displacer | Impeller)
    pulley = 2 * np.pi * sweep.state.blower_speed / charger.internal_ratio
    demand = sweep.state.shaft_power / pulley
    grip = np.full_like(demand, 1 - tight.creep)
    high, low = (
        torque_capacity(replace(tight, tension=tension), setup, sweep.engine_speed, grip)
        for tension in (tight.tension, 0.5 * tight.tension)
    )
    slope = (high - low) / (0.5 * tight.tension)
    tension = tight.tension - (high - demand) / slope
    return float(np.interp(share * case.bench.high, sweep.engine_speed, tension))
