"""Making builds in processes of their own, or here where that does not pay.

Processes are started anew and not forked, so that it is the same on every system. A build is
handed over as data and comes back as an entry of the store, of which only the name is told.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from specgen.archive.model.build import Archive
from specgen.publish.making import kept
from specgen.publish.making.build import Before, made_build
from specgen.publish.sheet.page import Surroundings
from specgen.publish.store.store import Store

#: Fewer builds than this are made sooner than a second process has started (measured: it takes
#: 1.5 s to begin, a build a fifth of one).
WORTH_IT = 24
#: Jobs that are under way for each process: enough to keep it busy, few enough to hold.
_AHEAD = 3


class WorkerLost(Exception):  # noqa: N818 - it says what to do
    """A process that made builds ended without a word; the text says what may have been why."""


@dataclass(frozen=True, slots=True)
class Job:
    """One build to be made, and the folders of the stores to put it in: the first that takes it."""

    name: str
    key: str
    part: Archive
    around: Surroundings
    past: Before
    stores: tuple[str, ...]


def done(job: Job) -> tuple[str, bool]:
    """Make a build and keep it; give its name, and whether it could not be made."""
    stores = [Store(Path(folder)) for folder in job.stores]
    made = made_build(job.part, job.around, job.past, stores[0])
    if made.extract is not None:
        _ = any(kept.keep(store, job.key, made) for store in stores)
    return job.name, made.fault is not None


def run(jobs: Iterable[Job], number: int, processes: int = 0) -> Iterator[tuple[str, bool]]:
    """Do so many jobs, in no order; give what `done` gives. WorkerLost if a process dies."""
    processes = processes or os.cpu_count() or 1
    if processes <= 1 or number < WORTH_IT:
        yield from map(done, jobs)
        return
    with ProcessPoolExecutor(processes, multiprocessing.get_context("spawn")) as pool:
        try:
            yield from _spread(pool, iter(jobs), processes * _AHEAD)
        except BrokenProcessPool as problem:
            raise WorkerLost(
                "a process that makes sheets ended unasked: it was killed, or memory ran out. "
                "Build again, or with fewer processes: specgen site --workers 1"
            ) from problem


def _spread(
    pool: ProcessPoolExecutor, jobs: Iterator[Job], ahead: int
) -> Iterator[tuple[str, bool]]:
    """Keep the pool busy without handing it everything at once."""
    waiting: set[Future[tuple[str, bool]]] = {pool.submit(done, it) for it in islice(jobs, ahead)}
    while waiting:
        finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        for future in finished:
            waiting |= {pool.submit(done, job) for job in islice(jobs, 1)}
            yield future.result()
