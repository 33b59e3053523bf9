"""Each limit stands against each setup: as measured, or as estimated where nothing was."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.judging.reach import planned_excesses
from specgen.analysis.planning.room import rooms_of
from specgen.analysis.sheet import Sheet
from tests.analysis.small import BUILD, SESSION, sheet

_LIMITS = """\
limits:
  {power: 300 kW, torque: 500 N m, boost: 60 kPa, charge_temperature: 90 degC, belt_speed: 50 m/s,
   injector_duty: 85 %}
"""
_PLANNED = "  - {id: p75, blower_pulley: 75 mm, fuel: petrol-98}\n"
_NAMES = {"Power", "Torque", "Boost", "Charge temperature", "Blower speed", "Belt speed",
          "Injector duty"}  # fmt: skip


@pytest.fixture
def limited(tmp_path: Path) -> Sheet:
    """A measured and a planned setup under every limit."""
    return sheet(tmp_path, BUILD + _PLANNED + _LIMITS + SESSION)


def test_every_limit_meets_every_setup(limited: Sheet) -> None:
    """Seven limits, two setups; what was measured counts as measured, the rest as estimated."""
    found = {(item.title, item.planned): item.value for item in limited.every_limit}
    assert {title for title, _ in found} == _NAMES
    assert len(found) == 2 * len(_NAMES)
    assert found["Power", False].basis != "estimated"
    assert found["Charge temperature", False].basis == "estimated"
    assert found["Torque", True].basis == "estimated"


def test_a_planned_torque_counts_at_its_peak(limited: Sheet) -> None:
    """The highest torque is not at the highest speed, and is what a limit is about."""
    planned = limited.setups[1].rows
    torque = next(it for it in limited.every_limit if it.planned and it.title == "Torque").value
    assert torque.scalar == pytest.approx(planned["estimated_torque"].curve.max())
    assert torque.scalar > planned["torque_at_top"].scalar


def test_the_ladder_tells_of_any_limit(limited: Sheet) -> None:
    """A planned step's belt and torque are told of where they go beyond, as its boost is."""
    names = {name for name, _ in planned_excesses(limited, limited.setups[1])}
    assert {"boost", "belt speed"} <= names


def test_nearest_are_one_of_each_kind(limited: Sheet) -> None:
    """Beside a sheet's bars each limit stands once for what was tested and once for plans."""
    kinds = [(item.title, item.planned) for item in limited.limits]
    assert len(kinds) == len(set(kinds))
    shares = [item.share for item in limited.limits]
    assert shares == sorted(shares, reverse=True)


def test_a_belts_grip_is_a_limit_of_each_setup(tmp_path: Path) -> None:
    """Where tension and ribs are known, all of the grip is what a setup stays below."""
    belt = "blower_pulley: 80 mm, belt: {ribs: 8, tension: 700 N}}"
    build = BUILD.replace("blower_pulley: 80 mm}", belt)
    found = sheet(tmp_path, build + _PLANNED + _LIMITS + SESSION)
    grips = [item for item in found.every_limit if item.title == "Belt grip"]
    assert [item.planned for item in grips] == [False, True]
    assert grips[0].share < grips[1].share
    assert grips[0].limit.scalar == 1.0
    assert "belt grip" in {name for name, _ in planned_excesses(found, found.setups[1])}
    slack = sheet(tmp_path / "b", build.replace("700 N", "150 N") + _PLANNED + _LIMITS + SESSION)
    assert "grips nothing" in slack.setups[1].rows["grip_used"].reason


def test_a_plan_knows_the_belts_speed_too(tmp_path: Path) -> None:
    """Seven limits of a planned pair, the belt's speed among them."""
    found = sheet(tmp_path, BUILD + _PLANNED + _LIMITS + SESSION)
    titles = {room.title for room in rooms_of(found, found.setups[1])}
    assert titles >= _NAMES
