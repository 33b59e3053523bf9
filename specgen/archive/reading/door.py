"""The one door through which an archive's files are read.

An archive may come from strangers, and a check may run where nobody watches. So a file is read only
if it is a plain file, lies inside the archive by its real path, has a name that every system can
keep, and is no larger than such files are; all of it judged before the first byte is read.
"""

from __future__ import annotations

import os
import stat
import unicodedata
from collections.abc import Iterator
from itertools import islice
from pathlib import Path, PurePosixPath
from typing import Literal

#: Longer names fill lines of reports, and some systems cannot keep them below a folder of theirs.
LONGEST_NAME = 100
#: What some system reads as something else than part of a name.
_MARKS = frozenset('<>:"|?*\\')
#: Names that stand for devices on some systems, whatever their ending.
DEVICES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{it}" for port in ("com", "lpt") for it in range(10))]
)
#: A pipe is opened without waiting for who writes to it; on some systems text would be changed.
_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
#: A folder of an archive holds a handful of files; a walk through a strange one ends here.
_MOST_NAMES = 5000

_INSIDE = "a file of the archive itself"
_COPY = "the file itself in its place"


class Refused(Exception):  # noqa: N818 - it is no failure of the program
    """A file that is not read; the arguments are what was found, expected, and to be written."""

    def __init__(self, found: str, expected: str, hint: str) -> None:
        super().__init__(found)
        self.found = found
        self.expected = expected
        self.hint = hint

    def of(self, file: Path) -> str:
        """Say in one line of which file that is true, and what to do."""
        return f"{file} is not read: found {self.found}; expected {self.expected}; {self.hint}"


def kind(path: Path) -> Literal["file", "folder", "other", ""]:
    """Tell what a path leads to, "" where it is nothing that can be reached. Never raises."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return ""
    return "file" if stat.S_ISREG(mode) else "folder" if stat.S_ISDIR(mode) else "other"


def read(root: Path, path: Path, largest: int) -> bytes:
    """Read a file below a folder; Refused says why not.

    `largest` is in bytes. Links are followed as long as they stay inside the folder.
    """
    within(root, path)
    return read_plain(path, largest)


def read_plain(path: Path, largest: int) -> bytes:
    """Read a plain file whose path was judged before; Refused says why not."""
    try:
        return _content(path, largest)
    except (OSError, ValueError) as problem:
        raise _closed(path, problem) from None


def within(root: Path, path: Path) -> None:
    """Refuse a path that leads out of a folder, or has a name that not every system can keep."""
    for name in path.relative_to(root).parts:
        fault = name_fault(name)
        if fault:
            raise Refused(fault, "a plain name", f"{plain_name(name)} as its name")
    try:
        real = path.resolve().relative_to(root.resolve())
    except (OSError, RuntimeError):  # a link that leads in a circle
        raise Refused("a link that leads to nothing", _INSIDE, _COPY) from None
    except ValueError:
        raise Refused("a link that leads out of the archive", _INSIDE, _COPY) from None
    if any(part.startswith(".") for part in real.parts):
        raise Refused("a link to a hidden file", _INSIDE, _COPY)


def _content(path: Path, largest: int) -> bytes:
    """Read a plain file, whose size is judged when nobody can exchange it any more."""
    handle = os.open(path, _FLAGS)
    with os.fdopen(handle, "rb", buffering=0) as file:
        state = os.fstat(handle)
        if not stat.S_ISREG(state.st_mode):
            raise Refused(_kind(state.st_mode), "a plain file", _COPY)
        if state.st_size > largest:
            raise too_large(state.st_size, largest)
        # no size is asked for in advance: a file may grow, or be of a system's own making
        data = bytearray()
        while piece := file.read(min(1 << 20, largest + 1 - len(data))):
            data += piece
    if len(data) > largest:
        raise too_large(len(data), largest)
    return bytes(data)


def too_large(size: int, largest: int) -> Refused:
    """Say that a file is larger than such files are."""
    found, most = f"a file of {size / 1e6:.1f} MB", f"at most {largest / 1e6:.0f} MB"
    return Refused(found, most, "long tables into CSV files of their own")


def _closed(path: Path, problem: Exception) -> Refused:
    """Put in words why the system does not open a file."""
    if isinstance(problem, IsADirectoryError) or kind(path) == "folder":
        return Refused("a folder where a file is due", "a plain file", _COPY)
    if path.is_symlink() and not kind(path):
        return Refused("a link that leads to nothing", _INSIDE, _COPY)
    words = getattr(problem, "strerror", None) or type(problem).__name__
    hint = "the file again, or permission to read it"
    return Refused(f"a file that cannot be opened ({words})", "a file that can be read", hint)


def _kind(mode: int) -> str:
    """Name what is no plain file."""
    if stat.S_ISFIFO(mode):
        return "a pipe where a file is due"
    if stat.S_ISDIR(mode):
        return "a folder where a file is due"
    return "a device where a file is due"


def name_fault(name: str) -> str:
    """Say what keeps a name from being one that every system can keep; "" if nothing."""
    if len(name) > LONGEST_NAME:
        return f"a name of {len(name)} letters"
    if name.startswith("."):
        return f'the hidden name "{name}"'
    if not name.isprintable() or any(unicodedata.category(it) == "Cf" for it in name):
        return "a name with characters that nobody sees"
    odd = sorted(_MARKS & set(name))
    if odd:
        return f"the sign {odd[0]} in a name"
    if name != name.rstrip(". ") or name != name.lstrip():
        return "a name with a space or a point at its end"
    if PurePosixPath(name).stem.partition(".")[0].rstrip().lower() in DEVICES:
        return f'the name "{name}", which stands for a device on some systems'
    return ""


def plain_name(name: str) -> str:
    """Make a name of one that not every system can keep."""
    kept = "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in "-_.") else "-"
        for letter in name
    )
    stem, dot, ending = kept.strip("-. ").rpartition(".")
    stem, ending = (stem, ending) if dot else (ending, "")
    stem = stem[: LONGEST_NAME - 20].strip("-") or "file"
    stem = f"{stem}-1" if stem.partition(".")[0].lower() in DEVICES else stem
    return f"{stem}.{ending[:10]}" if ending else stem


def entries(folder: Path) -> list[Path]:
    """List a folder without hidden entries, by name; Refused where it may not be listed."""
    try:
        return sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    except FileNotFoundError:
        return []
    except OSError as problem:
        words = problem.strerror or type(problem).__name__
        found = f"a folder that cannot be opened ({words})"
        raise Refused(found, "a folder that can be read", "permission to read it") from None


def names_below(folder: Path) -> list[str]:
    """List the files below a folder by their path from it; links are not followed, hidden left out.

    Ends at some thousands, so that a strange folder costs no more than a large one.
    """
    return sorted(islice(_walk(folder), _MOST_NAMES))


def _walk(folder: Path) -> Iterator[str]:
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        near = Path(place).relative_to(folder)
        yield from ((near / name).as_posix() for name in sorted(files) if not name.startswith("."))
