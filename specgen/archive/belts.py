"""A build's belt as physics takes it: its pulleys on the belt's pitch line, and what belt fits.

Diameters in files are effective ones, and the diameter of a flat pulley on the belt's back; belts
are marked by their effective length. What lies between stands here, once for checks and sheets.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from specgen.archive.model.build import Drive
from specgen.physics import Unphysical
from specgen.physics.layout import BeltPath, LayoutPulley, belt_path
from specgen.physics.pulley import back_pitch_diameter, effective_belt_length, pitch_diameter
from specgen.physics.tensioner import moved, share_of_travel


@dataclass(frozen=True)
class BeltLine:
    """The pulleys of a layout for one crank and one blower pulley, in the order of the belt.

    `tensioner` tells which of them moves, `end` where to [m]; None where nothing moves.
    """

    names: tuple[str, ...]
    pulleys: tuple[LayoutPulley, ...]
    tensioner: int | None = None
    end: tuple[float, float] | None = None

    @cached_property
    def path(self) -> BeltPath:
        """The belt's path as the layout stands; Unphysical, with the pulleys' names, if none."""
        try:
            return belt_path(self.pulleys)
        except Unphysical as problem:
            raise Unphysical(self._missed() or self._named(str(problem))) from problem

    @cached_property
    def length(self) -> float:
        """Effective length of the path as the layout stands [m]."""
        return float(effective_belt_length(self.path.length))

    @cached_property
    def reach(self) -> tuple[float, float]:
        """Shortest and longest belt that the tensioner takes up [m]; the same without a travel."""
        if self.tensioner is None or self.end is None:
            return self.length, self.length
        other = belt_path(
            moved(self.pulleys, self.tensioner, self.end, 1.0), self.path.anticlockwise
        )
        ends = self.length, float(effective_belt_length(other.length))
        return min(ends), max(ends)

    def travelled(self, belt: float) -> float:
        """Share of its travel that the tensioner has moved with a belt of that effective length.

        Unphysical where the travel does not take it up, or there is none.
        """
        if self.tensioner is None or self.end is None:
            raise Unphysical("the layout has no tensioner with a travel")
        pitch = belt + self.path.length - self.length
        return share_of_travel(self.pulleys, self.tensioner, self.end, pitch)

    def wrap(self, name: str) -> float:
        """Wrap angle on the pulley of that name [rad], the first of them."""
        return self.path.wraps[self.names.index(name)]

    def _missed(self) -> str:
        """That the belt runs clear of a pulley meant to press on its back, if it does."""
        for index, pulley in enumerate(self.pulleys):
            if pulley.side == "outside" and len(self.pulleys) > 2:
                others = (*self.pulleys[:index], *self.pulleys[index + 1 :])
                try:
                    belt_path(others)
                except Unphysical:
                    continue
                return (
                    f"the belt does not reach pulley {index + 1} ({self.names[index]}) outside it"
                )
        return ""

    def _named(self, problem: str) -> str:
        """A problem of the path with the name of each pulley beside its number."""
        return re.sub(
            r"\b(pulleys? |and )(\d+)\b",
            lambda found: f"{found[0]} ({self.names[int(found[2]) - 1]})",
            problem,
        )


def belt_line(drive: Drive, crank: float, blower: float) -> BeltLine | None:
    """The pulleys for a crank and a blower pulley [m]; None where the layout is not all there."""
    own = {"crank": crank, "blower": blower}
    names, pulleys = [], []
    tensioner: int | None = None
    end: tuple[float, float] | None = None
    for index, item in enumerate(drive.layout):
        name = item.pulley.value
        stated = item.diameter.value if item.diameter else None
        diameter = own.get(name, stated)
        if diameter is None:
            return None
        side: Literal["inside", "outside"] = "inside"
        if item.side is not None and item.side.value == "outside":
            side = "outside"
        runs_on = back_pitch_diameter if side == "outside" else pitch_diameter
        names.append(name)
        pulleys.append(LayoutPulley(item.x.value, item.y.value, float(runs_on(diameter)), side))
        if item.travel_to is not None:
            tensioner, end = index, (item.travel_to.x.value, item.travel_to.y.value)
    if not {"crank", "blower"} <= set(names):
        return None
    return BeltLine(tuple(names), tuple(pulleys), tensioner, end)
