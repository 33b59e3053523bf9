"""The workshop's mark: its own picture, or the first letters of its name on its colour."""

from __future__ import annotations

import base64
import html
import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from specgen.archive.model.build import Archive, Settings
from specgen.archive.phrases.colour import lightened
from specgen.archive.pictures import PictureError, Rendition, pixels_of, renditions
from specgen.publish import addresses

#: The accent where a workshop has named none, and the ground that its lighter tone stands on.
ACCENT, DARK_GROUND = "#0a5a72", "#15191d"
#: Width of the picture inside the mark [px]: four times what it is shown at, for any screen.
_WIDTH = 160


def mark(archive: Archive) -> str:
    """The mark as one SVG file: a picture inside it, or letters."""
    picture = _picture(archive)
    inside = picture or _letters(archive.settings)
    # the size is that on paper, where no style can say another; on a screen styles do
    size = 'width="20" height="20" viewBox="0 0 40 40"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{inside}</svg>\n'


def initials(name: str) -> str:
    """The first letters of a name's first two words; what stands in brackets is not part of it."""
    words = re.findall(r"\w+", re.sub(r"\(.*?\)", "", name))
    return "".join(word[0] for word in words[:2]).upper() or "·"


def accents(settings: Settings) -> tuple[str, str]:
    """The accent for light pages, and the tone of it for dark ones."""
    light = settings.accent.value.lower() if settings.accent else ACCENT
    return light, lightened(light, DARK_GROUND, 7.0)


def accent_style(settings: Settings) -> str:
    """Rules that put a workshop's own colour in place of ours; nothing where it has none."""
    if settings.accent is None:
        return ""
    light, dark = accents(settings)
    scheme = '[data-md-color-scheme="slate"],[data-bs-theme="dark"]'
    rule = "--sg-accent:{0};--md-accent-fg-color:{0};--md-typeset-a-color:{0}"
    return f":root,:root>*{{{rule.format(light)}}}{scheme}{{{rule.format(dark)}}}\n"


def own_styles(settings: Settings) -> dict[str, str]:
    """What is a workshop's own in the site's styles, by the address of the style it follows."""
    return {addresses.LOOK: accent_style(settings), addresses.STYLE: paper_style(settings)}


def paper_style(settings: Settings) -> str:
    """The rule by which the head of every page of paper knows the workshop's name."""
    return f":root{{--sg-workshop:{_css_text(settings.name.value)}}}\n"


def _css_text(text: str) -> str:
    """A text as style sheets write it: no sign of it ends the text or means anything else."""
    plain = "".join(it if it.isalnum() or it in " ,.()-" else f"\\{ord(it):x} " for it in text)
    return f'"{plain}"'


def own_pixels(archive: Archive) -> NDArray[np.uint8] | None:
    """The workshop's own picture as pixels, of shape (height, width, 4); None without one."""
    found = _rendition(archive)
    return None if found is None else pixels_of(found)


def _rendition(archive: Archive) -> Rendition | None:
    if archive.settings.mark is None:
        return None
    try:
        (*_, last) = renditions(Path(archive.root) / archive.settings.mark.value, (_WIDTH,))
    except (OSError, PictureError):
        return None
    return last


def _picture(archive: Archive) -> str:
    """The workshop's own picture, inside the drawing; nothing where there is none to show."""
    last = _rendition(archive)
    if last is None:
        return ""
    data = base64.b64encode(last.data).decode("ascii")
    return f'<image width="40" height="40" href="data:{last.media_type};base64,{data}"/>'


def _letters(settings: Settings) -> str:
    """The letters above a graduated rule, white on the accent."""
    ground = f'<path fill="{accents(settings)[0]}" d="M0 0h40v40H0z"/>'
    ticks = "".join(f"M{6 + 4 * at} 36v-{5 if at in (0, 7) else 2.5}" for at in range(8))
    rule = f'<path d="M6 36h28{ticks}" fill="none" stroke="#fff" stroke-width="1"/>'
    text = html.escape(initials(settings.name.value))
    letters = (
        '<text x="20" y="26" text-anchor="middle" font-family="Georgia,serif" font-size="20" '
        f'fill="#fff">{text}</text>'
    )
    return ground + rule + letters
