"""How a pull of the demo archive is described, and the list of them all.

The hidden figures live in `boats`, `racers` and `machines`; the archive's YAML is typed by
hand and knows only what the workshop knows.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from tests.generator.dyno import Bench, Sweep, run
from tests.generator.truth import Air, Setup, Truth


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull: what was run in which air, with which seed, and what was written down.

    `file` is the curve file under the build's `pulls/`, or empty where only peaks were noted.
    `soak` is how much warmer [K] the inlet was than the room's duct made it: heat soak.
    """

    build: str
    date: str
    setup_id: str
    truth: Truth
    setup: Setup
    air: Air
    bench: Bench
    seed: int
    columns: Sequence[str]
    file: str = ""
    soak: float = 0.0
    silent: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """Path of the curve file under `builds/`."""
        return f"{self.build}/pulls/{self.file}"

    def sweep(self) -> Sweep:
        """Run the pull; the same bytes every time."""
        rng = np.random.Generator(np.random.PCG64(self.seed))
        inlet = replace(self.truth.inlet, pickup=self.truth.inlet.pickup + self.soak)
        return run(replace(self.truth, inlet=inlet), self.setup, self.air, rng, self.bench)


def rpm(low: float, high: float, step: float = 100.0, **kind: object) -> Bench:
    """A bench by engine speeds in rpm."""
    return Bench(low / 60, high / 60, step / 60, **kind)  # type: ignore[arg-type]


def every_pull() -> tuple[Pull, ...]:
    """Every pull of the demo archive, in order of build and date."""
    from tests.generator import boats, machines

    return (*boats.PULLS, *machines.PULLS)
