"""Simulated builds estimated from what their owners would type, without a pull of their own."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from specgen.analysis.planning.typed import tried
from specgen.analysis.sheet import sheet_of
from specgen.archive.archive import read_archive
from tests.accuracy.workshop import STEPS, draw_case
from tests.accuracy.writing import Trial, write_archive

BUILDS = 200
_FIGURES = ("boost", "power")


def judged(seed: int, builds: int = BUILDS) -> dict[str, Any]:
    """How often each figure lay in its band, and how wide that was, over so many builds."""
    inside: dict[str, list[bool]] = {figure: [] for figure in _FIGURES}
    widths: dict[str, list[float]] = {figure: [] for figure in _FIGURES}
    for number in range(builds):
        for figure, held, width in _of(seed, number):
            inside[figure].append(held)
            widths[figure].append(width)
    return {
        "builds": builds,
        "seed": seed,
        **{
            figure: {
                "setups": len(inside[figure]),
                "inside": float(np.mean(inside[figure])),
                "half_width": float(np.median(widths[figure])),
            }
            for figure in _FIGURES
        },
    }


def _of(seed: int, number: int) -> list[tuple[str, bool, float]]:
    """Figure, whether it lay inside, and the band's half width as a share of what was measured."""
    with tempfile.TemporaryDirectory(prefix="typed-") as folder:
        root = Path(folder) / "builds"
        trial = Trial(draw_case(seed, number), "typed", tuple(range(STEPS - 1)))
        write_archive(root, [trial])
        archive = read_archive(root)
        sheet = sheet_of(archive, archive.builds[trial.id])
    found = []
    for item in tried(sheet):
        for figure in _FIGURES:
            held = item.inside(figure)
            if held is not None:
                width = (item.estimated[figure].expanded or 0.0) / item.measured[figure].scalar
                found.append((figure, held, width))
    return found


def text(found: dict[str, Any]) -> str:
    """The same in lines."""
    lines = [f"{found['builds']} simulated builds, seed {found['seed']}, typed without a pull"]
    for figure in _FIGURES:
        one = found[figure]
        lines.append(f"  {figure}: {one['inside']:.1%} of {one['setups']} setups inside; "
                     f"median half width {one['half_width']:.1%} of the figure")  # fmt: skip
    return "\n".join(lines)
