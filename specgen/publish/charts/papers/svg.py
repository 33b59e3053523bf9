"""Drawings as inline SVG: written small, coloured by class, safe under a strict policy.

`inline` writes canvases with it; small marks are written by hand. None has a `style` attribute
or element, so a Content-Security-Policy without `unsafe-inline` shows them. Colours become classes
that `charts.css` sets for light, dark and print; the light colour stays behind as a presentation
attribute for readers without that file, but in drawings that only that file shows.
Nothing here knows what a drawing shows.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from html import escape

from specgen.publish.charts.papers.inks import GRID, GROUND, INK, MUTED, SERIES_COLOURS

_NAMES = {colour: str(number) for number, colour in enumerate(SERIES_COLOURS, start=1)}
_NAMES |= {MUTED: "muted", GRID: "grid", GROUND: "ground"}
#: What Markdown, its extensions and macro plugins react to, should a drawing pass through them.
_LIVE = re.compile(r"[\\`*_{}\[\]~^$|!@%#]|--+")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff\ud800-\udfff]")
#: What every drawing's root says, so that its elements need not.
INHERITED = {
    "fill": "none",
    "font-size": "13",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}


def class_of(colour: str, use: str) -> str:
    """The class that sets a colour: `use` is "stroke" or "fill"; empty for ink and others."""
    name = _NAMES.get(colour.lower())
    return f"sg-{use[0]}-{name}" if name and not name.isdigit() else f"sg-{use[0]}{name or ''}"


def plain(text: str) -> str:
    """A text without the control characters that XML forbids, on one line."""
    return " ".join(_CONTROL.sub("", text.replace("\t", " ").replace("\n", " ")).split(" "))


def spoken(text: str) -> str:
    """A text as a screen reader should get it: "6 400" with a thin space is read as 6, then 400."""
    return re.sub(r"(?<=\d)\u202f(?=\d)", "", text).replace("\u202f", " ")


def written(text: str) -> str:
    """A text as content of an element: no markup of HTML or Markdown is left alive in it."""
    return _LIVE.sub(
        lambda found: "".join(f"&#{ord(character)};" for character in found.group()),
        escape(plain(text), quote=False),
    )


def number(value: float) -> str:
    """A coordinate with at most two decimals and nothing superfluous."""
    return _hundredths(_counted(value))


def _counted(value: float) -> int:
    """A coordinate in hundredths; what is nowhere stands at zero."""
    return round(value * 100) if math.isfinite(value) else 0


@lru_cache(maxsize=65536)  # drawings are a few hundred pixels wide, and steps between points short
def _hundredths(count: int) -> str:
    """So many hundredths as a number."""
    shown = f"{count / 100:.2f}".rstrip("0").rstrip(".")
    return shown.replace("0.", ".", 1) if shown.startswith(("0.", "-0.")) else shown


def tag(name: str, attributes: Mapping[str, str | float], *children: str) -> str:
    """Write one element; attribute values are escaped, children are markup already."""
    written = "".join(
        f' {key}="{escape(value if isinstance(value, str) else number(value))}"'
        for key, value in attributes.items()
    )
    inside = "".join(children)
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def paint(use: str, colour: str) -> dict[str, str]:
    """Attributes that colour a stroke or a fill by class, with the light colour to fall back on."""
    if colour == INK:
        return by_class(use, colour)
    return {**by_class(use, colour), use: colour}


def by_class(use: str, colour: str) -> dict[str, str]:
    """Attributes that colour a stroke or a fill by class alone."""
    return {use: "currentColor"} if colour == INK else {"class": class_of(colour, use)}


def root(
    size: tuple[float, float],
    body: str,
    *,
    name: str,
    title: str,
    description: str,
    classes: str,
    hidden: bool = False,
    said_by: str = "",
) -> str:
    """Wrap a drawing in its svg element, with words for those who cannot see it.

    `name` is unique on the page and heads every id; where `said_by` names another drawing of the
    page, the words are that one's. `hidden` hides the drawing where no style
    sheet shows it, so that a page without styles does not show a wide and a narrow one.
    """
    width, height = size
    attributes: dict[str, str | float] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": classes,
        "width": width,
        "height": height,
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "role": "img",
        "aria-labelledby": f"{said_by or name}-title",
        "aria-describedby": f"{said_by or name}-desc",
        **INHERITED,
    }
    if hidden:
        attributes["display"] = "none"
    if said_by:
        return tag("svg", attributes, body)
    words = tag("title", {"id": f"{name}-title"}, written(spoken(title)))
    words += tag("desc", {"id": f"{name}-desc"}, written(spoken(description)))
    return tag("svg", attributes, words, body)


def outline(runs: Iterable[Sequence[tuple[float, float]]]) -> str:
    """Write runs of straight steps as a path: relative steps, which are half as long.

    Steps are taken between rounded points, so that rounding does not add up. A run that goes
    nowhere is written as a step of no length, which round ends make a dot.
    """
    parts: list[str] = []
    for run in runs:
        (x, y), *rest = [(_counted(a), _counted(b)) for a, b in run]
        parts.append("M" + _pair(x, y))
        letter = "l"
        for a, b in rest:
            if a != x or b != y:
                step = _pair(a - x, b - y)
                parts.append(letter + step if letter or step[0] == "-" else " " + step)
                letter = ""
                x, y = a, b
        if letter:
            parts.append("h0")
        elif len(rest) == 1:
            parts[-1] = _straight(parts[-1])
    return "".join(parts)


def _straight(step: str) -> str:
    """A lone step, shorter where it runs along an axis."""
    x, _, y = step[1:].partition(" ")
    return f"h{x}" if y == "0" else f"v{y}" if x == "0" and y else step


def pair(x: float, y: float) -> str:
    """Two coordinates, with a space between them where it is needed."""
    return _pair(_counted(x), _counted(y))


def _pair(x: int, y: int) -> str:
    """Two coordinates in hundredths."""
    second = _hundredths(y)
    return _hundredths(x) + ("" if second[0] == "-" else " ") + second
