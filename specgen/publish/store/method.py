"""The version of all that makes figures and pages: the bytes of its sources, and of its libraries.

A version number would be forgotten while somebody works on a formula; the bytes are not.
"""

from __future__ import annotations

import hashlib
import sys
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

_PACKAGE = Path(__file__).parents[2]
_ENDINGS = {".py", ".jinja", ".json"}
#: Libraries whose version may change a figure, a drawing or a page.
_LIBRARIES = ("jinja2", "markupsafe", "matplotlib", "numpy", "pillow", "scipy", "segno")


@cache
def method() -> str:
    """The hash of everything that turns an archive into pages; the same for the same program."""
    digest = hashlib.sha256(sys.version.encode("utf-8"))
    for file in sorted(_PACKAGE.rglob("*")):
        if file.suffix in _ENDINGS:
            digest.update(file.relative_to(_PACKAGE).as_posix().encode("utf-8"))
            digest.update(hashlib.sha256(file.read_bytes()).digest())
    for library in _LIBRARIES:
        try:
            digest.update(f"{library} {version(library)}".encode())
        except PackageNotFoundError:
            continue
    return digest.hexdigest()
