"""`python -m tests.bench`: what figures, reading and building cost on the demo archive."""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from specgen.archive.archive import read_archive
from tests.bench import building, planning, reading, sheets, starting

ROOT = Path(__file__).parents[2]


def measured(repeat: int, with_site: bool) -> dict[str, Any]:
    """All measurements of one run."""
    builds = ROOT / "builds"
    archive = read_archive(builds)
    by_build = sheets.measure(archive, repeat)
    largest = max(by_build, key=lambda name: by_build[name]["milliseconds"])
    found: dict[str, Any] = {
        "largest": largest,
        "figures": by_build,
        "plans": planning.measure(archive, repeat),
        "reading": reading.measure(builds, repeat),
        "starting": starting.measure(ROOT, largest),
    }
    if with_site:
        with tempfile.TemporaryDirectory(prefix="bench-") as folder:
            config = ROOT / "site_src" / "mkdocs.yml"
            found["site"] = building.measure(builds, config, Path(folder), min(repeat, 2))
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
    if site := found.get("site"):
        lines += [
            f"site: {site['pages']} pages in {site['seconds']:.1f} s, "
            f"{site['pages_per_second']:.1f} a second",
            f"plain engine on the exported pages: {site['plain_pages']} in "
            f"{site['plain_seconds']:.1f} s; the site takes {site['ratio']:.2f} times as long",
        ]
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> int:
    """Measure and print; never judges."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--repeat", type=int, default=15, help="runs of which the best counts")
    parser.add_argument("--no-site", action="store_true", help="leave the site builds out")
    asked = parser.parse_args(arguments)
    if asked.repeat < 1:
        parser.error("at least one run")
    found = measured(asked.repeat, not asked.no_site)
    printed = json.dumps(found, indent=2) if asked.format == "json" else text(found)
    sys.stdout.write(printed + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
