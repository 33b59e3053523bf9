"""What is refused as a target, and what is taken over."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.publish.delivery.manifest import MANIFEST, faults
from specgen.publish.delivery.targets import Refused, survey
from tests.publish.delivery.folders import publish, site, target_at, texts, write


@pytest.mark.parametrize(
    ("folder", "words"),
    [
        ("archive", "is the archive"),
        (".", "holds the archive"),
        ("archive/engine", "lies in the archive"),
        ("photographs", "was not published from here"),
        ("file.txt", "is a file"),
    ],
)
def test_a_wrong_target_is_refused_with_the_line(tmp_path: Path, folder: str, words: str) -> None:
    """Nothing is deleted, and the line to change is told."""
    files = {"archive/archive.yaml": "x", "photographs/1.jpg": "x", "file.txt": "x"}
    write(tmp_path, files)
    target = target_at(tmp_path / folder)
    target = type(target)(target.folder, {"the archive": tmp_path / "archive"}, target.line)
    with pytest.raises(Refused, match=words) as refused:
        survey(target)
    assert "Write site_dir: ../site" in str(refused.value)
    assert texts(tmp_path) == files


def test_the_home_folder_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not even an empty one."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    with pytest.raises(Refused, match="home"):
        survey(target_at(tmp_path))


def test_a_site_of_an_earlier_version_is_taken_over(tmp_path: Path) -> None:
    """It has no manifest; its scripts stay for one build, the rest is replaced."""
    target = tmp_path / "site"
    write(target, {"assets/specgen/specgen.js": "old", "index.html": "old", "builds/b.html": "old"})
    publish(target, site("1"))
    assert texts(target) == {**site("1"), "assets/specgen/specgen.js": "old"}
    assert faults(target) == []
    publish(target, site("1"))
    assert texts(target) == site("1")


def test_an_earlier_site_with_something_else_in_it_is_refused(tmp_path: Path) -> None:
    """What no site has at its top is somebody's."""
    target = tmp_path / "site"
    write(target, {"assets/specgen/specgen.js": "old", "index.html": "old", "thesis.doc": "mine"})
    with pytest.raises(Refused, match=r"thesis\.doc"):
        publish(target, site("1"))
    assert (target / "thesis.doc").read_text() == "mine"


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"format": 2}', "\x00"])
def test_a_damaged_manifest_is_refused(tmp_path: Path, text: str) -> None:
    """Then nobody knows what is ours."""
    target = tmp_path / "site"
    publish(target, site("1"))
    (target / MANIFEST).write_text(text)
    with pytest.raises(Refused, match="cannot be read"):
        survey(target_at(target))


@pytest.mark.parametrize(
    ("name", "text", "fault"),
    [
        ("index.html", None, "index.html is missing"),
        ("index.html", "x", "index.html was changed"),
        ("more.html", "x", "more.html is not in the manifest"),
    ],
)
def test_what_is_not_whole_is_seen(tmp_path: Path, name: str, text: str | None, fault: str) -> None:
    """Missing, changed and additional files are each named."""
    publish(tmp_path / "site", site("1"))
    file = tmp_path / "site" / name
    file.unlink() if text is None else file.write_text(text)
    assert faults(tmp_path / "site") == [fault]
    (tmp_path / "site" / MANIFEST).unlink()
    assert len(faults(tmp_path / "site")) == 1
