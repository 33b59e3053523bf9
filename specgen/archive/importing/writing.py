"""Writing an import to disk as a whole, and taking the last one back."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Sequence
from pathlib import Path

from specgen.archive.importing.plan import Change
from specgen.archive.importing.understanding import CannotImport
from specgen.archive.reading import door

#: An import's note holds the files that it changed as they were [bytes].
_LARGEST_NOTE = 200_000_000
#: A file that an import changed, its bytes before (None where it was not there), its hash after.
_Noted = tuple[Path, bytes | None, str]

#: Where an archive notes its imports, each in a file, so that the last can be taken back.
NOTES = ".imports"


def written(archive: Path, changes: Sequence[Change]) -> None:
    """Write all files, or none of them; note what was there, for `undone`."""
    done: list[Change] = []
    try:
        for change in changes:
            done.append(change)
            _put(change.file, change.after)
        _note(archive, changes)
    except OSError as problem:
        for change in reversed(done):
            _back(change)
        raise CannotImport(f"{problem.filename} cannot be written: {problem.strerror}") from problem


def _put(file: Path, data: bytes) -> None:
    """Write one file as a whole: it has the old bytes or the new ones, never half of them."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_name(f".{file.name}.new")
    try:
        beside.write_bytes(data)
        beside.replace(file)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def _back(change: Change) -> None:
    if change.before is None:
        change.file.unlink(missing_ok=True)
    else:
        _put(change.file, change.before)


def _note(archive: Path, changes: Sequence[Change]) -> None:
    notes = archive / NOTES
    number = max((int(it.stem) for it in notes.glob("*.json") if it.stem.isdigit()), default=0)
    told = [
        {
            "file": change.file.relative_to(archive).as_posix(),
            "before": None
            if change.before is None
            else base64.b64encode(change.before).decode("ascii"),
            "after": _digest(change.after),
        }
        for change in changes
    ]
    _put(notes / f"{number + 1}.json", json.dumps({"format": 1, "files": told}, indent=1).encode())


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def undone(archive: Path) -> list[Path]:
    """Take the last import back; give its files. CannotImport where one was changed since."""
    notes = sorted((archive / NOTES).glob("*.json"), key=lambda it: int(it.stem))
    if not notes:
        raise CannotImport(f"{archive} has no import that could be taken back")
    changes = _noted(archive, notes[-1])
    changed = [file for file, _, after in changes if not _stands(archive, file, after)]
    if changed:
        raise CannotImport(
            f"{changed[0]} was changed since that import; take the pulls out of build.yaml by hand"
        )
    for file, before, _ in changes:
        _back(Change(file, before, b""))
    for folder in {file.parent for file, before, _ in changes if before is None}:
        while folder.is_dir() and folder != archive and not any(folder.iterdir()):
            folder.rmdir()
            folder = folder.parent
    notes[-1].unlink()
    return [file for file, _, _ in changes]


def _noted(archive: Path, note: Path) -> list[_Noted]:
    """What an import changed: file, bytes before, hash after; CannotImport for another's note.

    A note comes with a folder that may be a stranger's: nothing outside the archive is touched.
    """
    try:
        items = json.loads(door.read_plain(note, _LARGEST_NOTE))["files"]
        found = [(archive / it["file"], it["before"], str(it["after"])) for it in items]
        for file, _, _ in found:
            door.within(archive, file)
        return [(file, None if before is None else base64.b64decode(before), after)
                for file, before, after in found]  # fmt: skip
    except door.Refused as problem:
        raise CannotImport(problem.of(note)) from problem
    except (ValueError, KeyError, TypeError) as problem:
        raise CannotImport(
            f"{note} is no note of an import; delete it, and take the pulls out of build.yaml by "
            "hand"
        ) from problem


def _stands(archive: Path, file: Path, after: str) -> bool:
    """Whether a file is still as the import left it."""
    try:
        return _digest(door.read(archive, file, _LARGEST_NOTE)) == after
    except door.Refused:
        return False
