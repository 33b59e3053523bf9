"""The ethanol that was tested in a pull's fuel, in the fit and on the sheet.

Ethanol needs 9.0 kg of air a kilogram, petrol about 14.7 (common textbook figures): more of it
needs less air. Only such an order is held here; the blends' own figures have tests of their own.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.assembly import observations_of
from specgen.analysis.tables.estimated import kind_of
from specgen.archive.archive import read_archive
from specgen.publish.site import Site
from tests.analysis.small import BUILD, sheet, write

HEAD = """sessions:
  - date: 2025-05-14
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    air: {pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}
    pulls:
"""
E85 = BUILD.replace("petrol-98", "e85")
PULL = "      - {setup: p80, peaks: {power: 301 kW at 6400 rpm, boost: 71 kPa at 6400 rpm}%s}\n"
BATCH = ", fuel_batch: {name: drum 4, ethanol: %s, tested: 2025-05-13}"


def built(*batches: str) -> str:
    """A build with a pull on each of some batches; "" for one that nobody tested."""
    return E85 + HEAD + "".join(PULL % (BATCH % batch if batch else "") for batch in batches)


def test_setup_takes_the_tested_content(tmp_path: Path) -> None:
    """78 % tested stands before what E85 usually holds, with where it is written."""
    tested = sheet(tmp_path, built("78 %")).setups[0].rows
    assert tested["share_ethanol"].scalar == pytest.approx(0.78)
    assert tested["share_petrol"].scalar == pytest.approx(0.22)
    assert tested["share_ethanol"].text == "78 %"
    assert "as tested in the batch" in tested["share_ethanol"].source


def test_a_known_content_is_known_better(tmp_path: Path) -> None:
    """A tester leaves less doubt than the name of a fuel that pumps sell from 51 to 83 %."""
    tested = sheet(tmp_path / "a", built("78 %")).setups[0].rows["stoichiometric_ratio"]
    named = sheet(tmp_path / "b", built("")).setups[0].rows["stoichiometric_ratio"]
    assert isinstance(tested.uncertainty, float)
    assert isinstance(named.uncertainty, float)
    assert tested.uncertainty < 0.5 * named.uncertainty
    assert tested.scalar < named.scalar, "more ethanol needs less air"


def test_fit_rests_on_the_batch_of_each_pull(tmp_path: Path) -> None:
    """Each pull speaks to the fit with its own fuel; what is learned stays that of one fuel."""
    made = sheet(tmp_path, built("60 %", "83 %", ""))
    kind = kind_of(made.engine)
    assert kind is not None
    seen = observations_of(made.build, made.engine, made.sessions, kind)
    assert [item.fuel for item in seen] == ["E85"] * 3
    needs = [item.parameters["stoichiometric_ratio"].scalar for item in seen]
    assert needs[1] < needs[2] < needs[0], "67 % stands for E85 that nobody tested"


def test_batches_that_differ_give_their_mean(tmp_path: Path) -> None:
    """Two pulls on 74 and 80 % are estimated at 77 %."""
    rows = sheet(tmp_path, built("74 %", "80 %")).setups[0].rows
    assert rows["share_ethanol"].scalar == pytest.approx(0.77)


def test_page_says_what_a_pull_ran_with(tmp_path: Path) -> None:
    """Calibrations and batch stand with the pull."""
    maps = ", calibration: {ignition: map 12, fuel: map 7}"
    text = E85 + HEAD + PULL % (maps + BATCH % "78 %")
    items = Site(read_archive(write(tmp_path, text))).items()
    page = next(str(it.content) for it in items if it.address == "builds/test-build/index.md")
    assert "ignition calibration map 12, fuel calibration map 7" in page
    assert "fuel of drum 4: 78 &#37; ethanol as tested 2025-05-13" in page
