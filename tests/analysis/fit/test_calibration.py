"""The fit of a build's unknowns to its own pulls."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.assembly import observations_of
from specgen.analysis.fit.calibrating import calibrate
from specgen.analysis.sheet import Sheet, analyse, sheet_of
from specgen.analysis.tables.estimated import kind_of
from specgen.archive.archive import read_archive
from tests.analysis.small import BUILD, SESSION, sheet

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def lark() -> Sheet:
    """The demo's ladder of five pulleys, four of them measured."""
    return analyse(read_archive(DEMO))["lark-hydroplane"]


def test_leaving_a_setup_out_to_first_order_equals_a_refit(lark: Sheet) -> None:
    """The prediction from the others alone is what a fit without the setup gives."""
    fit, kind = lark.calibration, kind_of(lark.engine)
    assert fit is not None
    assert kind is not None
    observations = observations_of(lark.build, lark.engine, lark.sessions, kind)
    for setup in fit.setups:
        again = calibrate(kind, [item for item in observations if item.setup != setup])
        assert again is not None
        quick = fit.without(setup)
        # what the two would predict, in standard deviations of a reading
        count = len(fit.unknowns)
        moved = quick.shifts[:count] - again.shifts[:count]
        assert np.abs(fit.slopes[:, :count] @ moved).max() < 0.2
        assert np.sqrt(np.diag(quick.covariance))[:count] == pytest.approx(
            np.sqrt(np.diag(again.covariance))[:count], abs=0.05
        )


def test_measurements_narrow_the_band_and_say_what_they_pinned(lark: Sheet) -> None:
    """A planned setup's band after the fit is a fraction of the band from defaults."""
    planned = lark.setups[-1]
    assert planned.planned
    fitted = planned.rows["boost_at_top"].expanded
    before = plain_band(lark)
    assert fitted is not None
    assert fitted < before / 2
    fit = lark.calibration
    assert fit is not None
    sources = {row.source for row in fit.rows("E85", "flywheel", "fit").values()}
    assert any("by the measurements" in source for source in sources)
    assert any("by its prior" in source for source in sources)


def plain_band(lark: Sheet) -> float:
    """Band of the planned setup where nothing was measured: the same build without sessions."""
    unmeasured = replace(lark.build, sessions=())
    found = sheet_of(lark.archive, unmeasured).setups[-1].rows["boost_at_top"].expanded
    assert found is not None
    return found


def test_leaving_all_out_leaves_the_priors(lark: Sheet) -> None:
    """A fit without any of its setups is the prior again."""
    fit = lark.calibration
    assert fit is not None
    for setup in fit.setups:
        fit = fit.without(setup)
    assert fit.covariance == pytest.approx(np.eye(len(fit.shifts)), abs=1e-6)


def test_one_peak_on_paper_already_helps(tmp_path: Path) -> None:
    """A result that is only peak figures narrows the estimate of the next pulley."""
    next_pulley = "  - {id: p75, blower_pulley: 75 mm, fuel: petrol-98}\n"
    without = sheet(tmp_path / "a", BUILD + next_pulley)
    with_one = sheet(
        tmp_path / "b", BUILD + next_pulley + SESSION.replace("71 kPa", "71 kPa at 6400 rpm")
    )
    assert with_one.calibration is not None
    assert with_one.calibration.pulls
    before = without.setups[1].rows["boost_at_top"].expanded
    after = with_one.setups[1].rows["boost_at_top"].expanded
    assert before is not None
    assert after is not None
    assert after < 0.7 * before


def test_nothing_measured_nothing_fitted(tmp_path: Path) -> None:
    """A planned build rests on its defaults, and its rows say so."""
    planned = sheet(tmp_path, BUILD)
    assert planned.calibration is None
    assert planned.setups[0].rows["leak_area"].basis == "default"


def test_a_fitted_row_opens_to_its_prior(lark: Sheet) -> None:
    """Where a parameter was fitted, its row names the pulls and keeps the prior as input."""
    row = lark.setups[0].rows["volumetric_efficiency"]
    assert row.basis == "fitted"
    assert "6 pulls" in row.source
    assert row.inputs[0].basis == "default"


def test_the_fit_repeats(lark: Sheet) -> None:
    """The same archive gives the same fit to the last digit."""
    again = analyse(read_archive(DEMO))["lark-hydroplane"].calibration
    assert again is not None
    assert lark.calibration is not None
    assert np.array_equal(again.shifts, lark.calibration.shifts)
