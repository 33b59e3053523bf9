"""A bypass that holds boost: three pulleys at one set point, and a fourth that is planned."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.sheet import Sheet
from tests.analysis.small import BLOWER, BUILD, SESSION, sheet

SIZES = (80, 76, 72, 68)


_TOLD = ", boost_control: gauge, boost_target: 60 kPa"


def held(folder: Path, control: str = _TOLD) -> Sheet:
    """Make a build whose bypass holds 60 kPa with three pulleys, as its curves show."""
    setups = "".join(
        f"  - {{id: p{size}, blower_pulley: {size} mm, fuel: e85{control}}}\n" for size in SIZES
    )
    build = BUILD[: BUILD.index("  - {id: p80")] + setups
    pulls = folder / "test-build" / "pulls"
    pulls.mkdir(parents=True)
    lines = [f"{speed},430,60.0" for speed in range(3500, 6501, 250)]
    text = "\n".join(["engine speed [rpm],torque [N m],boost [kPa]", *lines]) + "\n"
    listed = ""
    for size in SIZES[:3]:
        (pulls / f"{size}.csv").write_text(text, encoding="utf-8")
        listed += f"      - {{setup: p{size}, curve: pulls/{size}.csv}}\n"
    head = SESSION[: SESSION.index("      - {setup")]
    return sheet(folder, build + head + listed, BLOWER.replace("0.9 L", "1.5 L"))


def test_nobody_is_accused_and_the_next_is_predicted_at_the_set_point(tmp_path: Path) -> None:
    """Three pulleys held at 60 kPa accuse nothing; the fourth makes 60 kPa too."""
    made = held(tmp_path)
    assert made.diagnoses == ()
    assert made.calibration is not None
    assert made.calibration.set_aside == ()
    rows = made.setups[3].rows
    assert rows["boost_at_top"].scalar == pytest.approx(60e3, abs=1e3)
    assert "gauge control, set to 60 kPa" in rows["held_pressure"].source


@pytest.mark.parametrize("control", [", boost_control: gauge", ""], ids=["told of", "unspoken"])
def test_a_set_point_that_nobody_wrote_is_seen_in_the_pulls(tmp_path: Path, control: str) -> None:
    """Three pulleys that stay at 60 kPa are held there; the next is, too, and nobody is accused."""
    made = held(tmp_path, control)
    assert made.diagnoses == ()
    assert made.calibration is not None
    assert made.calibration.set_aside == ()
    rows = made.setups[3].rows
    assert rows["boost_at_top"].scalar == pytest.approx(60e3, abs=1.5e3)
    assert "level at which 3 of its pulls stay" in rows["held_pressure"].source


def test_a_fixed_ratio_is_not_taken_for_a_control(tmp_path: Path) -> None:
    """Where the file says that the ratio alone sets boost, a level curve is no control."""
    made = held(tmp_path, ", boost_control: fixed-ratio")
    assert not made.setups[3].rows["held_pressure"].present
    assert made.setups[3].rows["boost_at_top"].scalar > 61.5e3
