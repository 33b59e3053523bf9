"""A repository for tests, written by nobody in particular on given days."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path


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


def begun(folder: Path) -> Path:
    """Begin a repository in a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    git(folder, "init", "-q", "-b", "main")
    return folder


def commit_all(folder: Path, subject: str, day: str = "2025-05-14") -> None:
    """Commit whatever lies there."""
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", subject, day=day)


def commit(folder: Path, name: str, text: str, subject: str, day: str) -> None:
    """Write a file and commit it."""
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    commit_all(folder, subject, day)
