"""A blower as a package, before any engine is chosen: its pairs' speeds, and boost by engine size.

The boost is that of the product's own model on a plain engine of each size, with the defaults of
`tables.defaults`: what an engine that nobody measured would be given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi
from typing import Any

from specgen.analysis.assembly import assemble, setup_of
from specgen.analysis.workings import Workings
from specgen.archive.model.build import (
    Archive,
    Blower,
    Build,
    Drive,
    Engine,
    Given,
    Induction,
    Setup,
)
from specgen.findings import Place
from specgen.physics.pulley import blower_speed, pitch_ratio

#: The plain engine: four valves, square, no charge cooler, turning this fast if nobody says [1/s].
SPEED = 6000 / 60
_CYLINDERS, _COMPRESSION, _VALVES = 4, 9.0, 4
#: Engine speeds at which a pair's blower speed is told [1/s].
SPEEDS = tuple(speed / 60 for speed in (4000, 5000, 6000, 7000))
HERE = Place("a plain engine")


@dataclass(frozen=True, slots=True)
class PairSpeeds:
    """One pair a blower comes with: ratios, and rotor speeds [1/s] at the speeds of `SPEEDS`."""

    crank: Given[float]
    blower: Given[float]
    nominal: float
    ratio: float
    rotors: tuple[float, ...]


def pair_speeds(blower: Blower) -> tuple[PairSpeeds, ...]:
    """Every pair of a blower by rising ratio; none where its file names no pulleys."""
    internal = blower.internal_ratio.value if blower.internal_ratio else 1.0
    found = []
    for crank in blower.crank_pulleys:
        for pulley in blower.pulleys:
            ratio = float(pitch_ratio(crank.value, pulley.value))
            rotors = tuple(float(blower_speed(n, ratio, internal)) for n in SPEEDS)
            nominal = crank.value / pulley.value
            found.append(PairSpeeds(crank, pulley, nominal, ratio, rotors))
    return tuple(sorted(found, key=lambda pair: pair.ratio))


class PlainEngine:
    """Boost that a blower gives on a plain engine, by swept volume [m3], ratio and speed."""

    def __init__(self, archive: Archive, blower: Blower) -> None:
        self._archive = archive
        self._blower = blower
        self._made: dict[tuple[float, float], Workings] = {}

    def boost(self, volume: float, ratio: float, speed: float = SPEED) -> float | None:
        """Boost [Pa] at an engine speed [1/s]; None without a balance or beyond the map."""
        key = volume, speed
        if key not in self._made:
            self._made[key] = assemble(self._archive, self._build(volume, speed))
        # On pulleys of exactly this ratio: a crank pulley of 200 mm on its pitch line.
        size = 0.204 / ratio - 0.004
        if size <= 0:
            return None
        setup = Setup(_given("plain"), crank_pulley=_given(0.2), blower_pulley=_given(size))
        row = setup_of(self._made[key], setup).rows["boost_at_top"]
        return row.scalar if row.present else None

    def _build(self, volume: float, speed: float) -> Build:
        bore = (4 * volume / _CYLINDERS / pi) ** (1 / 3)
        engine = Engine(
            cylinders=_given(_CYLINDERS),
            bore=_given(bore),
            stroke=_given(bore),
            compression_ratio=_given(_COMPRESSION),
            valves_per_cylinder=_given(_VALVES),
            max_speed=_given(speed),
        )
        induction = Induction(blower=_given(self._blower.id))
        return replace(_EMPTY, engine=engine, induction=induction, drive=Drive())


def _given(value: Any) -> Given[Any]:
    return Given(value, str(value), HERE)


_EMPTY = Build("plain-engine", HERE, _given("Plain engine"),
               Engine(_given(1), _given(0.1), _given(0.1)))  # fmt: skip


def sizes_around(volumes: Sequence[float], displacement: float | None) -> tuple[float, ...]:
    """Four round swept volumes [m3] around those of the engines a blower is on, or by its size."""
    if volumes:
        low, high = 0.85 * min(volumes), 1.15 * max(volumes)
    else:
        middle = 1.9 * displacement if displacement else 2.5e-3
        low, high = 0.75 * middle, 1.35 * middle
    step = (high - low) / 3
    rounded = [round((low + index * step) * 1e3, 1) / 1e3 for index in range(4)]
    return tuple(dict.fromkeys(max(size, 0.2e-3) for size in rounded))
