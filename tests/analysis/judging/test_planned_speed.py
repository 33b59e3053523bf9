"""A planned setup is read at the speeds of the measured peaks beside it, and says which."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.analysis.small import BUILD, SESSION, sheet

PLANNED = BUILD + "  - {id: p77, blower_pulley: 77 mm, fuel: petrol-98}\n"


def test_a_planned_step_is_read_where_the_best_pull_peaks(tmp_path: Path) -> None:
    """Power at 6400 rpm, the speed of the measured peak, though the engine goes to 6500."""
    made = sheet(tmp_path, PLANNED + SESSION)
    step = made.ladder[1]
    assert step.setup.planned
    assert step.estimated_power.at is not None
    assert step.estimated_power.at.scalar * 60 == pytest.approx(6400)
    rows = step.setup.rows
    curve = np.interp(6400 / 60, rows["speed"].curve, rows["estimated_power"].curve)
    assert step.estimated_power.scalar == pytest.approx(curve, rel=1e-12)


def test_without_a_pull_it_is_read_at_the_highest_speed(tmp_path: Path) -> None:
    """Nothing measured: the engine's highest speed, for boost and power alike."""
    step = sheet(tmp_path, PLANNED).ladder[1]
    for row in (step.estimated_boost, step.estimated_power):
        assert row.at is not None
        assert row.at.scalar * 60 == pytest.approx(6500)
