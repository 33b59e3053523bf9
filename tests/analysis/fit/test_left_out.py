"""A pull that was left out is told of where figures rest on the others, and leaves a doubt."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from specgen.analysis.assembly import setup_of
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
    """A step beyond the slipping setup has its shortfall as a root of its band; others have not."""
    last = plover.setups[-1].setup
    assert last.blower_pulley is not None
    smaller = replace(last.blower_pulley, value=last.blower_pulley.value - 2.5e-3)
    beyond = setup_of(
        plover, replace(last, id=replace(last.id, value="p76"), blower_pulley=smaller)
    )
    boost, power = beyond.rows["boost_at_top"], beyond.rows["power_at_top"]
    for row in (boost, power):
        assert row.spread["p79 left out"]
    assert boost.expanded is not None
    assert boost.expanded > 1.5 * (plover.setups[0].rows["boost_at_top"].expanded or 0.0)
    assert "p79 left out" not in plover.setups[0].rows["boost_at_top"].spread
    assert "left out" in beyond.rows["pressure_allowance"].source
