"""The blueprint: compression ratio by cylinder, its spread, and what is said where figures lack."""

from __future__ import annotations

from math import pi
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.analysis.record.blueprint import Blueprint
from specgen.analysis.record.record import Record
from specgen.analysis.sheet import Sheet
from tests.analysis.small import BUILD, SESSION, sheet

BLUEPRINT = """\
record:
  blueprint:
    bore: {specified: 84.00 mm, measured: BORES}
    stroke: {specified: 90.00 mm}
    rod_length: {specified: 145.00 mm}
    compression_height: {specified: 20.60 mm}
    block_deck_height: {specified: 211.00 mm, measured: 210.98 mm}
    deck_clearance: {specified: 0.40 mm}
    gasket_bore: {specified: 85.5 mm}
    gasket_thickness: {specified: 1.20 mm, measured: 1.18 mm}
    chamber_volume: {specified: 48.0 cm3, measured: CHAMBERS}
    dish_volume: {specified: 5.2 cm3, measured: 5.1 cm3}
"""
BORES = "[84.01 mm, 84.02 mm, 84.01 mm, 84.03 mm, 84.01 mm, 84.00 mm]"
CHAMBERS = "[47.9 cm3, 48.4 cm3, 48.0 cm3, 48.1 cm3, 47.8 cm3, 48.0 cm3]"


def made(folder: Path, blueprint: str = BLUEPRINT) -> tuple[Sheet, Record, Blueprint]:
    """The sheet of the small build with a record, and its blueprint."""
    written = blueprint.replace("BORES", BORES).replace("CHAMBERS", CHAMBERS)
    item = sheet(folder, BUILD + SESSION + written)
    assert item.record is not None
    assert item.record.blueprint is not None
    return item, item.record, item.record.blueprint


def by_hand(bore: float, chamber: float, deck: float, gasket: float, dish: float) -> float:
    """A compression ratio in millimetres and cubic centimetres, written out."""
    swept = pi / 4 * (bore / 10) ** 2 * 9.0
    above = chamber + pi / 4 * 8.55**2 * gasket / 10 + pi / 4 * (bore / 10) ** 2 * deck / 10 + dish
    return (swept + above) / above


def test_ratio_of_each_cylinder(tmp_path: Path) -> None:
    """Each cylinder has the ratio of its own bore and chamber, worked out by hand beside it."""
    _, _, blueprint = made(tmp_path)
    chambers = (47.9, 48.4, 48.0, 48.1, 47.8, 48.0)
    bores = (84.01, 84.02, 84.01, 84.03, 84.01, 84.00)
    # nobody measured the deck clearance, but the block: 210.98 - 45 - 145 - 20.60
    expected = [
        by_hand(bore, chamber, 0.38, 1.18, 5.1)
        for bore, chamber in zip(bores, chambers, strict=True)
    ]
    ratios = [volumes.compression_ratio.scalar for volumes in blueprint.cylinders]
    assert ratios == pytest.approx(expected, rel=1e-9)
    assert [volumes.cylinder for volumes in blueprint.cylinders] == [1, 2, 3, 4, 5, 6]
    assert blueprint.spread is not None
    assert blueprint.mean_ratio is not None
    assert blueprint.spread.scalar == pytest.approx(max(expected) - min(expected), rel=1e-9)
    assert blueprint.mean_ratio.scalar == pytest.approx(sum(expected) / 6, rel=1e-12)


def test_the_specification_stands_for_itself(tmp_path: Path) -> None:
    """As specified, no reading has a part in it."""
    _, _, blueprint = made(tmp_path)
    specified = blueprint.specified
    assert specified.compression_ratio.scalar == pytest.approx(by_hand(84.0, 48.0, 0.4, 1.2, 5.2))
    assert specified.quench_distance.scalar == pytest.approx(1.60e-3)
    assert specified.deck_clearance.text == "0.40 mm"
    assert blueprint.deck_due.scalar == pytest.approx(0.40e-3)
    assert blueprint.stated_ratio.scalar == 9.0


def test_motion_follows_from_the_record(tmp_path: Path) -> None:
    """Rod ratio, mean piston speed and peak acceleration, by hand for 6500 rpm."""
    _, _, blueprint = made(tmp_path)
    ratio, mean, peak = (row.scalar for row in blueprint.motion)
    assert ratio == pytest.approx(145 / 90)
    assert mean == pytest.approx(2 * 0.090 * 6500 / 60)
    assert peak == pytest.approx((2 * pi * 6500 / 60) ** 2 * 0.045 * (1 + 0.045 / 0.145))


def test_rows_open_to_formula_inputs_and_place(tmp_path: Path) -> None:
    """A cylinder's ratio leads over its clearance volume to the line of its chamber's reading."""
    _, record, blueprint = made(tmp_path)
    row = blueprint.cylinders[1].compression_ratio
    assert row.formula is not None
    assert row.formula.name == "blueprint.compression_ratio"
    clearance = next(item for item in row.inputs if item.key == "cylinder_2_clearance_volume")
    chamber = next(item for item in clearance.inputs if item.quantity.key == "chamber_volume")
    assert chamber.text == "48.4 cm3"
    assert chamber.place is not None
    assert chamber.place.file == "test-build/build.yaml"
    assert record.scope["measured_chamber_volume_2"] is chamber


def test_spread_of_alike_readings_knows_what_they_share(tmp_path: Path) -> None:
    """The pressed gasket is one reading for all: the mean carries it, the spread does not."""
    _, record, blueprint = made(tmp_path)
    assert blueprint.mean_ratio is not None
    assert blueprint.spread is not None
    gasket = str(record.scope["measured_gasket_thickness"].place)
    one = blueprint.cylinders[0].compression_ratio.spread[gasket]
    assert blueprint.mean_ratio.spread[gasket] == pytest.approx(one, rel=0.02)
    assert abs(float(np.asarray(blueprint.spread.spread[gasket]))) < 0.05 * abs(float(one))


def test_uncertainty_of_a_ratio_agrees_with_monte_carlo(tmp_path: Path) -> None:
    """Random draws of what was read spread the first cylinder's ratio as its row says."""
    _, _, blueprint = made(tmp_path)
    draws = np.random.default_rng(11)

    def drawn(mean: float, size: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return draws.normal(mean, size, 40_000)

    # standard uncertainties of the bench: 5 µm of a bore, 20 µm of a height, 0.2 cm3
    bore, gasket = drawn(84.01, 0.005), drawn(1.18, 0.02)
    chamber, dish, deck = drawn(47.9, 0.2), drawn(5.1, 0.2), drawn(0.38, 0.02)
    area = pi / 4 * (bore / 10) ** 2
    above = chamber + dish + pi / 4 * 8.55**2 * gasket / 10 + area * deck / 10
    spread = float(np.std((area * 9.0 + above) / above))
    assert blueprint.cylinders[0].compression_ratio.uncertainty == pytest.approx(spread, rel=0.03)


@settings(max_examples=12, deadline=None)
@given(st.lists(st.floats(44.0, 54.0).map(lambda value: round(value, 1)), min_size=6, max_size=6))
def test_spread_is_of_the_largest_and_smallest(
    tmp_path_factory: pytest.TempPathFactory, chambers: list[float]
) -> None:
    """Whatever the chambers, spread is largest less smallest, and order does not matter."""
    folder = tmp_path_factory.mktemp("spread")
    spreads = []
    for order, name in ((chambers, "a"), (chambers[::-1], "b")):
        words = ", ".join(f"{chamber} cm3" for chamber in order)
        text = (
            "record:\n  blueprint:\n"
            "    deck_clearance: {specified: 0.40 mm}\n    gasket_bore: {specified: 85.5 mm}\n"
            "    gasket_thickness: {specified: 1.20 mm}\n    dish_volume: {specified: 5.2 cm3}\n"
            f"    chamber_volume: {{measured: [{words}]}}\n"
        )
        _, _, blueprint = made(folder / name, text)
        assert blueprint.spread is not None
        spreads.append(blueprint.spread.scalar)
    ratios = [by_hand(84.0, chamber, 0.4, 1.2, 5.2) for chamber in chambers]
    assert spreads[0] == pytest.approx(max(ratios) - min(ratios), abs=1e-9)
    assert spreads[1] == pytest.approx(spreads[0], abs=1e-12)


def test_one_reading_holds_for_all(tmp_path: Path) -> None:
    """Without a list the cylinders are one case, and there is no spread to show."""
    text = BLUEPRINT.replace("BORES", "84.01 mm").replace("CHAMBERS", "47.9 cm3")
    _, _, blueprint = made(tmp_path, text)
    (volumes,) = blueprint.cylinders
    assert volumes.cylinder is None
    assert volumes.title == "as measured"
    assert volumes.compression_ratio.scalar == pytest.approx(by_hand(84.01, 47.9, 0.38, 1.18, 5.1))
    assert blueprint.spread is None
    assert blueprint.mean_ratio is volumes.compression_ratio


def test_what_is_not_recorded_is_not_guessed(tmp_path: Path) -> None:
    """Without the dish there is no ratio, and the reason says what to write for a flat crown."""
    text = BLUEPRINT.replace("    dish_volume: {specified: 5.2 cm3, measured: 5.1 cm3}\n", "")
    _, _, blueprint = made(tmp_path, text)
    for volumes in (blueprint.specified, *blueprint.cylinders):
        assert not volumes.compression_ratio.present
        assert (
            "dish volume not recorded (0 cm3 for a flat crown)" in volumes.compression_ratio.reason
        )
        assert volumes.quench_distance.present
    assert blueprint.spread is not None
    assert not blueprint.spread.present


def test_a_measured_deck_clearance_stands_before_the_sum(tmp_path: Path) -> None:
    """What was measured at the deck itself is taken, not what the heights add up to."""
    text = BLUEPRINT.replace(
        "deck_clearance: {specified: 0.40 mm}",
        "deck_clearance: {specified: 0.40 mm, measured: 0.30 mm}",
    )
    _, _, blueprint = made(tmp_path, text)
    decks = {volumes.deck_clearance.scalar for volumes in blueprint.cylinders}
    assert decks == {0.30e-3}


def test_contradictions_stay_beside_the_figures(tmp_path: Path) -> None:
    """A stated ratio that the readings deny is a finding that the record keeps."""
    text = BLUEPRINT.replace("measured: 1.18 mm", "measured: 0.50 mm")
    _, record, _ = made(tmp_path, text)
    (finding,) = record.contradictions
    assert "compression ratio of 9.0" in finding.found
    assert made(tmp_path / "sound")[1].contradictions == ()
