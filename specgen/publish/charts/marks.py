"""Drawings the size of a word, for table rows: a band with its dot, and a curve's outline.

Written by hand, without matplotlib: an index has hundreds. The row's own cells say the same in
figures, so a mark is hidden from screen readers unless it is given words.
"""

from __future__ import annotations

import math

import numpy as np

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.scale import Scale
from specgen.publish.charts.series import Floats

_MARK = (120.0, 18.0)
_SPARK = (96.0, 22.0)
_LIMIT = (150.0, 16.0)
_POINTS = 40
#: A margin of this share of the limit is drawn.
_SEEN = 0.01


def ladder_mark(
    value: float | None,
    band_low: float | None,
    band_high: float | None,
    low: float,
    high: float,
    *,
    group: int = 0,
    words: str = "",
) -> str:
    """Draw a predicted band with the measured dot on it, 120 by 18 pixels.

    All values share one unit; `low` and `high` are the scale, the same for each row of a table. A
    missing or NaN value gives a dashed band (planned only), a missing band the dot alone. What
    lies beyond the scale ends in an arrow's head. ValueError unless the scale rises.
    """
    if not low < high:
        raise ValueError(f"the scale runs from {low} to {high}; the second must be larger")
    scale = Scale(low, high, 6.0, _MARK[0] - 6)
    body = _stroke("M6 9h108", inks.GRID, 1)
    known = value is not None and math.isfinite(value)
    body += _band(scale, band_low, band_high, group, planned=not known)
    if value is not None and known:
        body += _dot(scale, value, group)
    return _small(_MARK, body, "sg-mark", words)


def limit_mark(share: float, margin: float = 0.0, *, planned: bool = False) -> str:
    """Draw a bar towards the tick of its limit, 150 by 16 pixels.

    `share` of the limit and its expanded uncertainty `margin`, 1 for the whole; a `planned` bar is
    only outlined. The scale ends at 1.2, and what lies beyond ends there.
    """
    scale = Scale(0.0, 1.2, 1.0, _LIMIT[0] - 1)
    end = min(max(share, 0.0), scale.high)
    bar: dict[str, str | float] = {"x": 1, "y": 4, "width": scale(end) - 1, "height": 8}
    body = _stroke(f"M1 8H{svg.number(scale(1.0))}", inks.GRID, 2)
    if planned:
        edge = svg.paint("stroke", inks.colour_of(0))
        body += svg.tag("rect", {**bar, **edge, "fill": "none", "stroke-dasharray": "3 2"})
    else:
        body += svg.tag("rect", {**bar, **svg.paint("fill", inks.colour_of(0))})
    low, high = (min(max(it, 0.0), scale.high) for it in (share - margin, share + margin))
    if high - low > _SEEN:
        body += _stroke(f"M{svg.number(scale(low))} 8H{svg.number(scale(high))}", inks.INK, 1.5)
    body += _stroke(f"M{svg.number(scale(1.0))} 1v14", inks.INK, 1.5)
    return _small(_LIMIT, body, "sg-mark", "")


def _band(scale: Scale, low: float | None, high: float | None, group: int, *, planned: bool) -> str:
    """The band's box, or nothing where either end is missing or it lies off the scale."""
    if low is None or high is None or not (math.isfinite(low) and math.isfinite(high)):
        return ""
    left, right = (scale(min(max(end, scale.low), scale.high)) for end in sorted((low, high)))
    box: dict[str, str | float] = {"x": left, "y": 4, "width": max(right - left, 1.5), "height": 10}
    colour = inks.colour_of(group)
    body = svg.tag("rect", {**box, **svg.paint("fill", colour), "fill-opacity": "0.22"})
    if planned:
        box |= {"stroke-width": 1, "stroke-dasharray": "3 2"}
        body += svg.tag("rect", {**box, **svg.paint("stroke", colour), "fill": "none"})
    return body


def _dot(scale: Scale, value: float, group: int) -> str:
    """The measured dot; an arrow's head where the value lies beyond the scale."""
    fill = svg.paint("fill", inks.colour_of(group))
    if scale.low <= value <= scale.high:
        ground = svg.tag("circle", {"cx": scale(value), "cy": 9, "r": 5, **_ground()})
        return ground + svg.tag("circle", {"cx": scale(value), "cy": 9, "r": 3.5, **fill})
    points = "119,9 112,5 112,13" if value > scale.high else "1,9 8,5 8,13"
    return svg.tag("polygon", {"points": points, **fill})


def _ground() -> dict[str, str]:
    return svg.paint("fill", inks.GROUND)


def sparkline(
    x: Floats,
    y: Floats,
    *,
    group: int = 0,
    highest: float | None = None,
    words: str = "",
) -> str:
    """Draw a curve's outline from zero, 96 by 22 pixels, with a dot at its peak.

    `x` and `y` have shape (n,); NaN leaves a gap. `highest` is the value at the top edge, to be
    shared by the rows of a table; without it the curve's own peak. An empty string where there
    is nothing to draw. ValueError for unequal shapes.
    """
    if np.shape(x) != np.shape(y):
        raise ValueError(f"speed has shape {np.shape(x)}, values {np.shape(y)}; expected the same")
    known = np.isfinite(x) & np.isfinite(y)
    if not known.any():
        return ""
    top = highest if highest and math.isfinite(highest) else float(y[known].max())
    across = Scale(*_range(float(x[known].min()), float(x[known].max())), 3.0, _SPARK[0] - 3)
    up = Scale(*_range(min(0.0, float(y[known].min())), max(top, 0.0)), _SPARK[1] - 3, 3.0)
    places = [(across(float(a)), up(min(float(b), up.high))) for a, b in zip(x, y, strict=True)]
    body = _stroke(_outline(places, _sample(y, known), known), inks.colour_of(group), 1.5)
    peak = places[int(np.where(known, y, -np.inf).argmax())]
    dot = {"cx": peak[0], "cy": peak[1], "r": 2.2}
    body += svg.tag("circle", {**dot, **svg.paint("fill", inks.colour_of(group))})
    return _small(_SPARK, body, "sg-spark", words)


def cylinder_plan(cylinders: int, layout: str) -> str:
    """Draw an engine's cylinders from above, 72 by 54 pixels: what stands where no picture does.

    `layout` is "in-line", "flat" or "vee"; anything else is drawn as one row.
    """
    banks = 2 if layout in ("flat", "vee") and cylinders > 1 else 1
    rows = [cylinders - cylinders // 2, cylinders // 2] if banks == 2 else [cylinders]
    step = min(14.0, 64.0 / max(rows))
    apart = {"flat": 26.0, "vee": step}.get(layout, 0.0) if banks == 2 else 0.0
    body = _stroke("M3 27h66", inks.GRID, 1)
    for bank, count in enumerate(rows):
        # The two banks of a crankshaft stand half a cylinder's offset apart, one before the other.
        shift = (bank - 0.5) * step / 3 if banks == 2 else 0.0
        middle = 27.0 + (bank - (banks - 1) / 2) * apart
        for place in range(count):
            x = 36.0 + (place - (count - 1) / 2) * step + shift
            ring = {"cx": x, "cy": middle, "r": step * 0.42}
            body += svg.tag("circle", {**ring, **_ground()})
            drawn: dict[str, str | float] = {
                **ring,
                **svg.paint("stroke", inks.MUTED),
                "fill": "none",
                "stroke-width": 1.5,
            }
            body += svg.tag("circle", drawn)
    return _small((72.0, 54.0), body, "sg-plan", "")


def _outline(places: list[tuple[float, float]], drawn: list[int], known: np.ndarray) -> str:
    """The path through the known places among those drawn."""
    runs: list[list[tuple[float, float]]] = [[]]
    for index in drawn:
        if known[index]:
            runs[-1].append(places[index])
        elif runs[-1]:
            runs.append([])
    return svg.outline(run for run in runs if run)


def _sample(y: Floats, known: np.ndarray) -> list[int]:
    """Indices to draw: evenly taken, with the peak and every gap."""
    even = np.linspace(0, len(y) - 1, min(len(y), _POINTS)).round().astype(int)
    peak = int(np.where(known, y, -np.inf).argmax())
    return sorted({*even.tolist(), peak, *np.flatnonzero(~known).tolist()})


def _range(low: float, high: float) -> tuple[float, float]:
    return (low, high) if high > low else (low - 0.5, low + 0.5)


def _stroke(data: str, colour: str, width: float) -> str:
    painted = svg.paint("stroke", colour)
    kind: dict[str, str | float] = {
        "fill": "none",
        "stroke-width": width,
        "stroke-linecap": "round",
    }
    return svg.tag("path", {"d": data, **painted, **kind})


def _small(size: tuple[float, float], body: str, classes: str, words: str) -> str:
    width, height = size
    spoken: dict[str, str | float] = {"aria-hidden": "true"}
    if words:
        spoken = {"role": "img", "aria-label": svg.plain(words)}
    frame: dict[str, str | float] = {
        "class": classes,
        "width": width,
        "height": height,
        "viewBox": f"0 0 {svg.number(width)} {svg.number(height)}",
        **spoken,
    }
    return svg.tag("svg", frame, body)
