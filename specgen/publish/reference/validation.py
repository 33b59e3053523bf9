"""Published figures against what the formulas give: the very files that the tests read.

Lines for a page of its own, and for the method page, where each formula shows its figures.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar

from markupsafe import Markup

from specgen.analysis.rows.formula import Formula
from specgen.analysis.validation import STATUSES, Check, published
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.reference.chapters import chapters
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import MINUS, NARROW_SPACE, Unit, UnitError, unit_behind
from specgen.vocabulary import System

_SHOWN_DIGITS = 10
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


@dataclass(frozen=True, slots=True)
class Line:
    """One published figure as a row of a table."""

    arguments: Markup
    field: str
    expected: str
    found: str
    off: str
    allowed: str
    source: str
    status: str
    note: str
    passes: bool


@dataclass(frozen=True, slots=True)
class ValidationLead(Context):
    """How the published figures are met.

    `method`: the link to the method page; `total`: how many figures there are; `formulas`: how
    many formulas they test; `statuses`: of what standing how many are; `failing`: formulas that
    miss one.
    """

    template: ClassVar[str] = "reference/validation_lead.jinja"
    method: str
    total: int
    formulas: int
    statuses: Sequence[tuple[str, str, int]]
    failing: Sequence[Formula]


@dataclass(frozen=True, slots=True)
class ValidationRoom(Context):
    """One chapter's published figures.

    `groups`: each formula with its figures; `method`: the link to the method page; `said`: how
    many figures a formula has, in words.
    """

    template: ClassVar[str] = "reference/validation_room.jinja"
    groups: Sequence[tuple[Formula, Sequence[Line]]]
    method: str
    said: Callable[[Formula], str]


def validation_page(units: System, folders: bool) -> str:
    """Print all published figures by the room and the formula that they test."""
    links = Links(addresses.VALIDATION, folders)
    method = links.to(addresses.METHOD)
    lead = rendered(_summary(published(), method))
    parts = [Part("", lead)]
    formulas = {check.formula.name: check.formula for check in published()}
    for title, _, members in chapters(formulas.values()):
        groups = [(formula, lines_of(formula.name)) for formula in members]
        block = rendered(ValidationRoom(groups=groups, method=method, said=counted))
        parts.append(Part(title, block, searchable=False))
    description = "The published figures that every formula is held to, and what it gives."
    return fixed_page(links, description, parts, units, hide=("navigation",))


def _summary(checks: tuple[Check, ...], method: str) -> ValidationLead:
    """How many figures there are, of what standing, and which are missed."""
    counts = {name: sum(check.status == name for check in checks) for name in STATUSES}
    return ValidationLead(
        method=method,
        total=len(checks),
        formulas=len({check.formula.name for check in checks}),
        statuses=[(name, STATUSES[name], count) for name, count in counts.items() if count],
        failing=[check.formula for check in checks if not check.passes],
    )


@cache
def lines_of(name: str) -> tuple[Line, ...]:
    """The published figures of one formula ("air.vapour_pressure"), in the order of the files."""
    return tuple(_line(check) for check in published() if check.formula.name == name)


def summary_of(formula: Formula) -> str:
    """Say what a formula is held to, and whether it meets that."""
    if not lines_of(formula.name):
        return "No figure from outside tests this formula"
    return f"Held to {counted(formula)}"


def counted(formula: Formula) -> str:
    """How many figures test a formula, and how many of them it misses."""
    lines = lines_of(formula.name)
    missed = sum(not line.passes for line in lines)
    if len(lines) == 1:
        return f"1 figure, {'missed' if missed else 'met'}"
    return f"{len(lines)} figures, {f'{missed} missed' if missed else 'all met'}"


def _line(check: Check) -> Line:
    shown = _unit(check.expected_text)
    label = _label(shown)
    factor = shown.factor if shown else 1.0
    return Line(
        _arguments(check.arguments),
        check.field.replace("_", " ").replace(".", " "),
        _shortened(check.expected_text, shown) + label,
        _found(check, shown) + label,
        significant(check.deviation / factor),
        significant(check.tolerance / factor),
        check.source,
        check.status,
        check.note,
        check.passes,
    )


def _label(shown: Unit | None) -> str:
    """A unit as it stands behind a number."""
    if shown is None or not shown.shown:
        return ""
    return shown.shown if shown.shown == "°" else f"{NARROW_SPACE}{shown.shown}"


def _unit(text: str) -> Unit | None:
    """The unit behind a written figure; None for a bare number."""
    try:
        return unit_behind(text)
    except UnitError:
        return None


def _shortened(text: str, shown: Unit | None) -> str:
    """The published number as it is written, its digits cut where it has more than anyone reads."""
    number = text.removesuffix(shown.symbol).split()[0] if shown else text
    if sum(letter.isdigit() for letter in number) <= _SHOWN_DIGITS:
        return number.replace("-", MINUS)
    return f"{float(number):.{_SHOWN_DIGITS}g}".replace("-", MINUS)


def _found(check: Check, shown: Unit | None) -> str:
    """What the formula gives, in the published unit: enough digits to see how far it is off.

    That is one more than the figure is held to, and at most two more than are published.
    """
    number = shown.from_si(check.found) if shown else check.found
    allowed = check.tolerance / (shown.factor if shown else 1.0)
    wanted = 0 if allowed <= 0 else 1 - math.floor(math.log10(allowed))
    printed = _shortened(check.expected_text, shown)
    published = len(printed.partition(".")[2]) if "e" not in printed else _SHOWN_DIGITS
    return significant(number, max(min(wanted, published + 2, _SHOWN_DIGITS), 0))


def significant(number: float, decimals: int | None = None) -> str:
    """Print a number: to `decimals`, else to two digits that count; very small ones by powers."""
    if number == 0:
        return "0"
    exponent = math.floor(math.log10(abs(number)))
    if decimals is None and -4 <= exponent < 6:
        decimals = max(1 - exponent, 0)
    if decimals is not None and exponent >= -4:
        return f"{number:.{decimals}f}".replace("-", MINUS)
    digits = 1 if decimals is None else max(decimals + exponent, 1)
    mantissa = f"{number / 10**exponent:.{min(digits, _SHOWN_DIGITS)}f}".replace("-", MINUS)
    return f"{mantissa}·10{str(exponent).translate(_SUPERSCRIPT)}"


def _arguments(arguments: Mapping[str, Any]) -> Markup:
    """What a formula was asked, as words: "temperature 20 °C, pressure 101325 Pa"."""
    return Markup(", ").join(
        Markup("{} {}").format(safe(_words(name)), safe(_said(value)))
        for name, value in arguments.items()
    )


def _said(value: Any) -> str:
    """An argument as it is written in the file, in words."""
    if isinstance(value, str):
        shown = _unit(value)
        if shown is None or not shown.symbol:
            return value
        return value.split()[0].replace("-", MINUS) + _label(shown)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return _said_object(value)
    if isinstance(value, list):
        return _said_list(value)
    return "none" if value is None else f"{value}"


def _said_object(value: Mapping[str, Any]) -> str:
    if set(value) == {"text"}:
        return str(value["text"])
    if len(value) == 1 and isinstance(inner := next(iter(value.values())), Mapping):
        return _said_object(inner)
    return "(" + ", ".join(f"{_words(name)} {_said(item)}" for name, item in value.items()) + ")"


def _said_list(values: Iterable[Any]) -> str:
    return ", ".join(_said(value) for value in values)


def _words(name: str) -> str:
    return name.replace("_", " ")
