"""Exports composed by chance are taken in right, or what a file leaves open is asked."""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.exports.judging import counted, judged

#: At most this share may need a flag.
FLAGGED = 0.1


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Compose exports, understand each, and compare value by value; give what is not true."""
    verdicts = [judged(chance.randrange(10**9)) for _ in range(count)]
    tell(counted(verdicts))
    for item in verdicts:
        if item.kind == "asked":
            tell(f"  {item.seed} asked{'' if item.open else ' needlessly'}: {item.why}")
    wrong = [f"{it.seed}: {it.why}" for it in verdicts if it.kind == "wrong"]
    asked = sum(it.kind == "asked" for it in verdicts)
    if asked > FLAGGED * count:
        wrong.append(f"{asked} of {count} needed a flag")
    return wrong
