"""Ticks a reader counts in, labels that make way, and words that fit."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from specgen.publish.charts.scale import (
    Scale,
    decimals_of,
    nice_step,
    shortened,
    spread,
    ticks,
    width_of,
    wrap,
)


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [
        (0, 330, 5, (0, 100, 200, 300)),
        (0, 12.9, 6, (0, 2.5, 5, 7.5, 10, 12.5)),
        (-8, 1.3, 6, (-8, -6, -4, -2, 0)),
        (2000, 6800, 8, (2000, 3000, 4000, 5000, 6000)),
        (0, 0.07, 5, (0, 0.02, 0.04, 0.06)),
    ],
)
def test_ticks_are_round(low: float, high: float, most: int, expected: tuple[float, ...]) -> None:
    """Multiples of 1, 2, 2.5 or 5 times a power of ten inside the range."""
    assert ticks(low, high, most) == expected


@given(st.floats(1e-3, 1e6), st.integers(2, 10))
def test_a_step_is_the_smallest_round_one_that_fits(span: float, most: int) -> None:
    """The step covers the span in `most` steps, and its digits are 1, 2, 2.5 or 5."""
    step = nice_step(span, most)
    assert step * most >= span * (1 - 1e-6)
    digits = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert any(math.isclose(digits, wanted, rel_tol=1e-9) for wanted in (1, 2, 2.5, 5))


@pytest.mark.parametrize("span", [0.0, -1.0, math.nan, math.inf])
def test_no_step_without_a_span(span: float) -> None:
    """Nothing to divide is an error."""
    with pytest.raises(ValueError, match="no steps"):
        nice_step(span, 5)


@given(
    st.lists(st.tuples(st.floats(0, 200), st.floats(10, 30)), min_size=1, max_size=6),
)
def test_labels_make_way_in_order(labels: list[tuple[float, float]]) -> None:
    """No two overlap, the order is kept, and all stay inside when there is room."""
    wanted, heights = [list(part) for part in zip(*labels, strict=True)]
    places = spread(wanted, heights, 0, 200)
    ordered = sorted(range(len(labels)), key=lambda index: places[index])
    assert [wanted[index] for index in ordered] == sorted(wanted)
    for first, second in itertools.pairwise(ordered):
        distance = (heights[first] + heights[second]) / 2
        assert places[second] - places[first] >= distance - 1e-6
    assert all(place - height / 2 > -1e-6 for place, height in zip(places, heights, strict=True))
    if sum(heights) <= 200:
        for place, height in zip(places, heights, strict=True):
            assert place + height / 2 < 200 + 1e-6


@given(st.lists(st.integers(100, 900).map(float), min_size=2, max_size=6, unique=True))
def test_labels_move_as_little_as_can_be(wanted: list[float]) -> None:
    """Far from the edges the places are the least-squares ones, as scipy's isotonic fit has it."""
    heights = [20.0] * len(wanted)
    wanted = sorted(wanted)
    starts = isotonic_regression([place - 20 * index for index, place in enumerate(wanted)]).x
    expected = [start + 20 * index for index, start in enumerate(starts)]
    assert spread(wanted, heights, -2000, 3000) == pytest.approx(expected)


def test_equal_wishes_part_evenly() -> None:
    """Two labels at one height move half a height each."""
    assert sorted(spread([50, 50], [10, 10], 0, 100)) == [45, 55]


@given(st.text(min_size=1, max_size=80), st.floats(30, 300), st.integers(1, 4))
def test_wrapped_lines_fit(text: str, width: float, most: int) -> None:
    """Never more lines than granted, never wider than granted."""
    lines = wrap(text, 13, width, most)
    assert 1 <= len(lines) <= most
    assert all(width_of(line, 13) <= width for line in lines)


def test_what_does_not_fit_says_so() -> None:
    """An ellipsis stands where words are missing, and only there."""
    assert wrap("80 mm pulley", 13, 300, 2) == ["80 mm pulley"]
    assert wrap("80 mm pulley on ethanol", 13, 125, 1) == ["80 mm pulley…"]
    assert shortened("supercalifragilistic", 13, 60).endswith("…")


def test_a_broad_word_breaks_where_it_can() -> None:
    """Labels that differ at their ends only, such as dates, can still be told apart."""
    assert wrap("2025-07-02-4", 13, 70, 3) == ["2025-07-", "02-4"]
    assert wrap("abcdefghijkl", 10, 40, 3) == ["abcdef", "ghijkl"]


@pytest.mark.parametrize(
    ("numbers", "decimals"), [((0.0, 100.0), 0), ((0.0, 2.5), 1), ((0.0, 0.25), 2), ((1.0,), 0)]
)
def test_ticks_get_the_decimals_they_need(numbers: tuple[float, ...], decimals: int) -> None:
    """Neighbouring ticks never print alike."""
    assert decimals_of(numbers) == decimals


def test_a_scale_is_straight() -> None:
    """Ends map to ends and the middle to the middle."""
    scale = Scale(0, 10, 200, 100)
    assert [scale(0), scale(5), scale(10)] == [200, 150, 100]
