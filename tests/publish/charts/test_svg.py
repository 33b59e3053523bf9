"""Inline SVG: nothing that a strict policy refuses, nothing that changes from run to run."""

from __future__ import annotations

import html

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.publish.charts import svg
from tests.publish.charts.samples import SVG, points, tree

RAW = """<?xml version="1.0" encoding="utf-8" standalone="no"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns:xlink="http://www.w3.org/1999/xlink" width="100pt" height="50pt" viewBox="0 0 100 50"
 xmlns="http://www.w3.org/2000/svg" version="1.1">
 <metadata><x/></metadata>
 <defs><style type="text/css">*{stroke-linejoin: round}</style></defs>
 <g id="figure_1"><g id="axes_1">
  <g id="sg-c-line sg-c-measured"><path d="M 1.23456 2 L 3.5 4.0001" clip-path="url(#p1)"
   style="fill: none; stroke: #0072b2; stroke-width: 1.5; stroke-linecap: round"/></g>
  <g id="text_1"><text style="font: 600 13px 'DejaVu Sans'; text-anchor: end; fill: #1b1b1b" x="5"
   y="6" transform="rotate(-0 5 6)">a &lt; b</text></g>
  <use xlink:href="#m1" x="1" y="2" style="stroke: #5c5f66"/>
 </g></g>
 <defs><clipPath id="p1"><rect x="0" y="0" width="1" height="1"/></clipPath><path id="m1"/></defs>
</svg>"""


def inlined() -> str:
    """The raw drawing above as inline SVG."""
    return svg.inline(RAW, name="demo", title="T", description="D", classes="sg-chart")


def test_inline_svg_has_no_style_and_no_leftovers() -> None:
    """Styles become presentation attributes; prolog, doctype and metadata are gone."""
    markup = inlined()
    assert "style" not in markup
    assert "metadata" not in markup
    assert markup.startswith("<svg ")
    assert "\n" not in markup
    assert 'stroke-width="1.5"' in markup
    assert "font-family" not in markup


def test_colours_become_classes_and_ink_follows_the_page() -> None:
    """A palette colour gets its class and stays as a fallback; ink is currentColor."""
    path, text = (tree(inlined()).find(f".//{SVG}{name}") for name in ("path", "text"))
    assert path is not None
    assert text is not None
    assert path.get("class") == "sg-c-line sg-c-measured sg-s1"
    assert path.get("stroke") == "#0072b2"
    assert text.get("fill") == "currentColor"
    assert "sg-s-muted" in inlined()


def test_ids_that_are_referred_to_are_headed_by_the_name_and_others_go() -> None:
    """Two drawings on one page cannot meet in an id."""
    markup = inlined()
    assert {item.get("id") for item in tree(markup).iter() if item.get("id")} == {
        "demo-title",
        "demo-desc",
        "demo-p1",
        "demo-m1",
    }
    assert 'clip-path="url(#demo-p1)"' in markup
    assert 'href="#demo-m1"' in markup
    assert "xlink" not in markup


def test_words_stand_for_the_drawing() -> None:
    """Role, title and description are there, and the label names both."""
    root = tree(inlined())
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "demo-title demo-desc"
    assert [root[0].text, root[1].text] == ["T", "D"]
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == (
        "100",
        "50",
        "0 0 100 50",
    )


def test_font_shorthand_of_older_matplotlib_is_understood() -> None:
    """Size and weight survive; a size that the root already gives is not repeated."""
    text = tree(inlined()).find(f".//{SVG}text")
    assert text is not None
    assert text.get("font-weight") == "600"
    assert text.get("font-size") is None
    assert tree(inlined()).get("font-size") == "13"
    assert text.get("transform") is None
    assert text.text == "a < b"


@pytest.mark.parametrize("markup", ["", "no svg", "<html/>", "<svg"])
def test_other_markup_is_refused(markup: str) -> None:
    """What is no SVG drawing is an error, not an empty picture."""
    with pytest.raises(ValueError, match="not an SVG drawing"):
        svg.inline(markup, name="x", title="", description="", classes="")


@given(st.text(max_size=60))
def test_any_text_comes_through_and_is_only_text(words: str) -> None:
    """Whatever somebody wrote reads the same and is well-formed; Markdown finds nothing alive."""
    markup = svg.text(1, 2, words)
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
    data = " ".join(
        f"{'M' if index == 0 else 'L'} {x!r} {y!r}"
        for run in runs
        for index, (x, y) in enumerate(run)
    )
    reached = points(svg.path(data).replace("h0", "l0 0"))
    assert [len(run) for run in reached] == [len(run) for run in runs]
    for run, back in zip(runs, reached, strict=True):
        for (x, y), (u, v) in zip(run, back, strict=True):
            assert abs(x - u) < 0.00501
            assert abs(y - v) < 0.00501


def test_curves_are_rounded_only() -> None:
    """A path with an arc keeps its commands."""
    assert svg.path("M 1.005 2 C 1.111 2 3 4 5 6 z") == "M 1 2 C 1.11 2 3 4 5 6 z"


def test_the_seventh_thing_starts_the_colours_over() -> None:
    """Any group index has a colour."""
    assert svg.colour_of(6) == svg.colour_of(0)
    assert len({svg.colour_of(index) for index in range(6)}) == 6


def test_numbers_are_written_for_speech() -> None:
    """No thin space parts a number in the alternative text; a unit stands behind a plain one."""
    assert svg.spoken("−6\u202f400\u202frpm, 301\u202fkW") == "−6400 rpm, 301 kW"
