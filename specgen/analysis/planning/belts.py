"""Which belt a pulley pair asks for, and how far the tensioner moves with the one that is on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from specgen.analysis.planning.pairs import Pair
from specgen.analysis.workings import Workings
from specgen.archive.belts import BeltLine, belt_line
from specgen.physics import Unphysical


@dataclass(frozen=True, slots=True)
class BeltChoice:
    """The belt for a pair; lengths are effective ones [m], and None where they are not known.

    `path` is what the layout asks for as it stands, `shortest` and `longest` what its tensioner
    takes up; `problem` says why there is no path. `next_shorter` and `next_longer` are lengths of
    the archive's list beside the path, `within` those that the tensioner takes up. `on` is the belt
    that is on, `fits` whether its length lies in that reach, `travel` the share of its travel at
    which the tensioner then stands.
    """

    path: float | None = None
    shortest: float | None = None
    longest: float | None = None
    next_shorter: float | None = None
    next_longer: float | None = None
    within: tuple[float, ...] = ()
    on: float | None = None
    fits: bool | None = None
    travel: float | None = None
    problem: str = ""


def belt_of(sheet: Workings, pair: Pair) -> BeltChoice | None:
    """The belt for a pair; None where no layout is recorded."""
    drive = sheet.build.drive
    line = belt_line(drive, pair.crank.value, pair.blower.value)
    if line is None:
        return None
    lengths = [item.value for item in sheet.archive.settings.belt_lengths]
    on = drive.belt.length.value if drive.belt and drive.belt.length else None
    try:
        return _choice(line, lengths, on)
    except Unphysical as problem:
        return BeltChoice(problem=str(problem))


def _choice(line: BeltLine, lengths: Sequence[float], on: float | None) -> BeltChoice:
    low, high = line.reach
    fits = travel = None
    if on is not None and line.end is not None:
        fits = low <= on <= high
        travel = line.travelled(on) if fits else None
    return BeltChoice(
        path=line.length,
        shortest=low,
        longest=high,
        next_shorter=max((item for item in lengths if item <= line.length), default=None),
        next_longer=min((item for item in lengths if item > line.length), default=None),
        within=tuple(sorted(item for item in lengths if low <= item <= high and low < high)),
        on=on,
        fits=fits,
        travel=travel,
    )
