"""Archives of any size for measuring: simulated builds of four setups, three of them pulled.

A workshop builds a package many times over, so each engine with its blower is drawn once for
`FAMILY` builds; each of these has its own day, air and readings, so that nothing that was worked
out for one serves the next.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import count, islice
from pathlib import Path

import numpy as np

from tests.accuracy.workshop import Case, draw_case
from tests.accuracy.writing import Trial, from_three, write_archive
from tests.bench.many import titles
from tests.generator import random_air, run

#: Rows of each curve file, and builds of each engine with its blower.
ROWS, FAMILY = 80, 25
_SEED = 20250514


def write(root: Path, builds: int) -> None:
    """Write an archive of so many builds into a folder that is not there yet."""
    trials = [from_three(case) for case in islice(_cases(), builds)]
    write_archive(root, trials)
    chance = random.Random(_SEED)
    for at, title in enumerate(titles(chance, builds)):
        first, trial = trials[at - at % FAMILY], trials[at]
        date = f"{chance.randrange(2010, 2026)}-{chance.randrange(1, 13):02}-15"
        _rewrite(root, trial, first, title, date)


def _rewrite(root: Path, trial: Trial, first: Trial, title: str, date: str) -> None:
    """Give a build its name and day, and the blower that its family shares."""
    file = root / trial.id / "build.yaml"
    text = file.read_text("utf-8")
    for old, new in (
        (f"title: Invented build {trial.case.number}", f"title: {title}"),
        ("date: 2025-05-14", f"date: {date}"),
        (f"blower: blower-{trial.id}", f"blower: blower-{first.id}"),
    ):
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, "utf-8")
    if trial is not first:
        (root / "blowers" / f"blower-{trial.id}.yaml").unlink()


def _cases() -> Iterator[Case]:
    """Builds, one family after the other."""
    numbers = count(1)
    for drawn in count(1):
        family = [_visit(draw_case(_SEED, drawn), number) for number in islice(numbers, FAMILY)]
        yield from family


def _visit(case: Case, number: int) -> Case:
    """The same package on another day, on a bench that takes `ROWS` readings a pull."""
    rng = np.random.Generator(np.random.PCG64([_SEED, number, ROWS]))
    bench = replace(case.bench, step=(case.bench.high - case.bench.low) / (ROWS - 1))
    air = random_air(rng)
    sweeps = tuple(run(case.truth, setup, air, rng, bench) for setup in case.setups)
    return replace(case, number=number, air=air, bench=bench, sweeps=sweeps)
