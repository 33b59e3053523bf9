"""What of an archive may be seen by everybody: all but what its files keep to themselves.

The one door between an archive and whatever is published of it. A build that is private, or whose
file cannot be read well enough to tell, is as if it had never been there.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any, cast

from specgen.archive.editing.redacting import redacted
from specgen.archive.model.build import Archive, Build
from specgen.archive.model.given import Given
from specgen.archive.reading.source import Document, Tree, TreePath, load
from specgen.archive.reading.whereabouts import Whereabouts
from specgen.findings import Finding

#: The file of a build; no other keeps anything private.
_FILE = "/build.yaml"
#: The key that keeps something private.
_KEY = "publish"
#: What is said under these keys could tell in other words what is kept private.
_TELLING = (
    *("title", "summary", "text", "date", "note"),
    *("curve", "original", "file", "alt", "caption"),
)


def published(archive: Archive, newest: Archive | None = None) -> Archive:
    """Leave out all that is private; give the archive itself where nothing is.

    What is private in the `newest` state of an archive is so in earlier ones too, although their
    files did not say so yet: a build that tells of it is left out of them.
    """
    if archive.private:
        return archive
    back = _kept_back(archive)
    told = back.without(archive) if back.files else archive
    return _kept_back(newest).from_earlier(told) if newest is not None else told


def _kept_back(archive: Archive) -> _KeptBack:
    named = {file: text for file, text in archive.sources.items() if file.endswith(_FILE)}
    kept = [_Private(load(text.encode(), file)) for file, text in named.items() if _KEY in text]
    return _KeptBack({item.file: item for item in kept if item.paths})


class _Private:
    """What one file keeps private: the values at some paths, () for all of it."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.file = document.file
        sound = not document.findings
        self.paths = tuple(_marked(document.tree, ())) if sound else ((),)
        self.whole = () in self.paths

    @property
    def folder(self) -> str:
        """The folder that the file lies in, from the archive's."""
        return self.file.rpartition("/")[0]

    @cached_property
    def files(self) -> frozenset[str]:
        """The files that are named within what is private, from the archive's folder."""
        return frozenset(f"{self.folder}/{name}" for name in self._told(("curve",)))

    @cached_property
    def words(self) -> frozenset[str]:
        """What nothing that is published may say."""
        names = [self.folder, *_former(self.document.tree)] if self.whole else []
        return frozenset([*self._told(_TELLING), *names])

    def _told(self, keys: tuple[str, ...]) -> Iterator[str]:
        for path in self.paths:
            yield from _told(_at(self.document.tree, path), keys)

    def speaks_here(self, finding: Finding, where: Whereabouts) -> bool:
        """Whether a finding of this file is about what is private."""
        path = where.path_of(finding.place)
        return any(path[: len(it)] == it for it in self.paths)


class _KeptBack:
    """All that an archive keeps back, by the file that says so."""

    def __init__(self, files: Mapping[str, _Private]) -> None:
        self.files = files
        self.folders = {item.folder for item in files.values() if item.whole}
        self.named = frozenset[str]().union(*(item.files for item in files.values()))
        self.words = frozenset[str]().union(*(item.words for item in files.values()))

    def without(self, archive: Archive) -> Archive:
        """Give an archive without what is kept back."""
        where = {file: Whereabouts(item.document) for file, item in self.files.items()}
        builds = archive.builds.items()
        return dataclasses.replace(
            archive,
            builds={key: cast(Build, _open(it)) for key, it in builds if key not in self.folders},
            findings=tuple(it for it in archive.findings if not self._tells(it, where)),
            sources=dict(self._texts(archive.sources)),
            private=tuple(sorted(self.words)),
        )

    def from_earlier(self, archive: Archive) -> Archive:
        """Give an earlier state without the builds that tell what is kept back now."""
        telling = {
            file.partition("/")[0]
            for file, text in archive.sources.items()
            if any(word in text or word in file for word in self.words)
        }
        gone = {it for it in telling | self.folders if it in archive.builds or it in self.words}
        if not gone:
            return archive
        kept = {file: it for file, it in archive.sources.items() if not _lies_in(file, gone)}
        return dataclasses.replace(
            archive,
            builds={key: build for key, build in archive.builds.items() if key not in gone},
            findings=tuple(it for it in archive.findings if not _lies_in(it.place.file, gone)),
            sources=kept,
            private=tuple(sorted({*archive.private, *self.words})),
        )

    def _hides(self, file: str) -> bool:
        return file.partition("/")[0] in self.folders or file in self.named

    def _tells(self, finding: Finding, where: Mapping[str, Whereabouts]) -> bool:
        """Whether a finding is about what is kept back, or quotes it."""
        file = finding.place.file
        said = f"{finding.found} {finding.expected} {finding.hint} {finding.accepted}"
        return (
            self._hides(file)
            or (file in where and self.files[file].speaks_here(finding, where[file]))
            or any(word in said for word in self.words)
        )

    def _texts(self, sources: Mapping[str, str]) -> Iterator[tuple[str, str]]:
        """The texts that may be seen; a file that cannot be told without what is private is not."""
        for file, text in sources.items():
            if self._hides(file):
                continue
            told = redacted(text, self.files[file].paths) if file in self.files else text
            if told is not None:
                yield file, told


def _lies_in(file: str, folders: set[str]) -> bool:
    return file.partition("/")[0] in folders


def _marked(tree: Tree, path: TreePath) -> Iterator[TreePath]:
    """The paths of all mappings that say of themselves that they are private."""
    if isinstance(tree, dict) and _KEY in tree:
        yield path
    for step, below in _below(tree):
        yield from _marked(below, (*path, step))


def _former(tree: Tree) -> list[str]:
    """The ids that a build had before."""
    found = tree.get("formerly") if isinstance(tree, dict) else None
    return [it for it in found if isinstance(it, str)] if isinstance(found, list) else []


def _told(tree: Tree, keys: tuple[str, ...]) -> Iterator[str]:
    """The texts that stand under some keys within a value."""
    for step, below in _below(tree):
        if step in keys and isinstance(below, str):
            yield below
        yield from _told(below, keys)


def _below(tree: Tree) -> Iterator[tuple[str | int, Tree]]:
    if isinstance(tree, dict):
        yield from tree.items()
    elif isinstance(tree, list):
        yield from enumerate(tree)


def _at(tree: Tree, path: TreePath) -> Tree:
    here: Any = tree
    for step in path:
        here = here[step]
    return cast(Tree, here)


def _open(item: object) -> object:
    """Give an object of the model without what is private in it; None where all of it is."""
    if isinstance(item, Given):
        return None if item.private else item
    if isinstance(item, tuple):
        return tuple(left for part in item if (left := _open(part)) is not None)
    if not dataclasses.is_dataclass(item) or isinstance(item, type):
        return item
    if getattr(item, _KEY, None) is not None:
        return None
    fields = {it.name: getattr(item, it.name) for it in dataclasses.fields(item)}
    opened = {name: _open(value) for name, value in fields.items()}
    changed = {name: value for name, value in opened.items() if value is not fields[name]}
    return dataclasses.replace(item, **changed) if changed else item
