"""The closed table of units: written text to an SI value, and an SI value to text.

The only room that knows what a psi or a horsepower is. Nothing here knows which quantity a
value belongs to; that is `vocabulary`. Unknown units are refused with a suggestion: a general
units library reads workshop text wrongly ("PS" as petasiemens), so it serves as the tests'
oracle only.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

NARROW_SPACE = "\u202f"
MINUS = "\u2212"

#: One inch of mercury at 0 °C; the 60 °F inch is 0.28 % smaller and is not in the table.
_INHG = 3386.389
_PSI = 6894.757293168361
_HP = 745.6998715822702  # 550 ft·lbf/s
_PS = 735.49875  # 75 kgf·m/s
_LB = 0.45359237
_INCH = 0.0254
_POUND_FORCE = 4.4482216152605


class UnitError(ValueError):
    """A text that is no quantity of the wanted kind.

    `expected` says what would be one; `hint` is a text to write, the one that was probably
    meant where `meant` is true, else only an example of the kind. `unit_only` tells that the
    number is sound and only the unit is at fault.
    """

    def __init__(
        self, message: str, expected: str, hint: str, meant: bool = False, unit_only: bool = False
    ) -> None:
        super().__init__(message)
        self.expected = expected
        self.hint = hint
        self.meant = meant
        self.unit_only = unit_only


@dataclass(frozen=True, slots=True)
class Unit:
    """One way to write a kind of quantity: SI value = number * factor + offset."""

    kind: str
    symbol: str
    factor: float
    offset: float = 0.0
    label: str = ""
    aliases: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """What a page prints behind the number."""
        return self.label or self.symbol

    def to_si(self, number: float) -> float:
        """Turn a number in this unit into its SI value."""
        return number * self.factor + self.offset

    def from_si(self, value: float) -> float:
        """Turn an SI value into a number in this unit."""
        return (value - self.offset) / self.factor


def _pressures(kind: str, word: str, letter: str) -> list[Unit]:
    """Give the pressure units of one reference; gauge and absolute never mix silently."""
    units = [
        Unit(kind, "kPa", 1e3),
        Unit(kind, "Pa", 1.0),
        Unit(kind, "hPa", 1e2, aliases=("mbar",)),
        Unit(kind, "bar", 1e5),
        Unit(kind, "MPa", 1e6),
        Unit(kind, "psi", _PSI),
        Unit(kind, "inHg", _INHG),
        Unit(kind, "mmHg", 133.322387415),
        Unit(kind, "inH2O", 249.08891),
        Unit(kind, "atm", 101325.0),
        Unit(kind, "kgf/cm2", 98066.5, label="kgf/cm²", aliases=("kgf/cm²",)),
    ]
    if word:
        units += [
            Unit(kind, f"{unit.symbol} {word}", unit.factor, label=unit.symbol)
            for unit in units[:6]
        ]
        units.append(Unit(kind, f"psi{letter}", _PSI, label="psi"))
    return units


_TABLE: list[Unit] = [
    *(
        Unit("length", symbol, factor, aliases=aliases)
        for symbol, factor, aliases in (
            ("mm", 1e-3, ()),
            ("cm", 1e-2, ()),
            ("m", 1.0, ()),
            ("um", 1e-6, ("µm", "μm")),
            ("in", _INCH, ('"', "inch")),
            ("ft", 0.3048, ()),
        )
    ),
    Unit("area", "mm2", 1e-6, label="mm²", aliases=("mm²",)),
    Unit("area", "cm2", 1e-4, label="cm²", aliases=("cm²",)),
    Unit("area", "m2", 1.0, label="m²", aliases=("m²",)),
    Unit("area", "in2", _INCH**2, label="in²", aliases=("in²",)),
    Unit("volume", "L", 1e-3, aliases=("l", "litre", "L/rev")),
    Unit("volume", "cm3", 1e-6, label="cm³", aliases=("cm³", "cc", "ml", "mL", "cm3/rev")),
    Unit("volume", "m3", 1.0, label="m³", aliases=("m³",)),
    Unit("volume", "in3", 1.6387064e-5, label="in³", aliases=("in³", "cu in", "cuin", "ci")),
    *_pressures("absolute pressure", "absolute", "a"),
    *_pressures("gauge pressure", "gauge", "g"),
    *_pressures("pressure difference", "", ""),
    Unit("temperature", "degC", 1.0, 273.15, "°C", ("°C", "C", "℃")),
    Unit("temperature", "degF", 5 / 9, 459.67 * 5 / 9, "°F", ("°F", "F")),
    Unit("temperature", "K", 1.0),
    Unit("temperature difference", "K", 1.0, aliases=("delta degC",)),
    Unit("temperature difference", "delta degF", 5 / 9, label="°F"),
    Unit("rotational speed", "rpm", 1 / 60, aliases=("r/min", "rev/min", "1/min", "min-1")),
    Unit("rotational speed", "rev/s", 1.0),
    Unit("rotational speed", "krpm", 1e3 / 60),
    Unit("velocity", "m/s", 1.0),
    Unit("velocity", "km/h", 1 / 3.6),
    Unit("velocity", "mph", 0.44704),
    Unit("velocity", "ft/min", 0.3048 / 60),
    Unit("velocity", "ft/s", 0.3048),
    Unit("acceleration", "m/s2", 1.0, label="m/s²"),
    Unit("acceleration", "ft/s2", 0.3048, label="ft/s²"),
    Unit("torque", "N m", 1.0, label="N·m", aliases=("Nm", "N·m", "N*m")),
    Unit("torque", "daN m", 10.0, label="daN·m", aliases=("daNm", "m daN", "mdaN")),
    Unit("torque", "kgf m", 9.80665, label="kgf·m", aliases=("kgfm", "mkg")),
    Unit(
        "torque",
        "lb ft",
        _POUND_FORCE * 0.3048,
        label="lb·ft",
        aliases=("lbft", "ft lb", "lb·ft", "lbf ft", "ft lbf", "lb-ft", "ft-lb"),
    ),
    Unit("power", "kW", 1e3),
    Unit("power", "W", 1.0),
    Unit("power", "hp", _HP, aliases=("bhp", "HP")),
    Unit("power", "PS", _PS, aliases=("cv",)),
    Unit("specific power", "kW/L", 1e6),
    Unit("specific power", "hp/L", _HP * 1e3),
    Unit("specific power", "PS/L", _PS * 1e3),
    Unit("specific power", "hp/in3", _HP / 1.6387064e-5, label="hp/in³"),
    Unit("mass", "kg", 1.0),
    Unit("mass", "g", 1e-3),
    Unit("mass", "lb", _LB),
    Unit("mass flow", "kg/s", 1.0),
    Unit("mass flow", "g/s", 1e-3),
    Unit("mass flow", "kg/min", 1 / 60),
    Unit("mass flow", "kg/h", 1 / 3600),
    Unit("mass flow", "lb/min", _LB / 60),
    Unit("mass flow", "lb/h", _LB / 3600, aliases=("lb/hr",)),
    Unit("volume flow", "m3/s", 1.0, label="m³/s"),
    Unit("volume flow", "L/s", 1e-3),
    Unit("volume flow", "L/min", 1e-3 / 60, aliases=("l/min",)),
    Unit("volume flow", "L/h", 1e-3 / 3600, aliases=("l/h",)),
    Unit("volume flow", "m3/h", 1 / 3600, label="m³/h"),
    Unit(
        "volume flow",
        "cm3/min",
        1e-6 / 60,
        label="cm³/min",
        aliases=("cc/min", "ml/min", "cm³/min"),
    ),
    Unit("volume flow", "ft3/min", 0.3048**3 / 60, label="ft³/min", aliases=("cfm", "ft³/min")),
    Unit("volume flow", "gal/min", 3.785411784e-3 / 60, label="US gal/min", aliases=("gpm",)),
    Unit("volume flow", "gal/h", 3.785411784e-3 / 3600, label="US gal/h"),
    Unit("density", "kg/m3", 1.0, label="kg/m³", aliases=("kg/m³",)),
    Unit("density", "kg/L", 1e3, aliases=("g/cm3",)),
    Unit("density", "lb/ft3", _LB / 0.3048**3, label="lb/ft³"),
    Unit("linear density", "kg/m", 1.0),
    Unit("linear density", "g/m", 1e-3),
    Unit("linear density", "lb/ft", _LB / 0.3048),
    Unit("fraction", "%", 0.01, aliases=("percent",)),
    Unit("ratio", "", 1.0, aliases=(":1",)),
    Unit("angle", "deg", math.pi / 180, label="°", aliases=("°", "degrees")),
    Unit("angle", "rad", 1.0),
    Unit("force", "N", 1.0),
    Unit("force", "lbf", _POUND_FORCE),
    Unit("viscosity", "uPa s", 1e-6, label="µPa·s", aliases=("µPa s", "μPa s")),
    Unit("viscosity", "Pa s", 1.0, label="Pa·s"),
    Unit("time", "s", 1.0),
    Unit("time", "min", 60.0),
    Unit("time", "h", 3600.0),
    Unit("energy", "kJ", 1e3),
    Unit("energy", "J", 1.0),
    Unit("energy", "MJ", 1e6),
    Unit("specific energy", "MJ/kg", 1e6),
    Unit("specific energy", "kJ/kg", 1e3),
    Unit("specific energy", "Btu/lb", 2326.0),
    Unit("specific heat", "kJ/(kg K)", 1e3, label="kJ/(kg·K)"),
    Unit("specific heat", "J/(kg K)", 1.0, label="J/(kg·K)"),
    Unit("specific heat", "Btu/(lb F)", 4186.8, label="Btu/(lb·°F)"),
    Unit("specific fuel consumption", "g/kWh", 1e-3 / 3.6e6, aliases=("g/kW h",)),
    Unit("specific fuel consumption", "kg/kWh", 1 / 3.6e6),
    Unit("specific fuel consumption", "lb/hp h", _LB / (_HP * 3600), label="lb/hp·h"),
]

KINDS: tuple[str, ...] = tuple(dict.fromkeys(unit.kind for unit in _TABLE))
_BY_KIND: dict[str, dict[str, Unit]] = {kind: {} for kind in KINDS}
for _unit in _TABLE:
    for _name in (_unit.symbol, *_unit.aliases):
        _BY_KIND[_unit.kind][_name] = _unit

_NUMBER = re.compile(r"[-+\u2212]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?")


def units_of(kind: str) -> tuple[Unit, ...]:
    """All units of a kind, the usual one first."""
    return tuple(dict.fromkeys(_BY_KIND[kind].values()))


def is_spelling(symbol: str, of: Unit) -> bool:
    """Tell whether a symbol only spells a unit's own one otherwise, as "Nm" does."""
    return _folded(symbol) in (_folded(of.symbol), _folded(of.shown))


def unit(kind: str, symbol: str) -> Unit:
    """Look up a unit of a kind by symbol or alias; UnitError with a suggestion otherwise."""
    wanted = " ".join(symbol.split())
    table = _BY_KIND[kind]
    if wanted in table:
        return table[wanted]
    usual = _usual(kind)
    first = units_of(kind)[0].symbol
    if wanted == "":
        raise UnitError("no unit stands behind the number", usual, first, unit_only=True)
    elsewhere = [other for other in KINDS if wanted in _BY_KIND[other] and other != kind]
    if elsewhere:
        other = "pressure" if len(elsewhere) > 1 and "pressure" in elsewhere[0] else elsewhere[0]
        message = f'"{wanted}" is a unit of {other}, not of {kind}'
        longer = next((item for item in table if len(wanted) > 2 and item.startswith(wanted)), None)
        raise UnitError(message, usual, longer or first, longer is not None, unit_only=True)
    spelled = _closest(wanted, table)
    raise UnitError(
        f'unknown unit "{wanted}"', usual, spelled or first, spelled is not None, unit_only=True
    )


def parse(text: str, kind: str) -> float:
    """Turn written text such as "82 mm" into its SI value; UnitError says what is wrong."""
    number, symbol = _split(text, kind)
    try:
        return unit(kind, symbol).to_si(number)
    except UnitError as error:
        written = text.strip()
        written = written[: len(written) - len(symbol)].rstrip()
        meant = error.meant or not symbol
        hint = f"{written} {error.hint}".rstrip() if meant else _first(kind)
        raise UnitError(str(error), error.expected, hint, meant, error.unit_only) from None


def parse_at(text: str, kind: str, at_kind: str = "rotational speed") -> tuple[float, float | None]:
    """Turn "301 kW at 6400 rpm" into its two SI values; without " at " the second is None."""
    head, found, tail = text.partition(" at ")
    try:
        value = parse(head, kind)
    except UnitError as error:
        hint = f"{error.hint}{found}{tail}" if error.meant else error.hint
        raise UnitError(str(error), error.expected, hint, error.meant, error.unit_only) from None
    try:
        return value, parse(tail, at_kind) if found else None
    except UnitError as error:
        hint, expected = f"{head}{found}{error.hint}", f'behind "at" {error.expected}'
        raise UnitError(str(error), expected, hint, error.meant, error.unit_only) from None


def parse_range(text: str, kind: str) -> tuple[float, float]:
    """Turn "210.0 to 212.0 mm" into its two SI values; a single value gives it twice."""
    head, found, tail = text.partition(" to ")
    if not found:
        value = parse(text, kind)
        return value, value
    high_number, symbol = _split(tail, kind)
    try:
        high = parse(tail, kind)
    except UnitError as error:
        hint = f"{head} to {error.hint}" if error.meant else error.hint
        raise UnitError(str(error), error.expected, hint, error.meant, error.unit_only) from None
    low = parse(head if _split(head, kind)[1] else f"{head} {symbol}", kind)
    if low > high:
        symbol = f" {symbol}" if symbol else ""
        turned = f"{high_number:g} to {_split(head, kind)[0]:g}{symbol}"
        raise UnitError("the range runs backwards", "the smaller value first", turned, meant=True)
    return low, high


def parse_any(text: str) -> float:
    """Turn text into its SI value where the unit alone decides the kind.

    For published figures, whose kind the test's own arguments fix.
    """
    return unit_behind(text).to_si(_split(text, "quantity")[0])


def unit_behind(text: str) -> Unit:
    """Find the unit that stands behind a number, whatever its kind.

    Gauge and absolute pressure share their symbols and their factors, so the first kind that
    knows the unit will do.
    """
    wanted = " ".join(_split(text, "quantity")[1].split())
    for kind in KINDS:
        if wanted in _BY_KIND[kind]:
            return _BY_KIND[kind][wanted]
    raise UnitError(f'unknown unit "{wanted}"', "a unit of the table", "see the units page")


def _split(text: str, kind: str) -> tuple[float, str]:
    """Part a text into its number and what stands behind it."""
    stripped = text.strip()
    found = _NUMBER.match(stripped)
    usual = _usual(kind) if kind in _BY_KIND else "a number with its unit"
    if not found:
        raise UnitError(f'"{text}" does not start with a number', usual, _first(kind))
    tail = stripped[found.end() :]
    if re.match(r",\d", tail):
        hint = _without_comma(found.group(), tail)
        raise UnitError(f'"{text}" has a comma inside the number', usual, hint, meant=True)
    if re.match(r"\s+(?!1/)\d", tail):  # "6400 1/min" is a number with its unit
        hint = re.sub(r"(?<=[0-9])\s+(?=[0-9])", "", stripped)
        raise UnitError(f'"{text}" has a space inside the number', usual, hint, meant=True)
    number = float(found.group().replace(MINUS, "-"))
    if not math.isfinite(number):
        raise UnitError(f'"{text}" is beyond all numbers', usual, _first(kind))
    return number, tail.strip()


def _without_comma(head: str, tail: str) -> str:
    """Write a number with a point for its comma; before three digits it may mark thousands."""
    point = head + re.sub(r"^,(\d+)", r".\1", tail)
    if re.match(r",\d{3}(\D|$)", tail) and not head.startswith("0"):
        return f"{head}{tail[1:]} if the comma marks thousands, else {point}"
    return point


def _closest(wanted: str, table: dict[str, Unit]) -> str | None:
    """Find the unit meant by a near miss: other case first, then the fewest other letters."""
    folded = _folded(wanted)
    names = [name for name in table if name]
    for name in names:
        if _folded(name) == folded or (len(folded) > 2 and _folded(name).startswith(folded)):
            return table[name].symbol
    # of two equally near ones the earlier, which is the usual one
    distance, _, name = min((_distance(wanted, name), at, name) for at, name in enumerate(names))
    allowed = 1 if len(wanted) < 3 else 2 if len(wanted) < 6 else 3
    return table[name].symbol if distance <= allowed and distance < len(wanted) else None


def _folded(text: str) -> str:
    return re.sub(r"[\s./·*-]", "", text).lower()


def _distance(one: str, other: str) -> int:
    """Count the letters to change, add or drop between two texts (edit distance)."""
    row = list(range(len(other) + 1))
    for line, letter in enumerate(one, 1):
        before, row[0] = row[0], line
        for column, wanted in enumerate(other, 1):
            changed = before + (letter != wanted)
            before, row[column] = row[column], min(changed, row[column] + 1, row[column - 1] + 1)
    return row[-1]


def _usual(kind: str) -> str:
    """Name the units a kind is usually written in, for messages."""
    names = [item.symbol for item in units_of(kind) if item.symbol][:5]
    if len(names) < 2:
        return f"a number and {names[0]}" if names else "a plain number"
    return f"a number and one of: {', '.join(names)}"


_FIRST = {"length": "82 mm", "rotational speed": "6400 rpm", "power": "301 kW", "ratio": "9.5"}


def _first(kind: str) -> str:
    """Give an example text of a kind."""
    if kind in _FIRST or kind not in _BY_KIND:
        return _FIRST.get(kind, "82 mm")
    return f"50 {units_of(kind)[0].symbol}"


def text_of(value: float, shown_in: Unit, decimals: int) -> str:
    """Print an SI value as a number in a unit: thin thousands, a real minus, no unit behind it.

    `decimals` below zero rounds to tens or hundreds. No "-0".
    """
    number = shown_in.from_si(value)
    if decimals < 0:
        number = round(number, decimals)
    plain = f"{number:,.{max(decimals, 0)}f}".replace(",", NARROW_SPACE)
    minus = MINUS if plain.strip("-0.") else ""
    return minus + plain[1:] if plain[0] == "-" else plain
