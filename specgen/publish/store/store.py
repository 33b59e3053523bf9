"""A folder of what was made: an entry a file, named by the hash of all that it was made from.

An entry is a zip archive of plain bytes and JSON; nothing is unpickled, each member has a checksum.
Whatever is wrong with an entry, or with the folder, means only that it is not there: it is
made again. Entries get their name in one step, so that two builds at once cannot spoil each other.

Zip was measured against plain files and a database of blobs: read as fast as files, one file a
build to write and to prune, and a third of the bytes of a site's pages.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import time
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

#: Rises when an entry is laid out in another way.
LAYOUT = 1
#: Bytes that a store may hold, and seconds that an entry is kept without being asked for.
MOST, LONGEST = 2_000_000_000, 90 * 24 * 3600.0
_HEAD = "head.json"
_ENDING = ".zip"
_LEVEL = 1
#: What a damaged, foreign or vanished entry may answer with.
_UNREADABLE = (OSError, zipfile.BadZipFile, zlib.error, ValueError, KeyError, NotImplementedError,
               EOFError, RuntimeError)  # fmt: skip
#: How often an entry's time of use is noted [s].
_NOTED = 3600.0


class Store:
    """The entries in a folder, which need not be there and may be full, read-only or damaged."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def head(self, key: str) -> dict[str, Any] | None:
        """What an entry says of itself; None where there is none that can be read."""
        try:
            with zipfile.ZipFile(self._file(key)) as entry:
                head = json.loads(entry.read(_HEAD))
                if head["key"] != key or head["members"] != _others(entry):
                    return None
        except _UNREADABLE:
            return None
        self._note_use(key)
        found: dict[str, Any] = head["told"]
        return found

    def member(self, key: str, name: str) -> bytes | None:
        """One member of an entry; None where it cannot be read, or is not what was written."""
        try:
            with zipfile.ZipFile(self._file(key)) as entry:
                return entry.read(name)
        except _UNREADABLE:
            return None

    def keep(self, key: str, told: Mapping[str, Any], members: Mapping[str, bytes]) -> bool:
        """Write an entry; False, and nothing is there, where that cannot be done."""
        file = self._file(key)
        part = None
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=".part-", dir=file.parent)
            part = Path(name)
            with os.fdopen(handle, "wb") as stream:
                _write(stream, key, told, members)
            part.replace(file)
        except (OSError, ValueError):
            if part is not None:
                with contextlib.suppress(OSError):
                    part.unlink()
            return False
        return True

    def prune(self, most: int = MOST, longest: float = LONGEST) -> None:
        """Delete what nobody has asked for in long, and the least used beyond a size."""
        found, now = [], time.time()
        with contextlib.suppress(OSError):
            for file in self.folder.glob(f"*/*{_ENDING}"):
                with contextlib.suppress(OSError):
                    there = file.stat()
                    found.append((there.st_mtime, there.st_size, file))
            self._drop_parts(now)
        total = sum(size for _, size, _ in found)
        for used, size, file in sorted(found, key=lambda it: it[0]):
            if total <= most and now - used <= longest:
                break
            with contextlib.suppress(OSError):
                file.unlink()
            total -= size

    def _drop_parts(self, now: float) -> None:
        """Delete what a killed build was writing."""
        for part in self.folder.glob("*/.part-*"):
            with contextlib.suppress(OSError):
                if now - part.stat().st_mtime > _NOTED:
                    part.unlink()

    def _note_use(self, key: str) -> None:
        """Let an entry be known as used, so that it is not the first to be deleted."""
        file = self._file(key)
        with contextlib.suppress(OSError):
            if time.time() - file.stat().st_mtime > _NOTED:
                os.utime(file)

    def _file(self, key: str) -> Path:
        return self.folder / key[:2] / f"{key}{_ENDING}"


def _write(stream: Any, key: str, told: Mapping[str, Any], members: Mapping[str, bytes]) -> None:
    head = {"layout": LAYOUT, "key": key, "members": sorted(members), "told": told}
    texts = {_HEAD: json.dumps(head, ensure_ascii=False).encode("utf-8"), **members}
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=_LEVEL) as entry:
        for name, data in texts.items():
            how = zipfile.ZIP_STORED if name.endswith((".png", ".webp")) else zipfile.ZIP_DEFLATED
            entry.writestr(zipfile.ZipInfo(name), data, how, _LEVEL)


def _others(entry: zipfile.ZipFile) -> list[str]:
    """The names of an entry's members, beside its head."""
    return sorted(set(entry.namelist()) - {_HEAD})
