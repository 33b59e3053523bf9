"""The demo's figures as they were kept for the method's number; `python -m tests.past.demo` keeps.

A change of physics or model that moves any of them needs a new line in `METHODS`, so that readers
of a sheet are told. Without one nothing is kept anew, unless the demo's own files changed.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from specgen.analysis.method import METHODS, method
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.archive import read_archive
from specgen.past.editions import edition_on_disk

BUILDS = Path(__file__).parents[2] / "builds"
FILE = Path(__file__).parent / "demo-figures.json"
#: Relative difference that other processors and libraries are allowed, of values and, which rest
#: on slopes made by small steps, of uncertainties; digits that are kept.
TOLERANCE, _OF_MARGINS, _DIGITS = 1e-5, 1e-4, 7

#: Value and standard uncertainty (None: unknown) of each figure, by "scope key".
Figures = dict[str, tuple[float, float | None]]
#: For each build the name of its files, and its figures.
Kept = dict[str, tuple[str, Figures]]


def figures_now(*only: str) -> Kept:
    """The figures that this program works out from the demo's files, of all builds or of some."""
    archive, edition = read_archive(BUILDS), edition_on_disk(BUILDS)
    return {
        name: (edition.key(name), dict(_figures(sheet_of(archive, build))))
        for name, build in archive.builds.items()
        if name in only or not only
    }


def _figures(sheet: Sheet) -> Iterator[tuple[str, tuple[float, float | None]]]:
    """Every figure that was worked out; of a curve the mean and the mean uncertainty."""
    rows = [(f"{row.scope} {row.key}", row) for scope in sheet.scopes for row in scope]
    for step in sheet.ladder:
        of = f"ladder {step.setup.id}"
        rows += [(f"{of} boost", step.estimated_boost), (f"{of} power", step.estimated_power)]
    for name, row in rows:
        if row.present and row.basis != "stated":
            yield name, (_mean(row.value), _spread(row))


def _spread(row: Row) -> float | None:
    return None if row.uncertainty is None else _mean(row.uncertainty)


def _mean(value: object) -> float:
    values = np.asarray(value, dtype=float)
    there = values[np.isfinite(values)]
    return float(f"{there.mean():.{_DIGITS}g}") if there.size else 0.0


def unlike(kept: Figures, now: Figures) -> list[str]:
    """The figures that are others now, each with both values."""
    return [
        f"{key}: {kept.get(key)} was kept, {now.get(key)} is worked out"
        for key in sorted({*kept, *now})
        if key not in kept or key not in now or not _alike(kept[key], now[key])
    ]


def _alike(was: tuple[float, float | None], now: tuple[float, float | None]) -> bool:
    """Whether value and uncertainty agree; a value near nothing by its uncertainty's size."""
    if was[1] is None or now[1] is None:
        return was[1] is now[1] and math.isclose(was[0], now[0], rel_tol=TOLERANCE)
    return math.isclose(
        was[0], now[0], rel_tol=TOLERANCE, abs_tol=TOLERANCE * was[1]
    ) and math.isclose(was[1], now[1], rel_tol=_OF_MARGINS, abs_tol=1e-9 * abs(was[0]))


def read() -> tuple[int, Kept]:
    """The number of the method and the figures that were kept for it."""
    data = json.loads(FILE.read_text("utf-8"))
    kept = {
        name: (it["files"], {key: (one[0], one[1]) for key, one in it["figures"].items()})
        for name, it in data["builds"].items()
    }
    return int(data["method"]), kept


def faults(number: int, kept: Kept, now: Kept) -> list[str]:
    """What is to be done before figures are kept and now alike; nothing where they are."""
    anew = "run python -m tests.past.demo"
    if number != method().number:
        return [f"the figures were kept for method {number} of {len(METHODS)}: {anew}"]
    if set(kept) != set(now):
        return [f"{name}: not both kept and there: {anew}" for name in sorted({*kept} ^ {*now})]
    found = []
    for name, (files, figures) in now.items():
        if kept[name][0] != files:
            found.append(f"{name}: kept for other files: {anew}")
        elif moved := unlike(kept[name][1], figures):
            told = "; ".join(moved[:5])
            found.append(
                f"{name}: {len(moved)} figures moved though its files did not ({told}). Add a "
                "line to METHODS of specgen/analysis/method.py that tells readers what is done "
                f"otherwise, then {anew}"
            )
    return found


def main() -> int:
    """Keep what this method gives; refuse where figures moved without a new number."""
    now = figures_now()
    if FILE.exists():
        refused = [it for it in faults(*read(), now) if "METHODS" in it]
        if refused:
            sys.stdout.write("\n".join(refused) + "\n")
            return 1
    builds = {name: {"files": files, "figures": found} for name, (files, found) in now.items()}
    text = json.dumps({"method": method().number, "builds": builds}, separators=(",", ":"))
    lines = text.replace('"figures":{', '"figures":{\n').replace("],", "],\n")
    FILE.write_text(lines.replace("}},", "}},\n") + "\n", "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
