"""Reported, observed, corrected: three states of a figure that never mix silently."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.sheet import Sheet
from specgen.physics.correction import STANDARDS
from tests.analysis.small import ARCHIVE, BUILD, SESSION, sheet

FACTOR_ISO = STANDARDS["iso-1585"].factor(99100.0, 300.15, 0.41)
FACTOR_J607 = STANDARDS["sae-j607"].factor(99100.0, 300.15, 0.41)


def test_an_observed_figure_is_corrected_with_the_sessions_air(tmp_path: Path) -> None:
    """Observed stays as read; corrected is observed times the factor; the speed goes with both."""
    rows = sheet(tmp_path).pulls[0].rows
    assert rows["observed_power"].scalar == 301e3
    assert rows["power"].scalar == pytest.approx(301e3 * FACTOR_ISO)
    assert rows["power"].standing == "corrected, ISO 1585"
    assert rows["power"].at is not None
    assert rows["power"].at.scalar == pytest.approx(6400 / 60)


def test_a_factor_that_the_dyno_printed_is_undone_first(tmp_path: Path) -> None:
    """A figure corrected to another standard goes back to observed by the printed factor."""
    session = SESSION.replace("figures: observed", "figures: {corrected: sae-j607, factor: 1.05}")
    rows = sheet(tmp_path, BUILD + session).pulls[0].rows
    assert rows["reported_power"].scalar == 301e3
    assert rows["observed_power"].scalar == pytest.approx(301e3 / 1.05)
    assert rows["power"].scalar == pytest.approx(301e3 / 1.05 * FACTOR_ISO)


def test_a_factor_that_was_not_printed_is_recomputed_from_the_air(tmp_path: Path) -> None:
    """With the standard and the air known, the dyno's factor follows."""
    session = SESSION.replace("figures: observed", "figures: {corrected: sae-j607}")
    rows = sheet(tmp_path, BUILD + session).pulls[0].rows
    assert rows["observed_power"].scalar == pytest.approx(301e3 / FACTOR_J607)


def test_a_figure_in_the_archives_own_standard_stays_as_it_is(tmp_path: Path) -> None:
    """No factor is needed where the paper already says what the archive shows."""
    session = SESSION.replace("figures: observed", "figures: {corrected: iso-1585}")
    rows = sheet(tmp_path, BUILD + session).pulls[0].rows
    assert rows["power"].scalar == 301e3
    assert rows["power"].standing == "corrected, ISO 1585"


def test_unknown_correction_stays_unknown(tmp_path: Path) -> None:
    """Neither observed nor corrected is guessed; the paper's figure is shown as what it is."""
    session = SESSION.replace("figures: observed", "figures: unknown")
    rows = sheet(tmp_path, BUILD + session).pulls[0].rows
    assert not rows["observed_power"].present
    assert not rows["corrected_power"].present
    assert rows["power"].scalar == 301e3
    assert rows["power"].standing == "as reported, correction unknown"


def test_air_that_was_not_recorded_leaves_the_figure_observed(tmp_path: Path) -> None:
    """Without humidity no dry pressure, no factor; DIN 70020 needs none and has one."""
    rows = sheet(tmp_path, BUILD + SESSION.replace(", humidity: 41 %", "")).pulls[0].rows
    assert rows["power"].standing == "observed"
    assert "humidity" in rows["corrected_power"].reason
    assert rows["factor_din-70020"].present


def test_an_archive_without_correction_shows_observed_figures(tmp_path: Path) -> None:
    """`correction: none` is a choice, not a gap."""
    archive = ARCHIVE.replace("iso-1585", "none")
    rows = sheet(tmp_path, archive=archive).pulls[0].rows
    assert rows["power"].standing == "observed"


def test_a_barometer_reduced_to_sea_level_is_turned_back(tmp_path: Path) -> None:
    """At 500 m a sea-level barometer used as it stands makes the factor 6.9 % low (computed)."""
    air = "{pressure: 101.325 kPa, barometer: sea-level, elevation: 500 m, temperature: 15 degC"
    session = SESSION.replace("{pressure: 99.1 kPa, barometer: station, temperature: 27 degC", air)
    right = sheet(tmp_path / "right", BUILD + session).sessions[0].rows
    wrong = (
        sheet(tmp_path / "wrong", BUILD + session.replace("sea-level, elevation: 500 m", "station"))
        .sessions[0]
        .rows
    )
    assert right["station_pressure"].scalar == pytest.approx(95460.8, rel=1e-5)  # ISO 2533
    low = wrong["correction_factor"].scalar / right["correction_factor"].scalar
    assert 1 - low == pytest.approx(0.069, abs=0.001)


def test_a_barometer_of_unknown_kind_is_not_used(tmp_path: Path) -> None:
    """Whether a barometer is the station's is never guessed."""
    rows = sheet(tmp_path, BUILD + SESSION.replace("barometer: station, ", "")).sessions[0].rows
    assert not rows["station_pressure"].present
    assert "not recorded" in rows["station_pressure"].reason


def test_headline_uncertainty_agrees_with_monte_carlo(tmp_path: Path) -> None:
    """Corrected power spreads over random draws of its readings as the sheet says."""
    rows = sheet(tmp_path).pulls[0].rows
    session = sheet(tmp_path).sessions[0].rows
    draws = np.random.default_rng(11)

    def drawn(key: str) -> np.ndarray:
        row = session[key]
        return draws.normal(row.scalar, float(row.uncertainty or 0.0), 40000)

    observed = rows["observed_power"]
    power = draws.normal(observed.scalar, float(observed.uncertainty or 0.0), 40000)
    factors = STANDARDS["iso-1585"].factor(
        drawn("station_pressure"), drawn("air_temperature"), drawn("humidity")
    )
    assert np.std(power * factors) == pytest.approx(float(rows["power"].uncertainty or 0), rel=0.03)


def _with_manifold_pressure(folder: Path, air: str) -> Sheet:
    """A build whose pull has the manifold's absolute pressure over speed, and no boost."""
    text = "engine speed [rpm],torque [N m],manifold pressure [kPa]\n" + "".join(
        f"{speed},{400 - speed / 100:.0f},{140 + speed / 250:.1f}\n"
        for speed in range(3000, 6501, 500)
    )
    pulls = folder / "test-build" / "pulls"
    pulls.mkdir(parents=True)
    (pulls / "first.csv").write_text(text, encoding="utf-8")
    head = SESSION.split("    air: ")[0]
    pull = "    pulls:\n      - {setup: p80, curve: pulls/first.csv}\n"
    return sheet(folder, f"{BUILD}{head}    air: {air}\n{pull}")


def test_recorded_manifold_pressure_is_boost(tmp_path: Path) -> None:
    """Beside a barometer it leads the sheet and speaks to the fit like a boost column."""
    air = "{pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}"
    made = _with_manifold_pressure(tmp_path, air)
    assert made.pulls[0].rows["boost"].scalar == pytest.approx(166e3 - 99.1e3)
    assert "boost" in {row.key for row in made.headline}
    assert made.calibration is not None
    assert "boost" in {label.figure for label in made.calibration.labels}
    step = made.ladder[0]
    assert step.measured_boost is not None
    assert step.measured_boost.present


def test_manifold_pressure_without_a_barometer_says_what_is_missing(tmp_path: Path) -> None:
    """No barometer is guessed: the row says that the station's air pressure is not there."""
    made = _with_manifold_pressure(tmp_path, "{temperature: 27 degC, humidity: 41 %}")
    row = made.pulls[0].rows["boost_curve"]
    assert not row.present
    assert "air pressure at the station was not" in row.reason
