"""The belt of each pair: which lengths of the archive's list the tensioner takes up."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.archive.belts import belt_line
from tests.analysis.small import ARCHIVE, BUILD, SESSION, sheet

LAYOUT = """drive:
  crank_pulley: 205 mm
  blower_pulley: 80 mm
  belt: {profile: PK, ribs: 8, length: 1290 mm}
  layout:
    - {pulley: crank, x: 0 mm, y: 0 mm}
    - pulley: tensioner
      x: 100 mm
      y: 230 mm
      diameter: 76 mm
      side: outside
      travel_to: {x: 60 mm, y: 230 mm}
    - {pulley: blower, x: 0 mm, y: 400 mm}
"""
BUILT = BUILD.replace("drive: {crank_pulley: 205 mm, blower_pulley: 80 mm}\n", LAYOUT)
LISTED = ARCHIVE + "belt_lengths: [1240 mm, 1260 mm, 1280 mm, 1290 mm, 1300 mm, 1320 mm]\n"


def test_lengths_within_the_travel_are_named(tmp_path: Path) -> None:
    """Each length told as within lies between what both ends of the travel ask for."""
    made = sheet(tmp_path, BUILT + SESSION, archive=LISTED)
    for item in made.plan.pairs:
        belt = item.belt
        assert belt is not None
        assert belt.shortest is not None
        assert belt.longest is not None
        assert belt.shortest < belt.longest
        listed = [length.value for length in made.archive.settings.belt_lengths]
        wanted = [length for length in listed if belt.shortest <= length <= belt.longest]
        assert list(belt.within) == wanted
        line = belt_line(made.build.drive, item.pair.crank.value, item.pair.blower.value)
        assert line is not None
        assert belt.path == pytest.approx(line.length, rel=1e-12)
        if belt.fits:
            assert belt.travel == pytest.approx(line.travelled(1.29), abs=1e-9)
    assert any(item.belt and item.belt.within for item in made.plan.pairs)


def test_without_a_layout_nothing_is_told_of_belts(tmp_path: Path) -> None:
    """No layout recorded: no length is guessed."""
    assert all(item.belt is None for item in sheet(tmp_path).plan.pairs)
