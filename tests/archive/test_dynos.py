"""A dyno of the settings: what a session that names it takes from there."""

from __future__ import annotations

from pathlib import Path

from tests.archive.cases import HERE, read_case


def test_a_session_takes_what_the_settings_say_of_its_dyno(tmp_path: Path) -> None:
    """Kind and measuring point come from there, figures where the session says none itself."""
    sessions = read_case(HERE / "good" / "dyno-named", tmp_path).builds["heron"].sessions
    dynos = [session.dyno for session in sessions]
    assert [(it.kind.value, it.measured_at.value) for it in dynos] == [("hub", "hub")] * 2
    assert [session.figures.state for session in sessions] == ["observed", "corrected"]
    named = dynos[0].named
    assert named is not None
    assert named.title is not None
    assert named.title.value == "Hub dyno, hall 2"
