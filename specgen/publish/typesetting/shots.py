"""Pictures of a build as files of the site, in several widths: for its sheet and for lists."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from specgen.archive.model.build import Build
from specgen.archive.model.record import Picture
from specgen.archive.pictures import PictureError, Rendition, renditions
from specgen.publish import addresses


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture with its renditions, narrowest first, and the addresses they get."""

    picture: Picture
    renditions: tuple[Rendition, ...]
    addresses: tuple[str, ...]

    @property
    def files(self) -> Iterator[tuple[str, bytes]]:
        """Address and bytes of every file."""
        pairs = zip(self.addresses, self.renditions, strict=True)
        return ((address, rendition.data) for address, rendition in pairs)


def shots_of(root: str, build: Build) -> tuple[Shot, ...]:
    """Resize a build's pictures; one that has gone since the archive was read is left out."""
    taken: set[str] = set()
    found = []
    for picture in build.pictures:
        try:
            made = renditions(Path(root) / build.id / picture.file.value)
        except (OSError, PictureError):
            continue
        stem = _stem(picture.file.value, taken)
        names = (f"pictures/{stem}-{item.width}.webp" for item in made)
        found.append(Shot(picture, made, tuple(addresses.build_file(build.id, it) for it in names)))
    return tuple(found)


def cover_of(root: str, build: Build) -> Shot | None:
    """The picture that stands for a build in a list: its first that can be shown."""
    return next(iter(shots_of(root, build)), None)


def _stem(file: str, taken: set[str]) -> str:
    """A plain name for a picture's files; two pictures of one name are counted."""
    plain = re.sub(r"[^a-z0-9]+", "-", Path(file).stem.lower()).strip("-") or "picture"
    name, number = plain, 1
    while name in taken:
        number += 1
        name = f"{plain}-{number}"
    taken.add(name)
    return name
