"""Figures kept in the archive itself, so that a later method can be set beside an earlier one.

`kept-figures.json` lies beside archive.yaml and goes into git with it: for each number of the
method the figures of every build, named by the very files that they were worked out from.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from specgen.analysis.method import method
from specgen.archive.reading import door
from specgen.past.known import Known, known_data, known_from

FILE = "kept-figures.json"
#: What a thousand builds take is a tenth of it [bytes].
_LARGEST = 200_000_000
_FORMAT = 1


@dataclass(frozen=True, slots=True)
class Kept:
    """A build's figures as one method gave them for one state of its files."""

    method: int
    state: str
    known: Known


def read_kept(folder: Path) -> dict[str, tuple[Kept, ...]]:
    """What was kept of each build, oldest method first; nothing where the file is not ours."""
    try:
        data = json.loads(door.read(folder, folder / FILE, _LARGEST))
        found: dict[str, tuple[Kept, ...]] = {}
        for build, one in _entries(data):
            found[build] = (*found.get(build, ()), one)
    except (door.Refused, OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}
    return {build: tuple(sorted(it, key=lambda one: one.method)) for build, it in found.items()}


def _entries(data: Mapping[str, Any]) -> Iterator[tuple[str, Kept]]:
    if data["format"] != _FORMAT:
        raise ValueError("kept in another format")
    for part in data["kept"]:
        for build, told in part["builds"].items():
            yield str(build), Kept(int(part["method"]), str(told["files"]), known_from(told))


def write_kept(folder: Path, now: Mapping[str, tuple[str, Known]]) -> Path:
    """Keep what this program's method gives, beside what earlier ones gave; give the file.

    `now` has the name of its files and what is known of each build. What this method gave for
    other files is replaced.
    """
    file = folder / FILE
    builds = {build: {"files": state, **known_data(it)} for build, (state, it) in now.items()}
    kept = [it for it in _earlier(file) if it["method"] != method().number]
    document = {"format": _FORMAT, "kept": [*kept, {"method": method().number, "builds": builds}]}
    text = json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False)
    file.write_text(f"{text}\n", "utf-8", newline="\n")
    return file


def _earlier(file: Path) -> list[dict[str, Any]]:
    """What other methods gave, as it was written; nothing where the file is not one of ours."""
    try:
        data = json.loads(door.read(file.parent, file, _LARGEST))
        list(_entries(data))  # each can be read
    except (door.Refused, OSError, ValueError, KeyError, TypeError, AttributeError):
        return []
    return list(data["kept"])
