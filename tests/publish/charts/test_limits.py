"""Bars towards limits: order, lengths and words."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.publish.charts.door import LimitItem, limits
from specgen.publish.charts.limits import limit_words, limits_title, share_of
from tests.publish.charts.samples import KELVIN, LIMITS, points, texts, with_class


def said(text: str) -> str:
    """A text with plain spaces, as the expectations below are typed."""
    return text.replace("\u202f", " ")


WORDS = {
    "left": (LimitItem("n", 14900 / 60, 16000 / 60, "blower_speed"),
             "14 900 of 16 000 rpm, 7 % left"),
    "over": (LimitItem("p", 330e3, 300e3, "power"), "330 of 300 kW, 10 % over"),
    "none left": (LimitItem("p", 300e3, 300e3, "power"), "300 of 300 kW, none left"),
    "hardly over": (LimitItem("p", 300.9e3, 300e3, "power"),
                    "301 of 300 kW, less than 1 % over"),
    "degrees": (LimitItem("t", KELVIN + 58, KELVIN + 80, "charge_temperature"),
                "58 of 80 °C, 22 °C left"),
    "points": (LimitItem("d", 0.87, 0.85, "injector_duty"), "87 of 85 %, 2 points over"),
    "unknown": (LimitItem("t", np.nan, 600.0, "torque"), "not recorded; the limit is 600 N·m"),
}  # fmt: skip


@pytest.mark.parametrize("case", WORDS)
def test_words_say_what_is_left(case: str) -> None:
    """As a share; degrees for a temperature, points for a share; never a bare number."""
    item, expected = WORDS[case]
    assert said(limit_words(item)) == expected


def test_words_in_imperial() -> None:
    """58 °C of 80 °C is 136.4 °F of 176 °F, 39.6 °F left."""
    item = LIMITS[0]
    assert said(limit_words(item, "imperial")) == "136 of 176 °F, 40 °F left"


def test_a_temperature_s_share_is_counted_from_freezing() -> None:
    """58 of 80 °C is 72.5 %, not the 94 % that kelvins would say."""
    assert share_of(LIMITS[0]) == pytest.approx(0.725)
    assert np.isnan(share_of(LimitItem("t", KELVIN + 5, KELVIN, "charge_temperature")))


def test_nearest_comes_first_and_unknown_last() -> None:
    """Over its limit first, then by what is left, then what was not recorded."""
    chart = limits(LIMITS)
    expected = ["Injector duty", "Blower speed", "Mean piston speed", "Charge temperature",
                "Torque"]  # fmt: skip
    assert texts(chart.wide, "sg-c-name") == expected
    assert texts(chart.narrow, "sg-c-name") == expected
    places = [chart.description.index(name) for name in expected]
    assert places == sorted(places)


def test_bars_are_to_scale() -> None:
    """A bar's length is the share of the way to the limit's tick."""
    chart = limits([LimitItem("p", 225e3, 300e3, "power")])
    for markup in (chart.wide, chart.narrow):
        ((tick, _),) = points(with_class(markup, "sg-c-limit")[0].get("d", ""))
        bar = [x for x, _ in points(with_class(markup, "sg-c-bar")[0].get("d", ""))[0]]
        assert (max(bar) - min(bar)) / (tick[0] - min(bar)) == pytest.approx(0.75, abs=0.001)


def test_what_is_over_runs_past_the_tick() -> None:
    """Beyond the limit another bar goes on, and stays on the drawing however far it is."""
    chart = limits([LimitItem("p", 900e3, 300e3, "power")])
    for markup, width in ((chart.wide, 720), (chart.narrow, 360)):
        ((tick, _),) = points(with_class(markup, "sg-c-limit")[0].get("d", ""))
        over = [x for x, _ in points(with_class(markup, "sg-c-over")[0].get("d", ""))[0]]
        assert tick[0] < max(over) < width
    assert not with_class(limits([LIMITS[1]]).wide, "sg-c-over")


def test_words_of_the_caller_are_printed() -> None:
    """The caller's own words stand beside the bar; a plain tuple will do."""
    chart = limits([("blower speed", 200.0, 260.0, "blower_speed", "my words")])
    assert texts(chart.wide, "sg-c-words") == ["my words"]


TITLES = {
    "nearest": (LIMITS[:2][::-1], "Blower speed is nearest to its limit: 7 % left"),
    "one": (LIMITS[1:2], "Blower speed is within its limit: 7 % left"),
    "over": (LIMITS[2:3], "Injector duty is beyond its limit: 2 points over"),
    "two over": ([LIMITS[2], LimitItem("power", 4e5, 3e5, "power")],
                 "Injector duty and power are beyond their limits"),
    "unknown": (LIMITS[3:4], "No limits to compare with"),
    "none": ([], "No limits to compare with"),
}  # fmt: skip


@pytest.mark.parametrize("case", TITLES)
def test_title_states_what_is_nearest(case: str) -> None:
    """One line: what is exceeded, or else what is nearest."""
    items, expected = TITLES[case]
    assert said(limits_title(items)) == expected


def test_an_item_without_a_limit_is_left_out() -> None:
    """No limit, no bar."""
    assert limits([LimitItem("p", 3e5, np.nan, "power")]).wide == limits([]).wide


def test_description_gives_both_systems() -> None:
    """300 kW = 402 hp (1 hp = 745.7 W; NIST SP 811, from memory)."""
    text = limits([LimitItem("power", 225e3, 300e3, "power")]).description
    assert "Power: 225 kW (302 hp) of 300 kW (402 hp), 25 % left." in text
