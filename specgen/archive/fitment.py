"""Whether a blower bolts to an engine: its file's `fits` against the engine's own dimensions.

Three answers: it fits, it does not fit (which dimension, by how much), or something is not
recorded. Nothing recorded is never "fits".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from specgen.archive.model.build import Blower, Build, Given, Range
from specgen.vocabulary import System, quantity

Verdict = Literal["fits", "does not fit", "not recorded"]

#: What an engine may be asked for, in the order of the answers, with its words.
DIMENSIONS = {
    "deck_height": "deck height",
    "bore_spacing": "bore spacing",
    "cylinders": "number of cylinders",
    "layout": "cylinder layout",
    "mount": "mount",
}
#: Ends of a range count as inside: what is left over when inches become metres.
_ROUNDING = 1e-9

Wanted = Given[Range] | tuple[Given[str | int], ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """One thing that a blower asks of an engine, and what the engine says to it.

    `found` is None where it is not recorded; `over` is how far a dimension lies outside [SI],
    below zero where it is too small, nothing where it fits or has no size.
    """

    key: str
    asked: Wanted
    found: Given[Any] | None
    verdict: Verdict
    over: float = 0.0

    @property
    def title(self) -> str:
        """What is asked for, in words."""
        return DIMENSIONS.get(self.key, self.key.replace("_", " "))

    def wanted(self, system: System) -> str:
        """What the blower's file asks for."""
        if isinstance(self.asked, tuple):
            words = [str(item.value) for item in self.asked]
            return " or ".join(filter(None, [", ".join(words[:-1]), words[-1]]))
        shown, ends = quantity(self.key), self.asked.value
        if ends.low == ends.high:
            return shown.text(ends.low, system)
        return f"{shown.number(ends.low, system)} to {shown.text(ends.high, system)}"

    def apart(self, system: System) -> str:
        """By how much it does not fit; empty where it fits, or for what has no size."""
        if not self.over:
            return ""
        size = quantity("clearance").text(abs(self.over), system)
        return f"{size} too {'large' if self.over > 0 else 'small'}"

    def words(self, system: System) -> str:
        """The answer in a line, such as "deck height 224.5 mm, wanted 208.0 mm"."""
        found = self.found.text if self.found is not None else "not recorded"
        by = f" ({self.apart(system)})" if self.over else ""
        return f"{self.title} {found}, wanted {self.wanted(system)}{by}"


def engine_of(build: Build) -> dict[str, Given[Any] | None]:
    """What a build's engine says to a blower's wishes, by key; None where it is not recorded."""
    return {key: getattr(build.engine, key) for key in DIMENSIONS}


def fitment(blower: Blower, engine: Mapping[str, Given[Any] | None]) -> tuple[Fit, ...]:
    """One answer for each thing that the blower's file asks for."""
    return tuple(_fit(key, wanted, engine.get(key)) for key, wanted in blower.fits.items())


def verdict(fits: tuple[Fit, ...]) -> Verdict:
    """One word over all: one thing that does not fit decides; nothing asked is not recorded."""
    if any(fit.verdict == "does not fit" for fit in fits):
        return "does not fit"
    if not fits or any(fit.verdict == "not recorded" for fit in fits):
        return "not recorded"
    return "fits"


def _fit(key: str, asked: Wanted, found: Given[Any] | None) -> Fit:
    if found is None:
        return Fit(key, asked, None, "not recorded")
    if isinstance(asked, tuple):
        meets = found.value in [item.value for item in asked]
        return Fit(key, asked, found, "fits" if meets else "does not fit")
    over = _over(asked.value, float(found.value))
    return Fit(key, asked, found, "does not fit" if over else "fits", over)


def _over(asked: Range, value: float) -> float:
    """How far a dimension lies outside a range; nothing inside."""
    room = _ROUNDING * max(abs(value), 1.0)
    if value > asked.high + room:
        return value - asked.high
    return value - asked.low if value < asked.low - room else 0.0
