"""Rewrite the demo archive's curve files and maps, and print the figures that are only peaks."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.generator import boats, machines, racers
from tests.generator.maps import MAPS, map_file
from tests.generator.paper import curve_file, peaks

BUILDS = Path(__file__).parents[2] / "builds"

EVERY_PULL = (*boats.PULLS, *machines.PULLS, *racers.PULLS)


def write_curves(root: Path) -> list[Path]:
    """Write every curve file under `root`, as `builds/` lays them out; give their paths."""
    written = []
    for pull in EVERY_PULL:
        if pull.curve:
            target = root / pull.path
            target.parent.mkdir(parents=True, exist_ok=True)
            text = curve_file(pull.sweep(), pull.day.columns, pull.silent)
            target.write_text(text, encoding="utf-8", newline="\n")
            written.append(target)
    return written


def write_maps(root: Path) -> list[Path]:
    """Write every measured map under `root`, beside its blower's file; give their paths."""
    written = []
    for bench in MAPS:
        target = root / bench.file
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(map_file(bench), encoding="utf-8", newline="\n")
        written.append(target)
    return written


def noted_peaks() -> list[str]:
    """One line for each pull of which only peaks were noted, as its YAML holds them."""
    return [
        f"{pull.day.build} {pull.day.date} {pull.setup_id}: "
        + ", ".join(f"{key}: {text}" for key, text in peaks(pull.sweep(), pull.day.columns).items())
        for pull in EVERY_PULL
        if not pull.curve
    ]


if __name__ == "__main__":
    count, maps = len(write_curves(BUILDS)), len(write_maps(BUILDS))
    lines = [*noted_peaks(), f"{count} curve files and {maps} maps written."]
    sys.stdout.write("\n".join(lines) + "\n")
