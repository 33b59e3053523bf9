"""Estimates and fits that rest on a blower's measured map, and where the map ends."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.estimate import estimate
from specgen.analysis.rows.row import point
from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.analysis.tables.estimated import kind_of, rule_of
from specgen.analysis.tables.measured_map import map_of
from specgen.archive.archive import read_archive
from specgen.physics.blower_map import CentrifugalMap
from tests.analysis.small import BLOWER, BUILD, SESSION
from tests.analysis.small import sheet as small_sheet

LOBE = BLOWER + "performance: map.csv\n"
WHEEL = (
    BLOWER.replace("kind: lobe", "kind: centrifugal")
    .replace("16000", "90000")
    .replace("displacement: 0.9 L\n", "internal_ratio: 4.0\nperformance: map.csv\n")
)
COOLED = BUILD.replace(
    "{blower: test-blower,", "{blower: test-blower, charge_cooler: {kind: air-to-water},"
)
RATIOS = (1.1, 1.3, 1.5, 1.7, 1.9)


def lobe_map(speeds: Iterable[int] = (4000, 8000, 12000, 17000), ratios: object = RATIOS) -> str:
    """A plausible lobe blower's map (invented): leakage falls with speed, rises with pressure."""
    lines = [
        "blower speed [rpm],pressure ratio,volumetric efficiency [%],isentropic efficiency [%]"
    ]
    for speed in speeds:
        for ratio in ratios:  # type: ignore[attr-defined]
            filled = 96 - 60e3 * (ratio - 1) ** 0.5 / speed
            lines.append(f"{speed},{ratio},{filled:.2f},{66 - 12 * (ratio - 1):.2f}")
    return "\n".join(lines) + "\n"


def wheel_map(speeds: Iterable[int] = (15000, 30000, 45000, 60000, 70000)) -> str:
    """A plausible centrifugal blower's map (invented): head goes with speed squared."""
    lines = ["blower speed [rpm],air flow [kg/min],pressure ratio,isentropic efficiency [%]"]
    for speed in speeds:
        for share in (0.3, 0.6, 1.0, 1.4, 1.8):
            flow, off = 12.0 * share * speed / 60000, (share - 1) ** 2
            ratio = 1 + (0.6 - 0.12 * off) * (speed / 60000) ** 2
            lines.append(f"{speed},{flow:.3f},{ratio:.4f},{74 - 14 * off:.2f}")
    return "\n".join(lines) + "\n"


def sheet(folder: Path, csv: str, blower: str = LOBE, build: str = BUILD) -> Sheet:
    """The small archive with a map beside its blower."""
    (folder / "blowers").mkdir(parents=True)
    (folder / "blowers" / "map.csv").write_text(csv, encoding="utf-8")
    return small_sheet(folder, build, blower)


def planned(folder: Path, csv: str, blower: str = LOBE) -> Scope:
    """The rows of the small build's planned setup."""
    return sheet(folder, csv, blower).setups[0].rows


@pytest.mark.parametrize(
    ("blower", "csv", "kind", "formula"),
    [
        (LOBE, lobe_map(), "map", "map_matching.match_map"),
        (WHEEL, wheel_map(), "centrifugal-map", "map_matching.match_centrifugal_map"),
    ],
    ids=["lobe", "wheel"],
)
def test_an_estimate_says_that_it_is_from_the_map(
    tmp_path: Path, blower: str, csv: str, kind: str, formula: str
) -> None:
    """Source, formula and inputs name the map; there is boost at the highest speed."""
    rows = planned(tmp_path, csv, blower)
    assert kind_of(rows) == kind
    row = rows["boost_at_top"]
    assert row.scalar > 20e3
    assert row.expanded is not None
    assert row.source == "from the measured map blowers/map.csv"
    assert row.formula is not None
    assert row.formula.name == formula
    keys = {item.key for item in row.inputs}
    assert {"map_points", "map_efficiency_factor"} <= keys
    assert not keys & {"limit_efficiency", "leak_area", "built_in_ratio", "design_ratio"}
    points = rows["map_points"]
    assert points.place is not None
    assert points.place.file == "blowers/map.csv"
    assert re.match(r"2[05] points at [45] speeds", points.source)


def test_without_a_map_the_law_holds(tmp_path: Path) -> None:
    """No map, no factor: leakage by kind and size, as before."""
    rows = small_sheet(tmp_path).setups[0].rows
    assert kind_of(rows) == "displacement"
    assert rows["leak_area"].present
    assert not rows["map_volumetric_factor"].present
    assert rows["map_points"].reason == "no measured map of the blower"


def test_with_a_map_no_leakage_is_guessed(tmp_path: Path) -> None:
    """What the map measured is not taken from a table of kinds beside it."""
    rows = planned(tmp_path, lobe_map())
    assert rows["leak_area"].reason.endswith("its leakage is in its measured map")
    assert rows["map_volumetric_factor"].uncertainty == pytest.approx(0.02)
    assert rows["map_efficiency_factor"].uncertainty == pytest.approx(0.03)
    assert not rows["map_head_factor"].present


def test_where_the_map_ends_the_row_says_so_and_nothing_is_extrapolated(tmp_path: Path) -> None:
    """Beyond the fastest line there is no value, and the reason has speeds and side."""
    rows = planned(tmp_path, lobe_map((4000, 8000, 12000)))
    curve, speeds = rows["estimated_boost"], rows["speed"]
    turning = speeds.curve * rows["rotor_ratio"].scalar * 60
    assert (np.isfinite(curve.curve) == (turning <= 12000)).all()
    assert re.fullmatch(
        r"outside the measured map from 4.980.rpm to 6.500.rpm: "
        r"the blower turns faster than the map's highest speed",
        curve.reason,
    )
    top = rows["boost_at_top"]
    assert not top.present
    assert top.reason == curve.reason
    slow = point(curve, speeds, rows["max_speed"], "x", "x")
    assert not slow.present


def test_a_point_inside_has_no_reason(tmp_path: Path) -> None:
    """A figure that is there carries no excuse of others."""
    rows = planned(tmp_path, lobe_map((6000, 8000, 12000, 17000)))
    assert "more slowly than the map's lowest speed" in rows["estimated_boost"].reason
    assert rows["boost_at_top"].present
    assert rows["boost_at_top"].reason == ""


@pytest.mark.parametrize(
    ("blower", "csv", "words"),
    [
        (LOBE, lobe_map((1000, 2000)), "faster than the map's highest speed"),
        (LOBE, lobe_map(ratios=(1.05, 1.1)), "would lie above the map's highest"),
        (LOBE, lobe_map(ratios=(2.4, 2.8)), "would lie below the map's lowest"),
        (WHEEL, wheel_map((80000, 89000)), "more slowly than the map's lowest speed"),
    ],
)
def test_wholly_outside_there_is_a_reason_and_no_curve(
    tmp_path: Path, blower: str, csv: str, words: str
) -> None:
    """No speed on the map: every estimated row is absent with the map's side in its reason."""
    rows = planned(tmp_path, csv, blower)
    for key in ("estimated_boost", "estimated_power", "boost_at_top"):
        assert not rows[key].present
        assert rows[key].reason.startswith("outside the measured map: ")
        assert words in rows[key].reason


def test_the_maps_own_air_is_what_it_refers_to(tmp_path: Path) -> None:
    """A map referred to colder air turns the same blower at a lower corrected speed."""
    stated = WHEEL + "performance_air: {pressure: 101.3 kPa, temperature: 15 degC}\n"
    usual, cold = (
        sheet(tmp_path / name, wheel_map(), blower)
        for name, blower in (("usual", WHEEL), ("cold", stated))
    )
    found = map_of(cold.blower)
    assert isinstance(found, CentrifugalMap)
    assert (found.reference_pressure, found.reference_temperature) == (101300.0, 288.15)
    boosts = [item.setups[0].rows["boost_at_top"].scalar for item in (usual, cold)]
    assert boosts[1] < boosts[0]


@pytest.mark.parametrize(
    ("blower", "csv"), [(LOBE, lobe_map()), (WHEEL, wheel_map())], ids=["lobe", "wheel"]
)
def test_the_band_spreads_as_drawn(tmp_path: Path, blower: str, csv: str) -> None:
    """First order through a balance on a map agrees with Monte Carlo to a tenth."""
    item = sheet(tmp_path, csv, blower, COOLED)
    rows = item.setups[0].rows
    kind = kind_of(rows)
    assert kind is not None
    rule = rule_of(rows, kind)
    keys = {**rule.inputs, **rule.options}
    inputs = {name: rows[key] for name, key in keys.items() if rows[key].present}
    draws, count = np.random.default_rng(7), 4000
    drawn = {
        name: np.full(count, rows["max_speed"].scalar)
        if name == "speed"
        else draws.normal(row.scalar, float(row.uncertainty or 0.0), count)
        for name, row in inputs.items()
    }
    for name in ("cooler_drop", "inlet_drop"):
        drawn[name] = np.abs(drawn[name])
    drawn["mechanical_efficiency"] = np.minimum(drawn["mechanical_efficiency"], 1.0)
    drawn["effectiveness"] = np.clip(drawn["effectiveness"], 0.0, 1.0)
    found = estimate(kind, blower_map=map_of(item.blower), **drawn)
    for figure in ("boost", "power"):
        said = rows[f"{figure}_at_top"].uncertainty
        assert isinstance(said, float)
        assert np.nanstd(found[figure]) == pytest.approx(said, rel=0.1), figure


# ------------------------------------------------------------ the fit


def curve_of(rows: Scope, share: float, low: float = 0.0) -> str:
    """A pull as the model itself gives it on the map, all of its boost times `share`."""
    speed, boost, torque = (
        rows[key].curve for key in ("speed", "estimated_boost", "estimated_torque")
    )
    lines = ["engine speed [rpm],torque [N m],boost [kPa]"]
    for n, b, t in zip(speed * 60, boost / 1e3, torque, strict=True):
        if n >= low and np.isfinite(b):
            lines.append(f"{n:.0f},{t:.1f},{b * share:.2f}")
    return "\n".join(lines) + "\n"


TESTED = BUILD + SESSION[: SESSION.index("      - ")] + "      - {setup: p80, curve: pulls/1.csv}\n"


def with_pull(folder: Path, csv: str, pull: str, blower: str = LOBE) -> Sheet:
    """The small build with one pull on its curve."""
    (folder / "test-build" / "pulls").mkdir(parents=True)
    (folder / "test-build" / "pulls" / "1.csv").write_text(pull, encoding="utf-8")
    return sheet(folder, csv, blower, TESTED)


@pytest.mark.parametrize(
    ("blower", "csv", "factor", "left"),
    [
        (LOBE, lobe_map(), "map_volumetric_factor", 0.65),
        (WHEEL, wheel_map(), "map_head_factor", 0.95),
    ],
    ids=["lobe", "wheel"],
)
def test_less_boost_than_the_map_gives_is_fitted_by_its_factor(
    tmp_path: Path, blower: str, csv: str, factor: str, left: float
) -> None:
    """A pull a little short of the map lowers the factor, and narrows the band that follows.

    A wheel's map says so much of its boost that one pull adds little; a lobe's says little of what
    the engine swallows, and what the pull's own sensor may be off by stays open. The pull is three
    per cent short of what the map gives in its own air.
    """
    planned = sheet(tmp_path / "planned", csv, blower).setups[0].rows
    any_pull = with_pull(tmp_path / "any", csv, curve_of(planned, 1.0), blower)
    before = any_pull.setups[0].over_speed  # by no pull of its own, in the session's air
    found = with_pull(tmp_path / "tested", csv, curve_of(before, 0.97), blower)
    rows = found.setups[0].rows
    row = rows[factor]
    assert row.basis == "fitted"
    assert row.scalar < 1.0
    assert row.inputs[0].scalar == 1.0
    assert rows["map_efficiency_factor"].basis == "fitted"
    fitted, prior = rows["boost_at_top"].expanded, before["boost_at_top"].expanded
    assert fitted is not None
    assert prior is not None
    assert fitted < left * prior


def test_points_that_may_leave_the_map_do_not_pull_at_the_fit(tmp_path: Path) -> None:
    """Speeds beyond the map's last line are left out of the fit; those on it count."""
    whole = sheet(tmp_path / "whole", lobe_map()).setups[0].rows
    pull = curve_of(whole, 1.0)
    found = with_pull(tmp_path / "tested", lobe_map((4000, 8000, 12000)), pull)
    fit = found.calibration
    assert fit is not None
    turning = [label.speed * whole["rotor_ratio"].scalar * 60 for label in fit.labels]
    assert turning
    assert max(turning) < 12000
    assert np.abs(fit.misses).max() < 1.0
    assert np.abs(fit.shifts).max() < 1.5


def test_a_pull_wholly_outside_the_map_is_fitted_to_nothing(tmp_path: Path) -> None:
    """Then the estimate says why it is absent, and the measured figures stand alone."""
    whole = sheet(tmp_path / "whole", lobe_map()).setups[0].rows
    found = with_pull(tmp_path / "tested", lobe_map((1000, 2000)), curve_of(whole, 1.0))
    assert found.calibration is None
    assert found.diagnoses == ()
    assert "outside the measured map" in found.setups[0].rows["boost_at_top"].reason
    assert found.pulls[0].rows["boost"].present


def test_the_demos_maps_are_used() -> None:
    """The demo shows one map of each kind, and its builds are estimated from them."""
    demo = Path(__file__).parents[3] / "builds"
    archive = read_archive(demo)
    mapped = {key for key, blower in archive.blowers.items() if blower.map is not None}
    assert mapped == {"ouzel-12", "dipper-c82"}
    for build, kind in (("shed-test-engine", "map"), ("teal-hydroplane", "centrifugal-map")):
        rows = sheet_of(archive, archive.builds[build]).setups[0].rows
        assert kind_of(rows) == kind
        assert rows["boost_at_top"].source.startswith("from the measured map blowers/")
    assert "map's lowest speed" in rows["estimated_boost"].reason
