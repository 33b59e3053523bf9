"""Power, torque and boost: the series and labels that are in the drawing, and where they stand."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest

from specgen.publish.charts.curves import thinned
from specgen.publish.charts.door import Series, boost, power_and_torque
from tests.publish.charts.samples import (
    boosts,
    charts,
    ladder,
    limit,
    lone,
    points,
    pull,
    sweep,
    texts,
    tree,
    with_class,
    with_gap,
)

HORSEPOWER = 745.6999  # W; NIST Special Publication 811 (2008), appendix B.8, from memory
POUND_FOOT = 1.355818  # N m; the same table, from memory


def axis(markup: str, system: str, panel: int) -> dict[float, float]:
    """Tick value to pixel of one system's axis; panels are counted from the top."""
    ticks: list[dict[float, float]] = []
    for item in with_class(markup, f"sg-c-axis-{system}"):
        text = (item.text or "").replace("\u202f", "").replace("\u2212", "-")
        if item.tag.endswith("text") and re.fullmatch(r"-?[\d.]+", text):
            height = float(item.get("y", "")) - 4
            # ticks rise within a panel; one that stands lower begins the next
            if not ticks or height > min(ticks[-1].values()):
                ticks.append({})
            ticks[-1][float(text)] = height
    return ticks[panel]


def value_at(axis_ticks: dict[float, float], height: float) -> float:
    """The value of a pixel, by the two outermost ticks of an axis."""
    (low, at_low), *_, (high, at_high) = sorted(axis_ticks.items())
    return low + (height - at_low) / (at_high - at_low) * (high - low)


def lines(markup: str, standing: str) -> list[list[list[tuple[float, float]]]]:
    """The runs of points of each line of a standing."""
    found = with_class(markup, f"sg-c-{standing}")
    return [points(item.get("d", "")) for item in found if item.get("d")]


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_every_reading_is_drawn_to_scale_on_both_axes(form: str) -> None:
    """49 readings a panel; each one's pixel reads its value back on either axis."""
    chart = power_and_torque(pull(emphasis=True))
    markup = getattr(chart, form)
    _, power, torque = sweep()
    for panel, (values, metric, imperial) in enumerate(
        [(power, 1e3, HORSEPOWER), (torque, 1.0, POUND_FOOT)]
    ):
        (run,) = lines(markup, "measured")[panel]
        assert len(run) == 49
        for system, unit in (("metric", metric), ("imperial", imperial)):
            scale = axis(markup, system, panel)
            back = [value_at(scale, height) * unit for _, height in run]
            # pixels are rounded to 0.01; a panel of about 190 px spans 1.2 times the peak
            assert back == pytest.approx(values, abs=values.max() * 2e-4)


def test_an_axis_begins_at_zero_or_says_that_it_does_not() -> None:
    """Power falls low and begins at zero; level torque does not, and 3 % of it is to be seen."""
    markup = charts()["usual"].wide
    for system in ("metric", "imperial"):
        assert 0.0 in axis(markup, system, 0)
        assert min(axis(markup, system, 1)) > 0
    scale = axis(markup, "metric", 1)
    _, _, torque = sweep()
    low, high = min(scale), max(scale)
    per_unit = (scale[low] - scale[high]) / (high - low)
    assert 0.03 * torque.max() * per_unit > 10
    (said,) = [line for line in texts(markup, "sg-c-note") if "not at zero" in line]
    assert said.startswith("The axis of torque begins at ")
    assert "not at zero" not in power_and_torque(pull()[:1]).wide
    assert texts(markup, "sg-c-speed")[0] == "2\u202f000"
    assert texts(markup, "sg-c-speed")[-1] == "rpm"


def test_panels_share_one_engine_speed() -> None:
    """Power stands above torque, reading above reading."""
    power, torque = lines(power_and_torque(pull()).wide, "measured")
    assert [x for x, _ in power[0]] == [x for x, _ in torque[0]]
    assert max(y for _, y in power[0]) < min(y for _, y in torque[0])
    assert texts(power_and_torque(pull()).wide, "sg-c-heading") == ["Power", "Torque"]


def test_no_torque_leaves_one_panel() -> None:
    """Without torque there is no empty panel for it."""
    assert texts(power_and_torque(pull()[:1]).wide, "sg-c-heading") == ["Power"]
    assert texts(power_and_torque(pull()[1:]).wide, "sg-c-heading") == ["Torque"]


def test_standing_decides_dash_and_dots() -> None:
    """Measured: whole line with dots. Corrected: whole, no dots. Estimated: a dash, no dots."""
    markup = charts()["usual"].wide
    dashes = {
        standing: {item.get("stroke-dasharray") for item in with_class(markup, f"sg-c-{standing}")}
        for standing in ("measured", "corrected", "estimated")
    }
    assert dashes["measured"] == dashes["corrected"] == {None}
    assert None not in dashes["estimated"]
    assert len(with_class(markup, "sg-c-dots")) == 2  # observed power and torque
    assert len(with_class(markup, "sg-c-band")) == 4  # corrected and estimated, two panels


def test_each_line_is_labelled_at_its_end() -> None:
    """Every series' label stands in each panel, right of its line."""
    markup = power_and_torque(ladder()).wide
    shown = " ".join(texts(markup, "sg-c-label"))
    for size in (95, 90, 85, 80, 75):
        assert shown.count(f"{size} mm, ethanol") == 2
    assert shown.count("estimated") == 2
    end = max(x for runs in lines(markup, "measured") for run in runs for x, _ in run)
    assert all(float(item.get("x", "0")) > end for item in with_class(markup, "sg-c-label"))


@pytest.mark.parametrize("form", ["wide", "narrow"])
def test_labels_do_not_lie_on_each_other(form: str) -> None:
    """Baselines of labels are a line apart, however near the lines end."""
    close = [
        item
        for index in range(5)
        for item in pull(f"setup number {index}", 300e3 + index * 100, group=index)
    ]
    markup = getattr(power_and_torque(close), form)
    heights = sorted(float(item.get("y", "0")) for item in with_class(markup, "sg-c-label"))
    assert all(second - first > 12 for first, second in itertools.pairwise(heights))


def test_a_gap_stays_a_gap() -> None:
    """Readings not recorded part the line; the band and the other series go on."""
    power, torque, other, _ = lines(power_and_torque(with_gap()).wide, "measured")
    whole = max(power, torque, other, key=len)
    assert len(whole) == 2
    assert sum(len(run) for run in whole) == 40
    assert sorted(len(runs) for runs in (power, torque, other)) == [1, 1, 2]


def test_peak_is_marked_with_its_value() -> None:
    """The emphasised series' peak has a dot, and words in both systems above it."""
    markup = power_and_torque(pull(emphasis=True)).wide
    assert [text.replace("\u202f", " ") for text in texts(markup, "sg-c-value")] == [
        "301 kW (404 hp) at 6 200 rpm",
        "524 N·m (386 lb·ft) at 4 600 rpm",
    ]
    ((dot,),) = points(with_class(markup, "sg-c-peak")[0].get("d", "").replace("h0", ""))[:1]
    scale = axis(markup, "metric", 0)
    assert value_at(scale, dot[1]) == pytest.approx(301, abs=0.1)


def test_an_estimated_peak_is_an_open_dot() -> None:
    """A filled dot is a reading; an estimate's peak is hollow."""
    guess = power_and_torque(pull(standing="estimated", emphasis=True)[:1]).wide
    reading = power_and_torque(pull(emphasis=True)[:1]).wide
    assert len(with_class(guess, "sg-c-peak-ground")) == 2
    assert len(with_class(reading, "sg-c-peak-ground")) == 1


def test_a_single_reading_is_a_dot() -> None:
    """A peak from paper: no line, one dot, its value and what kind of figure it is."""
    markup = power_and_torque([lone("power", 301e3, 6400 / 60)]).wide
    assert not lines(markup, "reported")
    assert len(with_class(markup, "sg-c-dots")) == 1
    assert "paper, as reported" in " ".join(texts(markup, "sg-c-label"))


def test_a_value_without_a_speed_runs_across_all_speeds() -> None:
    """What is known is shown: the height, at no speed in particular."""
    (runs,) = lines(power_and_torque([lone("power", 301e3)]).wide, "reported")
    (first, last) = runs[0]
    assert first[1] == last[1]
    assert last[0] - first[0] > 300


def test_nothing_recorded_is_said() -> None:
    """No invented axis numbers around an empty panel."""
    markup = charts()["nothing"].wide
    assert texts(markup, "sg-c-empty") == ["nothing recorded"]
    assert not [text for text in texts(markup, "sg-c-axis-metric") if re.search(r"\d", text)]


@pytest.mark.parametrize(("value", "drawn"), [(90e3, True), (190e3, False)])
def test_a_limit_is_a_tick_with_words_or_a_note(value: float, drawn: bool) -> None:
    """A near limit is a line with words; one far beyond does not flatten the curve."""
    markup = boost([boosts(), limit("boost", value)]).wide
    assert bool(with_class(markup, "sg-c-limit")) == drawn
    words = texts(markup, "sg-c-limit-words" if drawn else "sg-c-note")
    number = f"{value / 1e3:.0f}\u202fkPa"
    assert number in " ".join(words)
    assert ("beyond this scale" in " ".join(words)) != drawn


def test_below_the_outside_air_the_axis_reaches_down() -> None:
    """Vacuum is drawn below zero, to scale: 7.0 kPa at 6 000 rpm by its formula."""
    speed, _, _ = sweep(high=6000)
    values = -1e3 - 6e3 * (speed / 100) ** 2
    markup = boost([Series("na", "boost", speed, values, emphasis=True)]).wide
    ((run,),) = lines(markup, "measured")
    scale = axis(markup, "metric", 0)
    assert value_at(scale, run[-1][1]) == pytest.approx(-7.0, abs=0.01)
    assert 0.0 in scale


def test_an_enormous_band_does_not_flatten_the_curve() -> None:
    """The axis follows the readings; the band is cut at the panel's edge."""
    markup = power_and_torque(pull(standing="estimated", band=5.0)[:1]).wide
    scale = axis(markup, "metric", 0)
    assert max(scale) <= 1.7 * 301
    corners = [y for run in points(with_class(markup, "sg-c-band")[0].get("d", "")) for _, y in run]
    assert min(corners) > 0
    assert max(corners) == pytest.approx(scale[0.0], abs=0.02)


def test_where_and_how_it_was_measured_is_on_the_chart() -> None:
    """A figure never stands without measuring point and standard, in drawing and words."""
    chart = power_and_torque(pull(), None, "hub", "DIN 70020")
    assert texts(chart.wide, "sg-c-note")[0] == "At the wheel hubs, corrected to DIN 70020"
    assert "at the wheel hubs, corrected to DIN 70020" in chart.description
    assert "Measuring point not recorded" in " ".join(texts(power_and_torque(pull()).narrow))


def test_a_title_can_be_given() -> None:
    """The caller's own finding stands in place of the derived one."""
    chart = boost([boosts()], "Boost fades above 6\u202f000\u202frpm")
    assert chart.title == "Boost fades above 6\u202f000\u202frpm"
    assert tree(chart.wide)[0].text == "Boost fades above 6000 rpm"


def test_series_of_other_quantities_are_left_out() -> None:
    """A boost series does not land on the power chart."""
    assert power_and_torque([*pull(), boosts()]).wide == power_and_torque(pull()).wide


def test_five_banded_setups_stay_within_the_page_s_bytes() -> None:
    """Five setups in two panels, each with a band and 49 readings: still under 20 kB."""
    chart = power_and_torque(ladder(bands=True), None, "flywheel", "ISO 1585")
    assert len(chart.wide.encode()) <= 20_000
    assert len(chart.narrow.encode()) <= 20_000


def test_thinning_keeps_peak_gaps_and_ends() -> None:
    """Few points are drawn of many, never without the peak, a gap or an end."""
    speed = np.arange(400.0)
    values = np.full(400, 100.0)
    values[201] = 500.0
    values[333:336] = np.nan
    kept = thinned(Series("p", "power", speed, values), 20)
    assert {0, 201, 333, 399} <= set(kept)
    assert len(kept) <= 23
    assert thinned(Series("p", "power", speed, values), 400) == list(range(400))


def test_a_phone_s_labels_break_between_words_only() -> None:
    """The words that every chart uses stay whole at the ends of a phone's lines."""
    series = [*pull("80 mm, E85", corrected=True), *pull("80 mm, E85", 298e3, "estimated")]
    shown = set(texts(power_and_torque(series).narrow, "sg-c-label"))
    assert {"corrected", "estimated"} <= shown


def test_quiet_and_planned_series_have_a_code_of_their_own() -> None:
    """What is there to compare with is in the quiet ink; what was never run is a band alone."""
    speeds = np.linspace(40.0, 110.0, 12)
    shown = [
        Series("81 mm", "power", speeds, 2e3 * speeds, emphasis=True),
        Series("84 mm", "power", speeds, 1.9e3 * speeds, quiet=True),
        Series("78 mm", "power", speeds, 2.1e3 * speeds, "estimated", np.full(12, 9e3), group=1,
               planned=True),
    ]  # fmt: skip
    chart = power_and_torque(shown)
    edges = with_class(chart.wide, "sg-c-planned")
    assert len(edges) == 2
    assert not with_class(chart.wide, "sg-c-estimated")
    assert {"81 mm", "84 mm", "78 mm, planned"} <= set(texts(chart.wide, "sg-c-label"))
    assert chart.title.startswith("220\N{NARROW NO-BREAK SPACE}kW")
    quiet = [
        it for it in with_class(chart.wide, "sg-c-measured") if "sg-s-muted" in it.get("class", "")
    ]
    assert len(quiet) == 1
