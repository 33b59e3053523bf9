"""A reading against its limits, drawn the size of a word: where it lies, by place and by shape.

The verdict stands beside it in words, so the drawing is hidden from screen readers.
"""

from __future__ import annotations

from math import isfinite

from specgen.analysis.record.clearances import Verdict
from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.scale import Scale

_WIDTH, _HEIGHT = 84.0, 16.0
#: Pixels between which a range with two ends is drawn, and where a lone end stands.
_LOW, _HIGH = 18.0, 66.0
_EDGE = 5.0


def clearance_mark(value: float, low: float, high: float, verdict: Verdict) -> str:
    """Draw a reading on its range; an open end is infinite.

    A full dot lies in the range, an open ring near its edge, a cross out of it; what lies far out
    stands at the drawing's edge.
    """
    x = min(max(_scale(low, high)(value), _EDGE), _WIDTH - _EDGE)
    body = _range(low, high) + _SHAPES.get(verdict, _dot)(x)
    frame: dict[str, str | float] = {
        "class": "sg-mark",
        "width": _WIDTH,
        "height": _HEIGHT,
        "viewBox": f"0 0 {svg.number(_WIDTH)} {svg.number(_HEIGHT)}",
        "aria-hidden": "true",
    }
    return svg.tag("svg", frame, body)


def _scale(low: float, high: float) -> Scale:
    """Both ends at their places; a lone end at its own, with zero or its double at the other."""
    if isfinite(low) and isfinite(high) and high > low:
        return Scale(low, high, _LOW, _HIGH)
    end = low if isfinite(low) else high
    reach = abs(end) or 1.0
    if isfinite(low):
        return Scale(end, end + reach, _LOW, _WIDTH)
    return Scale(end - reach, end, 0.0, _HIGH)


def _range(low: float, high: float) -> str:
    """The range as a line, a tick at each end that there is."""
    left = _LOW if isfinite(low) else 0.0
    right = _HIGH if isfinite(high) else _WIDTH
    if low == high:
        left, right = (_LOW, _LOW)
    line = f"M{svg.number(left)} 8H{svg.number(right)}"
    ends = [(_LOW, low), (_HIGH, high)] if low != high else [(_LOW, low)]
    ticks = "".join(f"M{svg.number(x)} 2V14" for x, end in ends if isfinite(end))
    return svg.tag("path", {"d": line + ticks, **svg.paint("stroke", inks.MUTED), "fill": "none"})


def _dot(x: float) -> str:
    return svg.tag("circle", {"cx": x, "cy": 8, "r": 3.5, "fill": "currentColor"})


def _ring(x: float) -> str:
    stroke: dict[str, str | float] = {"stroke": "currentColor", "stroke-width": 1.6}
    ring = {**stroke, **svg.paint("fill", inks.GROUND)}
    return svg.tag("circle", {"cx": x, "cy": 8, "r": 3.5, **ring})


def _cross(x: float) -> str:
    data = f"M{svg.number(x - 4)} 4l8 8m0-8l-8 8"
    return svg.tag("path", {"d": data, "stroke": "currentColor", "stroke-width": 2})


_SHAPES = {"in": _dot, "near the edge": _ring, "out": _cross}
