"""A single row that jumps is seen, and a day to come is told by the clock alone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np

from specgen.archive.archive import read_archive
from specgen.archive.checks.readings import after, jumping

HERE = Path(__file__).parent


def test_a_jump_is_seen_and_a_bend_is_not() -> None:
    """One row a fifth off is told by its place; a kink, a dip over rows and noise are not."""
    smooth = 300 + 60 * np.sin(np.linspace(0, 2.5, 30))
    spiked = smooth.copy()
    spiked[17] *= 1.2
    assert jumping(spiked) == 17
    noisy = smooth * (1 + 0.01 * np.random.default_rng(1).normal(size=30))
    kinked = np.minimum(smooth, 0.9 * smooth.max())
    dipped = smooth.copy()
    dipped[10:16] *= 0.7
    for curve in (smooth, noisy, kinked, dipped, spiked[:6]):
        assert jumping(curve) is None


def test_a_day_to_come_is_no_finding_of_the_archive() -> None:
    """The archive reads the same on every day; only a check by the clock speaks of its days."""
    archive = read_archive(HERE / "base")
    assert not archive.findings
    builds = archive.builds.values()
    assert not list(after(builds, date(2025, 5, 14)))
    (found,) = after(builds, date(2025, 5, 13))
    assert "yet to come" in found.found
