"""The clock."""

from __future__ import annotations

import time
from collections.abc import Callable

Clock = Callable[[], float]


def best_of(function: Callable[[], object], repeat: int, clock: Clock = time.process_time) -> float:
    """Shortest of so many runs [s]: what disturbs a run only ever makes it longer.

    Counts this process's own time, so that a busy machine does not look like a slow program; work
    that is done in other processes wants `time.perf_counter`.
    """
    return min(_once(function, clock) for _ in range(repeat))


def _once(function: Callable[[], object], clock: Clock) -> float:
    start = clock()
    function()
    return clock() - start
