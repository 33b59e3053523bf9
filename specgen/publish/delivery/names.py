"""Names of scripts, styles and data that carry the hash of what is in them.

A page that was read before a new site took the place of the old one then loads what belongs to it,
or nothing: never a script of one build with a page of another.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from collections.abc import Iterable
from pathlib import Path
from urllib.parse import quote, unquote, urlsplit

#: What loads: scripts, styles, and an element that names the data its script begins with.
_TAG = re.compile(r"<(?:(?:script|link)\b|\w+\b[^<>]*?\sdata-index=)[^>]*>", re.IGNORECASE)
_ADDRESS = re.compile(
    r"""(\b(?:src|href|data-index|data-combos)=)(["']?)([^"'\s>]+)(["']?)""", re.IGNORECASE
)
_HASHED = re.compile(r"\.[0-9a-f]{8,}\.")
_DIGITS = 10


def with_hashes(folder: Path, pages: Iterable[Path], base: str = "/") -> dict[str, str]:
    """Rename every script and style that a page loads, and name it so in the pages.

    Gives the new name of each. `base` is the path that the site is served at, for pages that name
    it in full. What carries a hash already keeps its name.
    """
    naming = _Naming(folder, base)
    for page in pages:
        text = page.read_text(encoding="utf-8")
        changed = naming.rewritten(text, page.relative_to(folder).as_posix())
        if changed != text:
            page.write_bytes(changed.encode("utf-8"))
    for name, hashed in naming.names.items():
        if name != hashed:
            (folder / name).rename(folder / hashed)
    return naming.names


class _Naming:
    """The new names so far; the files are renamed only when all pages are through."""

    def __init__(self, folder: Path, base: str) -> None:
        self.folder = folder
        self.base = base if base.endswith("/") else f"{base}/"
        self.names: dict[str, str] = {}

    def rewritten(self, text: str, page: str) -> str:
        """Name what a page loads by its new name."""

        def address(found: re.Match[str]) -> str:
            before, opening, written, closing = found.groups()
            return f"{before}{opening}{self._new(written, page)}{closing}"

        def tag(found: re.Match[str]) -> str:
            return _ADDRESS.sub(address, found.group(0))

        return _TAG.sub(tag, text)

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
