"""Whether a blower fits: value, list, range and missing on both sides, in mixed units."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from specgen.archive.fitment import Fit, Wanted, fitment, verdict
from specgen.archive.model.build import Blower, Given, Range
from specgen.findings import Place
from specgen.units import parse

HERE = Place("blowers/x.yaml")


def given(value: Any, text: str = "") -> Given[Any]:
    """A value as somebody wrote it."""
    return Given(value, text or str(value), HERE)


def length(text: str) -> Given[float]:
    """A length as somebody wrote it, in any unit."""
    return given(parse(text, "length"), text)


def span(low: str, high: str) -> Given[Range]:
    """A range as a blower's file has it."""
    ends = Range(parse(low, "length"), parse(high, "length"))
    return given(ends, f"{low} to {high}")


def blower(**wanted: Wanted) -> Blower:
    """A blower that asks for these."""
    return Blower("x", HERE, given("X"), given("lobe"), fits=wanted)


#: A wish of each shape with what meets it, and what misses it and by how much.
WISHES: list[tuple[str, Wanted | None, list[Given[Any]], list[tuple[Given[Any], str]]]] = [
    ("deck_height", None, [], []),
    ("deck_height", span("211 mm", "211 mm"), [length("211 mm"), length("8.307086614 in")],
     [(length("211.5 mm"), "0.500 mm too large")]),
    ("deck_height", span("8.25 in", "222 mm"), [length("209.55 mm"), length("222.0 mm")],
     [(length("209.5 mm"), "0.050 mm too small"), (length("8.75 in"), "0.250 mm too large")]),
    ("cylinders", (given(6),), [given(6)], [(given(8), "")]),
    ("cylinders", (given(4), given(6)), [given(4), given(6)], [(given(5), "")]),
    ("layout", (given("vee"),), [given("vee")], [(given("flat"), "")]),
    ("mount", (given("side plate A"), given("side plate B")), [given("side plate B")],
     [(given("side plate C"), "")]),
]  # fmt: skip


def answers(fits: tuple[Fit, ...]) -> list[str]:
    """The verdict of each."""
    return [fit.verdict for fit in fits]


@pytest.mark.parametrize(("key", "wish", "meeting", "missing"), WISHES)
def test_one_wish(key: str, wish: Wanted | None, meeting: list[Any], missing: list[Any]) -> None:
    """What meets a wish fits, what misses it says by how much, what is missing is not recorded."""
    asked = blower() if wish is None else blower(**{key: wish})
    for value in meeting:
        assert verdict(fitment(asked, {key: value})) == "fits"
    for value, apart in missing:
        (fit,) = fitment(asked, {key: value})
        assert fit.verdict == "does not fit"
        assert fit.apart("metric").replace("\u202f", " ") == apart
    assert verdict(fitment(asked, {key: None})) == "not recorded"
    assert verdict(fitment(asked, {})) == "not recorded"


def test_all_wishes_together() -> None:
    """Over every mixture: one that misses decides, then one not recorded, then it fits."""
    wishes = {key: (wish, meeting[0], missing[0][0])
              for key, wish, meeting, missing in WISHES if wish is not None}  # fmt: skip
    asked = blower(**{key: wish for key, (wish, _, _) in wishes.items()})
    for mixture in itertools.product(["meets", "misses", "silent"], repeat=len(wishes)):
        engine: dict[str, Any] = {}
        for (key, (_, meets, misses)), word in zip(wishes.items(), mixture, strict=True):
            engine[key] = {"meets": meets, "misses": misses, "silent": None}[word]
        told = verdict(fitment(asked, engine))
        if "misses" in mixture:
            assert told == "does not fit"
        else:
            assert told == ("not recorded" if "silent" in mixture else "fits")


def test_nothing_asked_is_never_fits() -> None:
    """A blower whose file asks for nothing is not said to fit, whatever the engine."""
    assert verdict(fitment(blower(), {"cylinders": given(6)})) == "not recorded"
    assert answers(fitment(blower(), {})) == []
