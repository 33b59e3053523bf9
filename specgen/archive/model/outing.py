"""A run outside the dyno, as it was written."""

from __future__ import annotations

from dataclasses import dataclass, field

from specgen.archive.model.given import Day, Number, Word
from specgen.archive.model.session import Air


@dataclass(frozen=True, slots=True)
class Outing:
    """One run from a standing start."""

    date: Day
    what: Word
    distance: Number | None = None
    time: Number | None = None
    terminal_speed: Number | None = None
    mass: Number | None = None
    air: Air = field(default_factory=Air)
    tyres: Word | None = None
    note: Word | None = None
    publish: Word | None = None
