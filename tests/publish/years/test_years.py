"""The archive's years: every visit counted once, and only like set beside like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.publish.years.page import years_page
from specgen.publish.years.results import (
    Like,
    OfYears,
    YearCount,
    YearResult,
    best_per_volume,
    best_power,
    counts_of,
    results_of,
)

LIKE = Like("lobe blower", "at the flywheel", "observed")
ONE = YearResult(2025, "a", "A", "p80", LIKE, 200e3, 4e3, 80e6, 2e6)


def test_visits_and_pulls_are_those_of_the_files(
    archive: Archive, sheets: Mapping[str, Sheet]
) -> None:
    """The sums over all years are what the archive has, withdrawn sessions and pulls aside."""
    counts = [one for sheet in sheets.values() for one in counts_of(sheet)]
    sessions = [it for build in archive.builds.values() for it in build.sessions
                if it.withdrawn is None]  # fmt: skip
    assert sum(it.sessions for it in counts) == len(sessions)
    pulls = [pull for it in sessions for pull in it.pulls if pull.withdrawn is None]
    assert sum(it.pulls for it in counts) == len(pulls)


def test_a_year_has_the_best_pull_of_each_build(sheets: Mapping[str, Sheet]) -> None:
    """A build's highest power over all its years is the one that its sheet leads with."""
    for sheet in sheets.values():
        found = results_of(sheet)
        if sheet.best is not None:
            assert max(it.power for it in found) == sheet.best.rows["power"].scalar, sheet.id
        keys = [(it.year, it.like) for it in found]
        assert len(keys) == len(set(keys))


def test_what_the_margin_does_not_tell_apart_is_level() -> None:
    """5 kW less with margins of 4 and 4 kW is level, 6 kW less is not: sqrt(32) = 5.66."""
    near = replace(ONE, build="b", power=195e3)
    far = replace(ONE, build="c", power=194e3)
    assert best_power([far, near, ONE]) == [ONE, near]


def test_without_a_volume_there_is_no_power_for_it() -> None:
    """A build whose volume is not known is left out there, and stays where power counts."""
    bare = replace(ONE, build="b", per_volume=None, power=300e3)
    assert best_per_volume([bare, ONE]) == [ONE]
    assert best_power([bare, ONE]) == [bare]


def test_unlike_results_have_lines_of_their_own() -> None:
    """Measured elsewhere, or in other air, nothing is set beside it."""
    hub = replace(ONE, build="b", like=replace(LIKE, place="at the wheel hubs"), power=900e3)
    page = years_page([OfYears((ONE, hub), (YearCount(2025, "a", 1, 2),))], "metric", folders=True)
    assert page.count("200") == page.count("900") > 0
    assert "level with it" not in page


def test_an_archive_without_tests_says_so() -> None:
    """No year, and a sentence that tells what begins one."""
    assert "Nothing was tested yet" in years_page([], "metric", folders=True)


def test_a_withdrawn_build_holds_no_best(sheets: Mapping[str, Sheet]) -> None:
    """Its page stays; no year names it."""
    for sheet in sheets.values():
        assert (results_of(sheet) == ()) == (sheet.best is None or bool(sheet.build.withdrawn))
