"""The pictures of a build as its sheet shows them, each leading to its largest rendition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.publish.addresses import Links
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.shots import Shot

#: How wide a picture stands on a page, for the browser's choice of a rendition.
SIZES = "(max-width: 600px) 92vw, (max-width: 1000px) 45vw, 380px"


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
