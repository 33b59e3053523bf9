"""The demo's figures stay as they were kept under the method's number, or the number rises."""

from __future__ import annotations

import datetime

import pytest

from specgen.analysis import method as methods
from specgen.analysis.tables import defaults
from tests.past import demo

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def now() -> demo.Kept:
    """What this program works out of the demo."""
    return demo.figures_now()


def test_no_figure_moves_without_a_new_number(now: demo.Kept) -> None:
    """Every figure to a hundred-thousandth, its uncertainty too: what moves is told to readers."""
    assert demo.faults(*demo.read(), now) == []
    assert sum(len(figures) for _, figures in now.values()) > 3000


def test_a_figure_that_moved_asks_for_a_new_number(now: demo.Kept) -> None:
    """A thousandth of one figure, or of one margin, is seen and named with what to do."""
    number, kept = demo.read()
    (build, (files, figures)), *_ = kept.items()
    key, (value, margin) = next((k, it) for k, it in figures.items() if it[0] and it[1])
    for other in ((value * 1.001, margin), (value, margin * 1.001)):  # type: ignore[operator]
        moved = {**kept, build: (files, {**figures, key: other})}
        (told,) = demo.faults(number, moved, now)
        assert build in told
        assert key in told
        assert "METHODS" in told


def test_a_changed_model_asks_for_a_new_number(monkeypatch: pytest.MonkeyPatch) -> None:
    """Engines of four valves are taken to breathe a thousandth better: their figures all move."""
    number, kept = demo.read()
    one = {"harbour-ferry": kept["harbour-ferry"]}
    assert demo.faults(number, one, demo.figures_now("harbour-ferry")) == []
    better = {it: value * 1.001 for it, value in defaults._BREATHING.items()}
    monkeypatch.setattr(defaults, "_BREATHING", better)
    (told,) = demo.faults(number, one, demo.figures_now("harbour-ferry"))
    assert "estimated_power" in told or "volumetric_efficiency" in told
    assert "METHODS" in told


def test_other_files_or_another_number_ask_to_be_kept_anew(
    now: demo.Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Changed demo data is no change of the method; a new number is kept before it is released."""
    number, kept = demo.read()
    build, (_, figures) = next(iter(kept.items()))
    (told,) = demo.faults(number, {**kept, build: ("other", figures)}, now)
    assert "other files" in told
    assert "METHODS" not in told
    assert demo.faults(number, {it: kept[it] for it in kept if it != build}, now)
    later = methods.Method(number + 1, datetime.date(2027, 1, 1), "Otherwise.")
    monkeypatch.setattr(methods, "METHODS", (*methods.METHODS, later))
    assert "python -m tests.past.demo" in demo.faults(number, kept, now)[0]
