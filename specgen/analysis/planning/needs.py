"""What else must change for a planned pair: injectors, pump, cooler, fuel, belt; what cannot."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from specgen.analysis.planning.plan import PlannedPair
from specgen.analysis.planning.room import Room
from specgen.analysis.workings import Workings
from specgen.vocabulary import System, quantity

Kind = Literal["Stops it", "Needs", "Watch"]
_ORDER: tuple[Kind, ...] = ("Stops it", "Needs", "Watch")


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that must change, or that stops a pair, in words with figures in either system.

    `kind` tells whether it stops the pair (a limit that nothing bolted on mends), is needed, or
    is only to be watched because the limit lies within the band.
    """

    what: str
    words: Callable[[System], str]
    kind: Kind = "Needs"


def needs_of(sheet: Workings, pair: PlannedPair) -> tuple[Need, ...]:
    """All that must change for a pair to stay inside its limits, limits that stop it first."""
    found = [*_limits(sheet, pair), *_pump(pair), *_belt(pair)]
    return tuple(sorted(found, key=lambda need: _ORDER.index(need.kind)))


def _limits(sheet: Workings, pair: PlannedPair) -> Iterator[Need]:
    for room in (*pair.certain, *pair.doubtful):
        may = "" if room.state == "beyond" else "may be "
        yield _of_limit(sheet, pair, room, may)


def _of_limit(sheet: Workings, pair: PlannedPair, room: Room, may: str) -> Need:
    share = room.value.scalar / room.limit.scalar if room.limit.scalar else 1.0
    if room.title == "Injector duty" and sheet.engine["injector_rated_flow"].present:
        flow = sheet.engine["injector_rated_flow"].scalar * share
        return Need("injectors", lambda system: (
            f"injectors of at least {_text('injector_flow', flow, system)} each, rated as those "
            f"now fitted: the duty {may or 'is '}beyond {_of(room, system)}"
        ))  # fmt: skip
    if room.title == "Octane":
        return Need("fuel", lambda system: (
            f"a fuel of {_text('octane', room.value.scalar, system)} RON or a later spark: it "
            f"{'may ask' if may else 'asks'} for more than the {_of(room, system)} of this fuel"
        ))  # fmt: skip
    if room.title == "Charge temperature":
        return Need("cooler", lambda system: _cooler_words(sheet, pair, room, may, system))
    if room.title == "Belt grip":
        return Need("belt", lambda system: (
            f"more grip of the belt: {_text('grip_used', room.value.scalar, system)} of it "
            f"{may or 'is '}used; more ribs, wrap or tension"
        ))  # fmt: skip
    kind: Kind = "Stops it" if room.state == "beyond" else "Watch"
    return Need(room.title.lower(), lambda system: (
        f"{room.title.lower()} {may or 'is '}beyond its limit: "
        f"{room.value.quantity.text(room.value.scalar, system)} of {_of(room, system)}"
    ), kind=kind)  # fmt: skip


def _cooler_words(sheet: Workings, pair: PlannedPair, room: Room, may: str, system: System) -> str:
    """A cooler of more effectiveness, where any would do."""
    hot = pair.figures["discharge_temperature"]
    cold = pair.setup.rows["coolant_temperature"]
    cold = cold if cold.present else pair.setup.rows["estimate_temperature"]
    words = (
        f"a cooler charge: {room.value.quantity.text(room.value.scalar, system)} {may or 'is '}"
        f"beyond the limit of {_of(room, system)}"
    )
    if hot.present and hot.scalar > cold.scalar and room.limit.scalar > cold.scalar:
        needed = (hot.scalar - room.limit.scalar) / (hot.scalar - cold.scalar)
        if 0 < needed < 1 and sheet.build.induction.charge_cooler is not None:
            share = _text("effectiveness", needed, system)
            words += f", which a cooler of {share} effectiveness keeps"
    return words


def _pump(pair: PlannedPair) -> Iterator[Need]:
    flow, density = pair.figures["fuel_flow"], pair.setup.rows["fuel_density"]
    if flow.present and density.present:
        volume = (flow.scalar + (flow.expanded or 0.0)) / density.scalar
        yield Need("pump", lambda system: (
            f"a fuel pump that gives at least {_text('fuel_volume_flow', volume, system)} at the "
            "rail's pressure"
        ))  # fmt: skip


def _belt(pair: PlannedPair) -> Iterator[Need]:
    belt = pair.belt
    if belt is None:
        return
    if belt.problem:
        yield Need("belt", lambda _system: f"another layout of the belt: {belt.problem}")
    elif belt.path is not None and belt.fits is False:
        path = belt.path
        yield Need("belt", lambda system: (
            f"a belt of about {_text('belt_length', path, system)}; the tensioner does not take up "
            "the one that is on"
        ))  # fmt: skip
    elif belt.path is not None and belt.fits is None:
        path = belt.path
        yield Need("belt", lambda system: f"a belt of about {_text('belt_length', path, system)}")


def _of(room: Room, system: System) -> str:
    return room.limit.quantity.text(room.limit.scalar, system)


def _text(key: str, value: float, system: System) -> str:
    return quantity(key).text(value, system)
