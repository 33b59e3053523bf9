"""Making builds in processes of their own, or here where that does not pay.

Processes are started anew and not forked, so that it is the same on every system. A build is
handed over as data and comes back as an entry of the store, of which only the name is told.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import threading
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from itertools import islice
from multiprocessing import connection
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
#: Objects that are made between two looks for circles of them, where Python's own figure is 700.
_MANY = 100_000


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


def begun() -> None:
    """Make a process ready to make builds: it ends with the one that began it, however that ends.

    Whoever is killed tells nobody, and a process that waits for the next job would wait for ever.
    """
    parent = multiprocessing.parent_process()
    if parent is not None:
        ends = threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True)
        ends.start()
    rarely_collected()


def _end_with(sentinel: int) -> None:
    """Wait until a process has gone, then go; what was half written is nobody's."""
    connection.wait([sentinel])
    os._exit(1)


def rarely_collected() -> None:
    """Look for circles of objects after many more were made than usually.

    A build makes some hundred thousand that last until it is done; looking through them again and
    again was a fifteenth of the time.
    """
    gc.freeze()
    gc.set_threshold(_MANY, 10, 10)


def run(jobs: Iterable[Job], number: int, processes: int = 0) -> Iterator[tuple[str, bool]]:
    """Do so many jobs, in no order; give what `done` gives. WorkerLost if a process dies."""
    processes = processes or os.cpu_count() or 1
    if processes <= 1 or number < WORTH_IT:
        yield from map(done, jobs)
        return
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(processes, number), spawn, begun) as pool:
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
