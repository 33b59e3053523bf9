"""A published folder held against one that was just made: every byte, but for history."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.publish.delivery import manifest
from specgen.publish.delivery.verifying import verified

GIT, NONE = "<ol><li>1 May 2025</li></ol>", "<p>After</p>"


def sealed(folder: Path, history: str = "git", **files: str) -> Path:
    """A folder with these files and its manifest."""
    folder.mkdir()
    for name, text in files.items():
        (folder / f"{name}.html").write_text(text)
    manifest.write(manifest.of_folder(folder, history=history), folder / manifest.MANIFEST)
    return folder


def test_the_same_bytes_are_verified(tmp_path: Path) -> None:
    """Nothing differs, and the files are counted."""
    found = verified(sealed(tmp_path / "a", x="1", y="2"), sealed(tmp_path / "b", x="1", y="2"))
    assert (found.files, found.differences, found.note) == (2, (), "")


def test_each_difference_is_named(tmp_path: Path) -> None:
    """A file that differs, is missing, or is made no more."""
    found = verified(sealed(tmp_path / "a", x="12", y="2"), sealed(tmp_path / "b", x="13", z="2"))
    assert found.differences == (
        "x.html differs from byte 1 on", "y.html is made no more", "z.html is missing",
    )  # fmt: skip


def test_a_file_that_was_changed_after_it_was_published(tmp_path: Path) -> None:
    """One flipped byte is found, and what somebody put there."""
    published, made = sealed(tmp_path / "a", x="12"), sealed(tmp_path / "b", x="12")
    (published / "x.html").write_text("02")
    (published / "more.html").write_text("")
    assert set(verified(published, made).differences) == {
        "x.html was changed", "x.html differs from byte 0 on", "more.html is not in the manifest",
    }  # fmt: skip
    assert "more" not in str(verified(published, made, keep=("more.html",)).differences)


def test_only_pages_may_differ_without_git(tmp_path: Path) -> None:
    """The manifest says what told their history; data is compared all the same."""
    published = sealed(tmp_path / "a", page=GIT)
    made = sealed(tmp_path / "b", "Git is not here.", page=NONE)
    found = verified(published, made)
    assert found.differences == ()
    assert "Git is not here." in found.note
    for folder, text in ((published, "1"), (made, "2")):
        (folder / "sheet.json").write_text(text)
        told = "git" if folder == published else "Git is not here."
        manifest.write(manifest.of_folder(folder, history=told), folder / manifest.MANIFEST)
    assert verified(published, made).differences == ("sheet.json differs from byte 0 on",)


def test_told_alike_pages_are_compared_too(tmp_path: Path) -> None:
    """A page that tells other commits differs."""
    published = sealed(tmp_path / "a", page=GIT)
    assert verified(published, sealed(tmp_path / "b", page=GIT.replace("May", "June"))).differences


def test_a_folder_without_a_manifest_cannot_be_verified(tmp_path: Path) -> None:
    """Who copied a site without its hidden files is told which one is missing."""
    made = sealed(tmp_path / "b", x="1")
    with pytest.raises(FileNotFoundError):
        verified(tmp_path, made)


def test_the_first_manifests_can_still_be_read(tmp_path: Path) -> None:
    """They did not say what told their history."""
    folder = sealed(tmp_path / "a", x="1")
    file = folder / manifest.MANIFEST
    file.write_text(file.read_text().replace(' "history": "git",\n', ""))
    found = manifest.read(file)
    assert found is not None
    assert found.history == ""
