"""Which findings somebody answers for: `accepted` stands beside what it speaks about.

An entry reaches what stands in its own mapping, and the files that are named there. Errors keep a
file out of the archive, so there is nothing to accept about them.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import PurePosixPath

from specgen.archive.phrases.figures import warning
from specgen.archive.reading.source import Document, Tree, TreePath
from specgen.archive.reading.whereabouts import Whereabouts
from specgen.findings import CODES, Finding, Place

#: Keys that name a file in which findings are made.
_FILES = ("curve", "performance")
_NOTHING = "nothing-accepted"


@dataclasses.dataclass(frozen=True)
class _Entry:
    """One accepted finding: where it stands, its mapping, its code and the reason."""

    place: Place
    within: TreePath
    code: str
    because: str


class _Reach:
    """The findings of one document, by the mapping of it that each belongs to."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._own = Whereabouts(document)

    @cached_property
    def _named(self) -> dict[str, TreePath]:
        """Each file that is named here, from the archive's folder, with the mapping that does."""
        folder = PurePosixPath(self._document.file).parent
        return {
            str(folder / spot.text): path[:-1]
            for path, spot in self._document.spots.items()
            if path and path[-1] in _FILES
        }

    def path_of(self, place: Place) -> TreePath | None:
        """Give the path that a place belongs to; None if it is of another document."""
        if place.file == self._document.file:
            return self._own.path_of(place)
        return self._named.get(place.file)


def accept(findings: Iterable[Finding], documents: Mapping[str, Document]) -> tuple[Finding, ...]:
    """Give the findings with the reasons of those that are accepted, and what is accepted idly.

    A file with errors was not checked to its end: what is not found in it may be there.
    """
    found = list(findings)
    faulty = {item.place.file for item in found if item.severity == "error"}
    idle: list[Finding] = []
    for document in documents.values():
        reach = _Reach(document)
        for entry in _entries(document.tree, (), document):
            meant = [
                index
                for index, item in enumerate(found)
                if item.code == entry.code and _within(reach.path_of(item.place), entry.within)
            ]
            taken = [index for index in meant if found[index].severity == "warning"]
            for index in taken:
                found[index] = dataclasses.replace(found[index], accepted=entry.because)
            if (meant and not taken) or (not meant and document.file not in faulty):
                idle.append(_idle(entry, is_error=bool(meant)))
    return (*found, *idle)


def _within(path: TreePath | None, mapping: TreePath) -> bool:
    return path is not None and path[: len(mapping)] == mapping


def _entries(tree: Tree, path: TreePath, document: Document) -> Iterator[_Entry]:
    """Every entry of a document that has both halves; a schema tells of the others."""
    if isinstance(tree, list):
        for index, item in enumerate(tree):
            yield from _entries(item, (*path, index), document)
    if not isinstance(tree, dict):
        return
    for key, value in tree.items():
        if key == "accepted" and isinstance(value, list):
            for index, item in enumerate(value):
                code, because = _halves(item)
                if code in CODES and because:
                    place = document.spot((*path, key, index, "finding")).place
                    yield _Entry(place, path, code, because)
        else:
            yield from _entries(value, (*path, key), document)


def _halves(item: Tree) -> tuple[str, str]:
    """Give the code and the reason of an entry; "" for what is no text."""
    if not isinstance(item, dict):
        return "", ""
    code, because = item.get("finding"), item.get("because")
    return (code if isinstance(code, str) else ""), (because if isinstance(because, str) else "")


def _idle(entry: _Entry, *, is_error: bool) -> Finding:
    """Say of an entry that it accepts nothing."""
    if is_error:
        found = f'the error "{entry.code}" accepted; an error keeps the file out all the same'
        return warning(_NOTHING, entry.place, found, "a warning", "what the error asks for")
    found = f'"{entry.code}" accepted, which is not found here'
    expected = "a finding about what stands beside it, or none"
    return warning(_NOTHING, entry.place, found, expected, "nothing: leave the entry out")
