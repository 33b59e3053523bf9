"""The fonts that a test's browser sees, so that nothing measured rests on what a machine has.

A configuration of fontconfig names one family as every generic family; the browser is started with
it. Hinting is slight, as Debian sets it: full hinting rounds each letter to whole pixels. DejaVu is
the one that matplotlib carries, so that it is there wherever the tests run.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

from fontTools.ttLib import TTFont

#: Where Debian puts its fonts, by the family's name.
DEBIAN = {
    "Liberation Sans": Path("/usr/share/fonts/truetype/liberation"),
    "Noto Sans": Path("/usr/share/fonts/truetype/noto"),
}
#: The package that brings a family.
PACKAGES = {"Liberation Sans": "fonts-liberation", "Noto Sans": "fonts-noto-core"}
#: The family that all tests of pages are measured with unless they say otherwise.
USUAL = "DejaVu Sans"
#: A family of our own making: DejaVu with every letter wider by this.
WIDE, WIDER_BY = "Wide Sans", 1.15
FAMILIES = (USUAL, WIDE, *DEBIAN)

_FILES = (
    "DejaVuSans.ttf",
    "DejaVuSans-Bold.ttf",
    "DejaVuSans-Oblique.ttf",
    "DejaVuSans-BoldOblique.ttf",
    "DejaVuSansMono.ttf",
    "DejaVuSansMono-Bold.ttf",
)

_CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
<dir>{folder}</dir>
<cachedir>{cache}</cachedir>
<match target="font"><edit name="hintstyle" mode="assign"><const>hintslight</const></edit></match>
{aliases}
</fontconfig>
"""
_ALIAS = (
    '<match target="pattern"><test name="family"><string>{asked}</string></test>'
    '<edit name="family" mode="assign" binding="strong"><string>{family}</string></edit></match>'
)
_GENERIC = ("sans-serif", "serif", "system-ui", "Arial", "Helvetica", "Roboto")


def missing(family: str) -> str:
    """Why a family cannot be measured with on this machine; empty if it can."""
    folder = DEBIAN.get(family)
    if folder is None or folder.is_dir():
        return ""
    return f"{family} is not installed: apt install {PACKAGES[family]}"


def configuration(family: str, folder: Path) -> Path:
    """Write the configuration that shows a browser one family only, into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    fonts = DEBIAN.get(family) or _carried(folder / "fonts", WIDER_BY if family == WIDE else 1.0)
    aliases = [_ALIAS.format(asked=asked, family=family) for asked in _GENERIC]
    mono = {USUAL: "DejaVu Sans Mono", WIDE: "Wide Sans Mono"}.get(family)
    if mono:
        aliases.append(_ALIAS.format(asked="monospace", family=mono))
    path = folder / "fonts.conf"
    text = _CONFIGURATION.format(folder=fonts, cache=folder / "cache", aliases="\n".join(aliases))
    path.write_text(text, encoding="utf-8")
    return path


def _carried(folder: Path, factor: float) -> Path:
    """Write DejaVu, as matplotlib carries it, with every letter wider by a factor."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in _FILES:
        (folder / name).write_bytes(_original(name))
        if factor != 1.0:
            _widen(folder / name, factor)
    return folder


@cache
def _original(name: str) -> bytes:
    return (files("matplotlib") / "mpl-data" / "fonts" / "ttf" / name).read_bytes()


def _widen(path: Path, factor: float) -> None:
    """Give every letter more room and the family another name; the letters' shapes stay."""
    font = TTFont(path)
    font["hmtx"].metrics = {
        name: (round(width * factor), side) for name, (width, side) in font["hmtx"].metrics.items()
    }
    for record in font["name"].names:
        text = record.toUnicode().replace("DejaVu Sans", WIDE).replace("DejaVuSans", "WideSans")
        record.string = text
    font.save(path)
