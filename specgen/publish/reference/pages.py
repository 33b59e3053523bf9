"""Pages that follow from the program alone: method, units, findings and cautions."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from markupsafe import Markup

from specgen import physics
from specgen.analysis.rows.formula import Formula, formula_of
from specgen.analysis.rows.scope import Derived
from specgen.analysis.tables.engine import ENGINE
from specgen.analysis.tables.pull import PULL
from specgen.analysis.tables.session import SESSION
from specgen.analysis.tables.setup import SETUP
from specgen.findings import CODES
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.reference.chapters import chapters
from specgen.publish.reference.validation import Line, lines_of, summary_of
from specgen.publish.typesetting.cautions import CAUTIONS, Caution
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.units import KINDS, Unit, units_of
from specgen.vocabulary import QUANTITIES, System


def formulas() -> tuple[Formula, ...]:
    """Every public formula of the physics, and those that the tables of rows use beside it."""
    found = [formula_of(function) for function in _physics_functions()]
    tables = (*ENGINE, *SESSION, *SETUP, *PULL)
    derived = [rule for rule in tables if isinstance(rule, Derived)]
    found += [formula_of(rule.shown or rule.function) for rule in derived]
    return tuple({formula.name: formula for formula in found}.values())


def _physics_functions() -> Iterator[Callable[..., Any]]:
    """Public functions of the public rooms of the physics, in the order they are written."""
    for found in pkgutil.iter_modules(physics.__path__):
        if found.name.startswith("_") or found.ispkg:
            continue
        room = importlib.import_module(f"{physics.__name__}.{found.name}")
        for name, member in vars(room).items():
            own = inspect.isfunction(member) and member.__module__ == room.__name__
            if own and not name.startswith("_"):
                yield member


@dataclass(frozen=True, slots=True)
class UnitsTable(Context):
    """The closed table of units.

    `kinds`: each kind, its units, and what uses them; `factor`: what one of a unit is in SI.
    """

    template: ClassVar[str] = "reference/units.jinja"
    kinds: Sequence[tuple[str, Sequence[Unit], str]]
    factor: Callable[[Unit], Markup]


@dataclass(frozen=True, slots=True)
class UnitsLead(Context):
    """What opens the table of units."""

    template: ClassVar[str] = "reference/units_lead.jinja"


@dataclass(frozen=True, slots=True)
class FindingsTable(Context):
    """Every code of a finding.

    `codes`: what each means.
    """

    template: ClassVar[str] = "reference/findings.jinja"
    codes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class MethodRoom(Context):
    """One chapter of the physics.

    `words`: its first words; `groups`: each formula with the figures that test it; `said`: what a
    formula is held to, in words.
    """

    template: ClassVar[str] = "reference/method_room.jinja"
    words: str
    groups: Sequence[tuple[Formula, Sequence[Line]]]
    said: Callable[[Formula], str]


@dataclass(frozen=True, slots=True)
class MethodLead(Context):
    """What opens the method page.

    `validation`: the link to published figures; `accuracy`: that to how well predictions did;
    `cautions`: that to what hurts people.
    """

    template: ClassVar[str] = "reference/method_lead.jinja"
    validation: str
    accuracy: str
    cautions: str


@dataclass(frozen=True, slots=True)
class CautionsLead(Context):
    """What opens the cautions."""

    template: ClassVar[str] = "reference/cautions_lead.jinja"


@dataclass(frozen=True, slots=True)
class CautionBlock(Context):
    """One hazard.

    `caution`: what it is and how to meet it.
    """

    template: ClassVar[str] = "reference/caution.jinja"
    caution: Caution


def method_page(units: System, folders: bool) -> str:
    """Print every formula the sheets use, from the functions' own descriptions."""
    links = Links(addresses.METHOD, folders)
    parts = [
        Part(
            "",
            rendered(
                MethodLead(
                    validation=links.to(addresses.VALIDATION),
                    accuracy=links.to(addresses.ACCURACY),
                    cautions=links.to(addresses.CAUTIONS),
                )
            ),
        )
    ]
    for title, words, members in chapters(formulas()):
        groups = [(formula, lines_of(formula.name)) for formula in members]
        block = rendered(
            MethodRoom(
                words=words,
                groups=groups,
                said=summary_of,
            )
        )
        parts.append(Part(title, block))
    description = "How each figure of a build sheet is worked out, with its source."
    return fixed_page(links, description, parts, units, hide=("navigation",))


def cautions_page(units: System, folders: bool) -> str:
    """Print what can hurt people and engines."""
    links = Links(addresses.CAUTIONS, folders)
    parts = [Part("", rendered(CautionsLead()))]
    parts += [Part("", rendered(CautionBlock(caution=caution))) for caution in CAUTIONS.values()]
    description = "What can hurt people and engines around a dyno and a boosted engine."
    return fixed_page(links, description, parts, units, hide=("navigation",))


def units_page(units: System, folders: bool) -> str:
    """Print the closed table of units, for those who write builds."""
    links = Links(addresses.UNITS, folders)
    kinds = [(kind, units_of(kind), _used_by(kind)) for kind in KINDS]
    block = rendered(UnitsTable(kinds=kinds, factor=_factor))
    lead = rendered(UnitsLead())
    description = "Every unit that a build file may use, and how each may be written."
    parts = [Part("", lead), Part("", block)]
    return fixed_page(links, description, parts, units)


def findings_page(units: System, folders: bool) -> str:
    """Print every code of a finding with its meaning."""
    links = Links(addresses.FINDINGS, folders)
    block = rendered(FindingsTable(codes=CODES))
    description = "What each finding of a check means."
    return fixed_page(links, description, [Part("", block)], units)


def _used_by(kind: str) -> str:
    """Name the quantities of a kind, for a reader who looks for theirs."""
    return ", ".join(item.title.lower() for item in QUANTITIES.values() if item.kind == kind)


def _factor(unit: Unit) -> Markup:
    """Print what one of a unit is in SI."""
    number = Markup("× {}").format(f"{unit.factor:.10g}")
    return number + Markup(" + {}").format(f"{unit.offset:.10g}") if unit.offset else number
