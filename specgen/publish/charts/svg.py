"""Drawings as inline SVG: written small, coloured by class, safe under a strict policy.

Two doors: `inline` turns the SVG that matplotlib writes into a drawing for the middle of a page
and `tag` writes small drawings by hand. Neither leaves a `style` attribute or element, so a
Content-Security-Policy without `unsafe-inline` shows them. Colours become classes that
`assets/charts.css` sets for light, dark and print; the light colour stays behind as a presentation
attribute for readers without that file. Nothing here knows what a drawing shows.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from html import escape
from xml.etree import ElementTree

#: Checked for 3:1 against white; the dark counterparts stand in assets/charts.css.
SERIES_COLOURS = ("#0072b2", "#d55e00", "#007a5a", "#aa4499", "#7a6000", "#117fa8")
INK = "#1b1b1b"
MUTED = "#5c5f66"
GRID = "#dcdee2"
GROUND = "#fefefe"

_NAMES = {colour: str(number) for number, colour in enumerate(SERIES_COLOURS, start=1)}
_NAMES |= {MUTED: "muted", GRID: "grid", GROUND: "ground"}
_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_TOKEN = re.compile(rf"{_NUMBER.pattern}|[A-Za-z]")
_REFERENCE = re.compile(r"#([\w.-]+)")
#: What Markdown, its extensions and macro plugins react to, should a drawing pass through them.
_LIVE = re.compile(r"[\\`*_{}\[\]~^$|!@%#]|--+")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff\ud800-\udfff]")
_PAINT = ("fill", "stroke")
_KEPT = frozenset(
    (
        *("fill-opacity", "fill-rule", "opacity", "stroke-opacity", "stroke-width"),
        *("stroke-dasharray", "stroke-linecap", "font-size", "font-weight", "text-anchor"),
    )
)
_GEOMETRY = frozenset(
    ("d", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "width", "height", "points")
)
#: What every drawing's root says, so that its elements need not.
_INHERITED = {
    "fill": "none",
    "font-size": "13",
    "stroke-linecap": "round",
    "stroke-linejoin": "round",
}
_UNSAID = {**_INHERITED, "text-anchor": "start"}


def colour_of(group: int) -> str:
    """The light colour of the thing with this index; the seventh thing starts over."""
    return SERIES_COLOURS[group % len(SERIES_COLOURS)]


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
    shown = f"{value:.2f}".rstrip("0").rstrip(".")
    if shown in ("-0", ""):
        return "0"
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
        return {use: "currentColor"}
    return {"class": class_of(colour, use), use: colour}


def text(x: float, y: float, words: str, **attributes: str | float) -> str:
    """Write a text element; keyword names carry underscores for hyphens."""
    named = {key.replace("_", "-"): value for key, value in attributes.items()}
    return tag("text", {"x": x, "y": y, "fill": "currentColor", **named}, written(words))


def root(
    size: tuple[float, float],
    body: str,
    *,
    name: str,
    title: str,
    description: str,
    classes: str,
    hidden: bool = False,
) -> str:
    """Wrap a drawing in its svg element, with words for those who cannot see it.

    `name` is unique on the page and heads every id. `hidden` hides the drawing where no style
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
        "aria-labelledby": f"{name}-title {name}-desc",
        **_INHERITED,
    }
    if hidden:
        attributes["display"] = "none"
    words = tag("title", {"id": f"{name}-title"}, written(spoken(title)))
    words += tag("desc", {"id": f"{name}-desc"}, written(spoken(description)))
    return tag("svg", attributes, words, body)


def inline(markup: str, *, name: str, title: str, description: str, classes: str) -> str:
    """Turn a whole SVG file as matplotlib writes it into inline SVG on one line.

    `name` must be unique on the page: every id that is referred to is headed by it. A group id
    that starts with "sg-" (an artist's gid) becomes a class; other ids go. A drawing whose
    classes end in "narrow" is hidden until a style sheet shows it. Raises ValueError for markup
    that is no SVG.
    """
    try:
        tree = ElementTree.fromstring(markup)
    except ElementTree.ParseError as error:
        raise ValueError(f"not an SVG drawing: {error}") from error
    if tree.tag != f"{_SVG}svg":
        raise ValueError(f"not an SVG drawing: the root element is {tree.tag}")
    _, _, width, height = (float(cell) for cell in tree.attrib["viewBox"].split())
    referenced = _referenced(tree)
    body = "".join(_write(child, name, referenced) for child in tree)
    return root(
        (width, height),
        body,
        name=name,
        title=title,
        description=description,
        classes=classes,
        hidden=classes.endswith("narrow"),
    )


def _referenced(tree: ElementTree.Element) -> frozenset[str]:
    """Ids that something in the drawing refers to."""
    values = (value for element in tree.iter() for value in element.attrib.values() if "#" in value)
    return frozenset(found for value in values for found in _REFERENCE.findall(value))


def _write(element: ElementTree.Element, name: str, referenced: frozenset[str]) -> str:
    """Write an element and what is in it; groups that say nothing dissolve into their content."""
    tag_name = str(element.tag).removeprefix(_SVG)
    if tag_name in ("metadata", "style"):
        return ""
    attributes = _attributes(element, name, referenced)
    children = [_write(child, name, referenced) for child in element]
    if tag_name in ("g", "defs") and not any(children):
        return ""
    if tag_name == "g" and not attributes:
        return "".join(children)
    if tag_name == "g" and set(attributes) == {"class"} and len(children) == 1:
        return _joined_class(children[0], str(attributes["class"]))
    return tag(tag_name, attributes, written(element.text or "").strip(), *children)


def _joined_class(child: str, classes: str) -> str:
    """Give a group's class to its only child, in place of the group."""
    found = re.match(r'<\w+( class="([^"]*)")?', child)
    if found is None:
        return child
    head = found.group().removesuffix(found[1] or "")
    merged = f"{classes} {found[2]}" if found[2] else classes
    return f'{head} class="{merged}"{child[found.end() :]}'


def _attributes(
    element: ElementTree.Element, name: str, referenced: frozenset[str]
) -> dict[str, str | float]:
    given = {
        key: value
        for key, value in element.attrib.items()
        if key not in ("style", "id") and not (key == "transform" and "rotate(-0 " in value)
    }
    attributes: dict[str, str | float] = {}
    classes: list[str] = []
    identity = element.attrib.get("id", "")
    if identity in referenced:
        attributes["id"] = f"{name}-{identity}"
    elif identity.startswith("sg-"):
        classes.append(identity)
    for key, value in given.items():
        attributes[key if key != _HREF else "href"] = _value(key, value, name)
    painted, more = _presentation(element.attrib.get("style", ""))
    classes += more
    head = {"class": " ".join(classes)} if classes else {}
    return {**head, **attributes, **painted}


def _value(key: str, value: str, name: str) -> str:
    """Shorten a coordinate, prefix a reference."""
    if key == "d":
        return path(value)
    if key in _GEOMETRY or key == "transform":
        return _NUMBER.sub(lambda found: number(float(found.group())), value)
    return _REFERENCE.sub(rf"#{name}-\1", value)


def _presentation(style: str) -> tuple[dict[str, str], list[str]]:
    """Part a style declaration into presentation attributes and colour classes."""
    attributes: dict[str, str] = {}
    classes: list[str] = []
    for key, value in _declarations(style):
        if key in _PAINT and value != "none":
            painted = paint(key, value.lower())
            classes += [painted.pop("class", "")]
            attributes |= painted
        elif key in _KEPT:
            shown = _NUMBER.sub(lambda found: number(float(found.group())), value)
            attributes[key] = shown.removesuffix("px")
    if "stroke-dasharray" in attributes:
        attributes.setdefault("stroke-linecap", "butt")  # SVG's default, which the root changes
    told = {key: value for key, value in attributes.items() if _UNSAID.get(key) != value}
    return told, [item for item in classes if item]


def _declarations(style: str) -> Iterable[tuple[str, str]]:
    """Give each declaration; the font shorthand (matplotlib before 3.10) as its parts."""
    for declaration in style.split(";"):
        key, found, value = declaration.partition(":")
        key, value = key.strip(), value.strip()
        shorthand = re.match(r"(?:(\d{3}|bold) )?([\d.]+)px", value) if key == "font" else None
        if shorthand:
            yield "font-size", f"{shorthand[2]}px"
            if shorthand[1]:
                yield "font-weight", shorthand[1]
        elif found:
            yield key, value


def path(data: str) -> str:
    """Write a path of straight lines with relative steps, which are half as long.

    Steps are taken between rounded points, so that rounding does not add up. Curves (C, Q, A)
    are only rounded.
    """
    tokens = _TOKEN.findall(data)
    if any(token.isalpha() and token not in "MLz" for token in tokens):
        return " ".join(token if token.isalpha() else number(float(token)) for token in tokens)
    parts: list[str] = []
    here = (0.0, 0.0)
    position = 0
    while position < len(tokens):
        command = tokens[position]
        if command == "z":
            parts.append("z")
            position += 1
            continue
        point = (round(float(tokens[position + 1]), 2), round(float(tokens[position + 2]), 2))
        if command == "M":
            parts.append("M" + _pair(*point))
        else:
            parts.append("l" + _pair(point[0] - here[0], point[1] - here[1]))
        here = point
        position += 3
    return _joined(parts)


def _pair(x: float, y: float) -> str:
    second = number(y)
    return number(x) + ("" if second.startswith("-") else " ") + second


def _joined(parts: list[str]) -> str:
    """Join steps: the letter is written once for a run of the same command; dots become h0."""
    written: list[str] = []
    for index, part in enumerate(parts):
        again = index > 0 and part[0] == "l" and parts[index - 1][0] == "l"
        if part == "l0 0":
            written.append("h0")
        elif again and written[-1] != "h0":
            written.append(part[1:] if part[1] == "-" else " " + part[1:])
        else:
            written.append(part)
    return "".join(written)
