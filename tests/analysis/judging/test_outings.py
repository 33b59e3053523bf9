"""Runs outside the dyno: mean power by energy with its band, and what is not to be compared."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.judging.outings import same_air
from tests.analysis.small import BUILD, SESSION, sheet

OUTINGS = """outings:
  - date: 2025-06-21
    what: Quarter mile
    distance: 402.3 m
    time: 11.85 s
    terminal_speed: 188 km/h
    mass: 1180 kg
    air: {pressure: 99 kPa, barometer: station, temperature: 18 degC, humidity: 55 %}
  - {date: 2025-07-30, what: Half a mile, terminal_speed: 130 mph, mass: 1180 kg}
"""
HOT = OUTINGS.replace(
    "mass: 1180 kg}",
    "mass: 1180 kg, air: {pressure: 95 kPa, barometer: station, temperature: 33 degC}}",
)


def test_mean_power_is_energy_over_time(tmp_path: Path) -> None:
    """Half m v squared over t, with a band, beside the dyno's power."""
    first, second = sheet(tmp_path, BUILD + SESSION + OUTINGS).outings
    power = first.rows["motion_power"]
    assert power.scalar == pytest.approx(0.5 * 1180 * (188 / 3.6) ** 2 / 11.85, rel=1e-12)
    assert power.expanded == pytest.approx(
        2 * power.scalar * (0.02**2 + 0.005**2 + (2 * 0.01) ** 2) ** 0.5, rel=1e-3
    )
    assert first.share is not None
    assert 0.3 < first.share < 0.6
    constant = first.rows["power_by_distance"].scalar
    assert constant == pytest.approx(1180 * (188 / 3.6) ** 3 / (3 * 402.3), rel=1e-12)
    assert second.rows["motion_power"].reason == "time of a run not recorded"


@pytest.mark.parametrize("outings", [OUTINGS, HOT], ids=["not recorded", "hot"])
def test_other_air_is_not_like_for_like(tmp_path: Path, outings: str) -> None:
    """Air that differs, or that nobody recorded, is said before times are compared."""
    runs = sheet(tmp_path, BUILD + SESSION + outings).outings
    assert not same_air(runs)
    assert same_air(runs[:1])
