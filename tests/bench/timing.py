"""The clock."""

from __future__ import annotations

import time
from collections.abc import Callable


def best_of(function: Callable[[], object], repeat: int) -> float:
    """Shortest of so many runs [s]: what disturbs a run only ever makes it longer."""
    return min(_once(function) for _ in range(repeat))


def _once(function: Callable[[], object]) -> float:
    start = time.perf_counter()
    function()
    return time.perf_counter() - start
