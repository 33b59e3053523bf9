"""One pull in any base, and a setup that was tested on days whose figures stand differently."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.judging.bases import BASES, drive_line_range, in_base
from specgen.physics.correction import correction_factor
from tests.analysis import small

_AIR = (99.1e3, 300.15, 0.41)
_SECOND = """\
  - date: 2025-05-20
    dyno: {{kind: engine, measured_at: flywheel}}
    figures: {figures}
    air: {{pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}}
    pulls:
      - {{setup: p80, peaks: {{power: {power:.3f} kW at 6400 rpm}}}}
"""


def test_a_pull_stands_as_its_own_session_says(tmp_path: Path) -> None:
    """The same result, observed one day and corrected by the dyno on another, is one result."""
    factor = float(correction_factor("sae-j607", *_AIR))
    figures = f"{{corrected: sae-j607, factor: {factor:.6f}}}"
    second = _SECOND.format(figures=figures, power=301 * factor)
    first, other = small.sheet(tmp_path, small.BUILD + small.SESSION + second).pulls
    assert other.rows["reported_factor"].scalar == pytest.approx(factor, abs=1e-6)
    for base in BASES:
        power = in_base(other, base)["power"]
        assert power.scalar == pytest.approx(in_base(first, base)["power"].scalar, rel=1e-5)
        assert power.standing == in_base(first, base)["power"].standing


def test_an_unknown_session_does_not_lend_from_the_setups_first(tmp_path: Path) -> None:
    """A later visit whose correction is unknown stays as reported in every base."""
    second = _SECOND.format(figures="unknown", power=310)
    _, other = small.sheet(tmp_path, small.BUILD + small.SESSION + second).pulls
    for base in BASES:
        power = in_base(other, base)["power"]
        assert power.scalar == pytest.approx(310e3)
        assert power.standing == "as reported, correction unknown"


def test_an_unknown_base_is_refused(tmp_path: Path) -> None:
    """A base that no standard has is a programmer's fault."""
    (pull,) = small.sheet(tmp_path).pulls
    with pytest.raises(KeyError):
        in_base(pull, "iso-9999")


def test_a_range_is_the_root_of_three_on_either_side() -> None:
    """Half width of a rectangular distribution: sqrt(3) u. Source: JCGM 100:2008, 4.3.7."""
    low, high = drive_line_range(0.89, 0.046)
    assert (low + high) / 2 == pytest.approx(0.89)
    assert (high - low) ** 2 / 12 == pytest.approx(0.046**2)
