"""Which files a build's figures rest on: its own, the settings, and its blower's."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping

#: The file of a build, and the settings of all.
BUILD, SETTINGS = "build.yaml", "archive.yaml"
_READ = (".yaml", ".csv")
_BLOWER = re.compile(rb"""\bblower:\s*["']?([a-z0-9][a-z0-9-]*)""")


#: Keys of the settings on which no figure rests: what the archive is called and how it is shown.
_SHOWN = (
    "name", "summary", "units", "mark", "accent", "signatures", "chart_files", "licence", "authors",
)  # fmt: skip
#: A line that says nothing, and a key of the settings with all that stands below it.
_REMARK = re.compile(rb"^[ \t]*(?:#.*)?\r?\n", re.MULTILINE)
_KEY = re.compile(rb"^([a-z_]+) *:.*\n(?:[ \t-].*\n)*", re.MULTILINE)


def is_read(path: str) -> bool:
    """Whether figures can rest on a file of a build; on its pictures none does."""
    return path.endswith(_READ)


def blower_of(data: bytes) -> str | None:
    """The id of the blower that a build's file names, without reading its other thousand keys."""
    found = _BLOWER.search(data)
    return found[1].decode("ascii") if found else None


def settings_of(data: bytes) -> str:
    """A name for what figures rest on in the settings: the same where only others were changed."""
    told = _REMARK.sub(b"", data + b"\n")
    told = _KEY.sub(lambda it: b"" if it[1].decode() in _SHOWN else it[0], told)
    return hashlib.sha256(told).hexdigest()


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
