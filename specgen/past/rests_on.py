"""Which files a build's figures rest on: its own, the settings, and its blower's."""

from __future__ import annotations

import re
from collections.abc import Mapping

#: The file of a build, and the settings of all.
BUILD, SETTINGS = "build.yaml", "archive.yaml"
_READ = (".yaml", ".csv")
_BLOWER = re.compile(rb"""\bblower:\s*["']?([a-z0-9][a-z0-9-]*)""")


def is_read(path: str) -> bool:
    """Whether figures can rest on a file of a build; on its pictures none does."""
    return path.endswith(_READ)


def blower_of(data: bytes) -> str | None:
    """The id of the blower that a build's file names, without reading its other thousand keys."""
    found = _BLOWER.search(data)
    return found[1].decode("ascii") if found else None


def shared_of(files: Mapping[str, str], blower: str | None) -> dict[str, str]:
    """Those of an archive's shared files that a build rests on: the settings, its blower's."""
    return {path: blob for path, blob in files.items() if path == SETTINGS or _is_of(path, blower)}


def _is_of(path: str, blower: str | None) -> bool:
    """Whether it is a blower's file, or a measured map, of which there are few."""
    if blower is None:
        return False
    return path == f"blowers/{blower}.yaml" or (
        path.startswith("blowers/") and path.endswith(".csv")
    )
