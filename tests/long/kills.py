"""Builds killed at random moments while readers follow links of the served folder."""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from tests.long.readers import reading
from tests.long.workshop import workshop

#: After so many kills one build runs to its end.
_BETWEEN = 5


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Kill builds; every look saw one whole, sealed site, and the next build leaves nothing."""
    faults: list[str] = []
    with workshop() as shop:
        began = time.monotonic()
        states = [shop.build("one"), shop.build("two")]
        usual = (time.monotonic() - began) / 2
        tell(f"one build takes {usual:.1f} s")
        with reading(shop.site, states, chance) as readers:
            for number in range(1, count + 1):
                _kill(shop.start(chance.choice(("one", "two"))), chance.uniform(0, 1.1 * usual))
                if number % _BETWEEN == 0 or number == count:
                    shop.build(chance.choice(("one", "two")))
                    faults += [f"after kill {number}: {fault}" for fault in shop.unsound()]
                    looks = sum(reader.looks for reader in readers)
                    tell(f"{number} kills, {looks} looks, {len(faults)} faults")
        faults += [fault for reader in readers for fault in reader.faults]
        if not all(reader.looks for reader in readers):
            faults.append("a reader saw nothing at all")
    return faults


def _kill(process: object, moment: float) -> None:
    from subprocess import Popen

    assert isinstance(process, Popen)
    time.sleep(moment)
    process.kill()
    process.communicate()
