"""The commits that touched an archive, oldest first, each with the files it changed.

Read by one call of git for the whole archive, whatever the number of its builds; along the first
parents only, so that a branch that was merged counts as one change.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.past.git import NoHistory, answer
from specgen.findings import visible

#: Begins a commit in git's answer; a path stands behind a change only, so none is taken for it.
_COMMIT = "commit"
#: What stands before a change: modes and ids before and after, a letter, its likeness.
_CHANGE = re.compile(r":\d{6} (\d{6}) [0-9a-f]+ ([0-9a-f]+) ([A-Z])\d*")
#: A name for a file that git keeps as another thing than a plain file.
_PLAIN = ("100644", "100755")
#: Letters of a commit's subject, and of its text, that are read.
_SUBJECT, _MOST = 200, 2000


@dataclass(frozen=True, slots=True)
class FileChange:
    """A file after a commit: its path, the id of its bytes (None: it is gone), its path before."""

    path: str
    blob: str | None
    before: str


@dataclass(frozen=True, slots=True)
class Commit:
    """One commit; the date is its author's, None where that is none."""

    revision: str
    date: datetime.date | None
    subject: str
    text: str
    changes: tuple[FileChange, ...]


def commits(folder: Path, until: str = "HEAD") -> tuple[Commit, ...]:
    """Give all commits that touched what lies in a folder, oldest first.

    Raises
    ------
    NoHistory: there is none; its text says why
    """
    if answer(folder, "rev-parse", "--is-shallow-repository").strip() == "true":
        raise NoHistory(
            "This is a shallow clone, in which git knows the last commits only; "
            "`git fetch --unshallow` brings the others"
        )
    text = answer(
        folder, "log", f"--format={_COMMIT}%x00%H%x00%as%x00%s%x00%b", "--raw", "-z",
        "--no-abbrev", "-M", "--relative", "--root", "--first-parent",
        "--diff-merges=first-parent", "--no-show-signature", "--reverse", until, "--", ".",
    )  # fmt: skip
    return tuple(_commits(iter(text.split("\0"))))


def _commits(parts: Iterator[str]) -> Iterator[Commit]:
    """Read the answer part by part: no text of a commit and no name can have the sign between."""
    head: list[str] = []
    changes: list[FileChange] = []
    for part in parts:
        if (found := _CHANGE.fullmatch(part.strip("\n"))) is not None:
            changes.append(_change(found, parts))
        elif part.strip("\n") == _COMMIT:
            if head:
                yield _commit(head, changes)
            head, changes = [next(parts, "") for _ in range(4)], []
    if head:
        yield _commit(head, changes)


def _commit(head: list[str], changes: list[FileChange]) -> Commit:
    revision, day, subject, text = head
    try:
        date = datetime.date.fromisoformat(day)
    except ValueError:  # a day that no calendar has
        date = None
    told = visible(subject.strip()[:_SUBJECT]), visible(text.strip()[:_MOST])
    return Commit(revision.strip(), date, *told, tuple(changes))


def _change(found: re.Match[str], parts: Iterator[str]) -> FileChange:
    mode, blob, letter = found.groups()
    before = path = next(parts, "")
    if letter in "RC":
        path = next(parts, "")
    plain = letter != "D" and mode in _PLAIN
    return FileChange(path, blob if plain else None, before if letter == "R" else path)


def tree_of(folder: Path, revision: str) -> dict[str, str]:
    """The plain files of a folder at a revision: path from the folder, and the id of the bytes.

    Raises
    ------
    NoHistory: git does not know the revision, or nothing; the text says why
    """
    if revision.startswith("-"):
        raise NoHistory(f'"{visible(revision)}" is no revision')
    text = answer(folder, "ls-tree", "-r", "-z", "--end-of-options", revision, "--", ".")
    found = {}
    for line in text.split("\0"):
        head, _, path = line.partition("\t")
        mode, _, rest = head.partition(" ")
        if mode in _PLAIN:
            found[path] = rest.rpartition(" ")[2]
    return found
