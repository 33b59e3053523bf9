"""How an export is laid out: marks, numbers, heads, letters, days."""

from __future__ import annotations

import datetime
import random
import re
from collections.abc import Callable
from dataclasses import dataclass

from tests.exports.tongues import MONTHS

ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "cp1252", "cp1252")


@dataclass(frozen=True, slots=True)
class Layout:
    """The marks of one export."""

    delimiter: str
    decimal: str
    thousands: str
    quoted: bool
    encoding: str
    newline: str
    trailing: bool
    head_style: str
    blank: str

    def number(self, value: float, decimals: int) -> str:
        """Write a number as this export does."""
        text = f"{value:,.{decimals}f}"
        whole, point, rest = text.partition(".")
        whole = whole.replace(",", self.thousands)
        return whole + (self.decimal if point else "") + rest

    def line(self, cells: list[str]) -> str:
        """Write a line."""
        if self.quoted:
            cells = [f'"{cell}"' for cell in cells]
        elif self.delimiter == ",":
            cells = [f'"{cell}"' if "," in cell else cell for cell in cells]
        if self.delimiter == "   ":
            return self.delimiter.join(cells)
        return self.delimiter.join(cells) + (self.delimiter if self.trailing else "")

    def data(self, lines: list[str]) -> bytes:
        """Write the whole text as bytes; letters that an encoding lacks make it UTF-8."""
        text = self.newline.join(lines) + self.newline
        try:
            return text.encode(self.encoding)
        except UnicodeEncodeError:
            return text.encode("utf-8")


def layout(chance: random.Random, tongue: str) -> Layout:
    """Choose the marks as a program of that language might have them."""
    comma = tongue != "en" and chance.random() < 0.6
    delimiter = chance.choice((";", ";", "\t", "\t", "|", "   ") if comma else
                              (",", ",", ",", ";", "\t", "|", "   "))  # fmt: skip
    quoted = delimiter in ";,\t" and chance.random() < 0.15
    if comma and chance.random() < 0.1:
        delimiter, quoted = ",", True
    thousands = ""
    if chance.random() < 0.2:
        marks = (".", "\u00a0", "'") if comma else (",", "'", "\u00a0")
        thousands = chance.choice(marks)
        if thousands == "," and delimiter == ",":
            quoted = True
    return Layout(
        delimiter,
        "," if comma else ".",
        thousands,
        quoted,
        chance.choice(ENCODINGS),
        chance.choice(("\n", "\r\n", "\r\n")),
        delimiter in ";,\t" and chance.random() < 0.15,
        chance.choice(("[]", "()", "space", "_", "/", "row", "row", "[row]", "in", "stacked")),
        "" if delimiter != "   " else "-",
    )


def head_of(name: str, unit: str, style: str) -> str:
    """Put name and unit into one cell."""
    if not unit:
        return name.replace(" ", "_") if style == "_" else name
    forms = {
        "[]": f"{name} [{unit}]", "()": f"{name} ({unit})", "space": f"{name} {unit}",
        "_": f"{name.replace(' ', '_')}_{unit}", "/": f"{name}/{unit}", "in": f"{name} in {unit}",
    }  # fmt: skip
    return forms[style]


def day_writer(chance: random.Random, tongue: str) -> Callable[[datetime.date], str]:
    """Choose how a program writes days."""
    form = chance.choice(("iso", "iso", "point", "point", "words", "slash", "year", "compact"))
    if form == "words":
        named = tongue == "en" and chance.random() < 0.5
        return lambda it: _in_words(it, tongue, named)
    if form == "slash":
        year = "%y" if chance.random() < 0.4 else "%Y"
        american = tongue == "en" and chance.random() < 0.5
        return lambda it: it.strftime(f"%m/%d/{year}" if american else f"%d/%m/{year}")
    forms = {"iso": "%Y-%m-%d", "point": "%d.%m.%Y", "year": "%Y/%m/%d", "compact": "%Y%m%d"}
    return lambda it: it.strftime(forms[form])


def _in_words(day: datetime.date, tongue: str, month_first: bool) -> str:
    month = MONTHS[tongue].split()[day.month - 1]
    if month_first:
        return f"{month} {day.day}, {day.year}"
    de = " de" if tongue == "es" else "." if tongue == "de" else ""
    return f"{day.day}{de} {month} {day.year}"


def day_is_open(text: str, day: datetime.date) -> bool:
    """Whether nobody can tell the month of a written day from its day."""
    return re.match(r"\d\d/\d\d/", text) is not None and day.day <= 12 and day.day != day.month
