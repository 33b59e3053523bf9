"""Pictures of a build as files of the site, in several widths, and the figures that show them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from markupsafe import Markup

from specgen.archive.model.build import Build
from specgen.archive.model.record import Picture
from specgen.archive.pictures import PictureError, Rendition, renditions
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.rendering import Context, rendered

#: How wide a picture stands on a page, for the browser's choice of a rendition.
SIZES = "(max-width: 600px) 92vw, (max-width: 1000px) 45vw, 380px"


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


def _stem(file: str, taken: set[str]) -> str:
    """A plain name for a picture's files; two pictures of one name are counted."""
    plain = re.sub(r"[^a-z0-9]+", "-", Path(file).stem.lower()).strip("-") or "picture"
    name, number = plain, 1
    while name in taken:
        number += 1
        name = f"{plain}-{number}"
    taken.add(name)
    return name


@dataclass(frozen=True, slots=True)
class Shown:
    """One picture as a sheet shows it.

    `alt`, `caption`: its words; `src`, `width`, `height`: the smallest rendition; `srcset`: all of
    them; `large`, `large_width`, `large_height`: the largest.
    """

    alt: str
    caption: str
    src: str
    srcset: Markup
    width: int
    height: int
    large: str
    large_width: int
    large_height: int


@dataclass(frozen=True, slots=True)
class Pictures(Context):
    """The pictures of a build.

    `shown`: address, sizes and words of each; `sizes`: how wide they stand, for the browser.
    """

    template: ClassVar[str] = "sheet/record/pictures.jinja"
    shown: Sequence[Shown]
    sizes: str


def pictures(shots: Sequence[Shot], links: Links) -> Markup:
    """Print the pictures of a sheet; each leads to its largest rendition."""
    if not shots:
        return Markup("")
    shown = [_shown(shot, links) for shot in shots]
    return rendered(Pictures(shown=shown, sizes=SIZES))


def _shown(shot: Shot, links: Links) -> Shown:
    hrefs = [links.to(address) for address in shot.addresses]
    widths = [item.width for item in shot.renditions]
    pairs = zip(hrefs, widths, strict=True)
    first, last = shot.renditions[0], shot.renditions[-1]
    return Shown(
        alt=shot.picture.alt.value,
        caption=shot.picture.caption.value if shot.picture.caption else "",
        src=hrefs[0],
        srcset=Markup(", ".join(f"{href} {width}w" for href, width in pairs)),
        width=first.width,
        height=first.height,
        large=hrefs[-1],
        large_width=last.width,
        large_height=last.height,
    )
