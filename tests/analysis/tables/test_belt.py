"""The belt of a setup: its speed, its path and how much of its grip is used, recomputed by hand."""

from __future__ import annotations

from math import asin, cos, exp, pi, radians, sin
from pathlib import Path

import pytest

from specgen.analysis.sheet import Sheet
from tests.analysis.small import BUILD, sheet

LAID_OUT = """  belt: {profile: PK, ribs: 8, length: 1300 mm, tension: 900 N, friction: 0.3}
  layout:
    - {pulley: crank, x: 0 mm, y: 0 mm}
    - {pulley: blower, x: 0 mm, y: 400 mm}
"""


def laid_out(folder: Path) -> Sheet:
    """The small build with two pulleys 400 mm apart and a belt on them."""
    head, drive, rest = BUILD.partition("drive: {crank_pulley: 205 mm, blower_pulley: 80 mm}\n")
    assert drive
    given = "drive:\n  crank_pulley: 205 mm\n  blower_pulley: 80 mm\n"
    return sheet(folder, head + given + LAID_OUT + rest)


def test_the_belt_runs_on_its_pitch_line(tmp_path: Path) -> None:
    """Belt speed is that of the pitch line, 4 mm above the effective diameter (ISO 9981)."""
    rows = laid_out(tmp_path).setups[0].rows
    top = rows["max_speed"].scalar
    assert rows["belt_speed"].scalar == pytest.approx(pi * 0.209 * top, rel=1e-12)


def test_the_path_is_that_of_two_pulleys(tmp_path: Path) -> None:
    """Length and wraps by the two-pulley formula on pitch diameters, sold 4 pi mm shorter."""
    rows = laid_out(tmp_path).setups[0].rows
    lean = (0.209 - 0.084) / 2 / 0.4
    tilt = asin(lean)
    pitch = 2 * 0.4 * cos(tilt) + pi / 2 * (0.209 + 0.084) + tilt * (0.209 - 0.084)
    assert rows["belt_path"].scalar == pytest.approx(pitch - 0.004 * pi, rel=1e-9)
    assert rows["blower_wrap"].scalar == pytest.approx(pi - 2 * tilt, rel=1e-9)
    assert rows["crank_wrap"].scalar == pytest.approx(pi + 2 * tilt, rel=1e-9)
    slack = rows["belt_slack"].scalar
    assert slack == pytest.approx(1.3 - rows["belt_path"].scalar, abs=1e-12)


def test_grip_is_the_drive_power_over_the_slip_limit(tmp_path: Path) -> None:
    """The slip limit of a belt on fixed centres at its tension at rest, on the smaller wrap."""
    rows = laid_out(tmp_path).setups[0].rows
    speed = rows["belt_speed"].scalar
    ratio = exp(0.3 * rows["blower_wrap"].scalar / sin(radians(20)))
    grip = 900 - 8 * 0.015 * speed**2
    limit = 2 * grip * (ratio - 1) / (ratio + 1) * speed
    assert rows["slip_power"].scalar == pytest.approx(limit, rel=1e-9)
    used = rows["drive_power_at_top"].scalar / limit
    assert rows["grip_used"].scalar == pytest.approx(used, rel=1e-9)
    assert rows["grip_used"].expanded


def test_without_a_layout_the_path_is_not_recorded(tmp_path: Path) -> None:
    """No layout: no length is guessed, and the row says what is missing."""
    rows = sheet(tmp_path).setups[0].rows
    assert not rows["belt_path"].present
    assert rows["belt_path"].reason == "no layout of the belt recorded"
    assert rows["grip_used"].reason == "no belt tension recorded"
