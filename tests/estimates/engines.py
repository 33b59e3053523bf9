"""Random engines, blowers, pulleys, fuels and airs, hopeless ones included."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from typing import Any

from specgen.analysis.planning.typed import Typed
from specgen.analysis.tables.fuel import BLENDS
from specgen.archive.model.build import Archive, Blower, Given
from specgen.findings import Place
from specgen.publish.estimate.data import of_blower

#: Share of cases that are far from anything anybody builds.
WILD = 0.25


@dataclass(frozen=True, slots=True)
class Case:
    """One engine on one blower with one pair of pulleys, and the archive that has the blower."""

    archive: Archive
    blower: Blower
    typed: Typed
    crank: Given[float]
    pulley: Given[float]

    @property
    def told(self) -> str:
        """The case in a line."""
        pair = f"{self.crank.value} to {self.pulley.value}"
        return f"{self.blower.id}, {self.blower.kind.value}, {pair}, {self.typed}"

    def written(self) -> dict[str, Any]:
        """The case as the browser's side takes it."""
        return {
            "blower": of_blower(self.archive, self.blower),
            "typed": asdict(self.typed),
            "crank": self.crank.value,
            "pulley": self.pulley.value,
        }


def cases(archive: Archive, count: int, chance: random.Random) -> list[Case]:
    """So many cases, each of its own."""
    return [_case(archive, chance) for _ in range(count)]


def _case(archive: Archive, chance: random.Random) -> Case:
    wild = chance.random() < WILD
    blower = _blower(chance.choice(list(archive.blowers.values())), chance, wild)
    crank, pulley = _pair(blower, chance, wild)
    own = replace(archive, blowers={blower.id: blower})
    return Case(own, blower, engine(chance, wild), crank, pulley)


def engine(chance: random.Random, wild: bool) -> Typed:
    """An engine as somebody may type it, with some of it left empty."""

    def known(share: float, draw: Callable[[], float]) -> float | None:
        return draw() if chance.random() < share else None

    cylinders = chance.choice([1, 2, 3, 4, 5, 6, 8, 12])
    size = 10 ** chance.uniform(-0.9, 1.1) if wild else chance.uniform(0.5, 6.0)
    shape = chance.uniform(0.7, 1.4)
    bore = (4e-3 * size / cylinders / math.pi / shape) ** (1 / 3)
    count = known(0.6, lambda: chance.choice([1, 2, 4, 6, 8]))
    valves = known(0.8, lambda: chance.choice([2, 3, 4, 5]))
    return Typed(
        cylinders=cylinders,
        bore=bore,
        stroke=bore * shape,
        max_speed=chance.uniform(2000, 14000 if wild else 8000) / 60,
        fuel=chance.choice(list(BLENDS)),
        compression_ratio=known(0.85, lambda: chance.uniform(5, 15)),
        valves=None if valves is None else int(valves),
        cooler=chance.random() < 0.5,
        pressure=known(0.6, lambda: chance.uniform(55e3, 109e3)),
        temperature=known(0.6, lambda: chance.uniform(245, 330)),
        humidity=known(0.5, lambda: chance.uniform(0, 1)),
        injectors=None if count is None else int(count),
        injector_flow=known(0.9, lambda: chance.uniform(60, 3000) * 1e-6 / 60),
    )


def _blower(blower: Blower, chance: random.Random, wild: bool) -> Blower:
    """A blower of the archive, some without their map, or another of its kind."""
    if blower.map is not None and chance.random() < 0.5:
        blower = replace(blower, map=None, performance=None)
    if blower.map is not None or not (wild or chance.random() < 0.5):
        return blower
    if not blower.displaces:
        point = blower.design_point
        assert point is not None
        ratio = _given("ratio", chance.uniform(1.05, 3.0))
        return replace(blower, design_point=replace(point, pressure_ratio=ratio))
    kind = chance.choice(["lobe", "vane", "screw"])
    return replace(
        blower,
        kind=_given("kind", kind),
        displacement=_given("displacement", 10 ** chance.uniform(-3.7, -2.4)),
        built_in_ratio=None if kind == "lobe" else _given("inside", chance.uniform(1.0, 2.0)),
        volumetric_efficiency=_given("filling", chance.uniform(0.8, 1.0)),
        mechanical_efficiency=_given("losses", chance.uniform(0.75, 0.98)),
    )


def _pair(blower: Blower, chance: random.Random, wild: bool) -> tuple[Given[float], Given[float]]:
    if wild:
        low, high = chance.uniform(0.06, 0.3), chance.uniform(0.04, 0.25)
        return _given("crank", low), _given("pulley", high)
    return chance.choice(blower.crank_pulleys), chance.choice(blower.pulleys)


def _given(name: str, value: Any) -> Given[Any]:
    return Given(value, f"{value}", Place(f"drawn {name}"))
