"""Equations of the docstrings, written for a terminal, as a reader expects them on a page.

`eta_v = eta_0 - (A / D) (2 dp / rho_1)^0.5` becomes Greek letters, subscripts and superscripts.
Only the looks change: letters, numbers and their order are the docstring's own.
"""

from __future__ import annotations

import re
from functools import cache

from markupsafe import Markup

from specgen.publish.typesetting.markup import safe
from specgen.units import MINUS

_GREEK = {
    "beta": "β",
    "dT": "ΔT",
    "dp": "Δp",
    "eps": "ε",
    "eta": "η",
    "lambda": "λ",
    "mu": "µ",
    "phi": "φ",
    "pi": "π",
    "rho": "ρ",
    "theta": "θ",
}
#: Letters that are units wherever they stand alone in an equation.
_UNITS = {"J", "K"}
_TOKEN = re.compile(
    r"(?P<number>\d+(?:\.\d+)?(?:e-?\d+)?)"
    r"|(?P<name>[A-Za-z]+'?(?:_[A-Za-z0-9]+)?(?:-[a-z]+)*)"
    r"|(?P<other>.)",
    re.DOTALL,
)
_SYMBOL_PLACE = re.compile(r", ([A-Za-z][\w']*)(?= \[)")
_POWER = Markup("<sup>{}</sup>")
_BASED = Markup("<var>{}</var><sub>{}</sub>")
_SYMBOL = Markup("<var>{}</var>")


@cache
def equation_html(line: str) -> Markup:
    """Print one line of an equation."""
    pieces: list[Markup] = []
    position = 0
    while position < len(line):
        if line[position] == "^":
            power, position = _exponent(line, position + 1)
            pieces.append(_POWER.format(equation_html(power)))
            continue
        found = _TOKEN.match(line, position)
        assert found is not None
        pieces.append(_token(found))
        position = found.end()
    return Markup("").join(pieces)


def meaning_html(text: str) -> Markup:
    """Print what a parameter means ("air temperature, T [K], 233 to 373") with its symbol set."""
    found = _SYMBOL_PLACE.search(text)
    if found is None:
        return safe(text)
    before, after = safe(text[: found.start(1)]), safe(text[found.end(1) :])
    return before + equation_html(found.group(1)) + after


def _exponent(line: str, start: int) -> tuple[str, int]:
    """Give what stands behind "^", without its brackets, and where the line goes on."""
    if line[start : start + 1] != "(":
        found = re.compile(r"-?[\w.]+").match(line, start)
        return (found.group(), found.end()) if found else ("", start)
    depth = 0
    for index in range(start, len(line)):
        depth += {"(": 1, ")": -1}.get(line[index], 0)
        if depth == 0:
            return line[start + 1 : index], index + 1
    return line[start + 1 :], len(line)


def _token(found: re.Match[str]) -> Markup:
    text = found.group()
    if found.lastgroup == "number":
        return _number(text)
    if found.lastgroup == "name":
        return _name(text)
    return safe(MINUS if text == "-" else text)


def _number(text: str) -> Markup:
    digits, _, exponent = text.partition("e")
    if not exponent:
        return safe(digits)
    return Markup("{}·10{}").format(safe(digits), _POWER.format(exponent.replace("-", MINUS)))


def _name(text: str) -> Markup:
    """Print a symbol, with what stands below it; words stay upright."""
    base, _, below = text.partition("_")
    letter = _GREEK.get(base, base)
    if below:
        return _BASED.format(safe(letter), safe(_GREEK.get(below, below)))
    if base in _GREEK or (len(base.rstrip("'")) == 1 and base not in _UNITS):
        return _SYMBOL.format(safe(letter))
    return safe(text)
