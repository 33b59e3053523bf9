"""The belt's drawing: circles to scale, arcs on the right side, words beside them."""

from __future__ import annotations

import math
import re

import pytest

from specgen.publish.charts.door import Pulley, belt_layout
from tests.publish.charts.samples import PULLEYS, SPANS, texts, with_class


def arcs(markup: str) -> list[tuple[float, int, int]]:
    """Radius, large-arc flag and sweep flag of each arc of the belt."""
    (path,) = with_class(markup, "sg-c-belt")
    found = re.findall(r"A([\d.]+) [\d.]+ 0 ([01]) ([01])", path.get("d", ""))
    return [(float(radius), int(large), int(sweep)) for radius, large, sweep in found]


def circles(markup: str) -> list[tuple[float, float, float]]:
    """Centre and radius of each pulley in pixels."""
    return [
        (float(item.get("cx", "")), float(item.get("cy", "")), float(item.get("r", "")))
        for item in with_class(markup, "sg-c-pulley")
    ]


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_pulleys_are_drawn_to_one_scale(form: str) -> None:
    """100 mm pulleys 300 mm apart: six radii between the centres, the second above the first."""
    (x1, y1, r1), (x2, y2, r2) = circles(getattr(belt_layout(PULLEYS, SPANS), form))
    assert r1 == r2
    assert x1 == x2
    assert (y1 - y2) / r1 == pytest.approx(6, abs=0.01)


def crossing(radius: float, distance: float) -> list[tuple[tuple[float, float], ...]]:
    """Spans of a crossed belt over two equal pulleys: it turns the second one the other way."""
    angle = math.acos(2 * radius / distance)
    x, y = radius * math.sin(angle), radius * math.cos(angle)
    first = ((x, y), (-x, distance - y))
    back = ((x, distance - y), (-x, y))
    return [first, back]


def test_belt_lies_on_the_far_side_of_each_pulley() -> None:
    """Running up on the right: both arcs turn anticlockwise, seen (sweep flag 0)."""
    assert [sweep for _, _, sweep in arcs(belt_layout(PULLEYS, SPANS).wide)] == [0, 0]
    mirrored = [((-a[0], a[1]), (-b[0], b[1])) for a, b in SPANS]
    assert [sweep for _, _, sweep in arcs(belt_layout(PULLEYS, mirrored).wide)] == [1, 1]


def test_a_pulley_on_the_belt_s_back_turns_the_other_way() -> None:
    """A crossed belt: the arcs turn opposite ways and are both longer than half a turn."""
    spans = [(span[0], span[1]) for span in crossing(0.05, 0.3)]
    found = arcs(belt_layout(PULLEYS, spans).wide)
    assert {sweep for _, _, sweep in found} == {0, 1}
    assert [large for _, large, _ in found] == [1, 1]


def test_a_belt_that_only_touches_is_no_full_turn() -> None:
    """A pulley the straight belt just touches gets a short arc, though rounding puts it behind."""
    pulleys = [*PULLEYS, Pulley("idler", -0.08, 0.15, 0.06)]
    spans = [SPANS[0], ((-0.05, 0.3), (-0.05, 0.15 - 1e-12)), ((-0.05, 0.15), (-0.05, 0.0))]
    assert [large for _, large, _ in arcs(belt_layout(pulleys, spans).wide)][1] == 0


def test_words_stand_beside_the_pulleys() -> None:
    """Name, diameter in both units and wrap: 100 mm = 3.94 in."""
    chart = belt_layout(PULLEYS, SPANS)
    shown = " ".join(texts(chart.wide, "sg-c-label")).replace("\u202f", " ")
    assert "Crank 100.0 mm (3.94 in) wrap 180°" in shown
    assert "Blower 100.0 mm (3.94 in) wrap 180°" in shown
    assert "Crank: 100.0 mm (3.94 in), wrap 180°." in chart.description
    assert "mm (" in texts(chart.wide, "sg-c-scale")[0].replace("\u202f", " ")


def test_the_back_of_the_belt_is_said_and_seen() -> None:
    """A pulley on the belt's back is open, and the description says so."""
    pulleys = [*PULLEYS, Pulley("idler", 0.2, 0.15, 0.06, "outside")]
    chart = belt_layout(pulleys, [])
    fills = [item.get("fill") for item in with_class(chart.wide, "sg-c-pulley")]
    assert fills[0] == fills[1] != fills[2]
    assert "Idler: 60.0 mm (2.36 in), on the belt's back." in chart.description
    assert not with_class(chart.wide, "sg-c-belt")


def test_titles() -> None:
    """The blower pulley's wrap where it is known, else how many pulleys there are."""
    title = belt_layout(PULLEYS, SPANS).title.replace("\u202f", " ")
    assert title == "The belt wraps 180° of the 100.0 mm blower pulley"
    bare = [Pulley("crank", 0, 0, 0.1), Pulley("blower", 0, 0.3, 0.1)]
    assert belt_layout(bare, []).title == "Belt path over 2 pulleys"
    assert belt_layout(bare[:1], []).title == "One pulley, no belt path"


def test_impossible_layouts_are_refused() -> None:
    """No pulley, no diameter, or spans that do not match."""
    with pytest.raises(ValueError, match="positive diameters"):
        belt_layout([], [])
    with pytest.raises(ValueError, match="positive diameters"):
        belt_layout([Pulley("crank", 0, 0, 0)], [])
    with pytest.raises(ValueError, match="2 pulleys need as many spans; found 1"):
        belt_layout(PULLEYS, SPANS[:1])
