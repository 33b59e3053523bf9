"""The unit table against a general units library, round trips, and the words of its refusals."""

from __future__ import annotations

import math
import re
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specgen.units import (
    KINDS,
    NARROW_SPACE,
    Unit,
    UnitError,
    parse,
    parse_any,
    parse_at,
    parse_range,
    text_of,
    unit,
    units_of,
)

ALL = [
    pytest.param(item, id=f"{item.kind}: {item.symbol}")
    for kind in KINDS
    for item in units_of(kind)
]

#: What the oracle (pint) calls the SI unit of each kind.
SI = {
    "length": "m", "area": "m**2", "volume": "m**3", "absolute pressure": "Pa",
    "gauge pressure": "Pa", "pressure difference": "Pa", "temperature": "K",
    "temperature difference": "K", "rotational speed": "revolution/s", "velocity": "m/s",
    "acceleration": "m/s**2", "torque": "N*m", "power": "W", "specific power": "W/m**3",
    "mass": "kg", "mass flow": "kg/s", "volume flow": "m**3/s", "density": "kg/m**3",
    "linear density": "kg/m",
    "fraction": "", "ratio": "", "angle": "radian", "force": "N",
    "viscosity": "Pa*s", "time": "s", "energy": "J",
    "specific energy": "J/kg", "specific heat": "J/(kg*K)", "specific fuel consumption": "kg/J",
}  # fmt: skip

#: What the oracle calls a symbol of ours, where it would read ours as something else.
ORACLE = {
    "in": "inch", "um": "micrometer", "cm3": "cm**3", "m3": "m**3", "in3": "inch**3",
    "mm2": "mm**2", "cm2": "cm**2", "m2": "m**2", "in2": "inch**2",
    "inHg": "inHg", "mmHg": "mmHg", "inH2O": "inch_H2O", "degC": "degC", "degF": "degF",
    "delta degF": "delta_degF", "rpm": "revolution/minute", "rev/s": "revolution/s",
    "m/s2": "m/s**2", "ft/s2": "ft/s**2", "N m": "N*m", "kgf m": "kgf*m", "lb ft": "lbf*ft",
    "daN m": "decanewton*m", "krpm": "kilorevolution/minute", "kgf/cm2": "kgf/cm**2",
    "hp": "hp", "PS": "metric_horsepower", "hp/in3": "hp/inch**3", "hp/L": "hp/L",
    "PS/L": "metric_horsepower/L",
    "m3/s": "m**3/s", "m3/h": "m**3/hour", "cm3/min": "cm**3/minute", "ft3/min": "ft**3/minute",
    "gal/h": "gallon/hour", "gal/min": "gallon/minute", "L/min": "L/minute", "L/h": "L/hour",
    "kg/min": "kg/minute", "kJ/(kg K)": "kJ/(kg*K)", "J/(kg K)": "J/(kg*K)",
    "Btu/(lb F)": "Btu_it/(lb*delta_degF)",
    "kg/h": "kg/hour", "lb/min": "lb/minute", "lb/h": "lb/hour", "km/h": "km/hour",
    "ft/min": "ft/minute", "kg/m3": "kg/m**3", "lb/ft3": "lb/ft**3", "%": "percent",
    "uPa s": "micropascal*s", "Pa s": "Pa*s",
    "": "", "deg": "degree", "rad": "radian", "min": "minute", "h": "hour", "g/kWh": "g/(kW*hour)",
    "kg/kWh": "kg/(kW*hour)", "lb/hp h": "lb/(hp*hour)", "Btu/lb": "Btu_it/lb", "kW/L": "kW/L",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    """The oracle's own table."""
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize("item", ALL)
def test_factor_equals_the_oracle(item: Unit, registry: pint.UnitRegistry[Any]) -> None:
    """1 and 100 of each unit are what the units library makes of them (pint, RUN)."""
    name = item.symbol
    for word in (" absolute", " gauge"):
        name = name.removesuffix(word)
    name = {"psia": "psi", "psig": "psi"}.get(name, name)
    name = ORACLE.get(name, name)
    # our inches of mercury and of water are printed values of seven digits, all else is exact
    tolerance = 2e-7 if item.symbol.startswith(("inHg", "inH2O")) else 1e-12
    for number in (1.0, 100.0):
        expected = registry.Quantity(number, name).to(SI[item.kind]).magnitude
        assert item.to_si(number) == pytest.approx(expected, rel=tolerance)


@pytest.mark.parametrize("item", ALL)
def test_there_and_back(item: Unit) -> None:
    """A number keeps its value through SI, in each unit."""
    for number in (-40.0, 0.0, 0.125, 1.0, 6400.0):
        assert item.from_si(item.to_si(number)) == pytest.approx(number, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("item", ALL)
def test_each_spelling_is_read(item: Unit) -> None:
    """Symbol and aliases are read with and without a space before them."""
    for name in (item.symbol, *item.aliases):
        assert parse(f"12.5 {name}", item.kind) == item.to_si(12.5)
        if not name.startswith("1"):
            assert parse(f"12.5{name}", item.kind) == item.to_si(12.5)
        assert unit(item.kind, name) is item


def test_no_spelling_means_two_units_of_a_kind() -> None:
    """Within a kind each spelling belongs to one unit."""
    for kind in KINDS:
        names = [name for item in units_of(kind) for name in (item.symbol, *item.aliases)]
        assert len(names) == len(set(names)), kind


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_is_read_as_python_reads_it(number: float) -> None:
    """A number's own text gives the number."""
    assert parse(f"{number!r} m", "length") == number


@given(st.text(max_size=30), st.sampled_from(KINDS))
def test_any_text_is_a_quantity_or_refused(text: str, kind: str) -> None:
    """No text gives anything but a finite number or a UnitError with words."""
    for read in (parse, parse_at, parse_range):
        refusal = None
        try:
            value = read(text, kind)
        except UnitError as error:
            refusal = error
        if refusal is None:
            parts = value if isinstance(value, tuple) else (value,)
            assert all(part is None or math.isfinite(part) for part in parts)
        else:
            assert all((str(refusal), refusal.expected, refusal.hint))


@pytest.mark.parametrize(
    ("text", "kind", "message", "hint"),
    [
        ("84", "length", "no unit", "84 mm"),
        ("84 mn", "length", 'unknown unit "mn"', "84 mm"),
        ("300 KW", "power", 'unknown unit "KW"', "300 kW"),
        ("70 kpa", "gauge pressure", 'unknown unit "kpa"', "70 kPa"),
        ("6800 rev", "rotational speed", 'unknown unit "rev"', "6800 rpm"),
        ("84 furlongs", "length", 'unknown unit "furlongs"', "82 mm"),
        ("84 kPa", "length", '"kPa" is a unit of pressure, not of length', "82 mm"),
        ("60 deg", "temperature", '"deg" is a unit of angle, not of temperature', "60 degC"),
        ("14 psig", "absolute pressure", "of gauge pressure, not of absolute", "50 kPa"),
        ("2 degC", "temperature difference", "of temperature, not of", "50 K"),
        ("84,2 mm", "length", "has a comma", "84.2 mm"),
        ("16,000 rpm", "rotational speed", "has a comma",
         "16000 rpm if the comma marks thousands, else 16.000 rpm"),
        ("0,125 mm", "length", "has a comma", "0.125 mm"),
        ("6 800 rpm", "rotational speed", "has a space", "6800 rpm"),
        ("about 84 mm", "length", "does not start with a number", "82 mm"),
        ("", "length", "does not start with a number", "82 mm"),
        ("1e999 mm", "length", "beyond all numbers", "82 mm"),
        ("9.0 9", "ratio", "has a space", "9.09"),
    ],
)  # fmt: skip
def test_refusals_say_what_to_write(text: str, kind: str, message: str, hint: str) -> None:
    """A refused text comes with the text that was probably meant, or an example."""
    with pytest.raises(UnitError, match=re.escape(message)) as caught:
        parse(text, kind)
    assert caught.value.hint == hint


def test_gauge_and_absolute_do_not_mix() -> None:
    """A pressure that says its reference is refused where the other is wanted."""
    assert parse("14.7 psia", "absolute pressure") == parse("14.7 psi", "absolute pressure")
    assert parse("10 psig", "gauge pressure") == parse("10 psi", "gauge pressure")
    for text, kind in (("14.7 psia", "gauge pressure"), ("1 bar gauge", "absolute pressure")):
        with pytest.raises(UnitError, match="is a unit of"):
            parse(text, kind)


def test_typographic_minus_is_read() -> None:
    """A minus copied from a page is a minus."""
    assert parse("\u22125 degC", "temperature") == pytest.approx(268.15)


def test_second_value() -> None:
    """What stands behind " at " is read, and refused with both halves in the hint."""
    power, speed = parse_at("301 kW at 6400 rpm", "power")
    assert (power, speed) == pytest.approx((301e3, 6400 / 60))
    assert parse_at("301 kW", "power") == (301e3, None)
    for text in ("301 at 6400 rpm", "301 kW at 6400", "301 KW at 6400 rpm"):
        with pytest.raises(UnitError) as caught:
            parse_at(text, "power")
        assert caught.value.hint == "301 kW at 6400 rpm"


def test_ranges() -> None:
    """A range has two ends, the unit once or twice; the smaller end comes first."""
    for text in ("210.0 to 212.0 mm", "210 mm to 212 mm", "21.0 cm to 212 mm"):
        assert parse_range(text, "length") == pytest.approx((0.210, 0.212))
    assert parse_range("211 mm", "length") == pytest.approx((0.211, 0.211))
    with pytest.raises(UnitError, match="backwards") as backwards:
        parse_range("212 to 210 mm", "length")
    assert backwards.value.hint == "210 to 212 mm"
    with pytest.raises(UnitError, match="unknown unit") as misspelled:
        parse_range("210 to 212 mn", "length")
    assert misspelled.value.hint == "210 to 212 mm"
    with pytest.raises(UnitError, match="does not start"):
        parse_range("210 mm to x", "length")


def test_unit_alone_decides_the_kind() -> None:
    """Published figures are read by their unit; an unknown one is refused."""
    assert parse_any("2.3371 kPa") == pytest.approx(2337.1)
    assert parse_any("20 degC") == pytest.approx(293.15)
    assert parse_any("0.622") == pytest.approx(0.622)
    with pytest.raises(UnitError, match="unknown unit"):
        parse_any("1 smoot")


@pytest.mark.parametrize(
    ("value", "symbol", "decimals", "text"),
    [
        (6400 / 60, "rpm", 0, f"6{NARROW_SPACE}400"),
        (6404 / 60, "rpm", -1, f"6{NARROW_SPACE}400"),
        (-1e-9, "rpm", 0, "0"),
        (-10 / 60, "rpm", 1, "\u221210.0"),
        (1e6 / 60, "rpm", 0, f"1{NARROW_SPACE}000{NARROW_SPACE}000"),
    ],
)
def test_printing(value: float, symbol: str, decimals: int, text: str) -> None:
    """Numbers are printed with thin thousands, a real minus, and never as minus zero."""
    assert text_of(value, unit("rotational speed", symbol), decimals) == text
