"""The way of the air: each station's figures, drawn to scale."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.publish.charts.air import air_title
from specgen.publish.charts.door import Station, air_path
from tests.publish.charts.samples import KELVIN, STATIONS, points, texts, with_class


def said(text: str) -> str:
    """A text with plain spaces, as the expectations below are typed."""
    return text.replace("\u202f", " ")


@pytest.mark.parametrize(("form", "along"), [("wide", 1), ("narrow", 0)])
def test_stations_are_drawn_to_scale(form: str, along: int) -> None:
    """Pixels are a straight line of the values: pressure first, temperature second."""
    markup = getattr(air_path(STATIONS), form)
    values = ([item.pressure for item in STATIONS], [item.temperature for item in STATIONS])
    for item, expected in zip(with_class(markup, "sg-c-line"), values, strict=True):
        (run,) = points(item.get("d", ""))
        pixels = np.array([point[along] for point in run])
        slope, offset = np.polyfit(expected, pixels, 1)
        assert np.abs(slope * np.array(expected) + offset - pixels).max() < 0.02
        assert (slope < 0) == (form == "wide")


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_each_value_stands_in_both_systems(form: str) -> None:
    """178 kPa = 25.8 psi and 131 °C = 268 °F at the discharge (6.894757 kPa/psi; from memory)."""
    markup = getattr(air_path(STATIONS), form)
    metric, imperial = texts(markup, "sg-c-metric"), texts(markup, "sg-c-imperial")
    assert len(metric) == len(imperial) == 12
    assert "178\u202fkPa" in metric
    assert "25.8\u202fpsi" in imperial
    assert "131\u202f°C" in metric
    assert "268\u202f°F" in imperial
    assert " ".join(texts(markup, "sg-c-station")).startswith("Outside air After the filter")


def test_small_steps_look_small() -> None:
    """A filter's loss of 1 kPa is not blown up to the height of a blower."""
    stations = [Station("a", 99e3, KELVIN + 20), Station("b", 98e3, KELVIN + 20)]
    markup = air_path(stations).wide
    (run,) = points(with_class(markup, "sg-c-line")[0].get("d", ""))
    assert 0 < abs(run[0][1] - run[1][1]) < 6


def test_estimates_are_open_dots_and_said() -> None:
    """Four of six stations are estimated, in both tracks."""
    markup = air_path(STATIONS).wide
    assert len(with_class(markup, "sg-c-dots")) == 12
    assert len(with_class(markup, "sg-c-open")) == 8
    assert texts(markup, "sg-c-note") == ["open dots: estimated"]
    assert texts(air_path(STATIONS[1:4]).wide, "sg-c-note") == ["all values estimated"]
    assert texts(air_path([STATIONS[0], STATIONS[5]]).wide, "sg-c-note") == []


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_what_was_read_is_a_full_dot_beside_the_estimate(form: str) -> None:
    """Two readings on the estimates' own scale, told in the key and in words."""
    read = Station("manifold", 170e3, KELVIN + 58, "estimated", 174e3, KELVIN + 61)
    chart = air_path([STATIONS[0], STATIONS[1], read])
    markup = getattr(chart, form)
    assert len(with_class(markup, "sg-c-read")) == 2
    assert "open dots: estimated, full dots: measured" in " ".join(texts(markup, "sg-c-note"))
    assert "measured 174 kPa" in said(chart.description)
    plain = air_path([STATIONS[0], STATIONS[1], Station("manifold", 170e3, KELVIN + 58)])
    assert with_class(getattr(plain, form), "sg-c-read") == []


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_unknown_stations_part_the_line(form: str) -> None:
    """What is not recorded is said at its station, and no line runs through it."""
    chart = air_path([STATIONS[0], STATIONS[1], Station("inlet"), STATIONS[4], STATIONS[5]])
    markup = getattr(chart, form)
    assert [len(points(item.get("d", ""))) for item in with_class(markup, "sg-c-line")] == [2, 2]
    assert texts(markup, "sg-c-missing") == ["not recorded"] * 2
    assert "Inlet: not recorded." in chart.description


def test_titles() -> None:
    """Where it is hottest and how it arrives; less where less is known."""
    assert said(air_title(STATIONS)) == (
        "Hottest at blower discharge, 131 °C; 58 °C at manifold; 170 kPa absolute at manifold"
    )
    assert said(air_title([Station("manifold", 97e3)])) == "97 kPa absolute at manifold"
    assert said(air_title([Station("manifold", np.nan, KELVIN + 30)])) == "30 °C at manifold"
    assert air_title([Station("manifold")]) == "The way of the air is not recorded"
    assert "268 °F" in said(air_title(STATIONS, "imperial"))


def test_nothing_at_all() -> None:
    """No stations: still a drawing, which says so in its title."""
    assert air_path([]).title == "The way of the air is not recorded"
