"""A disk that is full at ten sizes: the old site stays, whole, and the build says why."""

from __future__ import annotations

import random
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.long.workshop import workshop

_ROOM = 64_000_000


def prove(count: int, _chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Build with less and less room; needs the right to mount a disk of its own."""
    faults: list[str] = []
    with workshop() as shop, _disk(shop.folder / "public") as resize:
        if resize is None:
            tell("no disk can be mounted here: nothing was tried")
            return []
        before = shop.build("one").files
        used = shutil.disk_usage(shop.folder / "public").used
        for number in range(1, count + 1):
            resize(used + used * number // (count + 1))
            process = shop.start("two")
            output = process.communicate()[0]
            if process.returncode == 0 or "Traceback" in output or "No space left" not in output:
                faults.append(f"size {number}: exit code {process.returncode}: {output}")
            faults += [f"size {number}: {fault}" for fault in shop.unsound()]
            if not all((shop.site / name).is_file() for name in before):
                faults.append(f"size {number}: files of the site are gone")
            tell(f"size {number} of {count}: {output.splitlines()[-1:]}")
        resize(_ROOM)
        shop.build("two")
        faults += [f"afterwards: {fault}" for fault in shop.unsound()]
    return faults


@contextmanager
def _disk(place: Path) -> Iterator[Callable[[int], None] | None]:
    """Mount a disk in memory and give what changes its size; None where that is not allowed."""
    place.mkdir(exist_ok=True)
    if not _mounted(place, f"size={_ROOM}"):
        yield None
        return

    def resize(size: int) -> None:
        assert _mounted(place, f"remount,size={size}")

    try:
        yield resize
    finally:
        subprocess.run(["umount", str(place)], check=True)


def _mounted(place: Path, options: str) -> bool:
    command = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0
