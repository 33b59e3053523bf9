"""The commits behind a file, as git tells them; or in words, why there are none.

The only room that runs git. It asks once for a whole archive, writes nothing, and never uses
the network. Dates that matter stand in the files; history only adds how they came about.
"""

from __future__ import annotations

import dataclasses
import datetime
import functools
import os
import subprocess
from collections.abc import Collection
from pathlib import Path

from specgen.archive.model.build import Change, History

_RECORD, _FIELD = "\x1e", "\x1f"
#: Git is asked only for what lies on this disk already: nothing is fetched, no lock is taken.
_QUIET = {
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "none",
    "GIT_TERMINAL_PROMPT": "0",
    "LC_ALL": "C",
}
#: What a hook sets, and what would lead git to another repository than the archive's.
_ELSEWHERE = frozenset(
    f"GIT_{name}"
    for name in ("DIR", "WORK_TREE", "INDEX_FILE", "PREFIX", "OBJECT_DIRECTORY", "COMMON_DIR")
)
_SECONDS = 60


class _NoHistory(Exception):  # noqa: N818 - its text is shown to readers, it is no failure
    """Git has no history to give; the text says why."""


def history(root: str | Path, file: str, hidden: Collection[str] = ()) -> History:
    """Give the commits that touched a file, newest first.

    `file` is relative to the archive with forward slashes; a folder stands for all in it. What was
    said of a commit is left out where one of the `hidden` words stands in it.
    Never raises: `missing` says why there are no commits.
    """
    folder = Path(root).resolve()
    try:
        changes = _changes(folder, _edition(folder))
    except _NoHistory as reason:
        return History(missing=str(reason))
    own = tuple(
        _without(change, hidden)
        for change, files in changes
        if any(name == file or name.startswith(f"{file}/") for name in files)
    )
    return History(own) if own else History(missing=f"{file} is in no commit yet.")


def _without(change: Change, hidden: Collection[str]) -> Change:
    """Give a change without its subject where that tells what is private."""
    subject = change.subject.casefold()
    if any(word.casefold() in subject for word in hidden):
        return dataclasses.replace(change, subject="A change whose description is not published")
    return change


def _edition(folder: Path) -> tuple[str, int]:
    """Tell one state of the repository from the next, without asking git.

    The log that git keeps of where HEAD was grows with each commit, checkout and reset; where
    there is none, the text of HEAD must do.
    """
    for parent in (folder, *folder.parents):
        git = parent / ".git"
        try:
            if git.is_file():  # a worktree: the file names the real folder
                git = parent / git.read_text(encoding="utf-8").partition("gitdir:")[2].strip()
            if git.is_dir():
                log = git / "logs" / "HEAD"
                size = log.stat().st_mtime_ns if log.is_file() else 0
                return (git / "HEAD").read_text(encoding="utf-8"), size
        except (OSError, ValueError):
            return "", 0
    return "", 0


@functools.lru_cache(maxsize=8)
def _changes(folder: Path, _state: tuple[str, int]) -> tuple[tuple[Change, frozenset[str]], ...]:
    """Give all commits below a folder with the files they touched, newest first."""
    answer = _git(folder, "rev-parse", "--is-shallow-repository")
    if answer.strip() == "true":
        raise _NoHistory(
            "This is a shallow clone, in which git knows the last commits only; "
            "`git fetch --unshallow` brings the others."
        )
    layout = f"--format={_RECORD}%h{_FIELD}%as{_FIELD}%s"
    text = _git(
        folder, "log", layout, "--name-only", "--relative", "--no-renames", "--no-show-signature",
        "--", ".",
    )  # fmt: skip
    return tuple(_change(record) for record in text.split(_RECORD)[1:])


def _change(record: str) -> tuple[Change, frozenset[str]]:
    head, _, names = record.partition("\n")
    revision, date, subject = head.split(_FIELD, 2)
    change = Change(revision, datetime.date.fromisoformat(date), subject)
    return change, frozenset(name for name in names.split("\n") if name)


def _git(folder: Path, *arguments: str) -> str:
    """Run git in a folder and give what it prints; _NoHistory says why it cannot."""
    kept = {key: value for key, value in os.environ.items() if key not in _ELSEWHERE}
    same_everywhere = ("-c", "core.quotepath=false", "-c", "core.abbrev=10")
    command = ["git", "--no-pager", *same_everywhere, "-C", str(folder), *arguments]
    try:
        done = subprocess.run(
            command, capture_output=True, env=kept | _QUIET, timeout=_SECONDS, check=False
        )
    except FileNotFoundError:
        raise _NoHistory("Git is not installed here.") from None
    except (OSError, subprocess.TimeoutExpired) as error:
        raise _NoHistory(f"Git could not be run ({type(error).__name__}).") from None
    if done.returncode == 0:
        return done.stdout.decode("utf-8", errors="replace")
    raise _NoHistory(_reason(done.stderr.decode("utf-8", errors="replace")))


def _reason(complaint: str) -> str:
    """Put git's complaint in words."""
    if "not a git repository" in complaint:
        return "The archive is in no git repository."
    if "does not have any commits" in complaint:
        return "The git repository has no commit yet."
    if "dubious ownership" in complaint:
        return "Git does not trust this folder, since somebody else owns it."
    first = complaint.strip().splitlines()[:1]
    return f"Git could not tell ({first[0] if first else 'no reason given'})."
