"""The plan of a build: every pulley pair with all its bands and its room to each limit."""

from __future__ import annotations

from specgen.analysis.planning.plan import plan_of
from specgen.analysis.sheet import sheet_of
from specgen.archive.model.build import Archive
from tests.bench.timing import best_of


def measure(archive: Archive, repeat: int) -> dict[str, dict[str, float]]:
    """Time each plan [s] and what twenty of its pairs cost, the build's fit being there already."""
    found = {}
    for name, build in archive.builds.items():
        sheet = sheet_of(archive, build)
        plan = plan_of(sheet)
        if plan.pairs:
            taken = best_of(lambda sheet=sheet: plan_of(sheet).stops, min(repeat, 2))  # type: ignore[misc]
            pairs = len(plan.pairs)
            found[name] = {
                "pairs": pairs,
                "seconds": round(taken, 3),
                "seconds_for_twenty": round(20 * taken / pairs, 3),
            }
    return found
