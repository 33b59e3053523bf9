"""What the lines above a table say: the day, the dyno, correction and factor, the air.

A line is a label with a value: `Date: 14.05.2025`, `Luftdruck;991,3;hPa`, `# CF = 1.023`. What is
read stands with its line; what can be read in two ways is kept as it stands, with both.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from specgen.archive.delimited.cells import Notation
from specgen.archive.delimited.spelling import spelled
from specgen.archive.delimited.words import fold
from specgen.vocabulary import quantity

#: Words of a label, folded, by what the line tells; the first that fits, in this order.
_LABELS: tuple[tuple[str, str], ...] = (
    ("", r"print|druckdat|export|software|version|firmware|calibr|kalibr|etalon|serial|lic"),
    ("factor", r"fact(?:or|eur)|faktor|^\W*(?:cf|kf|fc|k)\W*$|multiplicador|coefficient"),
    ("standard", r"correc|korrek|\bnorm[ea]?\b|standard|estandar|\bcorr\b"),
    ("humidity", r"humid|feucht|hygro|humed|\brh\b|\bhr\b"),
    ("temperature", r"(?:air|ambient|room|cell|intake|inlet|umgeb|luft|raum|ansaug|ambiant|aire?\b"
     r"|ambiente|exter|aussen|atmos).*(?:temp|\bt\b)|(?:temp|\bt\b).*(?:air|ambient|ambiant|room|cell|umgeb"
     r"|luft|raum|ansaug|aire\b|exter|aussen|inlet|intake|admis|atmos)|^\W*t[ _]?(?:amb|air|luft)"),
    ("pressure", r"baro|luftdruck|(?:air|ambient|atmos\w*|umgebung\w*)[ _]*(?:press|druck|pres)"
     r"|press?ion[ _]*(?:atmos|amb|d.air|baro|del aire|aire)|^\W*p[ _]?(?:amb|baro|luft|atm)"),
    ("date", r"\bdat[eu]|datum|fecha|\bday\b|\bjour\b|\bdia\b|\btag\b|tested|mess?tag|prueba el"),
    ("dyno", r"dyno|dynamom|prufstand|pruefstand|\bbanc\b|\bbanco\b|test ?bench|test ?bed"
     r"|rollenpr|leistungspr"),
)  # fmt: skip
#: The standards by what their name has in it.
_STANDARDS = (
    ("sae-j1349", r"j\W?1349"),
    ("sae-j607", r"j\W?607"),
    ("din-70020", r"din\W*70\W?020|\bdin\b"),
    ("iso-1585", r"iso\W*1585"),
    ("observed", r"uncorrected|unkorrig|\bnone\b|keine?\b|ohne\b|aucune?\b|sans\b|ningun|\bsin\b"
     r"|observed|\boff\b|\bnon\b|\bno\b|\bnein\b"),
)  # fmt: skip
_MONTHS = {
    month: number
    for number, names in enumerate(
        ("jan ene", "feb fev", "mar maerz mrz", "apr avr abr", "may mai", "jun juin", "jul juil",
         "aug aou ago", "sep", "oct okt", "nov", "dec dez dic"), 1)
    for month in names.split()
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that a line tells: its text as an archive writes it, and the line's number."""

    text: str
    line: int


@dataclass(slots=True)
class Facts:
    """What a preamble tells; `dates` are the days it may mean, more than one where it is open."""

    dates: tuple[datetime.date, ...] = ()
    date_text: str = ""
    date_line: int = 0
    order: str = ""
    dyno: Fact | None = None
    standard: Fact | None = None
    factor: Fact | None = None
    air: dict[str, Fact] = field(default_factory=dict)
    words: str = ""


def facts_of(preamble: Sequence[tuple[int, Sequence[str]]], notations: Sequence[Notation]) -> Facts:
    """Read the lines above a table."""
    facts = Facts(words=" ".join(cell for _, row in preamble for cell in row if cell))
    for number, row in preamble:
        for label, values in _pairs(row):
            _take(facts, label, values, number, notations)
    return facts


_MARK = re.compile(r"\s*[:=]\s+|\s*[:=]$|(?<=[^\d])\s*[:=]\s*(?=\S)")


def _pairs(row: Sequence[str]) -> Iterator[tuple[str, list[str]]]:
    """Part a line into labels and what stands behind each."""
    cells = [cell.strip() for cell in row]
    cells[:1] = [cell.lstrip("#/%;*' \t") for cell in cells[:1]]
    cells = [cell for cell in cells if cell]
    if not cells:
        return
    halves = [
        re.split(r"\s*[:=]\s+|\s*[:=]$|(?<=[^\d])\s*[:=]\s*(?=\S)", it, maxsplit=1) for it in cells
    ]
    if len(cells[0]) > 1 and len(halves[0]) == 1 and len(cells) == 1:
        yield from _without_mark(cells[0])
        return
    labelled = [at for at, half in enumerate(halves) if len(half) > 1]
    if not labelled:
        yield cells[0], cells[1:]
        return
    for at, upto in zip(labelled, [*labelled[1:], len(cells)], strict=True):
        yield halves[at][0], [it for it in (halves[at][1], *cells[at + 1 : upto]) if it]


def _without_mark(text: str) -> Iterator[tuple[str, list[str]]]:
    """Part a line such as "Barometer 991.3 hPa", where nothing stands between."""
    value = re.search(r"\s\d", text)
    if value:
        yield text[: value.start()], [text[value.start() :].strip()]
    else:
        first, _, rest = text.partition(" ")
        yield first, [rest] if rest else []


def _take(
    facts: Facts, label: str, values: list[str], line: int, notations: Sequence[Notation]
) -> None:
    told = fold(label)
    if not values:
        return
    for name, pattern in _LABELS:
        if not re.search(pattern, told):
            continue
        if name == "date" and not facts.dates:
            facts.dates = _by_others(days_in(" ".join(values)), facts.words)
            facts.date_text, facts.date_line = values[0], line
        elif name == "dyno" and facts.dyno is None:
            facts.dyno = Fact(values[0], line)
        elif name in ("standard", "factor"):
            _correction(facts, name, label, values, line, notations)
        elif name in ("temperature", "pressure", "humidity") and name not in facts.air:
            text = _quantity(name, label, values, notations)
            if text:
                facts.air[name] = Fact(text, line)
        return


def _correction(
    facts: Facts, name: str, label: str, values: list[str], line: int,
    notations: Sequence[Notation],
) -> None:  # fmt: skip
    """Read a standard's name or a factor; one line may tell both."""
    text = " ".join(values)
    if name == "factor":
        for value in values:
            number = _first_number(value, notations, (0.6, 1.6))
            if number and facts.factor is None:
                facts.factor = Fact(number, line)
                break
    found = standard_in(f"{text}" if name == "standard" else f"{label} {text}")
    if found and facts.standard is None and not (name == "factor" and found == "observed"):
        facts.standard = Fact(found, line)


def standard_in(text: str) -> str:
    """Name the standard in a text, "observed" where it says that none was used, or ""."""
    folded = fold(text)
    return next((key for key, pattern in _STANDARDS if re.search(pattern, folded)), "")


def _first_number(text: str, notations: Sequence[Notation], within: tuple[float, float]) -> str:
    found = re.search(r"[-+]?\d[\d.,]*", text)
    for notation in _either(notations) if found else ():
        assert found is not None
        number = notation.number(found.group().rstrip(".,"))
        if number is not None and within[0] <= number <= within[1]:
            return notation.plain(found.group().rstrip(".,"))
    return ""


def _either(notations: Sequence[Notation]) -> list[Notation]:
    """A preamble may be written by another hand than the table: its own notation, then others."""
    return list(dict.fromkeys([*notations, Notation("."), Notation(",")]))


_QUANTITIES = {"pressure": "air_pressure", "temperature": "air_temperature", "humidity": "humidity"}


def _quantity(name: str, label: str, values: list[str], notations: Sequence[Notation]) -> str:
    """Read a figure of the air with its unit, as an archive writes it; "" where one is missing."""
    kind = quantity(_QUANTITIES[name])
    value = " ".join(values)
    number = re.match(r"[-+\u2212]?\d[\d.,]*", value)
    if number is None:
        return ""
    inside = re.findall(r"[\[(]([^\])]*)[\])]", label)
    behind = value[number.end() :].strip(" []()")
    for text in (behind, *behind.split()[:1], *inside, label.split()[-1] if label else ""):
        unit = spelled(text)
        found = unit.of(kind.kind) if unit and text else None
        if found is None:
            continue
        for notation in _either(notations):
            plain = notation.plain(number.group().rstrip(".,"))
            read = notation.number(number.group().rstrip(".,"))
            if read is not None and kind.is_plausible(found.to_si(read)):
                return f"{plain} {found.symbol}".strip()
    return ""


_YEAR_FIRST = re.compile(r"\b(\d{4})[-./](\d{1,2})[-./](\d{1,2})\b|\b(20\d\d)(\d\d)(\d\d)\b")
_NAMED = re.compile(
    r"\b(?P<day>\d{1,2})(?:st|nd|rd|th|er|\.)?[ -]*(?:de )?(?P<month>[a-z]{3,10})\.?[ ,-]*(?:de )?"
    r"(?P<year>\d{4}|\d\d)\b"
    r"|\b(?P<month2>[a-z]{3,10})\.? (?P<day2>\d{1,2})(?:st|nd|rd|th)?,? (?P<year2>\d{4})\b"
)
_NUMBERS = re.compile(r"\b(\d{1,2})([./-])(\d{1,2})\2(\d{4}|\d\d)\b")


def days_in(text: str) -> tuple[datetime.date, ...]:
    """Give each day that a text may name: one, two where day and month can change places, none."""
    folded = fold(text)
    if found := _YEAR_FIRST.search(folded):
        return _days([part for part in found.groups() if part])
    if (found := _NAMED.search(folded)) and (name := found["month"] or found["month2"]):
        month = _month(name)
        day, year = found["day"] or found["day2"], found["year"] or found["year2"]
        return _days([year, str(month), day]) if month else ()
    found = _NUMBERS.search(folded)
    if not found:
        return ()
    first, mark, second, year = found.groups()
    if mark == ".":
        return _days([year, second, first])  # where points are used the day stands first
    return _days([year, second, first], [year, first, second])


def _by_others(days: tuple[datetime.date, ...], words: str) -> tuple[datetime.date, ...]:
    """Settle which of day and month stands first by other dates of the same lines.

    Only one that can be read in one way tells: neither the language nor the decimals do, since a
    program's dates need not follow the machine it runs on.
    """
    if len(days) != 2:
        return days
    orders = {
        int(first) > 12
        for first, mark, second, _ in _NUMBERS.findall(fold(words))
        if mark != "." and (int(first) > 12) != (int(second) > 12)
    }
    return (days[0] if orders.pop() else days[1],) if len(orders) == 1 else days


def _month(name: str) -> int:
    return next((number for month, number in _MONTHS.items() if name.startswith(month)), 0)


def _days(*ways: Sequence[str]) -> tuple[datetime.date, ...]:
    found: dict[datetime.date, None] = {}
    for way in ways:
        year, month, day = way
        try:
            full = int(year) + (2000 if len(year) == 2 else 0)
            found[datetime.date(full, int(month), int(day))] = None
        except ValueError:
            continue
    return tuple(found)
