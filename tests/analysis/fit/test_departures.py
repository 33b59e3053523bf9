"""A pull's departure is weighed against the covariance of all its points."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.analysis.fit.departures import Departure, departed, ways
from specgen.analysis.fit.residuals import Label

_POINTS = 9
_LABELS = [Label("p80", "pull", "boost", 40.0 + 8 * index) for index in range(_POINTS)]


def departure(ahead: np.ndarray, offset: float) -> Departure:
    """A pull whose points share an offset of so many standard deviations of a point."""
    shared = np.full((_POINTS, 1), offset)
    (found,) = departed(_LABELS, ahead, shared, np.eye(1), [])
    return found


def test_what_all_points_share_is_forgiven_and_a_sag_is_not() -> None:
    """Three standard deviations throughout are an offset of such a sensor; a sag is none."""
    level = np.full(_POINTS, 3.0)
    assert departure(level, 3.0).size < 1.5
    assert departure(level, 0.1).size > 6
    sag = np.maximum(np.arange(_POINTS) - 5.0, 0.0) * 2.5
    assert departure(sag, 3.0).size > 5


def test_chance_alone_departs_seldom_beyond_what_is_told() -> None:
    """Of a thousand pulls with nothing wrong about one in a hundred lies beyond 3.3."""
    rng = np.random.default_rng(3)
    sizes = [
        departure(rng.normal() * 2.0 + rng.normal(size=_POINTS), 2.0).size for _ in range(1000)
    ]
    assert np.mean(np.array(sizes) > 3.3) < 0.015


def test_a_reading_that_is_off_is_part_of_what_is_open() -> None:
    """An uncertain reading that moves the prediction makes the same miss less surprising."""
    ahead, slopes = np.full(_POINTS, 2.0), np.zeros((_POINTS, 1))
    plain, open_ = (
        next(departed(_LABELS, ahead, slopes, np.eye(1), roots)).size
        for roots in ([], [np.full(_POINTS, 2.0)])
    )
    assert plain == pytest.approx(6.0, abs=0.1)
    assert open_ < 1.5


def test_ways_fit_any_number_of_points() -> None:
    """A single peak departs in one way; a curve in several, none of them empty."""
    assert ways(1).shape == (1, 1)
    assert all(np.abs(ways(count)).sum(axis=0).min() > 0 for count in (1, 2, 3, 5, 9))
