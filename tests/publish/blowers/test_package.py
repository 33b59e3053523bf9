"""The blower's page: pairs by ratio with speeds beyond the limit in words, results best first."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.planning.package import SPEEDS, PlainEngine, pair_speeds, sizes_around
from specgen.publish.blowers.pages import blower_page
from specgen.publish.blowers.runs import runs_of
from specgen.publish.store.shelf import Shelf
from specgen.publish.store.store import Store
from tests.analysis.small import BLOWER, BUILD, SESSION, sheet
from tests.publish.pages import text_of

PACKAGE = BLOWER.replace(
    "pulleys: [85 mm, 80 mm]", "ribs: 8\npulleys: [85 mm, 80 mm]\ncrank_pulleys: [205 mm]"
)
TWO = (
    (BUILD + "  - {id: p85, blower_pulley: 85 mm, fuel: e85}\n" + SESSION).rstrip()
    + """
      - {setup: p85, peaks: {power: 320 kW at 6400 rpm, boost: 60 kPa}}
"""
)


def test_pairs_stand_by_ratio_with_their_speeds(tmp_path: Path) -> None:
    """205 over 80 mm on the pitch line is 209/84; 6 000 rpm turn the rotors at that many."""
    blower = sheet(tmp_path, TWO, PACKAGE).blower
    assert blower is not None
    first, last = pair_speeds(blower)
    assert (first.blower.text, last.blower.text) == ("85 mm", "80 mm")
    assert last.ratio == pytest.approx(209 / 84, rel=1e-12)
    assert last.nominal == pytest.approx(205 / 80, rel=1e-12)
    assert last.rotors[SPEEDS.index(100.0)] == pytest.approx(100 * 209 / 84, rel=1e-12)


def test_the_page_says_what_is_beyond_and_what_it_gave(tmp_path: Path) -> None:
    """At 7 000 rpm with a limit of 17 000: beyond in words; the best result first, with its way."""
    made = sheet(tmp_path, TWO, PACKAGE.replace("18000 rpm", "17000 rpm"))
    blower = made.blower
    assert blower is not None
    runs = runs_of(made)
    page = blower_page(made.archive, blower, runs, "metric", folders=True, edit="")
    text = text_of(page).replace("\u202f", " ")
    assert "17 420 rpm, beyond" in text
    gave = text.partition("What it gave")[2]
    assert gave.index("Test build, p85") < gave.index("Test build, p80")
    assert "Power at the flywheel" in text
    for words in ("Before ordering", "PK profile with 8 ribs", "6 × 850 cm³/min", "local law"):
        assert words in text, words


def test_a_plain_engine_has_less_boost_when_larger_and_more_with_ratio(tmp_path: Path) -> None:
    """Boost falls with the engine's size and rises with the drive's ratio."""
    made = sheet(tmp_path, TWO, PACKAGE)
    assert made.blower is not None
    plain = PlainEngine(made.archive, made.blower)
    small, large, faster = plain.boost(2.5e-3, 2.4), plain.boost(3e-3, 2.4), plain.boost(3e-3, 2.6)
    assert small is not None
    assert large is not None
    assert faster is not None
    assert small > large
    assert faster > large
    assert len(sizes_around([2.9e-3], None)) == 4


def test_a_page_off_the_shelf_is_the_page_that_would_be_made(tmp_path: Path) -> None:
    """What is kept of the plain engine serves the same blower only: another size, another page."""
    shelf = Shelf(Store(tmp_path / "store"))
    for number, package in enumerate((PACKAGE, PACKAGE, PACKAGE.replace("0.9 L", "0.8 L"))):
        folder = tmp_path / str(number)
        folder.mkdir()
        made = sheet(folder, TWO, package)
        assert made.blower is not None
        given = made.archive, made.blower, runs_of(made), "metric"
        kept = blower_page(*given, folders=True, edit="", shelf=shelf)  # type: ignore[arg-type]
        assert kept == blower_page(*given, folders=True, edit="")  # type: ignore[arg-type]
