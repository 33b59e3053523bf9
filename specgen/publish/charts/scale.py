"""Where things stand on a chart: round ticks, labels that make way, room that words need.

Plain arithmetic on numbers and texts: no quantities, no drawing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.publish.charts.papers.letters import READERS, advance

Floats = NDArray[np.float64]

#: Steps a reader counts in without thinking.
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
_ELLIPSIS = "…"


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight map from a number to a pixel."""

    low: float
    high: float
    at_low: float
    at_high: float

    def __call__(self, value: float) -> float:
        """The pixel of a number."""
        share = (value - self.low) / (self.high - self.low)
        return self.at_low + share * (self.at_high - self.at_low)

    def all(self, values: Floats) -> Floats:
        """The pixels of many numbers, the very ones that each has alone."""
        shares = (values - self.low) / (self.high - self.low)
        return np.asarray(self.at_low + shares * (self.at_high - self.at_low))


def nice_step(span: float, most: int) -> float:
    """The smallest round step (1, 2, 2.5, 5 times a power of ten) that `span` holds `most` times.

    Raises ValueError unless the span is a positive, finite number.
    """
    if not (span > 0 and math.isfinite(span)):
        raise ValueError(f"no steps over a span of {span}")
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(step * power for step in _STEPS if step * power * most >= span * (1 - 1e-9))


def ticks(low: float, high: float, most: int) -> tuple[float, ...]:
    """Round numbers from `low` to `high`, at most `most` + 1 of them."""
    step = nice_step(high - low, most)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(index * step, 10) for index in range(first, last + 1))


def decimals_of(numbers: Sequence[float]) -> int:
    """The decimals that tell these ticks apart: none for whole numbers."""
    for decimals in range(6):
        if all(abs(value - round(value, decimals)) < 1e-9 for value in numbers):
            return decimals
    return 6


def spread(
    wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> list[float]:
    """Push label centres apart so that none overlap, each as near to its place as can be.

    Labels keep their order from low to high. Blocks of touching labels sit at the mean of their
    members' wishes (pooling of adjacent violators, the least-squares answer), then the whole stays
    inside `low` to `high`; what does not fit at all runs over the high end.
    """
    order = sorted(range(len(wanted)), key=lambda index: wanted[index])
    offsets: list[float] = []
    passed = 0.0
    for index in order:
        offsets.append(passed + heights[index] / 2)
        passed += heights[index]
    starts = _pooled([wanted[index] - offset for index, offset in zip(order, offsets, strict=True)])
    places = [0.0] * len(wanted)
    for index, offset, start in zip(order, offsets, starts, strict=True):
        places[index] = max(low, min(start, high - passed)) + offset
    return places


def _pooled(values: Sequence[float]) -> list[float]:
    """The nearest sequence that never falls, in least squares."""
    blocks: list[tuple[float, int]] = []
    for value in values:
        mean, count = value, 1
        while blocks and blocks[-1][0] > mean:
            before, members = blocks.pop()
            mean = (before * members + mean * count) / (members + count)
            count += members
        blocks.append((mean, count))
    return [mean for mean, count in blocks for _ in range(count)]


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Room to leave for a text in pixels, enough for any usual font of the reader's."""
    return READERS * advance(text, size, bold=bold)


def wrap(text: str, size: float, width: float, most: int, *, bold: bool = False) -> list[str]:
    """Break a text into at most `most` lines; what does not fit ends in an ellipsis.

    Lines break at spaces; a word that is wider than a line breaks after a hyphen or slash, or
    else where the line is full, because the ends of such words are what tells them apart.
    """
    lines: list[str] = [""]
    for word in text.split(" "):
        for index, piece in enumerate(_pieces(word, size, width, bold)):
            longer = f"{lines[-1]} {piece}".strip() if index == 0 else piece
            if index == 0 and (width_of(longer, size, bold=bold) <= width or not lines[-1]):
                lines[-1] = longer
            else:
                lines.append(piece)
    kept = lines[:most]
    if len(lines) > most:
        kept[-1] += _ELLIPSIS
    return [shortened(line, size, width, bold=bold) for line in kept]


def _pieces(word: str, size: float, width: float, bold: bool) -> list[str]:
    """A word in pieces that each fit a line; whole if it fits."""
    pieces: list[str] = []
    while width_of(word, size, bold=bold) > width and len(word) > 1:
        fits = 1
        while width_of(word[: fits + 1], size, bold=bold) <= width:
            fits += 1
        hinge = max(word.rfind("-", 0, fits), word.rfind("/", 0, fits)) + 1
        pieces.append(word[: hinge or fits])
        word = word[hinge or fits :]
    return [*pieces, word]


def shortened(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """A text that fits the width, its end replaced by an ellipsis where it must be."""
    if width_of(text, size, bold=bold) <= width:
        return text
    kept = text.removesuffix(_ELLIPSIS)
    while kept and width_of(kept + _ELLIPSIS, size, bold=bold) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,;") + _ELLIPSIS
