"""Strips of misses: every setup a mark, to scale, told apart by form; and planned limits."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from specgen.publish.charts.door import Dot, LimitItem, Strip, limits, misses
from specgen.publish.charts.limits import limits_title
from tests.publish.charts.samples import PLANNED, STRIPS, points, texts, with_class


def centres(markup: str, role: str) -> list[tuple[float, float]]:
    """Where the dots of one role lie."""
    return [
        run[0]
        for item in with_class(markup, role)
        if "dots" in item.get("class", "")
        for run in points(item.get("d", ""))
    ]


def place(markup: str, percent: float) -> float:
    """The pixel of a miss, by the axis' own outermost ticks."""
    axis = sorted(
        (
            float((item.text or "").replace("−", "-").removesuffix("\u202f%")),
            float(item.get("x", 0)),
        )
        for item in with_class(markup, "sg-c-axis")
    )
    (low, left), (high, right) = axis[0], axis[-1]
    return left + (right - left) * (percent - low) / (high - low)


def test_every_setup_is_one_mark() -> None:
    """Dots, rings and crosses together are as many as there are setups."""
    for markup in (misses(STRIPS, "t").wide, misses(STRIPS, "t").narrow):
        assert len(centres(markup, "sg-c-inside")) == 14
        assert len(centres(markup, "sg-c-outside")) == 1
        crosses = [run for item in with_class(markup, "sg-c-named")
                   for run in points(item.get("d", ""))]  # fmt: skip
        assert len(crosses) == 2, "a cross has two strokes"


def test_marks_stand_to_scale() -> None:
    """A miss of two per cent lies at the tick of two per cent, within half a step of a stack."""
    strip = Strip("Boost", [Dot("a", -0.02, True), Dot("b", 0.02, True)], 0.02, 0.02)
    for markup in (misses([strip], "t").wide, misses([strip], "t").narrow):
        found = sorted(x for x, _ in centres(markup, "sg-c-inside"))
        assert abs(found[0] - place(markup, -2)) <= 4.5
        assert abs(found[1] - place(markup, 2)) <= 4.5


def test_equal_misses_stack_without_touching() -> None:
    """Dots of one place stand above each other, a dot's width apart."""
    strip = Strip("Boost", [Dot(str(n), 0.01, True) for n in range(6)], 0.01, 0.01)
    found = centres(misses([strip], "t").wide, "sg-c-inside")
    assert len({x for x, _ in found}) == 1
    heights = sorted(y for _, y in found)
    assert min(b - a for a, b in pairwise(heights)) >= 7


def test_a_thousand_setups_stay_on_the_drawing() -> None:
    """High stacks are pressed together; no mark leaves the drawing, and no setup is lost."""
    dots = [Dot(str(n), 0.03 * math.sin(n), True) for n in range(1000)]
    chart = misses([Strip("Boost", dots, 0.02, 0.03)], "t")
    for markup, width in ((chart.wide, 720), (chart.narrow, 360)):
        found = centres(markup, "sg-c-inside")
        assert len(found) == 1000
        assert all(0 < x < width and 30 < y < 200 for x, y in found)


def test_bands_reach_as_far_as_they_say() -> None:
    """The shading of one per cent is half as wide as the way between the ticks of two."""
    strip = Strip("Boost", [Dot("a", 0.01, True)], 0.01, 0.02)
    markup = misses([strip], "t").wide
    width = place(markup, 2) - place(markup, -2)
    edges = [
        sorted({x for run in points(item.get("d", "")) for x, _ in run})
        for item in with_class(markup, "sg-c-band")
    ]
    assert [last - first for first, *_, last in edges] == pytest.approx([width, width / 2], abs=0.3)


def test_words_tell_what_the_drawing_shows() -> None:
    """The alternative text has counts, ends, half and nine in ten, and who disagrees."""
    words = misses(STRIPS, "t").description
    assert "13 setups from −1.5 % to +1.5 %, half within 0.8 %, nine in ten within 1.4 %" in words
    assert "Disagrees with the others:" in words
    assert "+3.0 %" in words


def test_notes_explain_only_the_marks_that_occur() -> None:
    """No word of rings or crosses where there are none."""
    plain = " ".join(texts(misses(STRIPS[:1], "t").wide, "sg-c-note"))
    assert "full dot" in plain
    assert "ring" not in plain
    assert "cross" not in plain
    assert "cross" in " ".join(texts(misses(STRIPS, "t").wide, "sg-c-note"))


def test_planned_bars_are_outlined_and_margins_drawn() -> None:
    """A plan is told from a measurement by its frame, and its band by a line over the end."""
    drawn = limits(PLANNED).wide
    assert len(with_class(drawn, "sg-c-planned")) == 2
    assert len(with_class(drawn, "sg-c-margin")) == 2
    plain = limits([item._replace(margin=0.0, planned=False) for item in PLANNED]).wide
    assert not with_class(plain, "sg-c-planned")
    assert not with_class(plain, "sg-c-margin")


def test_margin_is_to_scale() -> None:
    """Ten per cent of the limit to either side of the bar's end."""
    item = LimitItem("p", 240e3, 300e3, "power", margin=30e3)
    drawn = limits([item]).wide
    bar = [x for x, _ in points(with_class(drawn, "sg-c-bar")[0].get("d", ""))[0]]
    ((tick, _),) = points(with_class(drawn, "sg-c-limit")[0].get("d", ""))
    ((low, high),) = points(with_class(drawn, "sg-c-margin")[0].get("d", ""))
    length = tick[0] - min(bar)
    assert [low[0] - max(bar), high[0] - max(bar)] == pytest.approx(
        [-0.1 * length, 0.1 * length], abs=0.2
    )


def test_title_is_as_sure_as_the_figure() -> None:
    """Within its band a figure may be beyond; only clear of it, it is."""
    assert limits_title(PLANNED[:1]) == "Boost may be beyond its limit"
    clear = LimitItem("Power", 330e3, 300e3, "power", margin=6e3)
    assert limits_title([clear]).startswith("Power is beyond its limit")
    below = LimitItem("Power", 295e3, 300e3, "power", margin=6e3)
    assert limits_title([below]) == "Power may be beyond its limit"
