"""Older files in the newest format: `specgen migrate`.

A file of an older format is read for ever; it is rewritten only for who wants the newer one's keys.
Each step edits a file in place, so that comments, order and quotes stay.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from specgen.archive.editing.edits import EditError, change
from specgen.archive.format.schema import SchemaName
from specgen.archive.reading import door
from specgen.archive.reading.source import LARGEST, load
from specgen.archive.starting.begin import StartError

#: Turns the bytes of a file of one format into those of the next, but for the number at its head:
#: the kind of file, its bytes, its name for messages.
Step = Callable[[SchemaName, bytes, str], bytes]
#: Steps by the format that they lead from. Format 1 is the newest, so there is none yet.
STEPS: Mapping[int, Step] = {}
#: The newest format.
NEWEST = 1


def migrate(root: Path, steps: Mapping[int, Step] = STEPS, newest: int = NEWEST) -> list[Path]:
    """Rewrite every older file of an archive; give those that were rewritten.

    StartError, with nothing written, if one of them cannot be.
    """
    new: dict[Path, bytes] = {}
    for path in _files(root):
        name = path.relative_to(root).as_posix()
        try:
            data = door.read(root, path, LARGEST)
            made = _migrated(data, name, steps, newest)
        except door.Refused as problem:
            raise StartError(problem.of(path)) from problem
        except (OSError, EditError) as problem:
            raise StartError(f"{name} cannot be rewritten: {problem}") from problem
        if made != data:
            new[path] = made
    try:
        for path, data in new.items():
            part = path.with_name(f".{path.name}.part")
            part.write_bytes(data)
            part.replace(path)
    except OSError as problem:
        raise StartError(f"{root} cannot be written: {problem.strerror}") from problem
    return list(new)


def _files(root: Path) -> list[Path]:
    found = [root / "archive.yaml", *root.glob("blowers/*.yaml"), *root.glob("*/build.yaml")]
    return sorted(it for it in found if it.is_file() and not it.is_symlink())


def _migrated(data: bytes, name: str, steps: Mapping[int, Step], newest: int) -> bytes:
    """Take a file through each step from its own format on."""
    document = load(data, name)
    tree = document.tree
    number = tree.get("format") if isinstance(tree, dict) else None
    if document.findings or not isinstance(number, int) or not 1 <= number <= newest:
        raise EditError(f'it has no format from 1 to {newest}; see "specgen check"')
    for at in range(number, newest):
        data = steps[at](_kind(name), data, name)
        data = change(data, ("format",), at + 1, name)
    return data


def _kind(name: str) -> SchemaName:
    if name == "archive.yaml":
        return "archive"
    return "blower" if name.startswith("blowers/") else "build"
