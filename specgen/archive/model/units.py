"""The units that an archive shows its figures in: one of the two systems, or some of its own."""

from __future__ import annotations

from dataclasses import dataclass

from specgen.archive.model.given import Word
from specgen.findings import Place
from specgen.vocabulary import CHOICES, Own, System, own_units


@dataclass(frozen=True, slots=True)
class Units:
    """The units shown first: `value` is metric, imperial or own; a word for each that was chosen.

    All figures that have no word are shown as in `others`.
    """

    value: System
    place: Place
    others: Word | None = None
    power: Word | None = None
    torque: Word | None = None
    boost: Word | None = None
    air_pressure: Word | None = None
    pressure: Word | None = None
    temperature: Word | None = None
    pulley: Word | None = None
    displacement: Word | None = None
    air_flow: Word | None = None

    @property
    def own(self) -> Own | None:
        """What was chosen, as it is printed; None for one of the two systems."""
        if self.value != "own":
            return None
        given = {choice: getattr(self, choice) for choice in CHOICES}
        return own_units({key: it.value for key, it in given.items() if it}, self.table)

    @property
    def table(self) -> System:
        """Metric or imperial: what all that was not chosen is shown in."""
        named = self.others.value if self.others else self.value
        return "imperial" if named == "imperial" else "metric"
