"""Rules for figures of the build record: values that somebody wrote, wherever they stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from specgen.analysis.rows.row import Basis, Row
from specgen.analysis.rows.scope import FirstOf, Rule, Scope
from specgen.archive.model.given import Given
from specgen.vocabulary import quantity


@dataclass(frozen=True, slots=True)
class Written:
    """One value as written, or the reason why there is none.

    `uncertainty` is the standard uncertainty of the SI value, with its `source` in words.
    """

    key: str
    quantity: str
    title: str
    given: Given[float] | Given[int] | None
    basis: Basis = "stated"
    uncertainty: float = 0.0
    source: str = ""
    missing: str = ""

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Read the value; what stood behind " at " becomes a row of its own quantity."""
        given = self.given
        if given is None:
            reason = self.missing or f"{self.title[0].lower()}{self.title[1:]} not recorded"
            return {self.key: scope.absent(self.key, self.quantity, self.title, reason)}
        row = Row(
            self.key,
            scope.name,
            self.title,
            quantity(self.quantity),
            self.basis,
            float(given.value),
            {f"{given.place}": self.uncertainty} if self.uncertainty else {},
            source=self.source,
            place=given.place,
            text=given.text,
            at=self._at(scope, given),
        )
        return {self.key: row}

    def _at(self, scope: Scope, given: Given[float] | Given[int]) -> Row | None:
        at = given.at
        if at is None or at.quantity is None:
            return None
        kind = quantity(at.quantity)
        title = f"{self.title}: {kind.title.lower()}"
        return Row(
            f"{self.key}_at", scope.name, title, kind, "stated",
            at.value, place=at.place, text=at.text,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Assumed:
    """A value that stands where nothing was written, with its source in words."""

    key: str
    quantity: str
    title: str
    value: float
    source: str
    uncertainty: float = 0.0

    @property
    def makes(self) -> tuple[str, ...]:
        """The one key."""
        return (self.key,)

    def rows(self, scope: Scope) -> Mapping[str, Row]:
        """Give the value as a default."""
        spread = {f"default {self.key}": self.uncertainty} if self.uncertainty else {}
        row = scope.present(
            self.key, self.quantity, self.value, self.title, source=self.source, spread=spread
        )
        return {self.key: row}


def first_of(key: str, options: Iterable[str]) -> Rule:
    """The first present row of some, under a key of its own."""
    return FirstOf(key, tuple(options))
