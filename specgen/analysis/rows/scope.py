"""How a table of rules becomes rows, each made once and only when something asks for it.

A scope is one subject of a sheet: the engine, a setup, a session, a pull. It holds the rules of
its table and looks further up (a pull asks its session and its setup) for rows that it does not
make. Uncertainty goes through every rule the same way: each input is moved by its own standard
uncertainty, and the change is booked to the roots behind that input.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from specgen.analysis.rows.formula import formula_of
from specgen.analysis.rows.propagation import propagated
from specgen.analysis.rows.row import Basis, Row, Value
from specgen.analysis.rows.subjects import Subjects, check_paths
from specgen.archive.model.build import Given
from specgen.physics import Unphysical
from specgen.vocabulary import quantity


class Rule(Protocol):
    """Anything that makes one or more rows of a scope."""

    @property
    def makes(self) -> tuple[str, ...]:
        """Keys of the rows that `rows` gives, in the order of the table."""

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Make the rows; never raises for what is missing or unphysical: such rows say why."""


class Scope:
    """The rows of one subject, made on demand and remembered.

    `name` is in every row's address, `title` is what a page calls the subject. `twin` names the
    scope of the same subject that this one differs from in a few rows: what the two have alike
    need be explained once only.
    """

    def __init__(
        self,
        name: str,
        rules: Sequence[Rule],
        subjects: Mapping[str, Any],
        parents: Sequence[Scope] = (),
        *,
        title: str = "",
        twin: str = "",
    ) -> None:
        self.name, self.title, self.twin = name, title, twin
        self.subjects = replace(_inherited(parents), **subjects)
        self._rules = {key: rule for rule in rules for key in rule.makes}
        self._parents = tuple(parents)
        self._made: dict[str, Row] = {}

    def rest_on(self, parent: Scope) -> None:
        """Look in another scope too, after the parents so far: one that was made later."""
        self._parents = (*self._parents, parent)

    def __getitem__(self, key: str) -> Row:
        row = self.find(key)
        if row is None:
            raise KeyError(f"no rule of {self.name} or above makes {key!r}")
        return row

    def find(self, key: str) -> Row | None:
        """The row of that key, here or further up; None if no table makes it."""
        if key in self._made:
            return self._made[key]
        rule = self._rules.get(key)
        if rule is not None:
            self._made.update(rule.rows(self))
            return self._made[key]
        for parent in self._parents:
            row = parent.find(key)
            if row is not None:
                return row
        return None

    def __iter__(self) -> Iterator[Row]:
        """All rows of this scope's own table, in its order, each figure once.

        A row that another scope made, or that stands under a second key, is left out: it has its
        place already.
        """
        own = (row for key in self._rules if (row := self[key]).scope == self.name)
        return iter({row.anchor: row for row in own}.values())

    def present(
        self, key: str, quantity_key: str, value: Value, title: str = "", **more: Any
    ) -> Row:
        """Make a row that a decision gave; a default unless `basis` says otherwise."""
        shown = quantity(quantity_key)
        return Row(key, self.name, title or shown.title, shown, **{"basis": "default", **more},
                   value=value)  # fmt: skip

    def absent(self, key: str, quantity_key: str, title: str, reason: str) -> Row:
        """Make a row that is not there, with the reason in words."""
        shown = quantity(quantity_key)
        return Row(key, self.name, title or shown.title, shown, "absent", reason=reason)


def _inherited(parents: Sequence[Scope]) -> Subjects:
    """The parents' subjects; the first parent's stand before the others', as its rows do."""
    return functools.reduce(Subjects.or_else, (parent.subjects for parent in parents), Subjects())


@dataclass(frozen=True, slots=True)
class Default:
    """A value that stands where the archive states none: SI value, standard uncertainty, source."""

    value: float
    uncertainty: float
    source: str


@dataclass(frozen=True, slots=True)
class Stated:
    """A figure that somebody wrote in the archive, at `path` (subject.field.field).

    Several paths parted by | are tried in turn: a setup's pulley stands before the drive's.

    `uncertainty` gives the standard uncertainty of the SI value and its source; `default` stands
    in where nothing is written.
    """

    key: str
    quantity: str
    path: str
    title: str = ""
    basis: Basis = "stated"
    uncertainty: Callable[[Scope, float], tuple[float, str]] | None = None
    default: Callable[[Scope], Default | None] | None = None
    missing: str = ""

    def __post_init__(self) -> None:
        """Refuse a path that no field has."""
        check_paths(self.path)

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Read the value, or its default, or say that it is not recorded."""
        title = self.title or quantity(self.quantity).title
        given = scope.subjects.given(self.path)
        if given is not None:
            row = row_of(scope, self.key, self.quantity, title, given, self.basis)
            return {self.key: self._with_uncertainty(scope, row)}
        fallback = self.default(scope) if self.default else None
        return {self.key: _supposed(scope, self.key, self.quantity, title, fallback, self.missing)}

    def _with_uncertainty(self, scope: Scope, row: Row) -> Row:
        if self.uncertainty is None:
            return row
        size, source = self.uncertainty(scope, row.scalar)
        spread = {f"{row.place}": size} if size else {}
        return replace(row, spread=spread, source=source)


@dataclass(frozen=True, slots=True)
class Parameter:
    """A figure of the model that nobody writes: its default, and what a fit may make of it.

    `default` gives None where a build has no such parameter, which `missing` says in words.
    """

    key: str
    quantity: str
    default: Callable[[Scope], Default | None]
    title: str = ""
    missing: str = ""

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Give the default, or say why there is none."""
        title, found = self.title or quantity(self.quantity).title, self.default(scope)
        return {self.key: _supposed(scope, self.key, self.quantity, title, found, self.missing)}


def _supposed(
    scope: Scope, key: str, quantity_key: str, title: str, default: Default | None, missing: str
) -> Row:
    """The row of a value that stands where nothing was written, or of none."""
    if default is None:
        return scope.absent(key, quantity_key, title, missing or f"{title.lower()} not recorded")
    spread = {f"default {key}": default.uncertainty} if default.uncertainty else {}
    return scope.present(
        key, quantity_key, default.value, title, spread=spread, source=default.source
    )


def row_of(
    scope: Scope, key: str, quantity_key: str, title: str, given: Given[Any], basis: Basis
) -> Row:
    """Make a row of a written value, with its place and its text; " at " makes a second row."""
    at = None
    if given.at is not None:
        at = row_of(
            scope, f"{key}_speed", "engine_speed", f"{title}: engine speed", given.at, basis
        )
    return Row(
        key,
        scope.name,
        title,
        quantity(quantity_key),
        basis,
        float(given.value),
        place=given.place,
        text=given.text,
        at=at,
    )


@dataclass(frozen=True, slots=True)
class Output:
    """One row that a derivation makes; `take` picks it out of a result with several figures.

    `shown` is the formula a reader is told of where it is not the derivation's own.
    """

    key: str
    quantity: str
    title: str = ""
    take: Callable[[Any], Any] | None = None
    shown: Callable[..., Any] | None = None


@dataclass(frozen=True, slots=True)
class Derived:
    """Figures that a physics function gives from other rows.

    `inputs` maps the function's parameters to row keys; `options` are parameters that may be
    absent; `fixed` are constants. `over_speed` says that every output is a curve over engine
    speed, point by point, so that one call on repeated speeds serves all of the propagation.
    `shown` is the function a reader is told of, where `function`
    is a thin wrapper around it.
    """

    outputs: tuple[Output, ...]
    function: Callable[..., Any]
    inputs: Mapping[str, str]
    options: Mapping[str, str] = field(default_factory=dict)
    fixed: Mapping[str, Any] = field(default_factory=dict)
    shown: Callable[..., Any] | None = None
    basis: Basis = "derived"
    over_speed: bool = False

    @property
    def makes(self) -> tuple[str, ...]:
        """Keys of all outputs."""
        return tuple(output.key for output in self.outputs)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Evaluate once and propagate; absent if an input is, with that input's reason."""
        rows = {name: scope[key] for name, key in self.inputs.items()}
        lacking = [row for row in rows.values() if not row.present]
        if lacking:
            return self._absent(scope, lacking[0].reason)
        extra = {name: scope[key] for name, key in self.options.items()}
        rows |= {name: row for name, row in extra.items() if row.present}
        try:
            values, spreads = propagated(self._call, rows, over_speed=self.over_speed)
        except Unphysical as problem:
            return self._absent(scope, str(problem))
        made, inputs = {}, tuple(rows.values())
        for output, value, spread in zip(self.outputs, values, spreads, strict=True):
            made[output.key] = Row(
                output.key,
                scope.name,
                output.title or quantity(output.quantity).title,
                quantity(output.quantity),
                self.basis,
                value,
                spread,
                formula_of(output.shown or self.shown or self.function),
                inputs,
            )
        return made

    def _absent(self, scope: Scope, reason: str) -> Mapping[str, Row]:
        return {
            output.key: scope.absent(output.key, output.quantity, output.title, reason)
            for output in self.outputs
        }

    def _call(self, values: Mapping[str, Any]) -> list[Any]:
        result = self.function(**values, **self.fixed)
        return [output.take(result) if output.take else result for output in self.outputs]


@dataclass(frozen=True, slots=True)
class FirstOf:
    """The first row of a list that is present, under a key of its own."""

    key: str
    options: tuple[str, ...]

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Pick; if none is present, the first one's reason stands."""
        candidates = [scope[key] for key in self.options]
        chosen = next((row for row in candidates if row.present), candidates[0])
        return {self.key: chosen}


@dataclass(frozen=True, slots=True)
class Fixed:
    """A row that was made elsewhere and stands here before what lies further up."""

    key: str
    row: Row

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:  # noqa: ARG002 - a rule's signature
        """Give the row."""
        return {self.key: self.row}


@dataclass(frozen=True, slots=True)
class Made:
    """Rows that need a decision in words: a function of the scope makes them."""

    makes: tuple[str, ...]
    function: Callable[[Scope], Mapping[str, Row]]

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Ask the function."""
        return self.function(scope)


def given(key: str, quantity_key: str, function: Callable[..., Any], **inputs: str) -> Derived:
    """Write the common case short: one output, all inputs from rows."""
    return Derived((Output(key, quantity_key),), function, inputs)
