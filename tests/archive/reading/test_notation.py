"""Limits, valve events and figures whose unit picks their kind: what is read, what is refused."""

from __future__ import annotations

from math import inf, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.archive.reading.notation import chosen, read_bounds, read_event, refuse_other_limits
from specgen.units import UnitError

KINDS = ("clearance", "load", "tightening_torque", "tightening_angle", "test_pressure", "test_loss")
quick = settings(max_examples=100, deadline=None)
numbers = st.floats(0.001, 900.0).map(lambda value: round(value, 3))


@quick
@given(numbers, st.sampled_from(["TDC", "BDC"]), st.sampled_from(["before", "after"]))
def test_events_have_a_sign_by_their_side(number: float, centre: str, usual: str) -> None:
    """On the usual side an event is above zero, on the other side below, of the same size."""
    other = "after" if usual == "before" else "before"
    wanted = f"{usual} {centre}"
    size = read_event(f"{number} deg {usual} {centre}", wanted)
    assert size == pytest.approx(radians(number))
    assert read_event(f"{number}deg {other} {centre.lower()}", wanted) == -size


@quick
@given(numbers, st.sampled_from(["BTDC", "ATDC", "btdc", "atdc."]))
def test_what_an_event_should_be_is_itself_read(number: float, letters: str) -> None:
    """The remedy for a card's letters can be typed, and is read."""
    with pytest.raises(UnitError) as told:
        read_event(f"{number} deg {letters}", "before TDC")
    assert told.value.meant
    sign = 1 if letters[0] in "Bb" else -1
    assert read_event(told.value.hint, "before TDC") == pytest.approx(sign * radians(number))


@pytest.mark.parametrize(
    "text", ["12 deg before BDC", "-12 deg before TDC", "12", "", "before TDC"]
)
def test_ambiguous_events_are_refused(text: str) -> None:
    """Another dead centre, an angle below zero, or no side at all is no event."""
    with pytest.raises(UnitError):
        read_event(text, "before TDC")


@quick
@given(numbers, numbers)
def test_limits_have_one_end_or_both(one: float, other: float) -> None:
    """Both ends, or one with the other infinite, in SI."""
    low, high = sorted((one, other))
    assert read_bounds(f"{low} to {high} mm", "length") == pytest.approx((low / 1e3, high / 1e3))
    assert read_bounds(f"at least {low} mm", "length") == pytest.approx((low / 1e3, inf))
    assert read_bounds(f"at most {high} N", "force") == pytest.approx((-inf, high))


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("0.05-0.08 mm", 0.05e-3, 0.08e-3),
        ("0.05 mm – 0.08 mm", 0.05e-3, 0.08e-3),
        ("0.05..0.08 mm", 0.05e-3, 0.08e-3),
        ("0.065 ± 0.015 mm", 0.05e-3, 0.08e-3),
        ("0.065 mm +/- 0.015 mm", 0.05e-3, 0.08e-3),
        ("min 0.3 mm", 0.3e-3, inf),
        (">= 0.3 mm", 0.3e-3, inf),
        ("not less than 0.3 mm", 0.3e-3, inf),
        ("max. 0.1 mm", -inf, 0.1e-3),
        ("up to 0.1 mm", -inf, 0.1e-3),
        ("<0.1 mm", -inf, 0.1e-3),
    ],
)
def test_what_a_limit_should_be_is_itself_read(written: str, low: float, high: float) -> None:
    """Signs, dashes and margins are refused with the limit they mean, which is then read."""
    with pytest.raises(UnitError) as told:
        refuse_other_limits(written)
    assert told.value.meant
    assert read_bounds(told.value.hint, "length") == pytest.approx((low, high))


@pytest.mark.parametrize(
    "text", ["45 N m", "0.08 to 0.05 mm", "at least", "at most some", "0.05 to"]
)
def test_no_limits(text: str) -> None:
    """One value, a range that runs backwards, and words without a number are no limit."""
    with pytest.raises(UnitError):
        read_bounds(text, "torque" if "N m" in text else "length")


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("0.062 mm", "clearance"), ("0.05 to 0.08 mm", "clearance"), ("at least 640 N", "load"),
        ("71 lbf", "load"), ("75 N m", "tightening_torque"), ("60 lb ft", "tightening_torque"),
        ("at most 90 deg", "tightening_angle"), ("1.1 MPa", "test_pressure"), ("7 %", "test_loss"),
    ],
)  # fmt: skip
def test_the_unit_picks_the_kind(text: str, key: str) -> None:
    """A length, load, torque, angle, pressure or share is told by its unit alone."""
    assert chosen(text, KINDS) == key


@pytest.mark.parametrize("text", ["90 degC", "5 furlong", "warm", ""])
def test_a_unit_of_no_kind_is_refused(text: str) -> None:
    """What is of none of the kinds is told with one unit of each."""
    with pytest.raises(UnitError) as told:
        chosen(text, KINDS)
    assert "mm or in" in told.value.expected
    assert "N m or lb ft" in told.value.expected
