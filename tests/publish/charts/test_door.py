"""What holds for every chart: safe markup, unique ids, words with figures, few and same bytes."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
import warnings

import pytest

from specgen.publish.charts.door import Chart, power_and_torque
from tests.publish.charts.samples import HOSTILE, SVG, charts, pull, texts, tree

CHARTS = charts()
DRAWINGS = {
    f"{key}-{form}": markup
    for key, chart in CHARTS.items()
    for form, markup in (("wide", chart.wide), ("narrow", chart.narrow))
}
#: Attributes a drawing may have; anything else is either style or script.
ALLOWED = {
    *(
        "aria-describedby",
        "aria-labelledby",
        "class",
        "display",
        "height",
        "id",
        "role",
        "viewBox",
        "width",
    ),
    *("cx", "cy", "d", "points", "r", "transform", "x", "y"),
    *("fill", "fill-opacity", "font-size", "font-weight", "opacity", "text-anchor"),
    *("stroke", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "stroke-opacity"),
    "stroke-width",
}


@pytest.mark.parametrize("key", DRAWINGS)
def test_nothing_that_a_strict_policy_refuses(key: str) -> None:
    """No style, script, handler, link or foreign element: presentation attributes only."""
    elements = list(tree(DRAWINGS[key]).iter())
    names = {item.tag.removeprefix(SVG) for item in elements}
    assert names <= {"svg", "title", "desc", "g", "path", "text", "circle"}
    assert {name for item in elements for name in item.attrib} <= ALLOWED
    assert "\n" not in DRAWINGS[key]


def test_ids_are_unique_on_a_page_with_every_chart() -> None:
    """All drawings together repeat no id, and each label points at ids that are there."""
    elements = [item for markup in DRAWINGS.values() for item in tree(markup).iter()]
    ids = [item.get("id") for item in elements if item.get("id")]
    assert len(ids) == len(set(ids))
    for root in (tree(markup) for markup in DRAWINGS.values()):
        assert {root.get("aria-labelledby"), root.get("aria-describedby")} <= set(ids)
        assert root.get("role") == "img"


@pytest.mark.parametrize("key", CHARTS)
def test_title_and_description_are_those_of_both_drawings(key: str) -> None:
    """Who cannot see the chart gets the finding and the figures; they stand once for both."""
    chart = CHARTS[key]
    wide, narrow = tree(chart.wide), tree(chart.narrow)
    assert (wide[0].tag, wide[1].tag) == (f"{SVG}title", f"{SVG}desc")
    assert wide[0].text
    assert (wide[1].text or "").endswith(".")
    said = [wide[0].get("id"), wide[1].get("id")]
    for drawn in (wide, narrow):
        assert [drawn.get("aria-labelledby"), drawn.get("aria-describedby")] == said
    assert not list(narrow.iter(f"{SVG}desc"))
    assert chart.description.endswith(".")
    shows_figures = key not in ("nothing", "no-limits")
    assert bool(re.search(r"\d", chart.description)) == shows_figures


@pytest.mark.parametrize("key", DRAWINGS)
def test_drawings_are_small(key: str) -> None:
    """No drawing takes more than 20 kB of the page."""
    assert len(DRAWINGS[key].encode()) <= 20_000


@pytest.mark.parametrize("key", DRAWINGS)
def test_size_is_told_before_it_is_drawn(key: str) -> None:
    """Width and height equal the view box, so that the page does not jump; the width is fixed."""
    root = tree(DRAWINGS[key])
    width, height = root.get("width"), root.get("height")
    assert root.get("viewBox") == f"0 0 {width} {height}"
    assert width == ("720" if key.endswith("wide") else "360")
    assert root.get("display") == ("none" if key.endswith("narrow") else None)


@pytest.mark.parametrize("key", DRAWINGS)
def test_coordinates_have_two_decimals_at_most(key: str) -> None:
    """Coordinates are rounded."""
    geometry = {"d", "x", "y", "cx", "cy", "r", "points", "stroke-width"}
    values = [
        value
        for item in tree(DRAWINGS[key]).iter()
        for name, value in item.attrib.items()
        if name in geometry
    ]
    assert not [value for value in values if re.search(r"\.\d{3}|e-?\d|nan|inf", value)]


def test_what_somebody_wrote_stays_text() -> None:
    """A script in a label is shown as written, a formula in dollars is not set as mathematics."""
    chart = CHARTS["long"]
    for markup in (chart.wide, chart.narrow):
        assert "<script" not in markup
        assert "&lt;script&gt;" in markup
        assert not set("`{}$") & set(markup)
    shown = " ".join(texts(chart.wide, "sg-c-label"))
    assert "$x^2$ {{ macro }}" in shown
    assert "<script>alert('x')" in shown
    assert "\x07" not in chart.wide
    assert HOSTILE.split("\x07")[0].strip() in (tree(chart.wide)[1].text or "")


def test_letters_the_font_lacks_are_no_matter() -> None:
    """The reader's font draws the text, so this machine's font is not asked and does not warn."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        chart = power_and_torque(pull("漢字 🚤"))
    assert "漢字 🚤" in texts(chart.wide, "sg-c-label")


def digest(drawn: dict[str, Chart]) -> str:
    """One number for the bytes of many charts."""
    whole = "".join(f"{chart.wide}{chart.narrow}" for chart in drawn.values())
    return hashlib.sha256(whole.encode()).hexdigest()


def test_bytes_repeat() -> None:
    """Drawn again, and in another process with other hashes, every byte is the same."""
    code = "from tests.publish.charts.test_door import CHARTS, digest; print(digest(CHARTS))"
    surroundings = {**os.environ, "PYTHONHASHSEED": "7"}
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=surroundings, check=True
    )
    assert digest(charts.__wrapped__()) == digest(CHARTS) == result.stdout.strip()
