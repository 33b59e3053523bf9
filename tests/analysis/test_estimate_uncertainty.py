"""The band of an estimate against random draws of its parameters."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.estimate import estimate
from specgen.analysis.tables.estimated import rule_of
from tests.analysis.small import BUILD, sheet

COOLED = BUILD.replace(
    "{blower: test-blower,", "{blower: test-blower, charge_cooler: {kind: air-to-water},"
)


def test_estimated_boost_and_power_spread_as_drawn(tmp_path: Path) -> None:
    """First order through the whole balance agrees with Monte Carlo to a tenth."""
    rows = sheet(tmp_path, COOLED).setups[0].rows
    rule = rule_of(rows, "displacement")
    keys = {**rule.inputs, **rule.options}
    inputs = {name: rows[key] for name, key in keys.items() if rows[key].present}
    draws, count = np.random.default_rng(5), 4000
    top = float(rows["max_speed"].scalar)
    drawn = {
        name: np.full(count, top)
        if name == "speed"
        else draws.normal(row.scalar, float(row.uncertainty or 0.0), count)
        for name, row in inputs.items()
    }
    for name in ("leak_area", "cooler_drop", "inlet_drop", "friction_share"):
        drawn[name] = np.abs(drawn[name])
    drawn["mechanical_efficiency"] = np.minimum(drawn["mechanical_efficiency"], 1.0)
    drawn["effectiveness"] = np.clip(drawn["effectiveness"], 0.0, 1.0)
    found = estimate("displacement", **drawn)
    for figure in ("boost", "power"):
        said = rows[f"{figure}_at_top"].uncertainty
        assert isinstance(said, float)
        assert np.nanstd(found[figure]) == pytest.approx(said, rel=0.1), figure
