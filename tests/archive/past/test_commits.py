"""Commits from git: what they tell, and in words why they cannot."""

from __future__ import annotations

import datetime
import subprocess
from pathlib import Path

import pytest

from specgen.archive.past.blobs import blob_id, blobs
from specgen.archive.past.commits import commits, tree_of
from specgen.archive.past.git import NoHistory
from tests.archive.repository import begun, commit, commit_all, git


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A repository whose archive lies in a folder of it, with three commits."""
    root = begun(tmp_path / "repository")
    commit(root, "builds/heron/build.yaml", "1", "Measure the bore", "2024-03-01")
    commit(root, "builds/gull/build.yaml", "2", "Take in the gull", "2024-03-02")
    commit(root, "builds/heron/pulls/1.csv", "3", "Add a pull: \x1f and äöü", "2025-05-14")
    return root


def why_not(folder: Path) -> str:
    """What is said where there is no history."""
    with pytest.raises(NoHistory) as told:
        commits(folder)
    return str(told.value)


def test_commits_have_day_subject_and_files(repository: Path) -> None:
    """Oldest first, each with its day, what was said, and each file by path and bytes."""
    found = commits(repository / "builds")
    assert [(it.date, it.subject) for it in found[:2]] == [
        (datetime.date(2024, 3, 1), "Measure the bore"),
        (datetime.date(2024, 3, 2), "Take in the gull"),
    ]
    assert "\x1f" not in found[2].subject, "nothing that a terminal obeys"
    assert found[2].subject.endswith("and äöü")
    (change,) = found[2].changes
    assert (change.path, change.before) == ("heron/pulls/1.csv", "heron/pulls/1.csv")
    assert change.blob == blob_id(b"3")


def test_files_elsewhere_are_not_told(repository: Path) -> None:
    """Only what lies in the archive's folder."""
    commit(repository, "README.md", "x", "Say what this is", "2025-06-01")
    assert len(commits(repository / "builds")) == 3


def test_a_rename_and_an_end_are_told(repository: Path) -> None:
    """A folder that was moved is told with both paths; a file that is gone has no bytes."""
    git(repository, "mv", "builds/heron", "builds/egret")
    commit_all(repository, "Another name")
    git(repository, "rm", "-q", "builds/gull/build.yaml")
    commit_all(repository, "Sold")
    renamed, gone = commits(repository / "builds")[-2:]
    assert {(it.before, it.path) for it in renamed.changes} == {
        ("heron/build.yaml", "egret/build.yaml"),
        ("heron/pulls/1.csv", "egret/pulls/1.csv"),
    }
    assert [(it.path, it.blob) for it in gone.changes] == [("gull/build.yaml", None)]


def test_a_merge_is_one_change(repository: Path) -> None:
    """What a branch did stands once, with the day on which it came in."""
    git(repository, "switch", "-q", "-c", "side")
    commit(repository, "builds/heron/build.yaml", "5", "Try", "2025-06-01")
    commit(repository, "builds/heron/build.yaml", "6", "Try again", "2025-06-02")
    git(repository, "switch", "-q", "main")
    commit(repository, "builds/gull/build.yaml", "7", "Meanwhile", "2025-06-03")
    git(repository, "merge", "-q", "--no-ff", "-m", "Bring it in", "side", day="2025-06-04")
    last = commits(repository / "builds")[-1]
    assert last.subject == "Bring it in"
    assert [(it.path, it.blob) for it in last.changes] == [("heron/build.yaml", blob_id(b"6"))]
    assert len(commits(repository / "builds")) == 5


def test_odd_texts_are_read(repository: Path) -> None:
    """A subject like the mark between commits, a path with a space and a quote, no text at all."""
    commit(repository, 'builds/odd "name"/build.yaml', "8", "commit", "2025-06-01")
    git(repository, "commit", "-q", "--allow-empty", "--allow-empty-message", "-m", "")
    found = commits(repository / "builds")
    assert [it.subject for it in found][-1:] == ["commit"]
    assert found[-1].changes[0].path == 'odd "name"/build.yaml'


def said(folder: Path, *arguments: str, given: str = "") -> str:
    """What git prints."""
    command = ["git", "-C", str(folder), *arguments]
    done = subprocess.run(command, input=given, capture_output=True, text=True, check=True)
    return done.stdout.strip()


@pytest.mark.parametrize(
    "stamp", ["99999999999999 +0000", "-1 +0000", "0 +9999", "x", "9e99 +0000"]
)
def test_days_that_no_calendar_has(repository: Path, stamp: str) -> None:
    """A commit that another program wrote: its day is told or left out, never raised about."""
    head = said(repository, "rev-parse", "HEAD")
    (repository / "builds" / "heron" / "build.yaml").write_text("3", "utf-8")
    git(repository, "add", "-A")
    who = f"nobody <nobody@example.org> {stamp}"
    tree = said(repository, "write-tree")
    text = f"tree {tree}\nparent {head}\nauthor {who}\ncommitter {who}\n\nOdd\n"
    made = said(repository, "hash-object", "-t", "commit", "-w", "--literally", "--stdin",
                given=text)  # fmt: skip
    git(repository, "reset", "-q", "--soft", made)
    assert commits(repository / "builds")[-1].subject == "Odd"


def test_subjects_with_signs_that_nobody_sees(repository: Path) -> None:
    """What steers a terminal or parts an answer is written by its code, and parts nothing."""
    odd = "A \x1e\x1f\x1b[31m\x07\u202e subject"
    commit(repository, "builds/heron/build.yaml", "2", odd, "2025-06-01")
    assert commits(repository / "builds")[-1].subject == "A \\x1e\\x1f\\x1b[31m\\x07\\u202e subject"


def test_lost_objects_are_told_without_their_place(repository: Path, tmp_path: Path) -> None:
    """What git complains of names no folder of this machine."""
    (repository / ".git" / "objects").rename(repository / ".git" / "gone")
    assert str(tmp_path) not in why_not(repository / "builds")


def test_a_tree_has_the_files_of_a_revision(repository: Path) -> None:
    """By path from the archive's folder; links and what lies elsewhere are left out."""
    (repository / "builds" / "link.yaml").symlink_to("gull/build.yaml")
    commit_all(repository, "A link")
    assert tree_of(repository / "builds", "HEAD~1") == {
        "heron/build.yaml": blob_id(b"1"),
        "gull/build.yaml": blob_id(b"2"),
        "heron/pulls/1.csv": blob_id(b"3"),
    }
    assert "link.yaml" not in tree_of(repository / "builds", "HEAD")


@pytest.mark.parametrize("revision", ["nowhere", "--output=x", "HEAD:", ""])
def test_no_revision_is_told(repository: Path, revision: str) -> None:
    """What git does not know, or would take for an option, is told and does nothing."""
    if revision == "HEAD:":
        assert tree_of(repository / "builds", revision)  # a tree is one too
        return
    with pytest.raises(NoHistory):
        tree_of(repository / "builds", revision)


def test_bytes_are_read_by_their_ids(repository: Path) -> None:
    """Each once, whatever is in them; what git does not have is left out."""
    odd = "a\nb\0c missing\n"
    commit(repository, "builds/heron/note.csv", odd, "Odd bytes", "2025-06-01")
    wanted = [blob_id(b"1"), blob_id(odd.encode()), "0" * 40, blob_id(b"1")]
    found = dict(blobs(repository / "builds", wanted))
    assert found == {blob_id(b"1"): b"1", blob_id(odd.encode()): odd.encode()}


def test_a_repository_without_commits_says_so(tmp_path: Path) -> None:
    """One that was only begun."""
    git(tmp_path, "init", "-q")
    assert why_not(tmp_path) == "The git repository has no commit yet."


def test_no_repository_is_told(tmp_path: Path) -> None:
    """An archive outside any repository."""
    assert why_not(tmp_path) == "The archive is in no git repository."


def test_no_folder_gives_a_reason_without_its_place(tmp_path: Path) -> None:
    """A folder that is not there: no traceback, and no path of this machine."""
    told = why_not(tmp_path / "nowhere")
    assert told.startswith("Git could not tell")
    assert str(tmp_path) not in told


def test_a_shallow_clone_tells_nothing_and_names_the_cure(repository: Path, tmp_path: Path) -> None:
    """It would tell wrong days."""
    git(tmp_path, "clone", "-q", "--depth", "1", repository.as_uri(), "shallow")
    assert "git fetch --unshallow" in why_not(tmp_path / "shallow" / "builds")


def test_a_second_worktree_has_the_same_history(repository: Path, tmp_path: Path) -> None:
    """Also on a detached head."""
    git(repository, "worktree", "add", "-q", "--detach", str(tmp_path / "second"))
    assert len(commits(tmp_path / "second" / "builds")) == 3


def test_no_git_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without git the reason is that there is no git."""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert why_not(tmp_path) == "Git is not installed here."


def test_a_git_that_hangs_is_not_waited_for_long(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is given up, and the reason told."""
    program = tmp_path / "git"
    program.write_text("#!/bin/sh\nsleep 30\n", "utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/bin:/usr/bin")
    monkeypatch.setattr("specgen.archive.past.git._SECONDS", 0.2)
    assert why_not(tmp_path) == "Git could not be run (TimeoutExpired)."


def test_what_a_hook_sets_does_not_lead_astray(
    repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The repository is the archive's, whatever another one's hook says."""
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "another"))
    assert len(commits(repository / "builds")) == 3
