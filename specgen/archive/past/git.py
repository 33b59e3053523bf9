"""Asking git, which alone knows an archive's past.

Nothing is written and nothing fetched; a git that hangs is waited for once.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

from specgen.findings import visible

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
#: A log of ten thousand commits takes a second, and on a busy machine many: one that is given up
#: too soon would cost every sheet its history.
_SECONDS = 300
_LONGEST = 200


NO_REPOSITORY = "The archive is in no git repository."
NO_COMMIT = "The git repository has no commit yet."


class NoHistory(Exception):  # noqa: N818 - its text is told, it is no failure
    """Git has no history to give; the text says why."""


def answer(folder: Path, *arguments: str) -> str:
    """Give what git prints when it is asked in a folder.

    Raises
    ------
    NoHistory: git cannot tell; the text says why
    """
    return answer_bytes(folder, *arguments).decode("utf-8", errors="replace")


def answer_bytes(folder: Path, *arguments: str, given: str = "") -> bytes:
    """Give what git writes, byte by byte; `given` is what it reads."""
    kept = {key: value for key, value in os.environ.items() if key not in _ELSEWHERE}
    same_everywhere = ("-c", "core.quotepath=false", "-c", "core.abbrev=10")
    command = ["git", "--no-pager", *same_everywhere, "-C", str(folder), *arguments]
    try:
        done = subprocess.run(
            command,
            capture_output=True,
            input=given.encode("utf-8"),
            env=kept | _QUIET,
            timeout=_SECONDS,
            check=False,
        )
    except FileNotFoundError:
        raise NoHistory("Git is not installed here.") from None
    except (OSError, ValueError, subprocess.TimeoutExpired) as error:
        raise NoHistory(f"Git could not be run ({type(error).__name__}).") from None
    if done.returncode == 0:
        return done.stdout
    raise NoHistory(_reason(done.stderr.decode("utf-8", errors="replace")))


def _reason(complaint: str) -> str:
    """Put git's complaint in words."""
    if "not a git repository" in complaint:
        return NO_REPOSITORY
    if "does not have any commits" in complaint or "bad revision 'HEAD'" in complaint:
        return NO_COMMIT
    if "dubious ownership" in complaint:
        return "Git does not trust this folder, since somebody else owns it."
    first = next(iter(complaint.strip().splitlines()), "no reason given")
    # a place on the disk where the site was made is nobody's business
    plain = re.sub(r"'?([A-Za-z]:)?[/\\][^\s']*'?", "...", visible(first))
    return f"Git could not tell ({plain[:_LONGEST]})."
