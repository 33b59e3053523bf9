"""An invented engine's full-load curves, smooth in engine speed, SI."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass

Curve = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Engine:
    """Its curves by channel, each a function of engine speed [rpm], and the range it was run in."""

    lowest: float
    highest: float
    curves: dict[str, Curve]


def engine(chance: random.Random) -> Engine:
    """Invent an engine."""
    low = chance.choice((1500, 1800, 2000, 2400, 2500))
    high = low + chance.choice((3000, 3500, 4000, 4600, 5000))
    top = chance.uniform(180, 900)
    peak = low + chance.uniform(0.3, 0.6) * (high - low)
    boost_low, boost_high = chance.uniform(20e3, 50e3), chance.uniform(55e3, 140e3)

    def share(n: float) -> float:
        return (n - low) / (high - low)

    def torque(n: float) -> float:
        return top * (1 - 0.32 * ((n - peak) / (high - low)) ** 2 / 0.36)

    def power(n: float) -> float:
        return 2 * math.pi * n / 60 * torque(n)

    def boost(n: float) -> float:
        return boost_low + (boost_high - boost_low) * share(n) ** 0.8 if n > low else boost_low

    ratio = chance.uniform(1.4, 2.6)
    warm = chance.uniform(18, 34)
    lean = chance.uniform(0.80, 0.90)
    curves: dict[str, Curve] = {
        "speed": lambda n: n / 60,
        "torque": torque,
        "power": power,
        "pressure": boost,
        "absolute": lambda n: boost(n) + 98.7e3,
        "lambda": lambda n: lean - 0.02 * share(n),
        "afr": lambda n: 14.2 * (lean - 0.02 * share(n)),
        "intake": lambda n: 273.15 + warm + 4 * share(n),
        "charge": lambda n: 273.15 + warm + 18 + 22 * share(n),
        "discharge": lambda n: 273.15 + warm + 45 + 60 * share(n),
        "coolant": lambda n: 273.15 + 79 + 9 * share(n),
        "blower": lambda n: ratio * n / 60,
        "depression": lambda n: 400 + 2600 * share(n) ** 2,
        "fuel": lambda n: 90e-9 * power(n),
        "air": lambda n: 90e-9 * power(n) * 12.1,
        "spark": lambda n: math.radians(14 + 12 * share(n)),
        "oil temperature": lambda n: 273.15 + 92 + 8 * share(n),
        "oil pressure": lambda n: 2.4e5 + 2.2e5 * share(n),
        "exhaust": lambda n: 273.15 + 640 + 190 * share(n),
        "fuel pressure": lambda n: 3.6e5 + 4e4 * share(n),
        "volts": lambda n: 13.8 - 0.3 * share(n),
        "knock": lambda n: 2.0 + round(3 * share(n)),
    }
    return Engine(low, high, curves)
