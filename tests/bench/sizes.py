"""A site of so many builds, against plain MkDocs on the exported pages of the same archive.

Everything runs as a user runs it, in processes of its own, one after the other on the same machine:
check, the whole site cold and warm, the plain engine, and an edit under the preview. The plain side
has the same theme with the same navigation, and its charts finished.
"""

from __future__ import annotations

import gzip
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from specgen.publish import addresses
from specgen.publish.store.places import VARIABLE
from tests.bench import archives

ROOT = Path(__file__).parents[2]
SPECGEN = (sys.executable, "-W", "ignore", "-c", "from specgen.cli import main; main()")
MKDOCS = (sys.executable, "-W", "ignore", "-m", "mkdocs")
#: How long the first page of a preview, and an edit's page, may take before it is given up [s].
_PATIENCE = 3600.0
_SETTINGS = """\
site_name: Bench (invented)
docs_dir: pages
site_dir: ../site
theme: {name: material, font: false}
extra: {generator: false}
plugins:
  - search
  - specgen: {archive: ../builds}
nav:
"""


@dataclass(frozen=True)
class Run:
    """What a command took: seconds on the clock and of processors, memory of its largest process.

    Memory in MB. On a busy machine the clock says little; the processors' time says more.
    """

    seconds: float
    processor: float
    memory: float


def run(arguments: Sequence[str], cache: Path) -> Run:
    """Run a command to its end; its exit code must be zero."""
    start = time.perf_counter()
    process = subprocess.Popen(
        arguments, env=_around(cache), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, cwd=ROOT
    )
    assert process.stderr is not None
    told = process.stderr.read()
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, told.decode("utf-8", "replace")
    taken = time.perf_counter() - start
    return Run(taken, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def _around(cache: Path) -> dict[str, str]:
    return {**os.environ, VARIABLE: str(cache), "PYTHONPATH": str(ROOT)}


def measure(builds: int, folder: Path, workers: int) -> dict[str, Any]:
    """All figures of one size; `folder` is empty, and holds archive, site and export afterwards."""
    archive, source, site = folder / "builds", folder / "source", folder / "site"
    config, exported, cache = source / "mkdocs.yml", folder / "exported", folder / "cache"
    archives.write(archive, builds)
    (source / "pages").mkdir(parents=True)
    nav = "".join(f"  - {title}: {address}\n" for address, title in addresses.PAGES.items())
    config.write_text(_SETTINGS + nav, "utf-8")
    build = (*SPECGEN, "site", "--config", str(config), "--workers", str(workers))
    check = run((*SPECGEN, "check", str(archive)), cache)
    cold = run(build, cache)
    warm = run(build, cache)
    run((*SPECGEN, "export", str(exported), "--archive", str(archive)), cache)
    plain = run(
        (*MKDOCS, "build", "-q", "-f", str(exported / "mkdocs.yml"), "-d", str(folder / "plain")),
        cache,
    )
    runs = {"check": check, "cold": cold, "warm": warm, "plain": plain}
    return {
        "builds": builds,
        "workers": workers,
        "check_ratio": round(check.seconds / plain.seconds, 3),
        "cold_ratio": round(cold.seconds / plain.seconds, 3),
        "warm_ratio": round(warm.seconds / plain.seconds, 3),
        "edit_seconds": round(edited(config, archive, cache), 2),
        "peak_mb": round(max(cold.memory, warm.memory), 1),
        **{f"{name}_seconds": round(it.seconds, 1) for name, it in runs.items()},
        **{f"{name}_processor": round(it.processor, 1) for name, it in runs.items()},
        "plain_peak_mb": round(plain.memory, 1),
        **_weights(site),
    }


def _weights(site: Path) -> dict[str, float]:
    """Sizes of what was built: the site [MB], and what a reader loads of it [kB]."""
    sheets = [it for it in (site / "builds").glob("*/index.html") if it.stat().st_size > 20_000]
    heaviest = max(sheets, key=lambda it: it.stat().st_size)
    files = [it for it in site.rglob("*") if it.is_file()]
    index = site / "search" / "search_index.json"
    return {
        "site_mb": round(sum(it.stat().st_size for it in files) / 1e6, 1),
        "sheet_kb": round(heaviest.stat().st_size / 1e3, 1),
        "sheet_gz_kb": _packed(heaviest),
        "search_gz_kb": _packed(index),
        "compare_gz_kb": _packed(next(site.glob("compare/builds.*js"))),
        "find_gz_kb": _packed(next(site.glob("find/combos.*js"))),
    }


def _packed(file: Path) -> float:
    return round(len(gzip.compress(file.read_bytes(), 9)) / 1e3, 1)


def edited(config: Path, archive: Path, cache: Path) -> float:
    """Seconds from a changed title in one file until the preview's page shows it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    file = sorted(archive.glob("*/build.yaml"))[-1]
    page = f"http://{address}/builds/{file.parent.name}/"
    before = file.read_text("utf-8")
    serving = subprocess.Popen(
        (*SPECGEN, "site", "--config", str(config), "--serve", "--address", address),
        env=_around(cache), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=ROOT,
    )  # fmt: skip
    try:
        _until(page, "")
        time.sleep(3)  # the watcher has looked once
        start = time.perf_counter()
        file.write_text(before.replace("title: ", "title: Edited "), "utf-8")
        _until(page, '<h1 id="edited-')
        return time.perf_counter() - start
    finally:
        serving.terminate()
        serving.wait(60)
        file.write_text(before, "utf-8")


def _until(page: str, words: str) -> None:
    """Ask for a page until it is there and says something."""
    end = time.perf_counter() + _PATIENCE
    while time.perf_counter() < end:
        try:
            with urllib.request.urlopen(page, timeout=60) as answer:
                if words in answer.read().decode("utf-8"):
                    return
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            pass
        time.sleep(0.05)
    raise TimeoutError(f"{page} never said {words!r}")


def text(found: Sequence[dict[str, Any]]) -> str:
    """The sizes for a terminal, side by side, with how time and memory grow."""
    lines = []
    for key in found[0]:
        lines.append(f"{key:18}" + "".join(f"{size[key]:>12}" for size in found))
    for one, more in pairwise(found):
        times, memory = (more[key] / one[key] for key in ("cold_seconds", "peak_mb"))
        lines.append(
            f"{one['builds']} to {more['builds']} builds: {times:.2f} times the time cold, "
            f"{memory:.2f} times the memory"
        )
    return "\n".join(lines)
