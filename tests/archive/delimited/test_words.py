"""What names of columns say: every example that readers are shown, and some that must not pass."""

from __future__ import annotations

import pytest

from specgen.archive.delimited.examples import CALLED
from specgen.archive.delimited.spelling import spelled
from specgen.archive.delimited.words import meaning
from specgen.archive.reading.pulls import COLUMNS
from specgen.vocabulary import quantity

EXAMPLES = [(key, name) for key, names in CALLED.items() for name in names]


def test_every_column_has_examples() -> None:
    """Each column that a curve may have is shown with what logs call it."""
    assert list(CALLED) == list(COLUMNS.values())


@pytest.mark.parametrize(("key", "name"), EXAMPLES)
def test_an_example_is_read_as_it_is_shown(key: str, name: str) -> None:
    """With a unit of its kind each name says its quantity; a pressure also whether it is gauge."""
    unit = spelled(quantity(key).metric.symbol) if quantity(key).metric.symbol else None
    found = meaning(name, unit)
    if found.quantity == "boost_or_manifold":
        sides = {"gauge": "boost", "absolute": "manifold_pressure", "": "boost"}
        assert sides[found.reference] == key
    else:
        assert found.quantity == key


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("Oil temp", "°C"), ("Öldruck", "bar"), ("EGT", "°C"), ("Turbo speed", "rpm"),
        ("Speed", "km/h"), ("Geschwindigkeit", "km/h"), ("Verlustleistung", "kW"),
        ("Target boost", "kPa"), ("Barometer", "hPa"), ("Umgebungstemperatur", "°C"),
        ("Richesse", ""), ("Knock count", ""), ("Fuel flow", "l/h"), ("Intercooler in temp", "°C"),
        ("Throttle", "%"), ("Getriebeöl", "°C"), ("Heizung", "kW"), ("Pression d'huile", "bar"),
    ],
)  # fmt: skip
def test_what_is_something_else_is_not_taken(name: str, unit: str) -> None:
    """Neighbours of a curve's quantities stay what they are: extra channels."""
    assert meaning(name, spelled(unit) if unit else None).quantity == ""


@pytest.mark.parametrize(
    ("text", "symbol", "reference"),
    [
        ("ft·lb", "lb ft", ""), ("m.daN", "daN m", ""), ("min-1", "rpm", ""), ("°F", "degF", ""),
        ("U/min", "rpm", ""), ("psig", "psi", "gauge"), ("bar (abs.)", "bar", "absolute"),
        ("ºC", "degC", ""), ("°KW", "deg", ""), ("kg/cm²", "kgf/cm2", ""),
        ("mbar rel.", "hPa", "gauge"),
        ("CV", "PS", ""), ("in. Hg", "inHg", ""), ("psi absolue", "psi", "absolute"),
    ],
)  # fmt: skip
def test_units_are_read_as_people_spell_them(text: str, symbol: str, reference: str) -> None:
    """Spellings of the trade, with what they say of gauge and absolute."""
    found = spelled(text)
    assert found is not None
    assert (found.symbol, found.reference) == (symbol, reference)
