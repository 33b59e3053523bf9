"""Good archives are silent; each bad one tells exactly what somebody read and accepted."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.findings import CODES, standing
from tests.archive.cases import BAD, GOOD, expected, read_case, told


def test_base_is_silent(tmp_path: Path) -> None:
    """The archive under all cases has no finding of its own."""
    assert told(read_case(None, tmp_path)) == "Nothing wrong was found.\n"


@pytest.mark.parametrize("case", GOOD, ids=lambda case: case.name)
def test_good_archive_is_silent(case: Path, tmp_path: Path) -> None:
    """A good archive has no finding that is not accepted, and all its builds are there."""
    archive = read_case(case, tmp_path)
    assert told(archive).startswith("Nothing wrong was found")
    assert standing(archive.findings) == ()
    assert {path.parent.name for path in case.glob("*/build.yaml")} <= set(archive.builds)


@pytest.mark.parametrize("case", BAD, ids=lambda case: case.name)
def test_bad_archive_tells_what_was_accepted(case: Path, tmp_path: Path) -> None:
    """A bad archive tells what its expected.txt says; `tests.archive.accept` renews it."""
    assert told(read_case(case, tmp_path)) == expected(case)


@pytest.mark.parametrize("case", BAD, ids=lambda case: case.name)
def test_findings_come_in_order_and_point_into_their_files(case: Path, tmp_path: Path) -> None:
    """Findings are sorted by place, and each place exists in the file it names."""
    archive = read_case(case, tmp_path)
    places = [item.place for item in archive.findings]
    assert places == sorted(places)
    for place in places:
        lines = archive.sources.get(place.file, "").split("\n")
        assert 1 <= place.line <= len(lines)
        assert 1 <= place.column <= len(lines[place.line - 1]) + 1


@pytest.mark.parametrize("case", BAD, ids=lambda case: case.name)
def test_what_has_an_error_is_left_out(case: Path, tmp_path: Path) -> None:
    """No build or blower of the archive stands in a folder or file with an error."""
    archive = read_case(case, tmp_path)
    faulty = {item.place.file for item in archive.findings if item.severity == "error"}
    folders = {file.partition("/")[0] for file in faulty}
    assert not folders & set(archive.builds)
    assert not faulty & {blower.place.file for blower in archive.blowers.values()}
    for build in archive.builds.values():
        assert build.induction.blower is None or build.induction.blower.value in archive.blowers


def test_every_code_is_seen() -> None:
    """Each code of the table stands in some case's expected text, and no case is empty."""
    texts = [expected(case) for case in BAD]
    unseen = [code for code in CODES if not any(f"[{code}]" in text for text in texts)]
    assert unseen == ["not-made"], "which no check of files can find"
    assert len(BAD) >= 40
    assert all(" [" in text for text in texts)


def test_every_remedy_is_written_out() -> None:
    """No expected text has an empty half, a Python word, or the name of a class in it."""
    python = re.compile(r"\b(None|True|False|dict|str|float|NoneType|nan)\b|<\w|\bat 0x")
    for case in BAD:
        for line in expected(case).splitlines():
            assert line.strip() not in ("expected:", "write:"), case.name
            assert not python.search(line.replace("!!str", "")), case.name
