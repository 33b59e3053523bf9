"""What was built in and measured on the bench: blueprint, cam, clearances, parts, pictures.

Frozen, typed objects like those of `model`, which holds everything else; the same rule holds:
field names equal the keys of the files.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from specgen.archive.model.given import Count, Day, Given, Number, Range, Word
from specgen.findings import Place


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension of the blueprint: as specified, and as measured.

    `measured` is empty, one value for all cylinders, or one value a cylinder in their order.
    """

    specified: Number | None = None
    measured: tuple[Number, ...] = ()


@dataclass(frozen=True, slots=True)
class Blueprint:
    """The dimensions that decide clearance volume, compression ratio and quench."""

    bore: Dimension = field(default_factory=Dimension)
    stroke: Dimension = field(default_factory=Dimension)
    rod_length: Dimension = field(default_factory=Dimension)
    compression_height: Dimension = field(default_factory=Dimension)
    block_deck_height: Dimension = field(default_factory=Dimension)
    deck_clearance: Dimension = field(default_factory=Dimension)
    gasket_bore: Dimension = field(default_factory=Dimension)
    gasket_thickness: Dimension = field(default_factory=Dimension)
    chamber_volume: Dimension = field(default_factory=Dimension)
    dish_volume: Dimension = field(default_factory=Dimension)


@dataclass(frozen=True, slots=True)
class Lobe:
    """One side of a cam card, in either of its forms or in both.

    `opens` and `closes` are crank angles from the usual dead centre towards the usual side:
    the intake opens before top and closes after bottom, the exhaust opens before bottom and
    closes after top; an angle below zero lies on the other side.
    """

    duration: Number | None = None
    centre_line: Number | None = None
    opens: Number | None = None
    closes: Number | None = None
    at_lift: Number | None = None
    lift: Number | None = None
    lash: Number | None = None


@dataclass(frozen=True, slots=True)
class Cam:
    """A cam card."""

    intake: Lobe = field(default_factory=Lobe)
    exhaust: Lobe = field(default_factory=Lobe)
    lobe_separation: Number | None = None
    advance: Number | None = None


@dataclass(frozen=True, slots=True)
class Clearance:
    """One measured thing: a clearance, a load, a torque; one end of a range may be infinite.

    `measured` is empty, one value, or one value a place (cylinder, journal, valve) in order.
    """

    what: Word
    place: Place
    where: Word | None = None
    at_height: Number | None = None
    specified: Given[Range] | None = None
    measured: tuple[Number, ...] = ()
    instrument: Word | None = None
    by: Word | None = None
    date: Day | None = None
    note: Word | None = None


@dataclass(frozen=True, slots=True)
class Record:
    """What was specified and measured while the engine was built."""

    blueprint: Blueprint = field(default_factory=Blueprint)
    cam: Cam | None = None
    clearances: tuple[Clearance, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One line of the parts list, with the days it went in and came out."""

    item: Word
    group: Word | None = None
    maker_number: Word | None = None
    serial: Word | None = None
    quantity: Count | None = None
    fitted: Day | None = None
    removed: Day | None = None
    replaces: Word | None = None
    note: Word | None = None


def replaced_part(new: Part, parts: Sequence[Part]) -> Part | None:
    """The part of a list that another one of it replaces: named by its item or its serial.

    Of several parts of one name the nearest above in the file is meant, else the first below.
    """
    if new.replaces is None:
        return None
    at = next(index for index, part in enumerate(parts) if part is new)
    above = [part for part in parts[:at] if _is_named(part, new.replaces.value)]
    below = [part for part in parts[at + 1 :] if _is_named(part, new.replaces.value)]
    return next(iter([*reversed(above), *below]), None)


def _is_named(part: Part, name: str) -> bool:
    return name == part.item.value or (part.serial is not None and name == part.serial.value)


@dataclass(frozen=True, slots=True)
class Pipe:
    """One pipe of the air's way, with its bends."""

    bore: Number
    length: Number
    item: Word | None = None
    side: Word | None = None
    bends: Count | None = None
    bend_radius: Number | None = None
    roughness: Number | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph or drawing beside the build file, with the words for who cannot see it."""

    file: Word
    alt: Word
    caption: Word | None = None
    publish: Word | None = None
