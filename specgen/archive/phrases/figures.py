"""What several checks need to weigh and word a figure."""

from __future__ import annotations

import re

from specgen.archive.model.build import Number
from specgen.findings import Finding, Place
from specgen.units import NARROW_SPACE
from specgen.vocabulary import Quantity, quantity


def error(code: str, place: Place, found: str, expected: str, hint: str) -> Finding:
    """Make a finding that keeps the file out of the archive."""
    return Finding(code, "error", place, found, expected, hint)


def warning(code: str, place: Place, found: str, expected: str, hint: str) -> Finding:
    """Make a finding about something doubtful that may yet be right."""
    return Finding(code, "warning", place, found, expected, hint)


def allowance(figure: Number) -> float:
    """Half the last digit as written, in SI: what rounding alone may have changed.

    For units without an offset only, so not for temperatures.
    """
    number = re.match(r"\s*[-+]?(\d*)(?:\.(\d*))?", figure.text)
    if number is None or figure.value == 0:
        return 0.0
    size = abs(float(number.group().strip() or 0))
    return 0.5 * 10.0 ** -len(number.group(2) or "") * abs(figure.value) / size if size else 0.0


def shown(key: str, value: float) -> str:
    """Write an SI value in the unit a file usually has, ready to be typed."""
    kind = quantity(key)
    number = kind.number(value, "metric").replace(NARROW_SPACE, "").replace("\u2212", "-")
    return f"{number} {kind.metric.symbol}"


def article(words: str) -> str:
    """Put "a" or "an" before words."""
    return ("an " if words[0] in "aeiou" else "a ") + words


def plausible_words(kind: Quantity, written: str = "") -> str:
    """Write the range that a figure has in practice, in the unit it was written in, if usual."""
    imperial = kind.imperial.symbol
    unit = kind.imperial if imperial and written.endswith(imperial) else kind.metric
    low, high = (f"{unit.from_si(end):.6g} {unit.symbol}".rstrip() for end in kind.plausible)
    return f"{low} to {high}"
