"""Drawings of the cam card and of readings: to scale, with what is open shaded and in words."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from specgen.publish.charts.door import Lobe, Opening, Where, valve_lift, valve_timing
from specgen.publish.sheet.record.marks import clearance_mark
from tests.publish.charts.samples import LAW, OPENINGS, lobe, points, texts, tree, with_class

BOTH = [lobe("exhaust"), lobe("intake")]
OVERLAP = (-0.25, 0.15)
FORMS = ["wide", "narrow"]
INF = math.inf


def scale_of(markup: str) -> tuple[float, float, float]:
    """Pixels a degree, the pixel of top dead centre, and that of no lift, from ticks and words."""
    words = {
        item.text: float(item.get("x", ""))
        for item in tree(markup).iter()
        if "sg-c-angle" in item.get("class", "").split()
    }
    left, middle = words["\N{MINUS SIGN}180°"], words["0°"]
    floor = next(item for item in with_class(markup, "sg-c-base"))
    return (middle - left) / 180, middle, points(floor.get("d", ""))[0][0][1]


def curves(markup: str) -> list[list[tuple[float, float]]]:
    """The points of each lobe's line."""
    return [points(item.get("d", ""))[0] for item in with_class(markup, "sg-c-line")]


@pytest.mark.parametrize("form", FORMS)
def test_lobes_stand_at_their_centre_lines(form: str) -> None:
    """Both tops are 110 degrees from top dead centre, before and after, and equally high."""
    markup = getattr(valve_lift(BOTH, OVERLAP, LAW), form)
    degree, centre, floor = scale_of(markup)
    tops = [min(curve, key=lambda point: point[1]) for curve in curves(markup)]
    assert [(x - centre) / degree for x, _ in tops] == pytest.approx([-110, 110], abs=3)
    assert tops[0][1] == pytest.approx(tops[1][1], abs=0.05)
    assert tops[0][1] < floor - 100


@pytest.mark.parametrize("form", FORMS)
def test_overlap_is_shaded_between_its_ends(form: str) -> None:
    """The shaded box runs from the intake's opening to the exhaust's closing, and says how far."""
    markup = getattr(valve_lift(BOTH, OVERLAP, LAW), form)
    degree, centre, _ = scale_of(markup)
    (box,) = with_class(markup, "sg-c-overlap")
    x = [x for x, _ in points(box.get("d", ""))[0]]
    ends = [math.degrees(angle) for angle in OVERLAP]
    assert [(end - centre) / degree for end in (min(x), max(x))] == pytest.approx(ends, abs=0.3)
    assert "overlap 22.9°" in texts(markup)


def test_without_overlap_nothing_is_shaded() -> None:
    """Valves that are never open together get no box, and a title that says so."""
    chart = valve_lift(BOTH, None, LAW)
    assert with_class(chart.wide, "sg-c-overlap") == []
    assert chart.title == "The valves are never open together"


@pytest.mark.parametrize("form", FORMS)
def test_dots_are_the_card_s_events_at_its_checking_lift(form: str) -> None:
    """Each dot has the angle of its event and the height of the lift it was taken at."""
    markup = getattr(valve_lift(BOTH, OVERLAP, LAW), form)
    degree, centre, floor = scale_of(markup)
    top = min(y for curve in curves(markup) for _, y in curve)
    dots = [points(item.get("d", ""))[:] for item in with_class(markup, "sg-c-dots")]
    places = [run[0] for runs in dots for run in runs]
    angles = sorted((x - centre) / degree for x, _ in places)
    assert angles == pytest.approx([-230, -10, 10, 230], abs=1)
    heights = [(floor - y) / (floor - top) * 10 for _, y in places]
    assert heights == pytest.approx([1.0] * 4, abs=0.05)


def test_the_law_of_motion_is_stated() -> None:
    """What the curves assume stands in the drawing and in its words; the line is an estimate's."""
    chart = valve_lift(BOTH, OVERLAP, LAW)
    assert LAW in " ".join(texts(chart.wide, "sg-c-note"))
    assert LAW in chart.description
    for line in with_class(chart.wide, "sg-c-line"):
        assert "sg-c-estimated" in line.get("class", "")
        assert line.get("stroke-dasharray")


def test_words_of_the_drawing_tell_every_event() -> None:
    """Who cannot see it hears angles with their side, lifts in both systems, and the overlap."""
    words = valve_lift(BOTH, OVERLAP, LAW).description
    assert "opens at 10° before top dead centre and closes at 230° after top dead centre" in words
    assert "10.00 mm (0.394 in)" in words
    assert "both at 1.00 mm (0.039 in) of lift" in words
    assert "22.9° of overlap" in words


def test_different_checking_lifts_are_both_named() -> None:
    """A card whose sides were taken at different lifts says which is which."""
    chart = valve_lift([lobe("exhaust", at_lift=0.0), lobe("intake")], OVERLAP, LAW)
    note = " ".join(texts(chart.wide, "sg-c-note"))
    assert "exhaust at the seat" in note
    assert "intake at 1.00\u202fmm (0.039\u202fin) of lift" in note


def test_no_lobe_is_refused() -> None:
    """An empty drawing would say nothing."""
    with pytest.raises(ValueError, match="needs a lobe"):
        valve_lift([], None, LAW)


# ---------------------------------------------------------------- the circle


def rings(markup: str) -> list[tuple[tuple[float, float], float, int, tuple[float, float]]]:
    """Each valve's arc: start, radius, large-arc flag and end."""
    found = []
    for item in with_class(markup, "sg-c-ring"):
        numbers = [float(cell) for cell in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", item.get("d", ""))]
        x, y, radius, _, _, large, sweep, to_x, to_y = numbers
        assert sweep == 1, "the crank turns clockwise"
        found.append(((x, y), radius, int(large), (to_x, to_y)))
    return found


@pytest.mark.parametrize("form", FORMS)
def test_arcs_run_clockwise_from_opening_to_closing(form: str) -> None:
    """Angles are counted from the top; both arcs are longer than half a turn."""
    markup = getattr(valve_timing(OPENINGS), form)
    circle = next(item for item in tree(markup).iter() if item.tag.endswith("circle"))
    cx, cy = float(circle.get("cx", "")), float(circle.get("cy", ""))

    def angle(point: tuple[float, float]) -> float:
        return math.degrees(math.atan2(point[0] - cx, cy - point[1]))

    found = rings(markup)
    ends = [(angle(start), angle(end)) for start, _, _, end in found]
    assert ends[0] == pytest.approx((120, 8), abs=0.2)
    assert ends[1] == pytest.approx((-14, -130), abs=0.2)
    assert [large for _, _, large, _ in found] == [1, 1]
    assert found[0][1] > found[1][1], "two rings, one inside the other"


def test_a_short_opening_has_a_short_arc() -> None:
    """Below half a turn the other of the two arcs is meant."""
    opens = Where("11°", "after", "top dead centre", "TDC")
    closes = Where("20°", "before", "bottom dead centre", "BDC")
    short = Opening("intake", 0.2, 2.8, opens, closes)
    assert [large for _, _, large, _ in rings(valve_timing([short]).wide)] == [0]


@pytest.mark.parametrize("form", FORMS)
def test_every_event_has_its_words(form: str) -> None:
    """Each event is named with its angle, short on a phone, and no two stand on each other."""
    markup = getattr(valve_timing(OPENINGS), form)
    words = " ".join(texts(markup, "sg-c-label"))
    for number in ("60°", "8°", "14°", "50°"):
        assert number in words
    spots = [
        (item.get("text-anchor", "start"), item.get("x"), float(item.get("y", "")))
        for item in with_class(markup, "sg-c-label")
    ]
    for side in ("start", "end"):
        heights = sorted(y for anchor, _, y in spots if anchor == side)
        assert min(np.diff(heights)) > 14


def test_a_valve_that_closes_first_is_refused() -> None:
    """A drawing cannot show it."""
    there = Where("10°", "after", "top dead centre", "TDC")
    with pytest.raises(ValueError, match="close after they open"):
        valve_timing([Opening("intake", 1.0, 0.5, there, there)])
    with pytest.raises(ValueError, match="close after they open"):
        valve_timing([])


# ---------------------------------------------------------------- readings on their range


def place(markup: str) -> tuple[str, float]:
    """What marks the reading, and where it stands."""
    circles = [item for item in tree(markup).iter() if item.tag.endswith("circle")]
    if circles:
        kind = "ring" if circles[0].get("stroke") else "dot"
        return kind, float(circles[0].get("cx", ""))
    crosses = [item for item in tree(markup).iter() if item.get("stroke-width") == "2"]
    found = re.match(r"M([\d.]+)", crosses[0].get("d", ""))
    assert found is not None
    return "cross", float(found[1]) + 4


def test_marks_differ_by_shape_and_by_place() -> None:
    """In, near and out are a dot, a ring and a cross, in the middle, at the edge and beyond."""
    middle = place(clearance_mark(0.065, 0.05, 0.08, "in"))
    edge = place(clearance_mark(0.0795, 0.05, 0.08, "near the edge"))
    beyond = place(clearance_mark(0.09, 0.05, 0.08, "out"))
    below = place(clearance_mark(0.01, 0.05, 0.08, "out"))
    assert [kind for kind, _ in (middle, edge, beyond, below)] == ["dot", "ring", "cross", "cross"]
    assert middle[1] == pytest.approx(42)
    assert below[1] < 18 < middle[1] < edge[1] < 66 < beyond[1]


@pytest.mark.parametrize(("low", "high"), [(0.3, INF), (-INF, 0.3), (0.3, 0.3), (0.0, INF)])
def test_open_ends_and_single_values_are_drawn_inside(low: float, high: float) -> None:
    """Whatever the limit, the mark stays inside its drawing."""
    for value in (-5.0, 0.0, 0.3, 0.31, 900.0):
        _, x = place(clearance_mark(value, low, high, "in"))
        assert 0 < x < 84
    ticks = len(re.findall(r"V14", clearance_mark(0.3, low, high, "in")))
    assert ticks == 1


def test_a_lone_lobe_is_told_by_its_lift() -> None:
    """Where only one side is known the title gives its lift and how long it is open."""
    only = [Lobe("intake", *_shape(), opening=-0.2, closing=4.0)]
    assert valve_lift(only, None, LAW).title == "The intake valve lifts 10.00\u202fmm over 240.6°"


def _shape() -> tuple[np.ndarray, np.ndarray]:
    sample = lobe("intake")
    return sample.angle, sample.lift
