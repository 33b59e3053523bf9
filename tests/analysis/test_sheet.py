"""A sheet as a whole: headline, ladder, limits, the way of the air, fitment, what is unlike."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from specgen.archive.fitment import engine_of, fitment, verdict
from tests.analysis.small import BLOWER, BUILD, SESSION, sheet

DEMO = Path(__file__).parent.parent.parent / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """Sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def test_every_row_of_the_demo_says_where_it_comes_from(demo: dict[str, Sheet]) -> None:
    """A figure has a place, a formula or a source; an absent one has a reason."""
    bare = [
        (build_id, row.scope, row.key)
        for build_id, item in demo.items()
        for scope in item.scopes
        for row in scope
        if not ((row.place or row.formula or row.source) if row.present else row.reason)
    ]
    assert bare == []


def test_anchors_are_unique_on_a_sheet(demo: dict[str, Sheet]) -> None:
    """Each row's own address is its own."""
    for item in demo.values():
        anchors = [row.anchor for scope in item.scopes for row in scope if row.scope == scope.name]
        own = [anchor for anchor in anchors if anchor]
        assert len(own) == len(set(own)), item.id


def test_headline_leads_with_corrected_and_keeps_observed(tmp_path: Path) -> None:
    """Three to five figures; the observed power stays visible beside the corrected one."""
    titles = [row.title for row in sheet(tmp_path).headline]
    assert titles[:2] == ["Power, corrected", "Power, observed"]
    assert 3 <= len(titles) <= 5


def test_a_planned_build_leads_with_estimates(tmp_path: Path) -> None:
    """Nothing was tested: the headline is made of estimates and pulleys."""
    item = sheet(tmp_path, BUILD)
    assert item.best is None
    assert item.setups[0].planned
    assert {row.key for row in item.headline} >= {"boost_at_top", "pitch_ratio"}


def test_ladder_sets_measured_beside_estimated(tmp_path: Path) -> None:
    """One step a setup; a planned one has an estimate and no pull."""
    second = "  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n"
    item = sheet(tmp_path, BUILD + second + SESSION)
    tested, planned = item.ladder
    assert tested.measured_boost is not None
    assert tested.measured_boost.scalar == 71e3
    assert planned.pull is None
    assert planned.agrees is None
    assert planned.estimated_boost.scalar < item.setups[0].rows["boost_at_top"].scalar


def test_limits_come_nearest_first(tmp_path: Path) -> None:
    """What is nearest to its limit stands first, with the setup it belongs to."""
    item = sheet(tmp_path, BUILD + SESSION + "limits: {power: 310 kW, boost: 100 kPa}\n")
    shares = [limit.share for limit in item.limits]
    assert shares == sorted(shares, reverse=True)
    assert {"Power", "Boost", "Blower speed", "Injector duty"} <= {x.title for x in item.limits}


def test_the_way_of_the_air_goes_from_outside_to_the_manifold(tmp_path: Path) -> None:
    """Pressure falls to the blower and rises behind it; temperature rises in the blower."""
    path = sheet(tmp_path).air_path
    assert path is not None
    pressures = [station.pressure.scalar for station in path.stations]
    assert pressures[1] < pressures[0] < pressures[3] <= pressures[2]
    assert path.stations[2].temperature.scalar > path.stations[1].temperature.scalar


def test_fitment_needs_every_wanted_dimension(tmp_path: Path) -> None:
    """In range fits, out of range does not, not recorded is not known."""
    item = sheet(tmp_path / "a")
    assert item.blower is not None
    assert verdict(fitment(item.blower, engine_of(item.build))) == "fits"
    tall = sheet(tmp_path / "b", BUILD.replace("deck_height: 211.0", "deck_height: 220.0"))
    assert verdict(fitment(item.blower, engine_of(tall.build))) == "does not fit"
    silent = sheet(tmp_path / "c", BUILD.replace("  deck_height: 211.0 mm\n", ""))
    assert verdict(fitment(item.blower, engine_of(silent.build))) == "not recorded"
    assert verdict(()) == "not recorded"


def test_two_measuring_points_are_named_as_unlike(tmp_path: Path) -> None:
    """Figures from the flywheel and from the hubs do not compare, and the sheet says it."""
    second = SESSION.replace("sessions:\n", "").replace("2025-05-14", "2025-06-01")
    second = second.replace(
        "{kind: engine, measured_at: flywheel}", "{kind: hub, measured_at: hub}"
    )
    second = second.replace("setup: p80", "setup: p85")
    build = BUILD + "  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n" + SESSION + second
    words = " ".join(sheet(tmp_path, build).unlike)
    assert "at the flywheel and at the wheel hubs" in words


def test_a_centrifugal_blower_is_estimated_from_its_stated_point(tmp_path: Path) -> None:
    """Head goes with the square of speed: at the stated speed the stated ratio comes out."""
    blower = (
        BLOWER.replace("kind: lobe", "kind: centrifugal")
        .replace("18000", "70000")
        .replace(
            "displacement: 0.9 L\n",
            "internal_ratio: 6.0\ndesign_point: {speed: 60000 rpm, pressure_ratio: 1.8}\n",
        )
    )
    rows = sheet(tmp_path, blower=blower).setups[0].rows
    assert rows["boost_at_top"].present
    assert rows["blower_speed_at_top"].scalar > 1000
    ratio = rows["estimated_pressure_ratio"].curve
    assert (ratio[1:] > ratio[:-1]).all()


def test_history_of_rows_is_stable(tmp_path: Path) -> None:
    """The same archive gives the same figures twice."""
    first, second = sheet(tmp_path / "a"), sheet(tmp_path / "b")
    for left, right in zip(first.scopes, second.scopes, strict=True):
        for one, other in zip(left, right, strict=True):
            if one.present and not one.is_curve:
                assert one.scalar == other.scalar


def test_the_fit_reads_the_very_rows_that_a_page_shows(tmp_path: Path) -> None:
    """A pull has one scope: what the fit has read is not made again for the sheet."""
    found = sheet(tmp_path)
    session = found.sessions[0]
    assert session.pulls
    for pull in session.pulls:
        assert pull.rows is session.readings[pull.id]
        assert pull.rows["speed_curve"] is session.readings[pull.id]["speed_curve"]
