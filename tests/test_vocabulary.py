"""The table of quantities: sound entries, printing in both systems, what can be and what occurs."""

from __future__ import annotations

import pytest

from specgen.units import NARROW_SPACE, units_of
from specgen.vocabulary import QUANTITIES, Quantity, quantity

ALL = [pytest.param(item, id=key) for key, item in QUANTITIES.items()]


@pytest.mark.parametrize("item", ALL)
def test_entry_is_sound(item: Quantity) -> None:
    """Both units are of the entry's kind, and its plausible range runs upwards."""
    assert item.metric in units_of(item.kind)
    assert item.imperial in units_of(item.kind)
    assert item.plausible[0] < item.plausible[1]
    assert item.title[0].isupper()


@pytest.mark.parametrize("item", ALL)
def test_ends_of_the_plausible_range(item: Quantity) -> None:
    """The ends themselves are plausible and possible; beyond them nothing is plausible."""
    low, high = item.plausible
    span = high - low
    for value in (low, (low + high) / 2, high):
        assert item.is_plausible(value)
        assert item.is_possible(value)
    assert not item.is_plausible(low - span / 100)
    assert not item.is_plausible(high + span / 100)


@pytest.mark.parametrize(
    ("key", "value", "possible"),
    [
        ("bore", -0.084, False), ("bore", 0.0, False), ("bore", 0.0084, True),
        ("bore", 84.0, False), ("humidity", 0.0, True), ("humidity", 1.2, False),
        ("effectiveness", 1.01, False), ("volumetric_efficiency", 9.2, True),
        ("position", -0.4, True), ("boost", -50e3, True), ("air_temperature", -5.0, False),
        ("air_temperature", 400.0, True), ("air_pressure", 99.1, False),
        ("inlet_pressure_drop", 0.0, True), ("inlet_pressure_drop", -1.0, False),
    ],
)  # fmt: skip
def test_what_cannot_be(key: str, value: float, possible: bool) -> None:
    """Lengths above zero, shares up to one, and nothing a hundred times off; odd is possible."""
    assert quantity(key).is_possible(value) is possible


@pytest.mark.parametrize(
    ("key", "value", "metric", "imperial"),
    [
        ("power", 301e3, f"301{NARROW_SPACE}kW", f"404{NARROW_SPACE}hp"),
        ("torque", 512.0, f"512{NARROW_SPACE}N·m", f"378{NARROW_SPACE}lb·ft"),
        ("boost", 71e3, f"71{NARROW_SPACE}kPa", f"10.3{NARROW_SPACE}psi"),
        ("bore", 0.084, f"84.0{NARROW_SPACE}mm", f"3.307{NARROW_SPACE}in"),
        ("air_temperature", 300.15, f"27.0{NARROW_SPACE}°C", f"81{NARROW_SPACE}°F"),
        ("engine_speed", 6404 / 60, *[f"6{NARROW_SPACE}400{NARROW_SPACE}rpm"] * 2),
        ("compression_ratio", 9.0, "9.0", "9.0"),
        ("wrap", 3.14159265, "180°", "180°"),
    ],
)
def test_text_in_both_systems(key: str, value: float, metric: str, imperial: str) -> None:
    """A figure is printed with its unit and decimals (conversions: NIST SP 811, appendix B)."""
    assert quantity(key).text(value, "metric") == metric
    assert quantity(key).text(value, "imperial") == imperial


def test_uncertainty_limits_the_decimals() -> None:
    """A figure shows no digit its uncertainty does not support, and never more than its own."""
    power = quantity("power")
    assert power.number(301_234.0, "metric", 12_000.0) == "301"
    assert power.number(301_234.0, "metric", 45_000.0) == "300"
    assert quantity("boost").number(71_260.0, "imperial", 30_000.0) == "10"
    assert power.margin(12_000.0, "metric") == "12"


def test_margin_is_a_difference() -> None:
    """The uncertainty of a temperature is no temperature: 8 K are 14.4 °F, not -445."""
    assert quantity("air_temperature").margin(2.0, "metric") == "2"
    assert quantity("air_temperature").margin(8.0, "imperial") == "14"


def test_a_margin_has_the_digits_of_its_figure() -> None:
    """No digit beyond the figure's last, and one of that at least: rounding moves as much."""
    ratio = quantity("pulley_ratio").printed(1.5693, "metric", 0.009)
    assert ratio.text == "1.57 ±\u202f0.01"
    assert quantity("boost").printed(86_000.0, "metric", 400.0).text == "86 ±\u202f1\u202fkPa"
    pistons = quantity("piston_acceleration").printed(13_731.0, "metric", 1.0)
    assert pistons.text == "13\u202f730\u202fm/s²"
    assert quantity("pulley_ratio").printed(1.5693, "metric", 0.13).text == "1.57 ±\u202f0.13"
    assert quantity("pulley_ratio").printed(1.5693, "metric", 0.23).text == "1.6 ±\u202f0.2"


def test_a_margin_too_small_for_its_decimals_is_left_out() -> None:
    """0.02 kPa beside whole kPa would read as 0.0, as if the figure were exact."""
    boost = quantity("boost")
    assert boost.margin(20.0, "metric") == ""
    assert boost.printed(71_260.0, "metric", 20.0).text == "71\u202fkPa"
    assert boost.printed(71_260.0, "metric", 2_000.0).text == "71 ±\u202f2\u202fkPa"
    assert boost.printed(71_260.0, "metric", 2_000.0, bare=True).text == "71\u202fkPa"


def test_unknown_quantity() -> None:
    """A key that is not in the table raises KeyError."""
    with pytest.raises(KeyError):
        quantity("horsepower")
