"""A logged ignition tells the fit where knock begins; without one nothing is asked of it."""

from __future__ import annotations

from math import degrees
from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.fit.observations import BEST_SPARK
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive
from tests.analysis.small import BUILD, SESSION, write

_SETUPS = "  - {id: p75, blower_pulley: 75 mm, fuel: petrol-98}\n"
_PULLS = """\
    pulls:
      - {setup: p80, curve: pulls/p80.csv}
      - {setup: p75, curve: pulls/p75.csv}
"""
_SESSION = SESSION.partition("    pulls:")[0] + _PULLS
_SPEEDS = np.linspace(2600, 6400, 12)


def advance(limit: float, slope: float, boost: float) -> np.ndarray:
    """An ignition that is set back from some boost [kPa] on, by degrees for a kilopascal."""
    return 27.0 + 4.0 * np.log2(_SPEEDS / 2000) - slope * max(boost - limit, 0.0)


def logged(folder: Path, limit: float, slope: float = 0.35, *, ignition: bool = True) -> Sheet:
    """The small build with two pulls of plain curves, their ignition set back from a boost on."""
    write(folder, BUILD + _SETUPS + _SESSION)
    (folder / "test-build" / "pulls").mkdir(exist_ok=True)
    for name, boost in (("p80", 66.0), ("p75", 79.0)):
        late = 27.0 + 4.0 * np.log2(_SPEEDS / 2000) - advance(limit, slope, boost)
        power = 0.047 * _SPEEDS * (100 + boost) / 166 / (1 + 1.5 * np.radians(late) ** 2)
        head, columns = "engine speed [rpm],power [kW],boost [kPa]", [_SPEEDS, power]
        columns.append(np.full_like(_SPEEDS, boost))
        if ignition:
            head += ",ignition advance [deg]"
            columns.append(advance(limit, slope, boost))
        table = "\n".join(
            ",".join(f"{value:.2f}" for value in row) for row in zip(*columns, strict=True)
        )
        (folder / "test-build" / "pulls" / f"{name}.csv").write_text(f"{head}\n{table}\n", "utf-8")
    archive = read_archive(folder)
    assert not [item for item in archive.findings if item.severity == "error"]
    return analyse(archive)["test-build"]


def unknown(sheet: Sheet, key: str) -> Row:
    """One fitted unknown."""
    fit = sheet.calibration
    assert fit is not None
    keys = [item.row.key for item in fit.unknowns]
    return fit.fitted(keys.index(key), "fit")


def taken_back(sheet: Sheet) -> float:
    """Degrees taken back of the faster pulley, in the middle of the speeds."""
    row = sheet.setups[1].rows["estimated_retard"]
    return degrees(float(row.curve[len(row.curve) // 2]))


def test_an_ignition_set_back_with_boost_tells_of_knock(tmp_path: Path) -> None:
    """Set back by 3.5 degrees for 10 kPa from 50 kPa on: more octane is asked for than without."""
    free, limited = logged(tmp_path / "free", 200.0), logged(tmp_path / "late", 50.0)
    assert taken_back(limited) > taken_back(free) + 3.0
    need = [unknown(item, "octane_need").scalar for item in (free, limited)]
    assert need[1] > need[0] + 2.0


def test_a_log_narrows_what_knock_leaves_open(tmp_path: Path) -> None:
    """The same pulls with their ignition logged say more of the octane asked for than without."""
    told = logged(tmp_path / "told", 50.0)
    silent = logged(tmp_path / "silent", 50.0, ignition=False)
    width = [unknown(item, "octane_need").uncertainty for item in (told, silent)]
    assert isinstance(width[0], float)
    assert isinstance(width[1], float)
    assert width[0] < 0.9 * width[1]
    assert unknown(told, "best_spark").basis == "fitted"


def test_nothing_is_asked_where_no_ignition_was_logged(tmp_path: Path) -> None:
    """No unknown of the spark without a log of it, and a chosen spark sets no pull aside."""
    silent = logged(tmp_path / "silent", 50.0, ignition=False)
    fit = silent.calibration
    assert fit is not None
    assert not {item.row.key for item in fit.unknowns} & set(BEST_SPARK)
    wild = logged(tmp_path / "wild", 50.0, slope=1.0)
    assert wild.calibration is not None
    assert not [item for item in wild.diagnoses if item.figure == "ignition_advance"]
    assert wild.calibration.departures("p75")
    figures = {trace.figure for trace in wild.calibration.departures("p75")[0].traces}
    assert "ignition_advance" not in figures


@pytest.mark.parametrize("scale", [1.0, 1.35])
def test_a_channel_that_departs_alone_is_told_without_a_curve(tmp_path: Path, scale: float) -> None:
    """Air flow that is off by a third in one pull still gives a sheet, with what it lacks."""
    write(tmp_path, BUILD + _SETUPS + _SESSION)
    (tmp_path / "test-build" / "pulls").mkdir(exist_ok=True)
    for name, boost, factor in (("p80", 66.0, 1.0), ("p75", 71.0, scale)):
        power = 0.047 * _SPEEDS * (100 + boost) / 166
        flow = 4.4 * power * factor
        rows = zip(_SPEEDS, power, np.full_like(_SPEEDS, boost), flow, strict=True)
        table = "\n".join(",".join(f"{value:.2f}" for value in row) for row in rows)
        head = "engine speed [rpm],power [kW],boost [kPa],air flow [kg/h]\n"
        (tmp_path / "test-build" / "pulls" / f"{name}.csv").write_text(head + table + "\n", "utf-8")
    found = analyse(read_archive(tmp_path))["test-build"]
    assert all(misfit_is_told(item.figure) for item in found.diagnoses)


def misfit_is_told(figure: str) -> bool:
    """Whether a figure has a name that readers know."""
    return figure in {"boost", "power", "mass_flow", "fuel_mass_flow", "charge_temperature"}
