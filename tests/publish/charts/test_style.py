"""The charts' own style sheet: each class has its colour, in light, dark and on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.publish.charts.door import ladder_mark, sparkline
from specgen.publish.charts.papers import inks, svg
from tests.publish.charts.samples import charts, sweep

CSS = (Path(svg.__file__).parent.parent / "charts.css").read_text("utf-8")
#: The grounds of the site theme's two schemes.
GROUNDS = {"default": "#ffffff", "slate": "#1e2129"}


def colours(scheme: str) -> dict[str, str]:
    """The colour variables of a scheme."""
    block = CSS.split(f'[data-md-color-scheme="{scheme}"] {{')[1].split("}")[0]
    return dict(re.findall(r"(--sg-[\w-]+): (#[0-9a-f]{6});", block))


def luminance(colour: str) -> float:
    """Relative luminance of sRGB (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definition of contrast ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_formula() -> None:
    """Black on white is 21 to 1; #767676 on white is known as the least grey with 4.5 to 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("scheme", GROUNDS)
def test_colours_can_be_seen(scheme: str) -> None:
    """Lines have 3 to 1 (WCAG 2.2, 1.4.11), grey words 4.5 to 1 (1.4.3) on the page's ground."""
    ground = GROUNDS[scheme]
    for name, colour in colours(scheme).items():
        if "series" in name:
            assert contrast(colour, ground) >= 3, name
    assert contrast(colours(scheme)["--sg-chart-muted"], ground) >= 4.5


def test_both_schemes_set_the_same_colours() -> None:
    """Dark forgets none; the light ones are those that stand behind in the drawings."""
    light = colours("default")
    assert light.keys() == colours("slate").keys()
    wanted = {f"--sg-series-{index + 1}": inks.colour_of(index) for index in range(6)}
    wanted |= {"--sg-chart-muted": inks.MUTED, "--sg-chart-grid": inks.GRID}
    assert light == wanted


def test_every_colour_class_of_a_drawing_is_set() -> None:
    """No drawing carries a colour class that the sheet does not know."""
    speed, power, _ = sweep()
    drawings = [markup for chart in charts().values() for markup in (chart.wide, chart.narrow)]
    drawings += [ladder_mark(50, 25, 75, 0, 100, group=5), sparkline(speed, power, group=4)]
    classes = {
        name
        for markup in drawings
        for value in re.findall(r'class="([^"]*)"', markup)
        for name in value.split()
        if re.match(r"sg-[sf]\d|sg-[sf]-", name)
    }
    assert classes
    assert {name for name in classes if f".{name} {{" not in CSS} == set()


def test_paper_is_black() -> None:
    """In print every series is black and told apart by dash."""
    paper = CSS.split("@media print {")[1].split("@media")[0]
    for index in range(1, 7):
        assert f"--sg-series-{index}: #000;" in paper
        assert index == 1 or f".sg-c-measured.sg-s{index} {{ stroke-dasharray:" in paper
    dashes = re.findall(r"stroke-dasharray: ([\d. ]+);", paper)
    assert len(dashes) == len(set(dashes)) == 5


def test_the_theme_s_scheme_decides_and_not_the_reader_s_system() -> None:
    """A page that is switched to light, or has no dark scheme, stays light on a dark system."""
    assert "prefers-color-scheme" not in CSS
    assert '[data-md-color-scheme="slate"]' in CSS
