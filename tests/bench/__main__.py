"""`python -m tests.bench`: what figures, reading, starting and whole sites cost.

Parts by name: `figures` (the demo's figures, plans, reading, starting commands), `site` (sites of
100, 1,000 and 3,000 simulated builds against the plain engine), `history` (what git and earlier
revisions cost, of 1,000 builds in 3,000 commits); `--builds N` for one size.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from specgen.archive.archive import read_archive
from tests.bench import history, planning, reading, sheets, sizes, starting

ROOT = Path(__file__).parents[2]
PARTS = ("figures", "site", "history")
#: Sizes of site that are built unless one is asked for.
COUNTS = [100, 1000, 3000]


def measured(repeat: int) -> dict[str, Any]:
    """What figures, reading and starting cost on the demo."""
    builds = ROOT / "builds"
    archive = read_archive(builds)
    by_build = sheets.measure(archive, repeat)
    largest = max(by_build, key=lambda name: by_build[name]["milliseconds"])
    return {
        "largest": largest,
        "figures": by_build,
        "plans": planning.measure(archive, repeat),
        "reading": reading.measure(builds, repeat),
        "starting": starting.measure(ROOT, largest),
    }


def sites(counts: Sequence[int], workers: int) -> list[dict[str, Any]]:
    """Whole sites of several sizes, each in a folder of its own."""
    found = []
    for count in counts:
        with tempfile.TemporaryDirectory(prefix="bench-") as folder:
            found.append(sizes.measure(count, Path(folder).resolve(), workers))
    return found


def text(found: dict[str, Any]) -> str:
    """The measurements for a terminal."""
    lines = [f"{'all figures of a build':28}{'ms':>9}{'balances':>10}{'setups':>8}{'pulls':>7}"]
    for name, size in found["figures"].items():
        times = f"{size['milliseconds']:>9.1f}{size['balances']:>10.0f}"
        mark = "  <- largest" if name == found["largest"] else ""
        lines.append(f"  {name:26}{times}{size['setups']:>8}{size['pulls']:>7}{mark}")
    lines += ["", f"{'pulley pairs with bands':28}{'pairs':>7}{'s':>9}{'s for twenty':>14}"]
    lines += [
        f"  {name:26}{size['pairs']:>7}{size['seconds']:>9.2f}{size['seconds_for_twenty']:>14.2f}"
        for name, size in found["plans"].items()
    ]
    read = found["reading"]
    lines += [
        "",
        f"reading and checking {read['files']} files: {read['milliseconds_per_file']:.2f} ms each, "
        f"{read['bare_parses']:.1f} times a bare parse of their YAML",
    ]
    for command, seconds in found["starting"].items():
        lines.append(f"specgen {command}, from start to end: {seconds:.2f} s of processor time")
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> int:
    """Measure and print; never judges."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "parts", nargs="*", help="figures, site, history; the first two unless given"
    )
    parser.add_argument("--builds", type=int, help="one size of site, and nothing else")
    parser.add_argument("--workers", type=int, default=2, help="processes that make sheets")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--repeat", type=int, default=15, help="runs of which the best counts")
    asked = parser.parse_args(arguments)
    parts = asked.parts or (["site"] if asked.builds else ["figures", "site"])
    if asked.repeat < 1 or (asked.builds or 1) < 1 or asked.workers < 1 or set(parts) - set(PARTS):
        parser.error(f"parts are {' and '.join(PARTS)}; numbers are one or more")
    found: dict[str, Any] = measured(asked.repeat) if "figures" in parts else {}
    counts = [asked.builds] if asked.builds else COUNTS
    built = sites(counts, asked.workers) if "site" in parts else []
    past = {}
    if "history" in parts:
        with tempfile.TemporaryDirectory(prefix="bench-") as folder:
            past = history.measure(asked.builds or 1000, Path(folder).resolve())
    if asked.format == "json":
        whole = {
            **found,
            **({"history": past} if past else {}),
            **(built[0] if len(built) == 1 else {"sizes": built} if built else {}),
        }
        sys.stdout.write(json.dumps(whole, indent=2) + "\n")
        return 0
    told = [*([text(found)] if found else []), *([sizes.text(built)] if built else [])]
    told += [history.text(past)] if past else []
    sys.stdout.write("\n\n".join(told) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
