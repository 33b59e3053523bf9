"""Units as people spell them in heads of columns, and what they say of gauge and absolute.

`units` is the closed table of what a file of an archive may say; here stands what else is meant by
a unit of that table: `ft·lb`, `m.daN`, `min-1`, `U/min`, `bar (abs.)`.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from specgen.units import KINDS, Unit, units_of

Reference = Literal["", "gauge", "absolute"]

_PRESSURES = ("gauge pressure", "absolute pressure", "pressure difference")

#: Other spellings, folded, by the symbol of the table; the trade's usual ones, from memory.
_ALSO: dict[str, str] = {
    "rpm": "rpm r/min rev/min revs/min 1/min /min min1 u/min umdr/min umin tr/min trs/min t/min "
    "tours/min trmin v/min rpms upm rev/mn tr/mn rmin revmin 1min",
    "krpm": "krpm 1000rpm rpm1000 1000/min 1000u/min 1000tr/min 10001/min 1000min1",
    "rev/s": "rev/s r/s tr/s u/s",
    "N m": "nm newtonmeter newtonmetre newtonmetres newtonmeters mn nxm",
    "daN m": "danm mdan dnm",
    "kgf m": "kgfm kgm mkg mkgf mkp kpm",
    "lb ft": "lbft lbsft ftlb ftlbs lbfft ftlbf lb/ft lbs/ft ft/lb ft/lbs poundfeet footpounds "
    "footpound poundfoot lbf/ft lbpi pilb lbspie pielb lbpie",
    "kW": "kw kilowatt kilowatts",
    "W": "w watt watts",
    "hp": "hp bhp whp fwhp rwhp wheelhp ehp horsepower chp hpuk hp550",
    "PS": "ps cv ch pk chdin cvdin psdin dinps dinhp hpmetric metrichp hpm chevaux",
    "kPa": "kpa",
    "hPa": "hpa mbar millibar mb",
    "Pa": "pa",
    "MPa": "mpa",
    "bar": "bar bars",
    "psi": "psi lb/in2 lbf/in2 lbs/in2 lbsqin",
    "inHg": 'inhg inchhg "hg inchesmercury inofhg',
    "mmHg": "mmhg torr",
    "inH2O": 'inh2o "h2o inwc inwg inchh2o',
    "atm": "atm",
    "kgf/cm2": "kgf/cm2 kg/cm2 kp/cm2 at",
    "degC": "c °c degc celsius gradc grdc degcelsius ℃ degresc degrec gradoc gradosc °celsius",
    "degF": "f °f degf fahrenheit degfahrenheit ℉ °fahrenheit degresf gradosf gradf",
    "K": "k kelvin °k",
    "deg": "° deg degree degrees degres degre grad grado grados grd",
    "kg/h": "kg/h kg/hr kg/hour kgh kg/std",
    "kg/min": "kg/min kgmin",
    "kg/s": "kg/s",
    "g/s": "g/s g/sec gs",
    "lb/h": "lb/h lb/hr lbs/h lbs/hr pph lbhr lbshr",
    "lb/min": "lb/min lbs/min lbmin lbsmin ppm",
    "L/h": "l/h lph l/hr l/std liter/h litres/h",
    "L/min": "l/min lpm",
    "L/s": "l/s",
    "cm3/min": "cm3/min cc/min ccm ml/min",
    "m3/h": "m3/h",
    "ft3/min": "ft3/min cfm scfm",
    "gal/h": "gal/h gph",
    "%": "% percent prozent pct pourcent porcentaje",
    "m/s": "m/s",
    "km/h": "km/h kmh kph",
    "s": "s sec secs seconds sek second sekunden secondes segundos seg",
    "min": "minutes minuten",
    "": "1 :1",
}
_OF_KINDS = {symbol: [
    item for kind in KINDS for item in units_of(kind) if item.symbol == symbol
] for symbol in _ALSO}  # fmt: skip
_BY_SPELLING: dict[str, str] = {
    word: symbol for symbol, words in _ALSO.items() for word in words.split()
}
#: Spellings too short to be told from a name that ends with the same letters.
SHORT = frozenset(
    [
        "c",
        "f",
        "k",
        "s",
        "w",
        "v",
        "1",
        "min",
        "mn",
        "c/f",
        "at",
        "ch",
        "cv",
        "ps",
        "mb",
        "ratio",
        "t/min",
        "nm",
    ]
)

_ABSOLUTE = r"abs(?:ol[a-z]*)?"
_GAUGE = r"gauge|gage|rel(?:ati[a-z]*)?|manom[a-z]*|eff|ü|ue|überdruck"
_REFERENCE = re.compile(rf"[\s(\[,._-]*\b(?:({_ABSOLUTE})|({_GAUGE}))\b[.)\]\s]*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Spelling:
    """A unit as it was spelled: the units of the table it is, one a kind, and what it says more."""

    text: str
    units: tuple[Unit, ...]
    reference: Reference = ""

    def of(self, kind: str) -> Unit | None:
        """Give the unit of a kind, if it is one."""
        return next((item for item in self.units if item.kind == kind), None)

    @property
    def symbol(self) -> str:
        """The table's symbol for it."""
        return self.units[0].symbol


def spelled(text: str) -> Spelling | None:
    """Read a text that may be a unit; None where it is none that anybody knows."""
    text = text.strip()
    found = _spelled(text, "")
    if found or not text:
        return found
    behind = _REFERENCE.search(text)
    if behind and behind.start() > 0:
        reference: Reference = "absolute" if behind.group(1) else "gauge"
        return _pressure(text[: behind.start()], text, reference)
    # psia, bar(a), barg: a letter behind a unit of pressure
    letter = re.fullmatch(r"(.*?[^\s(\[])\s*[(\[]?([agüAGÜ])[)\]]?", text)
    if letter is None:
        return None
    return _pressure(letter[1], text, "absolute" if letter[2] in "aA" else "gauge")


def _pressure(word: str, text: str, reference: Reference) -> Spelling | None:
    found = _spelled(word, reference)
    if found is None or not any(item.kind in _PRESSURES for item in found.units):
        return None
    return Spelling(text, tuple(it for it in found.units if it.kind in _PRESSURES), reference)


def _spelled(text: str, reference: Reference) -> Spelling | None:
    folded = fold_unit(text)
    symbol = _BY_SPELLING.get(folded)
    if symbol is None and re.fullmatch(r"(?:°|deg|grad|grados|degres)[a-z]{1,7}", folded):
        symbol = "deg"  # of the crank: °KW, °BTDC, deg CA
    if symbol is None:
        return None
    return Spelling(text.strip(), tuple(_OF_KINDS[symbol]), reference)


def fold_unit(text: str) -> str:
    """Bring a unit to small letters without what people write differently."""
    text = unicodedata.normalize("NFKC", text.translate({0xBA: "°", 0x2DA: "°"}))
    text = "".join(
        letter for letter in unicodedata.normalize("NFD", text) if not unicodedata.combining(letter)
    )
    text = re.sub(r"[''´`]", "", text.casefold())
    return re.sub(r"[\s.·⋅•*x×^_\u2212\u2010-\u2015-]+", "", text).strip("()[]{}<>:,")
