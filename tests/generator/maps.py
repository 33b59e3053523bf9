"""The demo archive's measured maps: what a bench would find of two of its blowers.

The bench holds the inlet at 100 kPa and 25 degC, turns the blower at stated speeds and throttles
its outlet. What it reads follows from the same hidden blower as the pulls, with a little noise;
a pull's own blower differs a little, as two of one casting do.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tests.generator.blower import Delivery, deliver, spin
from tests.generator.boats import DIPPER
from tests.generator.gas import GAS_CONSTANT, HEAT_CAPACITY, KAPPA, Array
from tests.generator.machines import OUZEL
from tests.generator.truth import Displacer, Impeller
from tests.rig import RIG

_PRESSURE, _TEMPERATURE = 100e3, 298.15
_EXPONENT = (KAPPA - 1) / KAPPA
#: Standard deviations of the bench's readings: relative for flow and ratio, in points for the rest.
_FLOW, _RATIO, _POINTS = 0.003, 0.002, 0.4
_SETTLED = 200
_DISPLACED_HEADS = (
    "pressure ratio",
    "volumetric efficiency [%]",
    "isentropic efficiency [%]",
    "shaft efficiency [%]",
)


@dataclass(frozen=True, slots=True)
class Bench:
    """One blower on the bench: its file, its hidden figures, and what was held at each speed.

    `lines` are speeds in rpm, each with the pressure ratios that were set, or for an impeller the
    flow coefficients over the best one.
    """

    file: str
    blower: Displacer | Impeller
    lines: Sequence[tuple[float, Sequence[float]]]
    seed: int


MAPS: tuple[Bench, ...] = (
    Bench(
        "blowers/ouzel-12.csv",
        OUZEL,
        (
            (3000, (1.2, 1.4, 1.6, 1.8)),
            (5000, (1.2, 1.4, 1.6, 1.8, 2.0)),
            (7500, (1.2, 1.4, 1.6, 1.8, 2.0, 2.2)),
            (10000, (1.2, 1.4, 1.6, 1.8, 2.0, 2.2)),
            (12500, (1.2, 1.4, 1.6, 1.8, 2.0, 2.2)),
            (15900, (1.2, 1.4, 1.6, 1.8, 2.0, 2.2)),
        ),
        81201,
    ),
    Bench(
        "blowers/dipper-c82.csv",
        DIPPER,
        tuple(
            (speed, (0.65, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5))
            for speed in (30000, 40000, 50000, 60000, 70000, 80000, 88000)
        ),
        81202,
    ),
)


def map_file(bench: Bench) -> str:
    """Text of a map file; the same bytes every time."""
    noise = np.random.Generator(np.random.PCG64(bench.seed))
    blower = bench.blower
    if isinstance(blower, Displacer):
        rows = _displaced(blower, bench.lines, noise)
        heads: tuple[str, ...] = _DISPLACED_HEADS
    else:
        rows = _spun(blower, bench.lines, noise)
        heads = ("air flow [kg/min]", "pressure ratio", "isentropic efficiency [%]")
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("blower speed [rpm]", *heads))
    writer.writerows(rows)
    return text.getvalue()


def _displaced(
    blower: Displacer, lines: Iterable[tuple[float, Sequence[float]]], noise: np.random.Generator
) -> Iterator[tuple[str, ...]]:
    """Points of a displacing blower: the ratio is set, flow, temperatures and torque are read.

    The casing gives heat to the room, so that the air leaves colder than the work alone would
    make it: the efficiency on temperatures is above the one on shaft power.
    """
    for rpm, set_ratios in lines:
        ratio = np.array(set_ratios)
        delivery, hot = settled(blower, rpm / 60, ratio)
        flow = delivery.flow
        swept = _PRESSURE * blower.displacement * rpm / 60 / (GAS_CONSTANT * _TEMPERATURE)
        filled = 100 * flow / swept * (1 + _FLOW * noise.standard_normal(len(ratio)))
        efficiency = _efficiency(ratio, hot) + _POINTS * noise.standard_normal(len(ratio))
        least = flow * HEAT_CAPACITY * _TEMPERATURE * (ratio**_EXPONENT - 1)
        shaft = 100 * least / delivery.shaft_power + _POINTS * noise.standard_normal(len(ratio))
        for values in zip(ratio, filled, efficiency, shaft, strict=True):
            yield f"{rpm:.0f}", *(f"{value:.1f}" for value in values)


def settled(blower: Displacer, speed: float, ratio: Array) -> tuple[Delivery, Array]:
    """Delivery and outlet temperature once the blower is warm; what leaks back is as hot."""
    same = np.ones_like(ratio)
    inlet, hot = (_PRESSURE * same, _TEMPERATURE * same), 330.0 * same
    for _ in range(_SETTLED):
        delivery = deliver(blower, speed * same, inlet, (_PRESSURE * ratio, hot), RIG.leakage)
        hot = 0.5 * (hot + delivery.temperature)
    return delivery, delivery.temperature


def _spun(
    blower: Impeller, lines: Iterable[tuple[float, Sequence[float]]], noise: np.random.Generator
) -> Iterator[tuple[str, ...]]:
    """Points of an impeller: the flow is set, pressure and temperatures are read."""
    for rpm, coefficients in lines:
        share = np.array(coefficients)
        same = np.ones_like(share)
        tip = np.pi * blower.diameter * rpm / 60
        volume = share * blower.best_flow * tip * blower.diameter**2
        flow = volume * _PRESSURE / (GAS_CONSTANT * _TEMPERATURE)
        inlet = (_PRESSURE * same, _TEMPERATURE * same)
        outlet, delivery = spin(blower, rpm / 60 * same, inlet, flow)
        ratio = outlet / _PRESSURE
        read = 1 + (ratio - 1) * (1 + _RATIO * noise.standard_normal(len(share)))
        efficiency = _efficiency(ratio, delivery.temperature)
        efficiency = efficiency + _POINTS * noise.standard_normal(len(share))
        for values in zip(60 * flow, read, efficiency, strict=True):
            yield f"{rpm:.0f}", f"{values[0]:.2f}", f"{values[1]:.3f}", f"{values[2]:.1f}"


def _efficiency(ratio: Array, hot: Array) -> Array:
    """Isentropic efficiency on temperatures, in per cent."""
    return np.asarray(100 * (ratio**_EXPONENT - 1) * _TEMPERATURE / (hot - _TEMPERATURE))
