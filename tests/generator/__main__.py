"""Rewrite the demo archive's curve files, and print the figures that are only peaks."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.generator.paper import curve_file, peaks
from tests.generator.scenario import every_pull

BUILDS = Path(__file__).parents[2] / "builds"


def write_curves(root: Path) -> list[Path]:
    """Write every curve file under `root`, as `builds/` lays them out; give their paths."""
    written = []
    for pull in every_pull():
        if pull.file:
            target = root / pull.path
            target.parent.mkdir(parents=True, exist_ok=True)
            text = curve_file(pull.sweep(), pull.columns, pull.silent)
            target.write_text(text, encoding="utf-8", newline="\n")
            written.append(target)
    return written


def noted_peaks() -> list[str]:
    """One line for each pull of which only peaks were noted, as its YAML holds them."""
    return [
        f"{pull.build} {pull.date} {pull.setup_id}: "
        + ", ".join(f"{key}: {text}" for key, text in peaks(pull.sweep(), pull.columns).items())
        for pull in every_pull()
        if not pull.file
    ]


if __name__ == "__main__":
    count = len(write_curves(BUILDS))
    lines = [*noted_peaks(), f"{count} curve files written."]
    sys.stdout.write("\n".join(lines) + "\n")
