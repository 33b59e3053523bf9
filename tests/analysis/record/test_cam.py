"""The cam card: both forms say the same, the lift goes through it, rules of thumb are named so."""

from __future__ import annotations

from math import degrees, pi, radians
from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.record.cam import BOOSTED_CAUTION, LIFT_LAW, Cam
from tests.analysis.small import BUILD, SESSION, sheet

ROD = BUILD.replace("  stroke: 90 mm\n", "  stroke: 90 mm\n  rod_length: 145 mm\n")
HEAD = "record:\n  cam:\n"
DURATIONS = """\
    intake: {duration: 244 deg, at_lift: 1.00 mm, lift: 10.6 mm, lash: 0.25 mm}
    exhaust: {duration: 248 deg, at_lift: 1.00 mm, lift: 10.2 mm}
    lobe_separation: 112 deg
    advance: 4 deg
"""
EVENTS = """\
    intake: {opens: 14 deg before TDC, closes: 50 deg after BDC, at_lift: 1.00 mm, lift: 10.6 mm}
    exhaust: {opens: 60 deg before BDC, closes: 8 deg after TDC, at_lift: 1.00 mm, lift: 10.2 mm}
"""
ONE_LINE = """\
    intake: {duration: 244 deg, centre_line: 108 deg}
    exhaust: {duration: 248 deg}
    lobe_separation: 112 deg
"""
LINES = """\
    intake: {duration: 244 deg, centre_line: 108 deg}
    exhaust: {duration: 248 deg, centre_line: 116 deg}
"""


def cam(folder: Path, card: str, build: str = ROD + SESSION) -> Cam:
    """The cam card of the small build."""
    record = sheet(folder, build + HEAD + card).record
    assert record is not None
    assert record.cam is not None
    return record.cam


@pytest.mark.parametrize("card", [DURATIONS, EVENTS, ONE_LINE, LINES])
def test_every_form_of_a_card_says_the_same(card: str, tmp_path: Path) -> None:
    """Events, centre lines, separation, advance and overlap, by hand from the same lobes."""
    found = cam(tmp_path, card)
    events = [(event.title, round(degrees(event.angle), 9), event.side, event.dead_centre)
              for event in found.events]  # fmt: skip
    assert events == [
        ("Exhaust opens", 60, "before", "BDC"), ("Intake opens", 14, "before", "TDC"),
        ("Exhaust closes", 8, "after", "TDC"), ("Intake closes", 50, "after", "BDC"),
    ]  # fmt: skip
    figures = {
        "intake line": (found.intake.centre_line, 108),
        "exhaust line": (found.exhaust.centre_line, 116),
        "intake duration": (found.intake.duration, 244),
        "exhaust duration": (found.exhaust.duration, 248),
        "separation": (found.lobe_separation, 112), "advance": (found.advance, 4),
        "overlap": (found.overlap, 22),
    }  # fmt: skip
    for name, (row, value) in figures.items():
        assert degrees(row.scalar) == pytest.approx(value), name
    assert found.overlap_span == pytest.approx((radians(-14), radians(8)))


def test_events_on_the_other_side(tmp_path: Path) -> None:
    """A valve that opens late has an angle below zero, and the words of the other side."""
    card = """\
    intake: {opens: 5 deg after TDC, closes: 35 deg after BDC}
    exhaust: {opens: 40 deg before BDC, closes: 3 deg before TDC}
"""
    found = cam(tmp_path, card)
    assert found.intake.opens is not None
    assert found.exhaust.closes is not None
    assert (found.intake.opens.side, round(degrees(found.intake.opens.angle))) == ("after", 5)
    assert (found.exhaust.closes.side, round(degrees(found.exhaust.closes.angle))) == ("before", 3)
    assert degrees(found.overlap.scalar) == pytest.approx(-8)
    assert found.overlap_span is None


def test_ratio_from_intake_closing(tmp_path: Path) -> None:
    """Counted from 50 degrees after bottom, with the crank drive's own position, by hand."""
    found = cam(tmp_path, DURATIONS).effective_ratio
    angle, throw, rod = pi + radians(50), 45.0, 145.0
    way = throw + rod - throw * np.cos(angle) - np.sqrt(rod**2 - (throw * np.sin(angle)) ** 2)
    assert found.scalar == pytest.approx(1 + 8.0 * way / 90.0)
    assert found.scalar < 9.0


def test_ratio_with_boost_is_called_what_it_is(tmp_path: Path) -> None:
    """The geometric ratio times boost over air, with the words rule of thumb and a caution."""
    found = cam(tmp_path, DURATIONS)
    row = found.boosted_ratio
    assert row.scalar == pytest.approx(9.0 * (1 + 71 / 99.1))
    assert "rule of thumb" in row.title
    assert row.basis == "estimated"
    assert row.formula is not None
    assert "no source" in row.formula.source
    for word in ("rule of thumb", "detonates", "no setting"):
        assert word in BOOSTED_CAUTION


def test_ratio_with_boost_of_a_planned_build_takes_the_estimate(tmp_path: Path) -> None:
    """Where nothing was measured the estimated boost stands in, and its uncertainty with it."""
    row = cam(tmp_path, DURATIONS, ROD).boosted_ratio
    boost = next(item for item in row.inputs if item.quantity.key == "boost")
    assert boost.key == "boost_at_top"
    assert row.expanded is not None
    assert row.expanded > 0.1


def test_seat_durations_are_those_of_cam_cards(tmp_path: Path) -> None:
    """244 degrees at 1.00 mm of 10.6 are some 281 at the seat, and its doubt covers published cams.

    Such cams print 25 to 52 degrees more at the seat than at 1.0 to 1.27 mm; a harmonic lobe taken
    down to no lift at all had 304.5, which no card has.
    """
    folder = tmp_path / "a"
    cam(folder, DURATIONS)
    scope = next(it for it in sheet(folder, ROD + SESSION + HEAD + DURATIONS).scopes
                 if it.find("intake_seat_duration") is not None)  # fmt: skip
    row = scope["intake_seat_duration"]
    assert degrees(row.scalar) == pytest.approx(281.2, abs=0.1)
    assert row.expanded is not None
    assert degrees(row.expanded) == pytest.approx(2 * 0.3 * (281.2 - 244), abs=0.1)
    assert 25 < degrees(row.scalar) - 244 < 52
    assert "0.15 mm" in row.title
    assert "checking lift" in scope["effective_ratio"].title


def test_lift_goes_through_the_card(tmp_path: Path) -> None:
    """The curve is at the checking lift where the card says, at its top on the centre line."""
    found = cam(tmp_path, DURATIONS)
    assert [curve.side for curve in found.curves] == ["exhaust", "intake"]
    events = {"intake": (-14.0, 230.0, 108.0, 10.6e-3), "exhaust": (-240.0, 8.0, -116.0, 10.2e-3)}
    for curve in found.curves:
        opening, closing, line, lift = events[curve.side]
        assert (degrees(curve.opening), degrees(curve.closing)) == pytest.approx((opening, closing))
        for angle in (curve.opening, curve.closing):
            at = np.interp(angle, curve.crank_angle, curve.lift)
            assert at == pytest.approx(1.0e-3, rel=0.01)  # between two points of the curve
        top = int(np.argmax(curve.lift))
        assert degrees(curve.crank_angle[top]) == pytest.approx(line)
        assert curve.lift[top] == pytest.approx(lift)
        assert curve.lift[[0, -1]] == pytest.approx([0, 0], abs=1e-12)
        assert curve.law == LIFT_LAW
        with pytest.raises(ValueError, match="read-only"):
            curve.lift[0] = 1.0
    assert "assumption" in LIFT_LAW


def test_no_lift_is_drawn_that_nobody_stated(tmp_path: Path) -> None:
    """Without a highest lift there is no curve, and the row says what the card lacks."""
    found = cam(tmp_path, LINES)
    assert found.curves == ()
    assert found.intake.lift.reason == "not on the cam card"
    assert found.intake.at_lift.source == "no checking lift recorded: counted from the seat"


def test_a_card_of_one_side(tmp_path: Path) -> None:
    """What the other side would be needed for is absent with its reason; the rest stands."""
    found = cam(tmp_path, "    intake: {opens: 14 deg before TDC, closes: 50 deg after BDC}\n")
    assert [event.title for event in found.events] == ["Intake opens", "Intake closes"]
    assert found.overlap.reason == "not on the cam card"
    assert found.effective_ratio.present
    assert found.exhaust.opens is None
