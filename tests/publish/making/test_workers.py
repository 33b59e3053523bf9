"""Processes that make builds: they end with the one that began them, however it ends."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
#: Begins a pool as a build does, names its processes, and then does nothing for long.
POOL = """
import multiprocessing, time
from concurrent.futures import ProcessPoolExecutor
from specgen.publish.making.workers import begun
import os

if __name__ == "__main__":
    with ProcessPoolExecutor(2, multiprocessing.get_context("spawn"), begun) as pool:
        for future in [pool.submit(os.getpid) for _ in range(8)]:
            future.result()
        print(*(process.pid for process in multiprocessing.active_children()), flush=True)
        time.sleep(600)
"""
_PATIENCE = 60.0


def alive(process: int) -> bool:
    """Whether a process is there and no mere entry of one that ended."""
    try:
        state = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks at /proc")
def test_processes_end_with_the_build_that_was_killed(tmp_path: Path) -> None:
    """A build that is killed outright leaves nobody waiting for its next job."""
    script = tmp_path / "pool.py"
    script.write_text(POOL, "utf-8")
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, str(script)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        text=True, env=surroundings, cwd=tmp_path,
    ) as build:  # fmt: skip
        assert build.stdout is not None
        workers = [int(word) for word in build.stdout.readline().split()]
        assert workers
        assert all(map(alive, workers))
        build.kill()
    end = time.monotonic() + _PATIENCE
    while any(map(alive, workers)) and time.monotonic() < end:
        time.sleep(0.1)
    assert not any(map(alive, workers))
