"""Inline SVG: nothing that a strict policy refuses, nothing that changes from run to run."""

from __future__ import annotations

import html

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.publish.charts.papers import inks, svg
from specgen.publish.charts.papers.canvas import Arc, Canvas
from specgen.publish.charts.papers.inline import inline
from tests.publish.charts.samples import points, tree


def demo() -> str:
    """A drawing with one of each mark, as inline SVG."""
    canvas = Canvas(100, 50)
    canvas.line([1.23456, 3.5, np.nan, 5, 6], [2, 4.0001, 0, 1, 1], inks.colour_of(0), width=1.5,
                dash=(3, 2), role="line measured")  # fmt: skip
    canvas.segments([((0, 0), (9, 0))], inks.MUTED, role="base", opacity=0.0)
    canvas.dots([4, np.nan], [5, 5], inks.GROUND, size=7)
    canvas.area([(0, 0), (1, 0), (1, 1.04)], inks.GRID, opacity=0.16)
    canvas.circle((5, 5), 2, fill=inks.GRID, edge=inks.MUTED, role="pulley")
    arc = Arc((0, 5), 5, (0, 10), large=False, clockwise=True)
    canvas.curve((0, 0), [arc, (3, 10)], inks.INK, width=3, closed=True, blunt=True)
    canvas.words(5, 6, "a < b", size=13, anchor="right", bold=True)
    canvas.words(5, 6, "", size=13)
    return inline(canvas, name="demo", title="T", description="D", classes="sg-chart")


def test_each_mark_is_written_small() -> None:
    """Every kind of mark as SVG, with nothing that the root or SVG itself already says."""
    body = demo().partition("</desc>")[2]
    assert body == (
        '<path class="sg-c-line sg-c-measured sg-s1" d="M1.23 2l2.27 2M5 1h1" stroke="#0072b2" '
        'stroke-width="1.5" stroke-dasharray="3,2" stroke-linecap="butt"/>'
        '<path class="sg-c-base sg-s-muted" d="M0 0h9" stroke="#5c5f66" opacity="0"/>'
        '<path class="sg-s-ground" d="M4 5h0" stroke="#fefefe" stroke-width="7"/>'
        '<path class="sg-f-grid" d="M0 0l1 0 0 1" fill="#dcdee2" opacity=".16"/>'
        '<circle class="sg-c-pulley sg-f-grid sg-s-muted" cx="5" cy="5" r="2" fill="#dcdee2" '
        'stroke="#5c5f66"/>'
        '<path d="M0 0A5 5 0 0 1 0 10L3 10Z" stroke="currentColor" stroke-width="3" '
        'stroke-linecap="butt"/>'
        '<text x="5" y="6" text-anchor="end" font-weight="600" fill="currentColor">a &lt; b</text>'
        "</svg>"
    )


def test_a_drawing_that_styles_alone_show_has_no_second_colour() -> None:
    """Beside the drawing that has the words, classes colour; a text that looks like one stays."""
    canvas = Canvas(10, 10)
    canvas.line([1, 2], [3, 4], inks.colour_of(0), role="line")
    canvas.words(1, 9, 'fill="#5c5f66"', size=13, colour=inks.MUTED)
    first, second = (
        inline(canvas, name="a", title="", description="", classes="c", said_by=other)
        for other in ("", "b")
    )
    assert 'stroke="#0072b2"' in first
    assert 'fill="#5c5f66"' in first
    assert "#0072b2" not in second
    assert 'class="sg-c-line sg-s1"' in second
    assert "fill=&quot;&#35;5c5f66" in second or 'fill="&#35;5c5f66"' in second


def test_words_stand_for_the_drawing() -> None:
    """Role, title and description are there, and the label names both."""
    root = tree(demo())
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "demo-title"
    assert root.get("aria-describedby") == "demo-desc"
    assert [root[0].text, root[1].text] == ["T", "D"]
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == (
        "100",
        "50",
        "0 0 100 50",
    )
    assert root.get("font-size") == "13"
    assert "\n" not in demo()


@given(st.text(max_size=60))
def test_any_text_comes_through_and_is_only_text(words: str) -> None:
    """Whatever somebody wrote reads the same and is well-formed; Markdown finds nothing alive."""
    markup = svg.tag("text", {"x": 1}, svg.written(words))
    assert tree(markup).text in (svg.plain(words), None if not svg.plain(words) else "")
    inside = markup[markup.index(">") + 1 : markup.rindex("<")] if "</" in markup else ""
    assert not set(inside) & set("<>`*_{}[]$\\|")
    assert html.unescape(inside) == svg.plain(words)


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.0, "1"), (1.234, "1.23"), (-0.001, "0"), (0.5, ".5"), (-0.5, "-.5"), (10.0, "10"),
     (100.1, "100.1"), (-20.75, "-20.75"), (0.0, "0")],
)  # fmt: skip
def test_coordinates_are_short(value: float, text: str) -> None:
    """Two decimals at most, no superfluous sign or digit."""
    assert svg.number(value) == text


POINT = st.tuples(*[st.floats(-2000, 2000, allow_nan=False)] * 2)


@given(st.lists(st.lists(POINT, min_size=1, max_size=12), min_size=1, max_size=4))
def test_relative_paths_reach_the_same_points(runs: list[list[tuple[float, float]]]) -> None:
    """Rounding does not add up along a path: each point is within half a hundredth."""
    reached = points(svg.outline(runs))
    # A step that is lost in rounding is not written.
    runs = [_without_rests(run) for run in runs]
    reached = [run if len(run) > 1 else run[:1] for run in reached]
    assert [len(run) for run in reached] == [len(run) for run in runs]
    for run, back in zip(runs, reached, strict=True):
        for (x, y), (u, v) in zip(run, back, strict=True):
            assert abs(x - u) < 0.00501
            assert abs(y - v) < 0.00501


def _without_rests(run: list[tuple[float, float]]) -> list[tuple[float, float]]:
    kept = run[:1]
    for x, y in run[1:]:
        before = tuple(round(part, 2) for part in kept[-1])
        kept += [(x, y)] if before != (round(x, 2), round(y, 2)) else []
    return kept


def test_the_seventh_thing_starts_the_colours_over() -> None:
    """Any group index has a colour."""
    assert inks.colour_of(6) == inks.colour_of(0)
    assert len({inks.colour_of(index) for index in range(6)}) == 6


def test_numbers_are_written_for_speech() -> None:
    """No thin space parts a number in the alternative text; a unit stands behind a plain one."""
    assert svg.spoken("−6\u202f400\u202frpm, 301\u202fkW") == "−6400 rpm, 301 kW"
