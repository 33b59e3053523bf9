"""The commits behind a file, as git tells them; or in words, why there are none.

The only room that runs git. It asks once for a whole archive, writes nothing, and never uses
the network. Dates that matter stand in the files; history only adds how they came about.
"""

from __future__ import annotations

import dataclasses
import datetime
import functools
import os
import re
import subprocess
from collections.abc import Collection, Iterator
from pathlib import Path

from specgen.archive.model.build import Change, History
from specgen.findings import visible

#: What parts the fields of git's answer: the one sign that no subject and no name can have.
_MARK = "\0"
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
#: A log of ten thousand commits takes a second.
_SECONDS = 20
#: A subject is a line; what is longer was no subject.
_LONGEST_SUBJECT = 200


class _NoHistory(Exception):  # noqa: N818 - its text is shown to readers, it is no failure
    """Git has no history to give; the text says why."""


def history(root: str | Path, file: str, hidden: Collection[str] = ()) -> History:
    """Give the commits that touched a file, newest first.

    `file` is relative to the archive with forward slashes; a folder stands for all in it. What was
    said of a commit is left out where one of the `hidden` words stands in it.
    Never raises: `missing` says why there are no commits.
    """
    try:
        folder = Path(root).resolve()
    except (OSError, RuntimeError):
        return History(missing="The archive's folder cannot be reached.")
    changes = _changes(folder, _edition(folder))
    if isinstance(changes, str):
        return History(missing=changes)
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
def _changes(
    folder: Path, _state: tuple[str, int]
) -> tuple[tuple[Change, frozenset[str]], ...] | str:
    """Give all commits below a folder with the files they touched, newest first; or why not.

    The reason is remembered too: a git that hangs is waited for once, not once for each build.
    """
    try:
        return tuple(_logged(folder))
    except _NoHistory as reason:
        return str(reason)


def _logged(folder: Path) -> Iterator[tuple[Change, frozenset[str]]]:
    answer = _git(folder, "rev-parse", "--is-shallow-repository")
    if answer.strip() == "true":
        raise _NoHistory(
            "This is a shallow clone, in which git knows the last commits only; "
            "`git fetch --unshallow` brings the others."
        )
    layout = "--format=%x00%h%x00%as%x00%s%x00"
    text = _git(
        folder, "log", layout, "--name-only", "--relative", "--no-renames", "--no-show-signature",
        "--", ".",
    )  # fmt: skip
    parts = text.split(_MARK)[1:]
    for revision, date, subject, names in zip(
        *(parts[start::4] for start in range(4)), strict=False
    ):
        change = Change(revision, _day(date), visible(subject.strip()[:_LONGEST_SUBJECT]))
        yield change, frozenset(name for name in names.split("\n") if name)


def _day(text: str) -> datetime.date | None:
    """Read the day of a commit; None for one that no calendar has."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        return None


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
    first = next(iter(complaint.strip().splitlines()), "no reason given")
    # a place on the disk where the site was made is nobody's business
    plain = re.sub(r"'?([A-Za-z]:)?[/\\][^\s']*'?", "...", visible(first))
    return f"Git could not tell ({plain[:_LONGEST_SUBJECT]})."
