"""One writer at a time for a published folder. The only room that knows the library of locks.

The library was measured on Linux: told that another holds the lock within 1 ms, free again within
1 ms of the holder's being killed, 27 ms to import, and a lock whose file was removed while somebody
waited for it is held by one only. It leaves its file behind; `held` removes it.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import filelock


class Busy(Exception):  # noqa: N818 - nothing failed: somebody else is at work
    """Another build holds the lock and did not finish in time."""


@contextmanager
def held(file: Path, wait: float, tell: Callable[[str], None]) -> Iterator[None]:
    """Hold the lock that a file stands for; Busy if it is not free within `wait` seconds.

    `tell` hears at once that somebody else is at work.
    """
    lock = filelock.FileLock(str(file), thread_local=False)
    try:
        lock.acquire(timeout=0)
    except filelock.Timeout:
        if wait > 0:
            tell(f"Another build is at work ({file}); waiting for it.")
        try:
            lock.acquire(timeout=max(wait, 0.0), poll_interval=0.1)
        except filelock.Timeout as problem:
            raise Busy(
                f"another build is still at work after {wait:g} s: it holds {file}. "
                "Build again when it is done"
            ) from problem
    try:
        yield
    finally:
        with contextlib.suppress(OSError):  # elsewhere a file in use stays; it does no harm
            file.unlink()
        lock.release()
