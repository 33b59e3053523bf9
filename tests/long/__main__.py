"""`python -m tests.long NAME`: run a long proof; its seed is printed, so that it can be repeated.

Exit code 0 if what it holds is true, 1 if not.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections.abc import Callable

from tests.long import (
    alike,
    editions,
    estimate,
    full,
    fuzz,
    imports,
    kills,
    pairs,
    slips,
    targets,
    typos,
)
from tests.site import look

#: Each proof by its name: what it holds, how often it tries by default, and what runs it. A proof
#: takes the number of tries, a source of chance and where to tell; it gives what was not true.
PROOFS: dict[str, tuple[str, int, Callable[[int, random.Random, Callable[[str], None]], list[str]]]]
PROOFS = {
    "imports": ("composed exports are taken in right, or asked about", 400, imports.prove),
    "alike": ("the same bytes in other surroundings", 12, alike.prove),
    "editions": ("tagged states, each rebuilt, links between them whole", 5, editions.prove),
    "estimate": ("a browser estimates what the package plans", 5_000, estimate.prove),
    "full": ("a full disk leaves the old site whole", 10, full.prove),
    "fuzz": ("mutated files give findings and no traceback", 20_000, fuzz.prove),
    "fuzz-imports": ("mutated exports too", 5_000, fuzz.prove_imports),
    "kills": ("killed builds never show half a site", 100, kills.prove),
    "look": (
        "no text over another, no cut table, in all surroundings of every kind of page",
        1_000,
        look.prove,
    ),
    "pairs": ("two builds into one folder: right or refused", 20, pairs.prove),
    "redraw": (
        "an estimate is redrawn in 50 ms, slowed four times in 200",
        8,
        estimate.prove_redraw,
    ),
    "slips": ("one-character slips end no check, show or plan", 1_000, slips.prove),
    "targets": ("wrong targets: nothing deleted", 5, targets.prove),
    "typos": ("one-digit typos take no other build down", 1000, typos.prove),
}


def main(arguments: list[str] | None = None) -> int:
    """Run one proof and print what was not true."""
    parser = argparse.ArgumentParser(prog="python -m tests.long", description=__doc__)
    parser.add_argument("name", choices=tuple(PROOFS))
    parser.add_argument("--count", type=int, help="how often it is tried")
    parser.add_argument("--seed", type=int, default=None, help="of an earlier run")
    given = parser.parse_args(arguments)
    holds, usual, prove = PROOFS[given.name]
    count = usual if given.count is None else given.count
    seed = random.SystemRandom().randrange(10**6) if given.seed is None else given.seed
    print(f"{given.name}: {holds}; {count} tries, seed {seed}", flush=True)
    began = time.monotonic()
    faults = prove(count, random.Random(seed), lambda text: print(text, flush=True))
    for fault in faults:
        print(f"NOT TRUE: {fault}")
    print(f"{len(faults)} not true; {time.monotonic() - began:.0f} s")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
