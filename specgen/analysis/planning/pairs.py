"""The pulley pairs of a plan: what a blower comes with, what the build has, what somebody names."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from specgen.analysis.assembly import setup_of
from specgen.analysis.workings import SetupSheet, Workings
from specgen.archive.checks.drive import SAME_SIZE
from specgen.archive.model.build import Air, Fuel, Given, Number, Setup
from specgen.physics.pulley import pitch_ratio


@dataclass(frozen=True, slots=True)
class Pair:
    """A crank pulley and a blower pulley, and whether the blower comes with both."""

    crank: Number
    blower: Number
    offered: bool = True

    @property
    def ratio(self) -> float:
        """Drive ratio on the belt's pitch line."""
        return float(pitch_ratio(self.crank.value, self.blower.value))

    @property
    def title(self) -> str:
        """What a page calls it: the sizes as they are written."""
        return f"{self.crank.text} to {self.blower.text}"


@dataclass(frozen=True, slots=True)
class Question:
    """What a plan is asked for: pulleys beside those on offer, another fuel, another air."""

    pulleys: tuple[Number, ...] = ()
    crank_pulleys: tuple[Number, ...] = ()
    fuel: Fuel | None = None
    air: Air | None = None


def pairs_of(sheet: Workings, question: Question) -> tuple[Pair, ...]:
    """Every pair, by rising ratio; none for a build without a blower or without pulleys."""
    blower, drive = sheet.blower, sheet.build.drive
    if blower is None:
        return ()
    setups = sheet.build.setups
    cranks = _sizes(blower.crank_pulleys, [drive.crank_pulley],
                    (setup.crank_pulley for setup in setups), question.crank_pulleys)  # fmt: skip
    sizes = _sizes(blower.pulleys, [drive.blower_pulley],
                   (setup.blower_pulley for setup in setups), question.pulleys)  # fmt: skip
    offered = set(blower.crank_pulleys), set(blower.pulleys)
    pairs = [
        Pair(crank, size, crank in offered[0] and size in offered[1])
        for crank in cranks
        for size in sizes
    ]
    return tuple(sorted(pairs, key=lambda pair: (pair.ratio, pair.crank.value)))


def _sizes(*some: Iterable[Number | None]) -> list[Number]:
    """Sizes of several lists, each once."""
    kept: list[Number] = []
    for size in (item for items in some for item in items if item is not None):
        if all(abs(size.value - other.value) > SAME_SIZE * size.value for other in kept):
            kept.append(size)
    return kept


def same_pair(one: Pair, setup: SetupSheet) -> bool:
    """Whether a setup of the build has these pulleys."""
    rows = setup.rows["crank_pulley"], setup.rows["blower_pulley"]
    return all(
        row.present and abs(row.scalar - size.value) <= SAME_SIZE * size.value
        for row, size in zip(rows, (one.crank, one.blower), strict=True)
    )


def planned(sheet: Workings, pair: Pair, question: Question) -> SetupSheet:
    """The setup that a pair would make of the one the sheet leads with, resting on all pulls."""
    lead = sheet.lead
    place = pair.blower.place
    base = lead.setup if lead is not None else Setup(Given("plan", "plan", place))
    setup = replace(
        base,
        id=Given(pair.title, pair.title, place),
        title=None,
        crank_pulley=pair.crank,
        blower_pulley=pair.blower,
        fuel=question.fuel or base.fuel,
    )
    return setup_of(sheet, setup, question.air)


def measured_with(sheet: Workings, pair: Pair) -> Sequence[SetupSheet]:
    """Setups of the build with these pulleys that were measured."""
    return [setup for setup in sheet.setups if not setup.planned and same_pair(pair, setup)]
