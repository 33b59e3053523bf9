"""All figures of one build: fit, estimates, every row of every scope, ladder and diagnosis.

The yardstick is one balance of blower and engine over a speed range, which is what every figure
of an estimate comes from.
"""

from __future__ import annotations

import numpy as np

from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.model.build import Archive, Build
from specgen.physics.matching import Demand, Inlet, Supply, match
from tests.bench.timing import best_of

_SPEEDS = np.linspace(30.0, 110.0, 29)


def one_balance() -> None:
    """Solve one blower against one engine over 29 speeds."""
    match(_SPEEDS, Inlet(99e3, 298.0), Demand(3e-3, 0.93), Supply(1.6e-3, 1.8))


def all_figures(archive: Archive, build: Build) -> Sheet:
    """Make the sheet and ask for every figure that its page, data and terminal show."""
    sheet = sheet_of(archive, build)
    for scope in sheet.scopes:
        for row in scope:
            _ = row.uncertainty
    _ = (sheet.headline, sheet.ladder, sheet.diagnoses, sheet.limits, sheet.air_path, sheet.unlike)
    return sheet


def measure(archive: Archive, repeat: int) -> dict[str, dict[str, float]]:
    """Time every build [ms], how many pulls and setups it has, and how many balances it costs."""
    yardstick = best_of(one_balance, max(20, repeat))
    found = {}
    for name, build in archive.builds.items():
        taken = best_of(lambda build=build: all_figures(archive, build), repeat)  # type: ignore[misc]
        found[name] = {
            "milliseconds": round(1e3 * taken, 2),
            "balances": round(taken / yardstick, 1),
            "setups": len(build.setups),
            "pulls": sum(len(session.pulls) for session in build.sessions),
        }
    return found
