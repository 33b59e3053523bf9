"""What is estimated for a setup before anything is fitted."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.units import unit
from tests.analysis.small import BLOWER, BUILD, SESSION, sheet

PSI = unit("gauge pressure", "psi")

#: A mid-size engine near one atmosphere of boost, with 85 and 80 mm on the blower.
LADDER = (
    BUILD.replace("blower_pulley: 80 mm, fuel: petrol-98}", "blower_pulley: 80 mm, fuel: e85}")
    .replace("crank_pulley: 205 mm", "crank_pulley: 160 mm")
    .replace("blower: test-blower,", "blower: test-blower, charge_cooler: {effectiveness: 70 %},")
    + "  - {id: p85, blower_pulley: 85 mm, fuel: e85}\n"
)


def test_the_nominal_ratio_is_the_trades(tmp_path: Path) -> None:
    """205 mm on the crank and 80 mm on the blower read 2.56 (common practice, no source)."""
    row = sheet(tmp_path).setups[0].rows["nominal_ratio"]
    assert row.quantity.text(row.scalar, "metric") == "2.56"


def test_five_millimetres_off_the_blower_pulley(tmp_path: Path) -> None:
    """85 to 80 mm gains 1.5 to 2.5 psi near one atmosphere (common practice, no source)."""
    small, large = sheet(tmp_path, LADDER, BLOWER.replace("0.9 L", "1.7 L")).setups
    boost = small.rows["boost_at_top"].scalar
    assert 95e3 < boost < 110e3
    gain = PSI.from_si(boost) - PSI.from_si(large.rows["boost_at_top"].scalar)
    assert 1.5 <= gain <= 2.5


def test_an_estimate_carries_a_band_and_its_formula(tmp_path: Path) -> None:
    """No estimate without uncertainty, formula and inputs."""
    row = sheet(tmp_path).setups[0].rows["boost_at_top"]
    assert row.basis == "estimated"
    assert row.expanded is not None
    assert row.expanded > 0
    assert row.formula is not None
    assert row.formula.name == "matching.match"
    assert "leak_area" in {item.key for item in row.inputs}


def test_a_natural_engine_says_why_it_has_no_boost(tmp_path: Path) -> None:
    """What does not apply is absent with a reason; what applies is there."""
    natural = BUILD.replace(
        "induction: {blower: test-blower, inlet_pressure_drop: 3 kPa at 6500 rpm}",
        "induction: {natural: true}",
    ).replace("drive: {crank_pulley: 205 mm, blower_pulley: 80 mm}\n", "")
    natural = natural.replace("{id: p80, blower_pulley: 80 mm, fuel", "{id: p80, fuel")
    rows = sheet(tmp_path, natural + SESSION.replace(", boost: 71 kPa", "")).setups[0].rows
    assert rows["estimated_boost"].reason == "naturally aspirated: no blower"
    assert rows["air_flow_at_top"].present
    assert rows["injector_duty"].present


def test_fuel_by_name_and_by_blend(tmp_path: Path) -> None:
    """E85 spreads over what pumps sell; a stated blend does not."""
    named = BUILD.replace("fuel: petrol-98", "fuel: e85")
    row = sheet(tmp_path / "named", named).setups[0].rows["stoichiometric_ratio"]
    assert row.expanded is not None
    # ASTM D5798 as tabled by AFDC: 11.71 at 51 % to 9.93 at 83 % ethanol by volume
    assert row.scalar - row.expanded < 9.93
    assert row.scalar + row.expanded > 11.71
    blend = BUILD.replace("fuel: petrol-98", "fuel: {petrol: 90 %, ethanol: 10 %}")
    ten = sheet(tmp_path / "blend", blend).setups[0].rows["stoichiometric_ratio"]
    assert ten.scalar == pytest.approx(14.100, abs=0.01)  # E10, computed from densities


def test_a_blower_far_too_large_says_so(tmp_path: Path) -> None:
    """Where supply and demand do not meet, the solver's own words are the reason."""
    large = BLOWER.replace("0.9 L", "3.5 L")
    rows = sheet(tmp_path, blower=large).setups[0].rows
    assert "delivers more than the engine swallows" in rows["boost_at_top"].reason


def test_no_speed_no_estimate(tmp_path: Path) -> None:
    """Without a highest speed there is no range to estimate over, and the sheet says so."""
    slow = BUILD.replace("  max_speed: 6500 rpm\n", "").replace(" at 6500 rpm", "")
    rows = sheet(tmp_path, slow).setups[0].rows
    assert rows["estimated_boost"].reason == "highest engine speed not recorded"
