"""Titles that state a finding, and texts for those who cannot see a chart.

Expected conversions: 1 hp = 745.6999 W, 1 lbf·ft = 1.355818 N·m, 1 psi = 6894.757 Pa (NIST Special
Publication 811, 2008, appendix B.8; from memory).
"""

from __future__ import annotations

import numpy as np
import pytest

from specgen.publish.charts.series import Series
from specgen.publish.charts.words import (
    boost_title,
    curves_title,
    description,
    measured_words,
    series_name,
)
from tests.publish.charts.samples import boosts, ladder, limit, lone, pull, sweep, with_gap

THIN = "\u202f"


def said(text: str) -> str:
    """A text with plain spaces and minus signs, as the expectations below are typed."""
    return text.replace(THIN, " ").replace("\u2212", "-")


def peaked() -> list[Series]:
    """A sweep whose torque has a sharp peak: 512 N m at 4300 rpm, 301 kW at 6400 rpm."""
    speed = np.array([2000.0, 3000, 4300, 5000, 6400, 6800]) / 60
    torque = np.array([300.0, 400, 512, 470, 449.1, 400])
    power = torque * speed * 2 * np.pi
    return [Series("p", "power", speed, power), Series("p", "torque", speed, torque)]


TITLES = {
    "flat torque": (pull(emphasis=True), "301 kW at 6 200 rpm, flat torque from 3 600 to 5 600"),
    "a peak of torque": (peaked(), "301 kW at 6 400 rpm, 512 N·m at 4 300 rpm"),
    "no torque": (pull()[:1], "301 kW at 6 200 rpm"),
    "torque alone": (peaked()[1:], "512 N·m at 4 300 rpm"),
    "only an estimate": (
        pull(standing="estimated")[:1],
        "An estimated 301 kW at 6 200 rpm",
    ),
    "still rising": (
        [Series("p", "power", sweep()[0][:9], sweep()[1][:9])],
        "133 kW at 2 800 rpm and still rising",
    ),
    "one reading": (
        [lone("power", 301e3, 6400 / 60), lone("torque", 512, 4300 / 60)],
        "301 kW at 6 400 rpm, 512 N·m at 4 300 rpm",
    ),
    "no speed": ([lone("power", 301e3)], "301 kW, engine speed not recorded"),
    "no speeds": (
        [lone("power", 301e3), lone("torque", 512.0)],
        "301 kW and 512 N·m, engine speed not recorded",
    ),
    "nothing": ([], "No power or torque recorded"),
    "a limit alone": ([limit("power", 3e5)], "No power or torque recorded"),
    "several": (
        [*pull("85 mm", group=0)[:1], *pull("80 mm", 320e3, group=1, emphasis=True)[:1]],
        "80 mm: 320 kW at 6 200 rpm",
    ),
    "measured before estimated": (
        [*pull("85 mm")[:1], *pull("85 mm", 400e3, "estimated")[:1]],
        "301 kW at 6 200 rpm",
    ),
}


@pytest.mark.parametrize("case", TITLES)
def test_title_of_power_and_torque(case: str) -> None:
    """The title is the finding, in the case's own words."""
    series, expected = TITLES[case]
    assert said(curves_title(series)) == expected


def test_title_in_imperial() -> None:
    """A reader who works in hp and lb ft gets them: 301 / 0.7457 = 403.6, 512 / 1.3558 = 377.6."""
    assert said(curves_title(peaked(), "imperial")) == "404 hp at 6 400 rpm, 378 lb·ft at 4 300 rpm"


def shifted(miss: list[float]) -> list[Series]:
    """An estimate of 50 kPa ± 5 kPa and five readings that miss it by these kPa."""
    speed = np.array([40.0, 50, 60, 70, 80])
    middle = np.full(5, 50e3)
    reading = Series("p", "boost", speed, middle + 1e3 * np.array(miss), emphasis=True)
    return [reading, Series("p", "boost", speed, middle, "estimated", np.full(5, 5e3))]


BOOSTS = {
    "inside": (shifted([0, 1, -1, 4.9, -4.9]), "53", "inside the estimated band"),
    "below from": (shifted([1, 0, 0, -6, -7]), "51", "below the estimated band from 4 200"),
    "above throughout": (shifted([6, 6, 7, 6, 6]), "57", "above the estimated band throughout"),
    "here and there": (shifted([8, 0, -8, 0, 0]), "58", "outside the estimated band at 2 of 5"),
    "once below": (shifted([0, -8, 0, 0, 1]), "51", "below the estimated band at 1 of 5 readings"),
}


@pytest.mark.parametrize("case", BOOSTS)
def test_boost_is_compared_with_its_estimate(case: str) -> None:
    """The title says where the readings lie against the band (k = 2)."""
    series, _, verdict = BOOSTS[case]
    assert verdict in said(boost_title(series))


def test_a_reading_s_own_uncertainty_counts() -> None:
    """A miss of 6 kPa lies inside when estimate (5) and reading (4) together allow 6.4."""
    reading, estimate = shifted([0, 0, 0, 6, 0])
    assert "outside" not in boost_title([reading, estimate])
    assert "above" in boost_title([reading, estimate])
    banded = Series("p", "boost", reading.x, reading.y, band=np.full(5, 4e3), emphasis=True)
    assert "inside" in boost_title([banded, estimate])


def test_title_of_boost_names_the_most() -> None:
    """71 kPa stands with its speed; the sweep ends there, so it still rises."""
    assert said(boost_title([boosts()])) == "71 kPa at 6 800 rpm and still rising"
    assert said(boost_title([boosts(standing="estimated")])) == "An estimated 71 kPa at 6 800 rpm"
    assert boost_title([]) == "No boost recorded"


def test_vacuum_is_not_called_boost() -> None:
    """Below the outside air throughout: the title says how far."""
    speed = np.array([20.0, 50, 100])
    series = [Series("na", "boost", speed, np.array([-1e3, -3e3, -7e3]))]
    assert (
        said(boost_title(series)) == "No boost: the manifold stays 1 to 7 kPa below the outside air"
    )


def test_description_has_figures_in_both_systems() -> None:
    """Peak, ends, uncertainty and limit stand in words: 301 kW = 404 hp, 330 kW = 443 hp."""
    series = [*pull(band=0.02), limit("power", 330e3)]
    text = said(description(series, "power over engine speed, at the wheel hubs"))
    assert text.startswith("Power over engine speed, at the wheel hubs. ")
    for part in ("301 kW (404 hp) ± 6 kW at 6200 rpm", "it runs from", "at 6800 rpm",
                 "within 5 % of that from", "The limit of power is 330 kW (443 hp)."):  # fmt: skip
        assert part in text


def test_many_series_are_described_by_their_peaks() -> None:
    """Ten series: each has its peak, none its ends."""
    text = description(ladder(), "x")
    assert text.count("highest") == 10
    assert "it runs from" not in text


def test_description_owns_up_to_gaps() -> None:
    """What was not recorded is counted, what never was is said."""
    assert "9 of 49 values not recorded" in said(description(with_gap(), "x"))
    empty = Series("p", "power", np.array([1.0]), np.array([np.nan]))
    assert "Nothing is recorded." in description([empty], "x")
    assert "a single value of 301" in said(description([lone("power", 301e3, 100.0)], "x"))


@pytest.mark.parametrize(
    ("place", "standard", "mixed", "expected"),
    [
        ("flywheel", "ISO 1585", False, "at the flywheel, corrected to ISO 1585"),
        ("hub", None, False, "at the wheel hubs, as observed, not corrected"),
        ("roller", "SAE J607", True, "at the wheels on rollers, as observed and corrected to"),
        (None, None, False, "measuring point not recorded, as observed, not corrected"),
    ],
)
def test_measuring_point_and_standard(
    place: str | None, standard: str | None, mixed: bool, expected: str
) -> None:
    """A figure never stands without where it was measured and in which air."""
    assert measured_words(place, standard, mixed=mixed).startswith(expected)


def test_an_estimate_is_called_an_estimate() -> None:
    """The standing is added to a label unless the label says it already."""
    one = pull("80 mm", standing="estimated")[0]
    assert series_name(one) == "80 mm, estimated"
    assert series_name(pull("Estimated", standing="estimated")[0]) == "Estimated"
    assert series_name(pull("80 mm", corrected=True)[0]) == "80 mm, corrected"
    assert series_name(lone("power", 1e5)) == "paper, as reported"
    assert series_name(pull("80 mm")[0]) == "80 mm"


def test_series_of_unequal_lengths_are_refused() -> None:
    """The message names the series and both shapes."""
    with pytest.raises(ValueError, match=r'series "p": speed has shape \(2,\), values \(3,\)'):
        Series("p", "power", np.zeros(2), np.zeros(3))
    with pytest.raises(KeyError, match="horsepower"):
        Series("p", "horsepower", np.zeros(2), np.zeros(2))
