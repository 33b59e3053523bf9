"""Pulls made again: their scatter against what was stated, and a drift where there is one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from specgen.analysis.judging.repeats import Repeat, verdict
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.archive import read_archive
from tests.analysis.small import ARCHIVE, BUILD, SESSION, sheet

DEMO = Path(__file__).parents[3] / "builds"
SPEEDS = np.arange(2000, 6600, 200)
HEAD = SESSION[: SESSION.index("      - ")]
STATED = ARCHIVE + "repeatability: {power: 1.0 %, boost: 1.5 kPa}\n"


def curve(power: float, boost: float, warmth: float = 50.0, low: int = 2000) -> str:
    """A pull with so many times a usual torque, so much boost beyond 60 kPa, a charge so warm."""
    lines = ["engine speed [rpm],torque [N m],boost [kPa],charge temperature [degC]"]
    for n in SPEEDS[low <= SPEEDS]:
        torque = 400 * power * (1 - ((n - 4200) / 6000) ** 2)
        lines.append(f"{n},{torque:.6f},{60 + boost:.4f},{warmth:.3f}")
    return "\n".join(lines) + "\n"


def repeated(folder: Path, *curves: str, more: str = "") -> Sheet:
    """The small build with these pulls of one setup in one session."""
    pulls = folder / "test-build" / "pulls"
    pulls.mkdir(parents=True)
    listed = ""
    for number, text in enumerate(curves, 1):
        (pulls / f"{number}.csv").write_text(text, encoding="utf-8")
        listed += f"      - {{setup: p80, curve: pulls/{number}.csv}}\n"
    return sheet(folder, BUILD + HEAD + listed + more, archive=STATED)


def only(found: Sheet) -> Repeat:
    """The one setup that was repeated."""
    assert len(found.repeats) == 1
    return found.repeats[0]


def test_scatter_is_the_standard_deviation_of_the_peaks(tmp_path: Path) -> None:
    """0.99, 1.00 and 1.01 of a power lie apart by 1 %; 1, 2 and 3 kPa by 1 kPa (by hand)."""
    found = only(repeated(tmp_path, curve(0.99, 1.0), curve(1.00, 2.0), curve(1.01, 3.0)))
    assert found.power is not None
    assert found.boost is not None
    assert found.power.deviation.scalar == pytest.approx(0.01, rel=1e-6)
    assert found.boost.deviation.scalar == pytest.approx(1e3, rel=1e-6)
    assert found.power.stated.scalar == pytest.approx(0.01)
    assert found.boost.stated.scalar == 1500.0
    assert (found.power.verdict, found.boost.verdict) == ("as stated", "as stated")
    # Table E.1 of the GUM (from memory): 52 % of a standard deviation from three readings
    assert found.power.deviation.uncertainty == pytest.approx(0.0052, abs=5e-5)
    assert found.power.deviation.formula is not None
    assert len(found.power.deviation.inputs) == 3
    assert "stated for the archive" in found.power.stated.source


def test_only_common_speeds_count(tmp_path: Path) -> None:
    """A pull that begins later is compared where both were recorded."""
    early = curve(1.0, 0.0).splitlines()
    early[1] = early[1].replace("60.0000", "20.0000")  # far off, where the other has nothing
    found = only(repeated(tmp_path, "\n".join(early) + "\n", curve(1.0, 2.0, low=2600)))
    assert found.boost is not None
    assert found.boost.deviation.scalar == pytest.approx(2e3 / 2**0.5, rel=1e-6)


def test_one_pull_is_no_repeat_and_another_session_is_none_either(tmp_path: Path) -> None:
    """A repeat is two pulls of one setup with nothing changed in between."""
    assert repeated(tmp_path / "one", curve(1.0, 0.0)).repeats == ()
    other = HEAD.removeprefix("sessions:\n").replace("2025-05-14", "2025-06-01")
    other += "      - {setup: p80, peaks: {power: 250 kW at 6200 rpm}}\n"
    assert repeated(tmp_path / "two", curve(1.0, 0.0), more=other).repeats == ()


def test_peaks_on_paper_are_repeats_too(tmp_path: Path) -> None:
    """Two peaks of power show a scatter of power; of boost there is none to show."""
    pulls = "".join(
        f"      - {{setup: p80, peaks: {{power: {kilowatt} kW at 6200 rpm}}}}\n"
        for kilowatt in (250, 254)
    )
    found = only(sheet(tmp_path, BUILD + HEAD + pulls, archive=STATED))
    assert found.power is not None
    assert found.power.deviation.scalar == pytest.approx(4 / 2**0.5 / 252)
    assert found.boost is None
    assert found.drift is None


@pytest.mark.parametrize(
    ("powers", "said"),
    [
        ((0.96, 1.0, 1.04), "more than stated"),
        ((0.99, 1.0, 1.01), "as stated"),
        ((0.9999, 1.0, 1.0001), "less than stated"),
    ],
)
def test_a_gross_difference_is_told(tmp_path: Path, powers: tuple[float, ...], said: str) -> None:
    """Three pulls tell 4 % from 1 %, and 0.01 % from 1 %, but not 1 % from 1 %."""
    found = only(repeated(tmp_path, *(curve(power, 0.0) for power in powers)))
    assert found.power is not None
    assert found.power.verdict == said


@pytest.mark.parametrize("count", [2, 3, 6])
def test_a_true_statement_is_denied_one_time_in_twenty(count: int) -> None:
    """Draws with the stated deviation are called something else in 5 % of cases."""
    draws = np.random.default_rng(3).normal(0.0, 1.0, (1500, count)).std(axis=1, ddof=1)
    denied = np.mean([verdict(float(found), 1.0, count) != "as stated" for found in draws])
    assert denied == pytest.approx(0.05, abs=0.017)  # three standard deviations of the share


def test_power_that_falls_with_heat_is_told_with_its_band(tmp_path: Path) -> None:
    """2 % less for 10 K more, with a thousandth of scatter: the slope scipy.stats finds (RUN)."""
    warmth = np.array([40.0, 44.0, 49.0, 53.0, 60.0])
    noise = np.array([4e-4, -6e-4, 3e-4, 5e-4, -6e-4])
    power = 1 - 0.002 * (warmth - 50) + noise
    curves = [curve(float(p), 0.0, float(t)) for p, t in zip(power, warmth, strict=True)]
    found = only(repeated(tmp_path, *curves))
    assert found.drift is not None
    due = stats.linregress(warmth, power / power.mean())
    assert found.drift.scalar == pytest.approx(10 * due.slope, rel=1e-4)
    assert found.drift.uncertainty == pytest.approx(10 * due.stderr, rel=1e-3)
    assert found.drift.quantity.text(found.drift.scalar, "metric").startswith("\u22122.0")


def test_a_drift_that_chance_would_give_is_not_told(tmp_path: Path) -> None:
    """Power up and down while the charge warms steadily says nothing."""
    curves = [
        curve(p, 0.0, t) for p, t in ((1.0, 40.0), (0.99, 45.0), (1.004, 50.0), (0.995, 55.0))
    ]
    found = only(repeated(tmp_path, *curves))
    assert found.drift is None
    assert "power_drift" not in {row.key for row in found.rows}


@pytest.mark.parametrize("warmth", [(50.0, 50.0, 50.0), (40.0, 60.0)])
def test_no_drift_without_three_pulls_or_without_a_change(
    tmp_path: Path, warmth: tuple[float, ...]
) -> None:
    """Two points always lie on a line, and equal temperatures on none."""
    curves = [curve(1.0 - 0.01 * index, 0.0, t) for index, t in enumerate(warmth)]
    assert only(repeated(tmp_path, *curves)).drift is None


def test_a_chance_drift_is_told_one_time_in_twenty() -> None:
    """With nothing behind it, the test of the slope errs as often as it says it does."""
    from specgen.physics import scatter

    draws = np.random.default_rng(9)
    told, count = 0, 2000
    for _ in range(count):
        x, y = draws.normal(size=(2, 4))
        limit = scatter.slope_uncertainty(x, y) * stats.t.ppf(0.975, 2)
        told += abs(scatter.slope(x, y)) > limit
    assert told / count == pytest.approx(0.05, abs=0.015)


def test_the_demo_repeats_as_its_archive_says() -> None:
    """The hydroplane was pulled three times on 89.8 mm; its rows stand on the sheet."""
    archive = read_archive(DEMO)
    found = sheet_of(archive, archive.builds["lark-hydroplane"])
    lark = only(found)
    assert (lark.setup.id, len(lark.pulls)) == ("p90", 3)
    assert lark.power is not None
    assert lark.boost is not None
    # the simulator's noise is 1 % and 1.5 kPa, half of it common to a pull
    assert lark.power.verdict == "as stated"
    assert lark.boost.verdict == "as stated"
    titles = [scope.title for scope in found.scopes]
    assert "Repeat pulls of setup 89.8 mm, 2025-05-14" in titles
    assert {row.key for row in lark.rows} >= {"power_deviation", "boost_deviation"}
