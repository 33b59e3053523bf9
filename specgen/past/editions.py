"""An archive as it stood: at a revision, or on the disk, a build at a time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from specgen.archive.past.blobs import blob_id, blobs
from specgen.archive.past.commits import tree_of
from specgen.archive.pictures import MOST_BYTES
from specgen.archive.reading import door
from specgen.past.known import Keeping, Known, known_then, remember, remembered
from specgen.past.rests_on import (
    BUILD,
    SETTINGS,
    blower_of,
    is_map,
    is_read,
    settings_of,
    shared_of,
)
from specgen.past.states import key_of, said_of


@dataclass(frozen=True)
class Edition:
    """The files of an archive by path, each with the id of its bytes.

    `revision` is nothing for the files on the disk, which have their bytes beside them.
    """

    folder: Path
    revision: str
    files: Mapping[str, str]
    bytes_of: Mapping[str, bytes] = field(default_factory=dict, repr=False)

    @cached_property
    def builds(self) -> dict[str, dict[str, str]]:
        """Each build's own files by path below its folder."""
        found: dict[str, dict[str, str]] = {}
        for path, blob in self.files.items():
            room, _, rest = path.partition("/")
            if rest and room != "blowers":
                found.setdefault(room, {})[rest] = blob
        return {name: files for name, files in sorted(found.items()) if BUILD in files}

    @cached_property
    def _blowers(self) -> dict[str, str | None]:
        wanted = [files[BUILD] for files in self.builds.values()]
        return {blob: blower_of(data) for blob, data in self._read(wanted).items()}

    def own(self, build: str) -> dict[str, str]:
        """The files of a build that its figures rest on."""
        return {path: blob for path, blob in self.builds[build].items() if is_read(path)}

    def shared(self, build: str) -> dict[str, str]:
        """The shared files that a build's figures rest on."""
        return shared_of(self.files, self._maps, self._blowers.get(self.builds[build][BUILD]))

    @cached_property
    def _maps(self) -> tuple[str, ...]:
        return tuple(filter(is_map, self.files))

    @cached_property
    def _settings(self) -> str:
        blob = self.files.get(SETTINGS)
        return settings_of(self._read([blob])[blob]) if blob else ""

    def said(self, build: str) -> Mapping[str, str]:
        """The shared files by what a build's figures rest on in them."""
        return said_of(self.shared(build), self._settings)

    def key(self, build: str) -> str:
        """The name of all that a build's figures rest on."""
        return key_of(self.own(build), self.said(build))

    def known(self, builds: Iterable[str], keeping: Keeping) -> dict[str, Known]:
        """What is known of some builds; what is not kept is worked out and kept."""
        keys = {build: self.key(build) for build in builds}
        known = {build: it for build, key in keys.items()
                 if (it := remembered(keeping, key)) is not None}  # fmt: skip
        missing = [build for build in keys if build not in known]
        files = {build: self._files(build) for build in missing}
        data = self._read(blob for it in files.values() for blob in it.values())
        for build in missing:
            there = {path: data[blob] for path, blob in files[build].items() if blob in data}
            known[build] = known_then(build, there)
            remember(keeping, keys[build], known[build])
        return known

    def _files(self, build: str) -> dict[str, str]:
        own = {f"{build}/{path}": blob for path, blob in self.builds[build].items()}
        return own | self.shared(build)

    def _read(self, ids: Iterable[str]) -> dict[str, bytes]:
        wanted = list(dict.fromkeys(ids))
        there = {it: self.bytes_of[it] for it in wanted if it in self.bytes_of}
        return there | dict(blobs(self.folder, [it for it in wanted if it not in there]))


def edition_at(folder: Path, revision: str) -> Edition:
    """The archive at a revision of git.

    Raises
    ------
    NoHistory: git does not know it; the text says why
    """
    return Edition(folder, revision, tree_of(folder, revision))


def edition_on_disk(folder: Path) -> Edition:
    """The archive as its files lie on the disk."""
    files, data = {}, {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if (
            not path.is_file()
            or path.is_symlink()
            or any(it.startswith(".") for it in name.split("/"))
        ):
            continue
        try:
            read = door.read(folder, path, MOST_BYTES)
        except door.Refused:  # nothing of it is published either
            continue
        files[name] = blob_id(read)
        data[files[name]] = read
    return Edition(folder, "", files, data)
