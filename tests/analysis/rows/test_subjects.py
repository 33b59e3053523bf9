"""The way from a rule to what was written: every path of every table leads to a field."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.analysis.rows.scope import Stated
from specgen.analysis.rows.subjects import Subjects, check_paths
from specgen.analysis.tables.engine import ENGINE
from specgen.analysis.tables.pull import PULL
from specgen.analysis.tables.session import SESSION
from specgen.analysis.tables.setup import SETUP
from specgen.archive.archive import read_archive

DEMO = Path(__file__).parents[3] / "builds"
STATED = [rule for table in (ENGINE, SETUP, SESSION, PULL) for rule in table
          if isinstance(rule, Stated)]  # fmt: skip


def test_every_path_of_every_table_is_written_somewhere() -> None:
    """Each path leads to a field, and nearly each to a value in a demo build: none is dead."""
    archive = read_archive(DEMO)
    met = set()
    for build in archive.builds.values():
        name = build.induction.blower
        for setup in build.setups or (None,):
            for session in build.sessions or (None,):
                found = Subjects(
                    archive.settings, build, archive.blowers[name.value] if name else None,
                    session=session, setup=setup,
                )  # fmt: skip
                met |= {rule.key for rule in STATED if found.given(rule.path)}
    for rule in STATED:
        check_paths(rule.path)
    assert {rule.key for rule in STATED} - met == {"volumetric_efficiency"}  # no demo states it


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("build.engine.friction_share", 'is called "friction_share"'),
        ("engine.bore", 'is called "engine"'),
        ("setup.crank_pulley|build.drive.crank", 'is called "crank"'),
        ("build.engine", "no single value"),
        ("build.engine.bore.value", 'is called "value"'),
    ],
)
def test_a_path_that_no_field_has_is_refused_at_once(path: str, told: str) -> None:
    """A rule with a misspelled path cannot be made, and its message names the step."""
    with pytest.raises(ValueError, match=told):
        Stated("bore", "bore", path)


def test_the_nearer_subject_stands_before_the_farther() -> None:
    """What a scope has of its own is not overwritten by what lies further up."""
    archive = read_archive(DEMO)
    first, second = list(archive.builds.values())[:2]
    both = Subjects(build=first).or_else(Subjects(archive.settings, second))
    assert (both.build, both.settings, both.pull) == (first, archive.settings, None)
