"""What somebody answers for in the open, and what an owner agreed to.

Frozen, typed objects like those of `build`; the same rule holds: field names equal the keys of
the files.
"""

from __future__ import annotations

from dataclasses import dataclass

from specgen.archive.model.given import Day, Word
from specgen.findings import Place


@dataclass(frozen=True, slots=True)
class Accepted:
    """A warning that is right as it stands, by its code, with the reason."""

    finding: Word
    because: Word
    place: Place


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A result that no longer counts since a day; it stays to be read, with the reason."""

    on: Day
    because: Word


@dataclass(frozen=True, slots=True)
class Correction:
    """A change of what was written, told to whoever reads the figures: the day, and why."""

    on: Day
    because: Word


@dataclass(frozen=True, slots=True)
class Owner:
    """The owner of a customer's engine: that they agreed to its being shown."""

    consent: Day
    covers: Word | None = None
