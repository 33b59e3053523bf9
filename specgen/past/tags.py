"""The editions of an archive: states of it that a tag of git marks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.past.blobs import blobs
from specgen.archive.past.commits import tree_of
from specgen.archive.past.git import answer
from specgen.past.rests_on import BUILD, SETTINGS
from specgen.past.states import State


@dataclass(frozen=True, slots=True)
class Tag:
    """A tag that marks an edition: its name, its day (year-month-day), the folder for its pages."""

    name: str
    day: str
    folder: str


def tags(root: Path) -> tuple[Tag, ...]:
    """The tags at which an archive lay in a folder, oldest first.

    Raises
    ------
    NoHistory: git cannot tell; the text says why
    """
    layout = "--format=%(refname:strip=2)%00%(creatordate:short)"
    lines = answer(root, "for-each-ref", "--sort=creatordate", layout, "refs/tags").splitlines()
    found = (line.partition("\0") for line in lines)
    return tuple(
        Tag(name, day, _folder(name)) for name, _, day in found if SETTINGS in tree_of(root, name)
    )


def _folder(name: str) -> str:
    """A tag's name as a folder's, which every system can hold."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-") or "edition"


def write_edition(root: Path, tag: str, folder: Path) -> None:
    """Write an archive as it stood at a tag into an empty folder.

    Raises
    ------
    NoHistory: git does not know the tag; the text says why
    """
    files = tree_of(root, tag)
    data = dict(blobs(root, files.values()))
    for path, blob in files.items():
        if blob in data:
            place = folder / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(data[blob])


def names_at(root: Path, tag: Tag, states: Mapping[str, Iterable[State]]) -> dict[str, str]:
    """The builds that an edition has, by the ids of today: the id that each had then."""
    there = {path.partition("/")[0] for path in tree_of(root, tag.name) if path.endswith(BUILD)}
    names = {key: {key, *(it.name for it in found)} for key, found in states.items()}
    return {key: min(known & there) for key, known in names.items() if known & there}
