"""The first back of a canvas: inline SVG, written straight, for the middle of a page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import groupby
from typing import Any

from specgen.publish.charts.papers import svg
from specgen.publish.charts.papers.canvas import (
    Arc,
    Area,
    Canvas,
    Circle,
    Curve,
    Mark,
    Stroke,
    Words,
)

Attributes = dict[str, str | float]

#: Words of one look from which on a group is shorter.
_MANY = 3
#: How a colour is said: `svg.paint` or `svg.by_class`.
Paint = Callable[[str, str], dict[str, str]]
_ANCHORS = {"center": "middle", "right": "end"}
#: The type size that every drawing's root says.
_TYPE = float(svg.INHERITED["font-size"])


def inline(
    canvas: Canvas, *, name: str, title: str, description: str, classes: str, said_by: str = ""
) -> str:
    """Write a canvas as inline SVG on one line: the same bytes for the same drawing.

    `name` must be unique on the page and heads every id. Roles become classes that begin with
    "sg-c-". A drawing whose classes end in "narrow" is hidden until a style sheet shows it. Its
    words stand once where `said_by` names the drawing beside it that has them; such a one is seen
    by a style sheet alone and leaves its colours to that.
    """
    paint = svg.by_class if said_by else svg.paint
    runs = (list(run) for _, run in groupby(canvas.marks, key=_look))
    body = "".join(_written(run, paint) for run in runs)
    return svg.root(
        (canvas.width, canvas.height),
        body,
        name=name,
        title=title,
        description=description,
        classes=classes,
        hidden=classes.endswith("narrow"),
        said_by=said_by,
    )


def _head(role: str, paint: Paint, **paints: str) -> tuple[Attributes, Attributes]:
    """The class of a mark, and its paints: `stroke` and `fill` as `paint` gives colours."""
    classes = [f"sg-c-{name}" for name in role.split()]
    painted: Attributes = {}
    for use, colour in paints.items():
        if colour:
            attributes = paint(use, colour)
            classes += [named] if (named := attributes.pop("class", "")) else []
            painted |= attributes
    return ({"class": " ".join(classes)} if classes else {}), painted


def _opacity(opacity: float | None) -> Attributes:
    return {} if opacity is None else {"opacity": opacity}


def _width(width: float) -> Attributes:
    """A line's width; one pixel is SVG's own."""
    return {} if width == 1 else {"stroke-width": width}


def _stroke(mark: Stroke, paint: Paint) -> str:
    head, painted = _head(mark.role, paint, stroke=mark.colour)
    dashed: Attributes = {}
    if mark.dash:
        dashed["stroke-dasharray"] = ",".join(map(svg.number, mark.dash))
        dashed["stroke-linecap"] = "butt"  # a round end would fill the gaps
    way = {"d": svg.outline(mark.runs)}
    return svg.tag(
        "path", head | way | painted | _width(mark.width) | dashed | _opacity(mark.opacity)
    )


def _area(mark: Area, paint: Paint) -> str:
    head, painted = _head(mark.role, paint, fill=mark.colour)
    return svg.tag(
        "path", head | {"d": svg.outline([mark.points])} | painted | _opacity(mark.opacity)
    )


def _circle(mark: Circle, paint: Paint) -> str:
    head, painted = _head(mark.role, paint, fill=mark.fill, stroke=mark.edge)
    x, y = mark.centre
    return svg.tag("circle", head | {"cx": x, "cy": y, "r": mark.radius} | painted)


def _curve(mark: Curve, paint: Paint) -> str:
    head, painted = _head(mark.role, paint, stroke=mark.colour)
    way = "M" + svg.pair(*mark.start) + "".join(map(_step, mark.steps)) + "Z" * mark.closed
    ends: Attributes = {"stroke-linecap": "butt"} if mark.blunt else {}
    return svg.tag(
        "path", head | {"d": way} | painted | _width(mark.width) | ends | _opacity(mark.opacity)
    )


def _step(step: tuple[float, float] | Arc) -> str:
    if not isinstance(step, Arc):
        return "L" + svg.pair(*step)
    radius = svg.number(step.radius)
    return f"A{radius} {radius} 0 {step.large:d} {step.clockwise:d} {svg.pair(*step.end)}"


def _words(mark: Words, paint: Paint, look: Attributes | None = None) -> str:
    """Write a text; what a group has said of its `look` already is left out."""
    head, _ = _head(mark.role, paint)
    own = {} if look is not None else _lettering(mark, paint)
    if named := own.pop("class", ""):
        head["class"] = f"{head.get('class', '')} {named}".strip()
    place: Attributes = {"x": mark.x, "y": mark.y}
    body = svg.written(mark.text)
    return svg.tag("text", head | place | own | _opacity(mark.opacity), body)


def _lettering(mark: Words, paint: Paint) -> Attributes:
    """How words look, wherever they stand and whatever they say."""
    look: Attributes = {}
    if mark.anchor in _ANCHORS:
        look["text-anchor"] = _ANCHORS[mark.anchor]
    if mark.bold:
        look["font-weight"] = "600"
    if mark.size != _TYPE:
        look["font-size"] = mark.size
    return {**look, **paint("fill", mark.colour)}


def _look(mark: Mark) -> object:
    """What neighbouring marks have in common where they can be written as a group."""
    return (
        tuple(sorted(_lettering(mark, svg.paint).items())) if isinstance(mark, Words) else id(mark)
    )


def _written(run: list[Mark], paint: Paint) -> str:
    """Write marks of one look: many words as a group that says it once."""
    words = [mark for mark in run if isinstance(mark, Words)]
    if len(words) < _MANY:
        return "".join(_WRITERS[type(mark)](mark, paint) for mark in run)
    look = _lettering(words[0], paint)
    return svg.tag("g", look, *(_words(mark, paint, look) for mark in words))


_WRITERS: Mapping[type, Callable[[Any, Paint], str]] = {
    Stroke: _stroke,
    Area: _area,
    Circle: _circle,
    Curve: _curve,
    Words: _words,
}
