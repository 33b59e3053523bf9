"""A pull that was left out is told of where figures rest on the others, and leaves a doubt."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def plover() -> Sheet:
    """The demo's build whose belt slips on the smallest pulley."""
    return analyse(read_archive(DEMO))["plover-sprint"]


def test_fitted_figures_say_what_they_rest_on(plover: Sheet) -> None:
    """Every fitted row names the pull that it does not rest on."""
    row = plover.setups[0].rows["volumetric_efficiency"]
    assert "fitted to 3 pulls" in row.source
    assert "without 2025-07-02-4, with which the others disagree" in row.source


def test_the_nearest_setup_left_out_widens_a_band(plover: Sheet) -> None:
    """Beside the slipping setup the band has its shortfall as a root; steps away it has not."""
    near, far = plover.setups[2], plover.setups[0]
    roots = [item.rows["estimated_boost"].spread for item in (near, far)]
    found = ["p79 left out" in spread for spread in roots]
    ratios = [item.rows["rotor_ratio"].scalar for item in plover.setups]
    nearest_is_the_slipping = abs(ratios[2] - ratios[3]) < abs(ratios[2] - ratios[1])
    assert found == [nearest_is_the_slipping, False]
