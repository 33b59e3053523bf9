"""Whether a blower bolts to an engine: its file's `fits` against the build's own dimensions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from specgen.archive.model.build import Blower, Build, Given, Range
from specgen.vocabulary import quantity

Verdict = Literal["fits", "does not fit", "not known"]
_WORDS = {
    "deck_height": "deck height",
    "bore_spacing": "bore spacing",
    "cylinders": "number of cylinders",
    "layout": "cylinder layout",
    "mount": "mount",
}


@dataclass(frozen=True, slots=True)
class Fit:
    """One thing that a blower asks of an engine, and what the build says to it."""

    title: str
    wanted: str
    found: str
    verdict: Verdict


def fitment(blower: Blower, build: Build) -> tuple[Fit, ...]:
    """One verdict for each thing that the blower's file asks for."""
    return tuple(_fit(key, wanted, getattr(build.engine, key, None))
                 for key, wanted in blower.fits.items())  # fmt: skip


def verdict(fits: tuple[Fit, ...]) -> Verdict:
    """One word over all: one thing that does not fit decides; nothing asked is not known."""
    if any(fit.verdict == "does not fit" for fit in fits):
        return "does not fit"
    if not fits or any(fit.verdict == "not known" for fit in fits):
        return "not known"
    return "fits"


def wanted_words(key: str, wanted: Given[Range] | tuple[Given[str | int], ...]) -> tuple[str, str]:
    """Title and text of one thing that a blower asks for."""
    return _WORDS.get(key, key.replace("_", " ")), _wanted(key, wanted)


def _fit(
    key: str,
    wanted: Given[Range] | tuple[Given[str | int], ...],
    found: Given[float] | Given[int] | Given[str] | None,
) -> Fit:
    title, text = wanted_words(key, wanted)
    if found is None:
        return Fit(title, text, "not recorded", "not known")
    return Fit(title, text, found.text, "fits" if _meets(wanted, found.value) else "does not fit")


def _meets(wanted: Given[Range] | tuple[Given[str | int], ...], value: float | int | str) -> bool:
    if isinstance(wanted, tuple):
        return value in [item.value for item in wanted]
    return isinstance(value, float | int) and wanted.value.low <= value <= wanted.value.high


def _wanted(key: str, wanted: Given[Range] | tuple[Given[str | int], ...]) -> str:
    if isinstance(wanted, tuple):
        return " or ".join(str(item.value) for item in wanted)
    shown = quantity(key)
    low, high = wanted.value.low, wanted.value.high
    if low == high:
        return shown.text(low, "metric")
    return f"{shown.number(low, 'metric')} to {shown.text(high, 'metric')}"
