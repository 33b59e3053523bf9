"""Measured points stand beside the estimate on the way of the air."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.judging.air_path import AirPath
from tests.analysis.small import BUILD, SESSION, sheet, write

_PULL = "pulls:\n      - {setup: p80, curve: pulls/one.csv}\n"
_HEADS = "engine speed [rpm],power [kW],boost [kPa],inlet pressure drop [kPa]"
_WARM = "".join(f",{place} temperature [degC]" for place in ("intake", "discharge", "charge"))
_LOGGED = f"""\
{_HEADS}{_WARM}
3000,140,62,1.0,29,120,96
4000,190,66,1.6,30,124,99
5000,240,69,2.4,31,129,103
6000,290,71,3.2,32,134,107
6400,285,71,3.6,33,138,110
"""
_LESS = "\n".join(line.rsplit(",", 4)[0] for line in _LOGGED.splitlines()) + "\n"


def path(folder: Path, table: str, session: str = SESSION) -> AirPath:
    """The way of the air of the small build with one logged pull."""
    head, _, _ = session.partition("pulls:")
    write(folder, BUILD + head + _PULL)
    (folder / "test-build" / "pulls").mkdir(exist_ok=True)
    (folder / "test-build" / "pulls" / "one.csv").write_text(table, encoding="utf-8")
    found = sheet(folder, BUILD + head + _PULL).air_path
    assert found is not None
    return found


def test_what_was_logged_stands_at_its_station(tmp_path: Path) -> None:
    """At 6000 rpm, by hand: 99.1 - 3.2, 99.1 + 71 kPa, and the three thermometers."""
    found = path(tmp_path, _LOGGED)
    outside, inlet, outlet, manifold = found.stations
    assert found.measured
    assert outside.pressure_read is None
    assert outside.temperature_read is None
    assert inlet.pressure_read is not None
    assert inlet.pressure_read.scalar == pytest.approx(95.9e3)
    assert outlet.pressure_read is None
    assert manifold.pressure_read is not None
    assert manifold.pressure_read.scalar == pytest.approx(170.1e3)
    read = [item.temperature_read for item in (inlet, outlet, manifold)]
    kelvin = [row.scalar for row in read if row is not None]
    assert kelvin == pytest.approx([305.15, 407.15, 380.15])
    for row in (inlet.pressure_read, manifold.pressure_read, *read):
        assert row is not None
        assert row.basis == "measured"
        assert row.expanded is not None
        assert row.at is not None


def test_a_barometer_is_needed_for_pressures(tmp_path: Path) -> None:
    """Without the air's pressure no absolute one is made up; thermometers need none."""
    silent = SESSION.replace("pressure: 99.1 kPa, barometer: station, ", "")
    found = path(tmp_path, _LOGGED, silent)
    assert all(item.pressure_read is None for item in found.stations)
    assert found.stations[2].temperature_read is not None


def test_nothing_logged_is_nothing_shown(tmp_path: Path) -> None:
    """A pull of power and boost alone has its boost on the way, a peak on paper nothing."""
    found = path(tmp_path / "a", _LESS)
    assert [bool(item.pressure_read) for item in found.stations] == [False, False, False, True]
    assert not any(item.temperature_read for item in found.stations)
    paper = sheet(tmp_path / "b").air_path
    assert paper is not None
    assert not paper.measured
