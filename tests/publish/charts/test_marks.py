"""Drawings the size of a word."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest

from specgen.publish.charts.door import ladder_mark, limit_mark, sparkline
from specgen.publish.charts.series import Floats
from tests.publish.charts.samples import points, sweep


def parts(markup: str, name: str) -> list[ElementTree.Element]:
    """Elements of one kind of a mark, which has no namespace of its own inside a page."""
    return list(ElementTree.fromstring(markup).iter(name))


def test_band_and_dot_are_to_scale() -> None:
    """On a scale of 0 to 100 drawn from 6 to 114, 50 lies at 60."""
    markup = ladder_mark(50, 25, 75, 0, 100)
    (band,) = parts(markup, "rect")
    assert (float(band.get("x", "")), float(band.get("width", ""))) == (33.0, 54.0)
    assert {item.get("cx") for item in parts(markup, "circle")} == {"60"}


@pytest.mark.parametrize("value", [None, float("nan")])
def test_planned_looks_planned(value: float | None) -> None:
    """Without a measurement there is no dot, and the band's edge is dashed."""
    markup = ladder_mark(value, 25, 75, 0, 100)
    assert not parts(markup, "circle")
    assert [item.get("stroke-dasharray") for item in parts(markup, "rect")] == [None, "3 2"]


def test_a_measurement_without_an_estimate() -> None:
    """The dot alone."""
    assert not parts(ladder_mark(50, None, None, 0, 100), "rect")
    assert len(parts(ladder_mark(50, None, None, 0, 100), "circle")) == 2


@pytest.mark.parametrize(("value", "tip"), [(120.0, "119,9"), (-5.0, "1,9")])
def test_beyond_the_scale_is_an_arrow(value: float, tip: str) -> None:
    """A dot is never put where its value is not."""
    markup = ladder_mark(value, 25, 75, 0, 100)
    assert not parts(markup, "circle")
    assert parts(markup, "polygon")[0].get("points", "").startswith(tip)


def test_a_mark_is_silent_unless_it_has_words() -> None:
    """The row says the figures already; with words the mark is a picture."""
    assert 'aria-hidden="true"' in ladder_mark(50, 25, 75, 0, 100)
    spoken = ladder_mark(50, 25, 75, 0, 100, words='50 "kPa" <b>')
    assert 'role="img" aria-label="50 &quot;kPa&quot; &lt;b&gt;"' in spoken
    assert "style" not in spoken


@pytest.mark.parametrize(("low", "high"), [(1, 1), (2, 1), (float("nan"), 1)])
def test_a_scale_must_rise(low: float, high: float) -> None:
    """Without a scale there is no place for anything."""
    with pytest.raises(ValueError, match="must be larger"):
        ladder_mark(1, 0, 2, low, high)


def test_sparkline_runs_from_zero_to_its_peak() -> None:
    """Zero is the lower edge (19), the peak the upper one (3), with a dot on it."""
    markup = sparkline(np.array([10.0, 20, 30]), np.array([0.0, 100, 50]))
    (run,) = points(parts(markup, "path")[0].get("d", ""))
    assert np.array(run) == pytest.approx(np.array([(3, 19), (48, 3), (93, 11)]))
    dot = parts(markup, "circle")[0]
    assert (dot.get("cx"), dot.get("cy")) == ("48", "3")


def test_rows_can_share_a_scale() -> None:
    """Half of the shared highest value reaches half way up; more is cut at the edge."""
    x, y = np.array([10.0, 20]), np.array([0.0, 100])
    ((_, last),) = points(parts(sparkline(x, y, highest=200), "path")[0].get("d", ""))
    assert last[1] == pytest.approx(11)
    ((_, cut),) = points(parts(sparkline(x, y, highest=50), "path")[0].get("d", ""))
    assert cut[1] == pytest.approx(3)


def gap() -> tuple[Floats, Floats]:
    """A sweep with a gap."""
    speed, power, _ = sweep()
    power[20:24] = np.nan
    return speed, power


def test_sparkline_keeps_gaps_and_stays_small() -> None:
    """Two runs around the gap; no more than a kilobyte."""
    markup = sparkline(*gap())
    assert len(points(parts(markup, "path")[0].get("d", ""))) == 2
    assert len(markup) < 1000
    assert sparkline(*gap()) == markup


def test_sparkline_of_little() -> None:
    """One reading is a dot, none is nothing, unequal lengths are an error."""
    assert parts(sparkline(np.array([1.0]), np.array([5.0])), "circle")
    assert sparkline(np.array([1.0]), np.array([np.nan])) == ""
    with pytest.raises(ValueError, match="expected the same"):
        sparkline(np.zeros(2), np.zeros(3))


def test_a_limit_s_bar_is_to_scale() -> None:
    """On a scale of 0 to 1.2 over 148 pixels, half of the limit takes 61.67."""
    markup = limit_mark(0.5, 0.1)
    (bar,) = parts(markup, "rect")
    assert float(bar.get("width", "")) == pytest.approx(61.67, abs=0.1)
    track, margin, tick = [item.get("d", "") for item in parts(markup, "path")]
    assert tick.startswith(track.replace("M1 8H", "M"))
    start, end = (float(it) for it in margin[1:].replace(" 8H", " ").split())
    assert [start, end] == pytest.approx([50.3, 75.0], abs=0.1)


def test_a_bar_beyond_its_scale_ends_there() -> None:
    """Three times the limit is as long as the drawing; a planned bar is an outline."""
    (bar,) = parts(limit_mark(3.0), "rect")
    assert float(bar.get("width", "")) == pytest.approx(148)
    (planned,) = parts(limit_mark(0.5, planned=True), "rect")
    assert planned.get("fill") == "none"
