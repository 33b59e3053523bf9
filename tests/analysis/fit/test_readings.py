"""What is read beside a pull: channels that speak to the fit, readings that it takes up."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """Sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def test_every_channel_that_was_logged_speaks(demo: dict[str, Sheet]) -> None:
    """A log with everything in it leaves misses of everything to the fit."""
    fit = demo["shed-test-engine"].calibration
    assert fit is not None
    assert {label.figure for label in fit.labels} >= {
        "boost", "power", "inlet_pressure", "intake_temperature", "discharge_temperature",
        "charge_temperature", "mass_flow", "fuel_mass_flow", "mixture", "blower_speed",
    }  # fmt: skip


def test_a_logged_intake_temperature_pins_how_far_the_air_was_warmed(
    demo: dict[str, Sheet],
) -> None:
    """With an intake thermometer the warming on the way to the blower is hardly open any more."""
    fit = demo["lark-hydroplane"].calibration
    assert fit is not None
    keys = [unknown.row.key for unknown in fit.unknowns]
    assert fit.pinned(keys.index("intake_warming"))


def test_an_air_reading_that_the_fit_took_up_is_not_spread_twice(demo: dict[str, Sheet]) -> None:
    """In the very air of the pulls a thermometer's fault goes into the fit and out again.

    Two kelvin alone are half a per cent of the manifold's pressure.
    """
    sheet = demo["lark-hydroplane"]
    planned = sheet.setups[-1].rows
    root = next(iter(sheet.sessions[0].rows["air_temperature"].spread))
    boost, pressure = planned["estimated_boost"], planned["estimated_manifold_pressure"]
    assert np.abs(boost.spread[root] / pressure.curve).max() < 0.001
    assert planned["volumetric_efficiency"].spread.get(root)
