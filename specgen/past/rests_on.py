"""Which files a build's figures rest on: its own, the settings, and its blower's."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping

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


def is_map(path: str) -> bool:
    """Whether a file is a measured map of a blower, of which there are few."""
    return path.startswith("blowers/") and path.endswith(".csv")


def shared_of(files: Mapping[str, str], maps: Iterable[str], blower: str | None) -> dict[str, str]:
    """Those of an archive's files that a build shares: the settings, its blower's, `maps` with it.

    An archive has thousands of files, so that these are looked up and not looked for.
    """
    names = [SETTINGS, *([f"blowers/{blower}.yaml", *maps] if blower is not None else ())]
    return {name: files[name] for name in names if name in files}
