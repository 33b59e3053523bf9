"""Builds of the second simulator, fitted in the shed's air, predicted in other air.

Kind of blower, air, fuel and cooler go round by the build's number, so that each group holds as
many; everything else is drawn as for the first set.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.accuracy.workshop import (
    FAMILIES,
    POINTS,
    STEPS,
    Case,
    Elsewhere,
    fuelled,
    known_by,
    one_of,
)
from tests.generator import (
    FUELS,
    Air,
    Setup,
    Sweep,
    Truth,
    random_bench,
    random_setups,
    random_truth,
    run,
)
from tests.generator.draw import Kind
from tests.generator.laws import Laws
from tests.rig import RIG

#: How far a workshop's air may lie from the day of its pulls; low and high of pressure [kPa],
#: temperature [degC] and relative humidity [%]. Common practice, no source.
AIRS: dict[str, tuple[tuple[float, float], tuple[float, float], tuple[float, float]]] = {
    "hot and dry": ((97.0, 101.0), (36.0, 43.0), (8.0, 18.0)),
    "humid": ((98.0, 101.5), (31.0, 36.0), (80.0, 95.0)),
    "cold": ((99.0, 103.0), (-8.0, 3.0), (50.0, 85.0)),
    "thin": ((78.0, 84.0), (10.0, 22.0), (25.0, 55.0)),
}
_AT_HOME = ((97.5, 101.5), (15.0, 25.0), (30.0, 60.0))

KINDS: tuple[Kind, ...] = ("lobe", "screw", "vane", "centrifugal")

#: As many as give each group of four at least two hundred: whole rounds of all combinations.
BUILDS = 896


def draw_elsewhere(seed: int, number: int, laws: Laws = RIG) -> Case:
    """Draw a build by seed and number, its ladder, and what it gives in other air."""
    rng = np.random.Generator(np.random.PCG64([seed, number, len(AIRS)]))
    kind = KINDS[number % 4]
    name = list(AIRS)[number // 4 % 4]
    family = list(FAMILIES)[number // 16 % 4]
    truth = _truth(rng, kind, cooled=number // 64 % 2 == 0)
    setups, fuel = fuelled(rng, _with_fuel(rng, random_setups(rng, truth, STEPS), family))
    home, away = air_of(rng, _AT_HOME), air_of(rng, AIRS[name])
    known = known_by(rng, truth, fuel)
    bench = replace(
        random_bench(truth), measured_at=one_of(rng, POINTS), standard=known.standard or None
    )
    first = int(rng.integers(STEPS - 1))
    sweeps = tuple(run(truth, setup, home, rng, bench, laws) for setup in setups)
    there: dict[int, Sweep] = {
        step: run(truth, setups[step], away, rng, bench, laws)
        for step in sorted({first + 1, STEPS - 1})
    }
    elsewhere = Elsewhere(name, away, there)
    return Case(number, kind, truth, setups, home, bench, known, first, sweeps, laws, elsewhere)


def _truth(rng: np.random.Generator, kind: Kind, *, cooled: bool) -> Truth:
    """Draw until the build has a cooler, or none, as is asked."""
    while True:
        truth = random_truth(rng, kind)
        if (truth.cooler is not None) == cooled:
            return truth


def _with_fuel(
    rng: np.random.Generator, setups: tuple[Setup, ...], family: str
) -> tuple[Setup, ...]:
    fuel = FUELS[str(rng.choice(FAMILIES[family]))]
    return tuple(replace(setup, fuel=fuel) for setup in setups)


def air_of(rng: np.random.Generator, ranges: tuple[tuple[float, float], ...]) -> Air:
    """Draw air between the ends of each range."""
    pressure, celsius, humidity = (float(rng.uniform(*ends)) for ends in ranges)
    return Air(pressure * 1e3, celsius + 273.15, humidity / 100)
