"""Names of scripts, styles and data that carry the hash of what is in them.

A page that was read before a new site took the place of the old one then loads what belongs to it,
or nothing: never a script of one build with a page of another.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from pathlib import Path
from urllib.parse import quote, unquote, urlsplit

#: What loads: scripts, styles, and an element that names the data its script begins with.
_TAG = re.compile(r"<(?:script|link)\b[^>]*>", re.IGNORECASE)
_INDEX = "data-index="
_INDEXED = re.compile(r"<\w+\b[^<>]*?\sdata-index=[^>]*>", re.IGNORECASE)
_ADDRESS = re.compile(
    r"""(\b(?:src|href|data-index|data-combos)=)(["']?)([^"'\s>]+)(["']?)""", re.IGNORECASE
)
_HASHED = re.compile(r"\.[0-9a-f]{8,}\.")
_DIGITS = 10


class Naming:
    """The new names so far. What carries a hash already keeps its name.

    `base` is the path that the site is served at, for pages that name it in full. The files are
    renamed only when all pages are through.
    """

    def __init__(self, folder: Path, base: str = "/") -> None:
        self.folder = folder
        self.base = base if base.endswith("/") else f"{base}/"
        self.names: dict[str, str] = {}

    def rename(self) -> None:
        """Give every script and style that a page loads its new name."""
        for name, hashed in self.names.items():
            if name != hashed:
                (self.folder / name).rename(self.folder / hashed)

    def rewritten(self, text: str, page: str) -> str:
        """Name what a page loads by its new name."""

        def address(found: re.Match[str]) -> str:
            before, opening, written, closing = found.groups()
            return f"{before}{opening}{self._new(written, page)}{closing}"

        def tag(found: re.Match[str]) -> str:
            return _ADDRESS.sub(address, found.group(0))

        named = _TAG.sub(tag, text)
        # Looked for first: the pattern tries at every element, and few pages have one.
        return _INDEXED.sub(tag, named) if _INDEX in named else named

    def _new(self, written: str, page: str) -> str:
        parts = urlsplit(written)
        path = unquote(parts.path)
        if parts.scheme or parts.netloc or not path.endswith((".css", ".js")):
            return written
        if path.startswith("/"):
            name = path.removeprefix(self.base)
        else:
            name = posixpath.normpath(posixpath.join(posixpath.dirname(page), path))
        hashed = posixpath.basename(self._hashed(name))
        return (
            posixpath.join(posixpath.dirname(parts.path), quote(hashed))
            + written[len(parts.path) :]
        )

    def _hashed(self, name: str) -> str:
        if name not in self.names:
            file = self.folder / name
            if _HASHED.search(file.name) or not file.is_file():
                self.names[name] = name
            else:
                digest = hashlib.sha256(file.read_bytes()).hexdigest()[:_DIGITS]
                stem, dot, ending = name.rpartition(".")
                self.names[name] = f"{stem}.{digest}{dot}{ending}"
        return self.names[name]
