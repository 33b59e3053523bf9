"""How an export is laid out: marks, numbers, heads, letters, days."""

from __future__ import annotations

import datetime
import random
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


def day_text(chance: random.Random, day: datetime.date, tongue: str) -> tuple[str, bool]:
    """Write a day; True where nobody can tell its month from its day."""
    month = MONTHS[tongue].split()[day.month - 1]
    form = chance.choice(("iso", "iso", "point", "point", "words", "slash", "year", "compact"))
    if form == "words":
        de = " de" if tongue == "es" else "." if tongue == "de" else ""
        text = f"{day.day}{de} {month} {day.year}"
        if tongue == "en" and chance.random() < 0.5:
            text = f"{month} {day.day}, {day.year}"
        return text, False
    if form == "slash":
        short = chance.random() < 0.4
        year = f"{day.year % 100:02d}" if short else str(day.year)
        american = tongue == "en" and chance.random() < 0.5
        first, second = (day.month, day.day) if american else (day.day, day.month)
        return f"{first:02d}/{second:02d}/{year}", day.day <= 12 and day.day != day.month
    forms = {
        "iso": day.isoformat(), "point": day.strftime("%d.%m.%Y"), "year": day.strftime("%Y/%m/%d"),
        "compact": day.strftime("%Y%m%d"),
    }  # fmt: skip
    return forms[form], False
