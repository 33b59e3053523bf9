"""How a pull of the demo archive is described: a dyno day, and the pulls made on it.

The hidden figures live in `boats`, `racers` and `machines`; the archive's YAML is typed by
hand and knows only what the workshop knows. Pulls go by the laws of `tests.rig`, and thermometers
follow late: what they show of intake and discharge is a truth that the model is not handed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from tests.generator.dyno import Bench, Sweep, run
from tests.generator.truth import FUELS, Air, MeasuringPoint, Setup, Truth
from tests.rig import RIG

#: Engine speed [rpm] in which a thermometer follows 63 % of a change: common practice, no source.
_LAG = 250.0


@dataclass(frozen=True, slots=True)
class Day:
    """One dyno session of a build: its air, its bench, what it records, its seed."""

    build: str
    date: str
    truth: Truth
    air: Air
    bench: Bench
    columns: Sequence[str]
    seed: int


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull of a day, counted from 1, and whether its curve was kept or only its peaks.

    `soak` is how much warmer [K] heat soak made the inlet than the first pull found it;
    `silent` names columns and the engine speeds [rpm] between which they recorded nothing.
    """

    day: Day
    number: int
    setup_id: str
    setup: Setup
    soak: float = 0.0
    silent: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    curve: bool = True

    @property
    def path(self) -> str:
        """Path of the curve file under `builds/`."""
        return f"{self.day.build}/pulls/{self.day.date}-{self.number}.csv"

    def sweep(self) -> Sweep:
        """Run the pull; the same figures every time."""
        rng = np.random.Generator(np.random.PCG64(self.day.seed + self.number))
        truth = self.day.truth
        inlet = replace(truth.inlet, pickup=truth.inlet.pickup + self.soak)
        truth = replace(truth, inlet=inlet)
        return run(truth, self.setup, self.day.air, rng, self.day.bench, RIG)


def setup(fuel: str, mixture: float, crank: float = 0.0, blower: float = 0.0) -> Setup:
    """A setup by the fuel's name, lambda and the pulleys' effective diameters in mm."""
    return Setup(FUELS[fuel], mixture, crank / 1e3, blower / 1e3)


def bench(
    low: float,
    high: float,
    step: float = 100.0,
    *,
    measured_at: MeasuringPoint = "flywheel",
    smoothing: float = 120.0,
    standard: str | None = None,
) -> Bench:
    """A bench by engine speeds in rpm."""
    return Bench(
        low / 60, high / 60, step / 60, measured_at, smoothing / 60, standard, lag=_LAG / 60
    )


def air(kilopascal: float, celsius: float, humidity: float) -> Air:
    """The air of a day by station pressure in kPa, temperature in degC, humidity in percent."""
    return Air(kilopascal * 1e3, celsius + 273.15, humidity / 100)
