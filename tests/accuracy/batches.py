"""Drawing, writing and judging many builds, a batch at a time, in one process or in several."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from tests.accuracy.elsewhere import draw_elsewhere
from tests.accuracy.judging import Verdict, judge
from tests.accuracy.workshop import Case, draw_case, with_slack_belt
from tests.accuracy.writing import SLACK_STEP, Trial, from_one, from_three, with_slip

#: Most builds of one archive: a long run is cut, so that its sheets need not all be held at once.
_BATCH = 25


def at_home(seed: int, number: int) -> list[Trial]:
    """A build of the first simulator, predicted in the air it was fitted in."""
    return trials_of(draw_case(seed, number))


def elsewhere(seed: int, number: int) -> list[Trial]:
    """A build of the second simulator, predicted in other air; a slipping belt on every fifth.

    Numbers go round by kind, air and fuel, so the builds with a slack belt are taken by a step
    that is prime to all of these.
    """
    case = draw_elsewhere(seed, number)
    return trials_of(case) if number % 5 == 0 else [from_one(case), from_three(case)]


def run_batch(
    seed: int, numbers: range, draw: Callable[[int, int], list[Trial]] = at_home
) -> list[Verdict]:
    """Draw these builds, write them into a temporary archive, and judge the predictions."""
    trials = [trial for number in numbers for trial in draw(seed, number)]
    with tempfile.TemporaryDirectory(prefix="accuracy-") as folder:
        return judge(Path(folder) / "builds", trials)


def trials_of(case: Case) -> list[Trial]:
    """What is asked of one build: two predictions, and whether a slipping belt is noticed."""
    slack = with_slack_belt(case, SLACK_STEP)
    return [from_one(case), from_three(case), *([with_slip(slack)] if slack else [])]


def run_all(
    builds: int,
    seed: int,
    processes: int = 1,
    draw: Callable[[int, int], list[Trial]] = at_home,
) -> list[Verdict]:
    """Judge so many builds; the same verdicts whatever the number of processes."""
    size = min(_BATCH, -(-builds // processes))
    batches = [range(at, min(at + size, builds)) for at in range(0, builds, size)]
    if processes == 1:
        return [verdict for numbers in batches for verdict in run_batch(seed, numbers, draw)]
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        done = pool.map(run_batch, [seed] * len(batches), batches, [draw] * len(batches))
        return [verdict for found in done for verdict in found]
