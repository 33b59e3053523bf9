"""The texts of an archive that figures of a blower rest on, for the names of what is kept."""

from __future__ import annotations

from specgen.archive.model.build import Archive, Blower

#: The file whose text every figure rests on.
_SETTINGS = "archive.yaml"


def settings_text(archive: Archive) -> str:
    """What the settings say; empty where there is no such file."""
    return archive.sources.get(_SETTINGS, "")


def blower_texts(archive: Archive, blower: Blower | None) -> tuple[str, ...]:
    """The texts of a blower's file and of its map; none of no blower."""
    if blower is None:
        return ()
    files = [blower.place.file]
    if blower.performance is not None:
        files.append(f"blowers/{blower.performance.value}")
    return tuple(archive.sources.get(file, "") for file in files)
