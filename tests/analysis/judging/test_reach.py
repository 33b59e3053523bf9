"""What an estimate lies beyond, what was measured where it stands, and what the fit left of it."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom

from specgen.analysis.accuracy import Summary
from specgen.analysis.fit.unknowns import fitted_unknowns
from specgen.analysis.judging.misfit import misfit_of
from specgen.analysis.judging.reach import beyond_data, excess, planned_excesses
from specgen.analysis.judging.top_speed import at_top_speed
from specgen.analysis.rows.row import Basis, Row
from specgen.analysis.sheet import Sheet, analyse
from specgen.analysis.workings import FIT
from specgen.archive.archive import read_archive
from specgen.vocabulary import quantity

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """Sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def boost(value: float | None, uncertainty: float = 0.0) -> Row:
    """A boost with its standard uncertainty, or an absent one."""
    spread = {"one": uncertainty} if uncertainty else {}
    basis: Basis = "absent" if value is None else "estimated"
    return Row("boost", "test", "Boost", quantity("boost"), basis, value, spread)


@pytest.mark.parametrize(
    ("value", "uncertainty", "certain"),
    [
        (110e3, 4e3, None),  # 110 + 8 stays below 120
        (112e3, 5e3, False),  # 112 + 10 reaches above
        (125e3, 5e3, False),  # 125 - 10 reaches below
        (131e3, 5e3, True),  # 131 - 10 is above
        (121e3, 0.0, True),
        (120e3, 0.0, None),
    ],
)
def test_a_figure_against_its_limit(value: float, uncertainty: float, certain: bool | None) -> None:
    """Above is certain only where the whole band (k = 2) is; a band on either side may be."""
    found = excess(boost(value, uncertainty), boost(120e3))
    assert (found.certain if found else None) is certain


def test_what_is_not_there_has_no_excess() -> None:
    """Without a figure, or without a limit, nothing is above anything."""
    assert excess(boost(None), boost(120e3)) is None
    assert excess(boost(130e3), boost(None)) is None


def test_a_pulley_outside_those_measured_is_beyond_the_data(demo: dict[str, Sheet]) -> None:
    """The ends of a ladder, predicted from what lies inside, are said to be beyond it."""
    sheet = demo["lark-hydroplane"]
    found = {setup.id: beyond_data(sheet, setup) for setup in sheet.setups}
    assert {name for name, words in found.items() if words} == {"p96", "p87", "p84"}
    ratio = {setup.id: setup.rows["rotor_ratio"].scalar for setup in sheet.setups}
    assert found["p84"] == (
        f"rotor ratio {ratio['p84']:.2f}, measured {ratio['p96']:.2f} to {ratio['p87']:.2f}",
    )


def test_a_fuel_that_nobody_else_burnt_is_beyond_the_data(demo: dict[str, Sheet]) -> None:
    """Four fuels on one pulley: each is predicted from pulls on other fuels."""
    sheet = demo["shed-test-engine"]
    for setup in sheet.setups:
        assert any("no other pull on" in words for words in beyond_data(sheet, setup)), setup.id


def test_one_setup_alone_is_beyond_nothing(demo: dict[str, Sheet]) -> None:
    """It rests on defaults, which is said elsewhere; there are no data to be beyond."""
    sheet = demo["ice-sledge"]
    assert beyond_data(sheet, sheet.setups[0]) == ()


def test_only_planned_setups_are_held_against_limits(demo: dict[str, Sheet]) -> None:
    """What was measured stands among the limits; a plan is warned of where it stands."""
    sheet = demo["lark-hydroplane"]
    found = {setup.id: planned_excesses(sheet, setup) for setup in sheet.setups}
    assert [name for name, items in found.items() if items] == ["p84"]
    name, item = found["p84"][0]
    assert (name, item.certain, item.limit.scalar) == ("boost", False, 110e3)


def test_measured_figures_stand_beside_estimates_at_the_highest_speed(
    demo: dict[str, Sheet],
) -> None:
    """The file's last reading at the highest speed is what the table shows."""
    sheet = demo["plover-sprint"]
    setup = next(item for item in sheet.setups if item.id == "p79")
    found = {item.title: item for item in at_top_speed(sheet, setup)}
    lines = (DEMO / "plover-sprint/pulls/2025-07-02-4.csv").read_text("utf-8").splitlines()
    head = [cell.split(" [")[0] for cell in lines[0].split(",")]
    last = dict(zip(head, map(float, lines[-1].split(",")), strict=True))
    assert last["engine speed"] * 1.0 == setup.rows["max_speed"].scalar * 60
    measured = found["Boost"].measured
    assert measured is not None
    assert measured.scalar == pytest.approx(last["boost"] * 1e3)
    assert found["Torque, observed"].estimated.scalar == pytest.approx(
        found["Power, observed"].estimated.scalar / (2 * math.pi * 7000 / 60), rel=1e-9
    )


def test_a_curve_that_ends_early_gives_no_figure_at_the_highest_speed(
    demo: dict[str, Sheet],
) -> None:
    """Nothing is read beyond the last reading: 5600 of 5800 rpm."""
    sheet = demo["harbour-ferry"]
    found = {item.title: item for item in at_top_speed(sheet, sheet.setups[0])}
    measured = found["Power, observed"].measured
    assert measured is not None
    assert not measured.present
    assert measured.reason == "outside the speeds of the curve"


def test_a_misfit_is_read_where_the_two_lie_farthest_apart(demo: dict[str, Sheet]) -> None:
    """Measured is the file's own reading; the others' prediction is far above it, at its band."""
    sheet = demo["plover-sprint"]
    found = misfit_of(sheet.diagnoses[0])
    assert found is not None
    assert found.measured_worst.at is not None
    speed = found.measured_worst.at.scalar * 60
    text = (DEMO / "plover-sprint/pulls/2025-07-02-4.csv").read_text("utf-8").splitlines()
    at = [cell.split(" [")[0] for cell in text[0].split(",")].index("boost")
    read = {float(line.split(",")[0]): float(line.split(",")[at]) * 1e3 for line in text[1:]}
    assert found.measured_worst.scalar == pytest.approx(read[round(speed)])
    width = math.hypot(found.measured_worst.expanded or 0, found.predicted_worst.expanded or 0)
    assert found.predicted_worst.scalar - found.measured_worst.scalar > width
    assert len(found.predicted.curve) == len(found.predicted_speeds.curve) > 10


def test_the_others_over_speed_are_the_ladder_s_own_prediction(demo: dict[str, Sheet]) -> None:
    """The curve of the chart passes through the figure that the ladder shows for the peak."""
    sheet = demo["plover-sprint"]
    found = misfit_of(sheet.diagnoses[0])
    step = next(item for item in sheet.ladder if item.setup.id == "p79")
    assert found is not None
    assert step.estimated_boost.at is not None
    drawn = np.interp(
        step.estimated_boost.at.scalar, found.predicted_speeds.curve, found.predicted.curve
    )
    assert drawn == pytest.approx(step.estimated_boost.scalar, rel=5e-3)  # straight between points


def test_fitted_unknowns_are_the_rows_that_estimates_rest_on(demo: dict[str, Sheet]) -> None:
    """Before is the prior, after is the very figure in a setup's scope, with its prior as input."""
    sheet = demo["plover-sprint"]
    assert sheet.calibration is not None
    for item in fitted_unknowns(sheet.calibration, FIT):
        row = sheet.setups[0].rows[item.before.key]
        assert (row.scope, row.value, row.spread) == (
            item.after.scope, item.after.value, item.after.spread,
        )  # fmt: skip
        assert item.after.inputs == (item.before,)
        assert item.after.place is None, "the file does not say the fitted value"
        assert item.pinned == (item.narrowed < 0.5)


def test_setups_on_one_fit_share_its_rows_and_fuels_are_told_apart(
    demo: dict[str, Sheet],
) -> None:
    """One row for each unknown, whatever the setup; what belongs to a fuel says to which."""
    sheet = demo["shed-test-engine"]
    factors = {setup.id: setup.rows["fuel_factor"] for setup in sheet.setups}
    assert len({(row.scope, row.key) for row in factors.values()}) == 4
    assert "methanol" in factors["methanol"].title
    assert len({setup.rows["leak_area"].scope for setup in sheet.setups}) == 1


@pytest.mark.parametrize("count", [1, 2, 5, 24, 26, 100, 3000])
def test_expected_share_inside_is_the_binomial_s(count: int) -> None:
    """How many of so many should lie inside: scipy's own interval of the same distribution."""
    low, high = binom.interval(0.95, count, 0.9545)
    assert Summary(count, 0.0, 0.0, 1.0).expected_inside == (low, high)
