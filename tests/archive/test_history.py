"""History from git: what it tells, and in words why it cannot."""

from __future__ import annotations

import datetime
import os
import subprocess
import time
from pathlib import Path

import pytest

from specgen.archive.history import history


def git(folder: Path, *arguments: str, day: str = "2025-05-14") -> None:
    """Run git in a folder, as nobody in particular, on a given day."""
    stamp = f"{day}T12:00:00+00:00"
    names = {
        f"GIT_{who}_{what}": value
        for who in ("AUTHOR", "COMMITTER")
        for what, value in (("NAME", "nobody"), ("EMAIL", "nobody@example.org"), ("DATE", stamp))
    }
    alone = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    command = ["git", "-C", str(folder), *arguments]
    subprocess.run(command, check=True, capture_output=True, env=os.environ | names | alone)


def commit(folder: Path, name: str, text: str, subject: str, day: str) -> None:
    """Write a file and commit it."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", subject, day=day)


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A repository whose archive lies in a folder of it, with three commits."""
    root = tmp_path / "repository"
    root.mkdir()
    git(root, "init", "-q", "-b", "main")
    commit(root, "builds/heron/build.yaml", "1", "Measure the bore", "2024-03-01")
    commit(root, "builds/gull/build.yaml", "1", "Take in the gull", "2024-03-02")
    commit(root, "builds/heron/pulls/1.csv", "1", "Add a pull: \x1f and äöü", "2025-05-14")
    return root


def test_commits_of_a_file_and_of_a_folder(repository: Path) -> None:
    """A file has its own commits, a folder those of all in it; newest first, with their days."""
    found = history(repository / "builds", "heron/build.yaml")
    assert [(item.date, item.subject) for item in found.changes] == [
        (datetime.date(2024, 3, 1), "Measure the bore")
    ]
    assert found.missing is None
    assert len(found.changes[0].revision) == 10
    folder = history(str(repository / "builds"), "heron")
    assert [item.subject for item in folder.changes] == [
        "Add a pull: \\x1f and äöü", "Measure the bore",
    ]  # fmt: skip


def test_new_commits_are_seen(repository: Path) -> None:
    """What was asked once is asked again when the repository has moved on."""
    assert len(history(repository / "builds", "gull").changes) == 1
    commit(repository, "builds/gull/build.yaml", "2", "Correct the stroke", "2025-06-01")
    assert len(history(repository / "builds", "gull").changes) == 2


def test_one_call_for_a_whole_archive(repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second file costs no call of git any more."""
    history(repository / "builds", "gull")

    def refuse(*_arguments: object, **_options: object) -> None:
        raise AssertionError("git was called again")

    monkeypatch.setattr(subprocess, "run", refuse)
    assert len(history(repository / "builds", "heron").changes) == 2


def test_untracked_file(repository: Path) -> None:
    """A file in no commit says so."""
    assert history(repository / "builds", "ibis/build.yaml").missing == (
        "ibis/build.yaml is in no commit yet."
    )


def test_repository_without_commits(tmp_path: Path) -> None:
    """A repository that was only begun says so."""
    git(tmp_path, "init", "-q")
    assert history(tmp_path, "a").missing == "The git repository has no commit yet."


def test_no_repository(tmp_path: Path) -> None:
    """An archive outside any repository says so."""
    assert history(tmp_path, "a").missing == "The archive is in no git repository."


def test_no_folder(tmp_path: Path) -> None:
    """A folder that is not there gives a reason, no traceback."""
    missing = history(tmp_path / "nowhere", "a").missing
    assert missing is not None
    assert missing.startswith("Git could not tell")


def test_shallow_clone(repository: Path, tmp_path: Path) -> None:
    """A shallow clone would tell wrong days, so it tells none and names the cure."""
    address = repository.as_uri()
    git(tmp_path, "clone", "-q", "--depth", "1", address, "shallow")
    found = history(tmp_path / "shallow" / "builds", "heron")
    assert found.changes == ()
    assert found.missing is not None
    assert "git fetch --unshallow" in found.missing


def test_worktree(repository: Path, tmp_path: Path) -> None:
    """A second worktree has the same history."""
    git(repository, "worktree", "add", "-q", str(tmp_path / "second"))
    assert len(history(tmp_path / "second" / "builds", "heron").changes) == 2


def test_no_git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without git the reason is that there is no git."""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert history(tmp_path, "a").missing == "Git is not installed here."


def test_git_directory_of_a_hook_is_not_followed(
    repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a hook of another repository sets does not lead astray."""
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "another"))
    assert len(history(repository / "builds", "heron").changes) == 2


def test_subjects_with_signs_that_nobody_sees(repository: Path) -> None:
    """What steers a terminal or parts an answer is written by its code, and parts nothing."""
    odd = "A \x1e\x1f\x1b[31m\x07\u202e subject"
    commit(repository, "builds/heron/build.yaml", "2", odd, "2025-06-01")
    found = history(repository / "builds", "heron/build.yaml")
    assert [item.subject for item in found.changes] == [
        "A \\x1e\\x1f\\x1b[31m\\x07\\u202e subject", "Measure the bore",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "stamp", ["99999999999999 +0000", "-1 +0000", "0 +9999", "x", "9e99 +0000"]
)
def test_days_that_no_calendar_has(repository: Path, stamp: str) -> None:
    """A commit that another program wrote: its day is told or left out, never raised about."""
    head = subprocess.run(
        ["git", "-C", str(repository), "rev-parse", "HEAD", "HEAD^{tree}"],
        capture_output=True, text=True, check=True,
    ).stdout.split()  # fmt: skip
    (repository / "builds" / "heron" / "build.yaml").write_text("3")
    git(repository, "add", "-A")
    tree = subprocess.run(
        ["git", "-C", str(repository), "write-tree"], capture_output=True, text=True, check=True
    ).stdout.strip()
    who = f"nobody <nobody@example.org> {stamp}"
    text = f"tree {tree}\nparent {head[0]}\nauthor {who}\ncommitter {who}\n\nOdd\n"
    made = subprocess.run(
        ["git", "-C", str(repository), "hash-object", "-t", "commit", "-w", "--literally",
         "--stdin"], input=text, capture_output=True, text=True, check=True,
    ).stdout.strip()  # fmt: skip
    git(repository, "reset", "-q", "--soft", made)
    found = history(repository / "builds", "heron/build.yaml")
    assert found.missing is None
    assert "Odd" in [item.subject for item in found.changes]


def test_a_git_that_hangs_is_waited_for_once(
    repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each build then says why it has no history, without waiting again."""
    (tmp_path / "bin").mkdir()
    fake = tmp_path / "bin" / "git"
    fake.write_text("#!/bin/sh\nexec sleep 100\n")
    fake.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:{os.environ['PATH']}")
    monkeypatch.setattr("specgen.archive.history._SECONDS", 0.5)
    commit_of_another = repository / "builds"
    began = time.monotonic()
    for name in ("heron", "gull", "tern"):
        assert "TimeoutExpired" in str(history(commit_of_another, name).missing)
    assert time.monotonic() - began < 5


def test_no_place_on_this_machine_is_told(repository: Path, tmp_path: Path) -> None:
    """What git complains of is shown on a page, so a folder's name is no part of it."""
    (repository / ".git" / "objects").rename(repository / ".git" / "gone")
    (repository / ".git" / "HEAD").write_text("ref: refs/heads/main\n")
    told = history(repository / "builds", "heron").missing
    assert told
    assert str(tmp_path) not in told
