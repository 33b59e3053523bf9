"""Files as they were: bytes by the ids that git names them by, many by one call."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path

from specgen.archive.past.git import NoHistory, answer_bytes

#: Ids that one call asks for, and bytes of a file beyond which it is not read.
_AT_ONCE, _MOST = 500, 20_000_000


def blobs(folder: Path, ids: Iterable[str]) -> Iterator[tuple[str, bytes]]:
    """Give the bytes of each id, each once; what git does not have is left out.

    Raises
    ------
    NoHistory: git cannot be asked
    """
    wanted = list(dict.fromkeys(ids))
    for start in range(0, len(wanted), _AT_ONCE):
        part = wanted[start : start + _AT_ONCE]
        told = answer_bytes(folder, "cat-file", "--batch", given="".join(f"{it}\n" for it in part))
        yield from _read(told)


def _read(told: bytes) -> Iterator[tuple[str, bytes]]:
    """Part what git wrote: a line with id, kind and size, the bytes, a line end."""
    at = 0
    while at < len(told):
        end = told.find(b"\n", at)
        if end < 0:
            raise NoHistory("Git's answer broke off")
        head = told[at:end].decode("ascii", "replace").split(" ")
        at = end + 1
        if len(head) != 3:  # "<id> missing"
            continue
        size = int(head[2])
        if head[1] == "blob" and size <= _MOST:
            yield head[0], told[at : at + size]
        at += size + 1


def blob_id(data: bytes) -> str:
    """The id that git gives to a file's bytes, in a repository of the usual kind (SHA-1)."""
    digest = hashlib.sha1(b"blob %d\0" % len(data), usedforsecurity=False)
    digest.update(data)
    return digest.hexdigest()
