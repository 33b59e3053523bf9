"""The figures of a build that its history follows: what its sheet leads with, and what is planned.

They are kept as plain data, so that an earlier revision is worked out once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.vocabulary import QUANTITIES, Quantity, System

#: Digits of what is kept: more than any figure here supports, fewer than another processor moves.
_DIGITS = 7
#: What is followed of a planned setup.
_PLANNED = ("boost_at_top", "power_at_top")


@dataclass(frozen=True, slots=True)
class Told:
    """One figure as a sheet told it: SI value and expanded uncertainty (k = 2; None if unknown).

    `of` says of what: nothing for the build as a whole, else the setup's title.
    """

    key: str
    of: str
    title: str
    quantity: str
    value: float
    expanded: float | None

    @property
    def kind(self) -> Quantity:
        """Its quantity, with units and decimals."""
        return QUANTITIES[self.quantity]

    def text(self, system: System) -> str:
        """As it was printed."""
        return self.kind.printed(self.value, system, self.expanded).text

    def reads_like(self, other: Told) -> bool:
        """Whether a reader sees the same figure, in every unit."""
        if (self.value, self.expanded) == (other.value, other.expanded):
            return True
        return all(self.text(it) == other.text(it) for it in ("metric", "imperial"))


@dataclass(frozen=True, slots=True)
class Moved:
    """A figure before and after; None where it was not there."""

    before: Told | None
    after: Told | None

    @property
    def told(self) -> Told:
        """Whichever is there, for its title and quantity."""
        found = self.after or self.before
        assert found is not None
        return found


def figures_of(sheet: Sheet) -> tuple[Told, ...]:
    """The figures of a build that its history follows."""
    found = [_told(row, "") for row in sheet.headline]
    for setup in sheet.setups:
        if setup.planned:
            found += [
                _told(row, setup.title) for row in _present(setup.rows[it] for it in _PLANNED)
            ]
    return tuple({(it.key, it.of): it for it in found}.values())


def _present(rows: Iterable[Row]) -> Iterator[Row]:
    return (row for row in rows if row.present)


def _told(row: Row, of: str) -> Told:
    expanded = row.expanded
    return Told(
        row.key,
        of,
        row.title,
        row.quantity.key,
        _rounded(row.scalar),
        None if expanded is None else _rounded(expanded),
    )


def _rounded(number: float) -> float:
    return float(f"{number:.{_DIGITS}g}")


def moved(before: Iterable[Told], after: Iterable[Told]) -> tuple[Moved, ...]:
    """What a reader sees otherwise after than before, in the order of what is there after."""
    was = {(it.key, it.of): it for it in before}
    now = {(it.key, it.of): it for it in after}
    found = [
        Moved(was.get(key), it)
        for key, it in now.items()
        if key not in was or not was[key].reads_like(it)
    ]
    return (*found, *(Moved(it, None) for key, it in was.items() if key not in now))


def as_data(figures: Iterable[Told]) -> list[dict[str, Any]]:
    """Figures as plain data, to be kept."""
    return [
        {"key": it.key, "of": it.of, "title": it.title, "quantity": it.quantity,
         "value": it.value, "expanded": it.expanded}
        for it in figures
    ]  # fmt: skip


def from_data(data: Iterable[Mapping[str, Any]]) -> tuple[Told, ...]:
    """Figures that were kept; ValueError where the data is something else."""
    try:
        found = tuple(
            Told(
                str(it["key"]),
                str(it["of"]),
                str(it["title"]),
                str(it["quantity"]),
                float(it["value"]),
                None if it["expanded"] is None else float(it["expanded"]),
            )
            for it in data
        )
    except (KeyError, TypeError, ValueError) as problem:
        raise ValueError(f"no kept figures: {problem}") from problem
    if strange := [it.quantity for it in found if it.quantity not in QUANTITIES]:
        raise ValueError(f"no kept figures: no quantity {strange[0]}")
    return found
