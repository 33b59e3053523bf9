"""The validated archive as frozen, typed objects: SI values that remember where they stand.

No reading and no checking here; `archive` makes these objects from files, `analysis` reads
them. Field names equal the keys of the files, so that a field is added in two places only: the
schema and the class.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from specgen.archive.model.given import Count, Day, Flag, Given, Number, Range, Word
from specgen.archive.model.kinds import KINDS
from specgen.archive.model.map import BlowerMap, PerformanceAir
from specgen.archive.model.outing import Outing
from specgen.archive.model.record import Part, Picture, Pipe, Record
from specgen.archive.model.session import (
    Air,
    Bench,
    Curve,
    Dyno,
    Figures,
    Peaks,
    Pull,
    Repeatability,
    Session,
)
from specgen.archive.model.standing import Accepted, Correction, Owner, Withdrawn
from specgen.archive.model.units import Units
from specgen.findings import Finding, Place

__all__ = [  # and the classes below
    "Air", "Bench", "Count", "Curve", "Day", "Dyno", "Figures", "Flag", "Given", "Number", "Part",
    "Peaks", "Pull", "Range", "Repeatability", "Session", "Units", "Word",
]  # fmt: skip

# ---------------------------------------------------------------- archive.yaml


@dataclass(frozen=True, slots=True)
class Licence:
    """The licence of an archive's data: its short name, and where its text stands."""

    name: Word
    url: Word | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """What a whole archive shares."""

    name: Word
    units: Units
    correction: Word
    summary: Word | None = None
    invented: Flag | None = None
    repeatability: Repeatability = field(default_factory=Repeatability)
    dynos: tuple[Bench, ...] = ()
    mark: Word | None = None
    accent: Word | None = None
    signatures: tuple[Word, ...] = ()
    chart_files: tuple[Word, ...] = ()
    belt_lengths: tuple[Number, ...] = ()
    licence: Licence | None = None
    authors: tuple[Word, ...] = ()
    accepted: tuple[Accepted, ...] = ()


# ---------------------------------------------------------------- blowers/<id>.yaml


@dataclass(frozen=True, slots=True)
class DesignPoint:
    """One stated operating point of a centrifugal blower."""

    speed: Number
    pressure_ratio: Number
    isentropic_efficiency: Number | None = None


@dataclass(frozen=True, slots=True)
class Option:
    """Something a customer chooses with a blower."""

    item: Word
    note: Word | None = None


@dataclass(frozen=True, slots=True)
class Blower:
    """A supercharger: what it displaces, what limits it, what it comes with, what it fits."""

    id: str
    place: Place
    title: Word
    kind: Word
    summary: Word | None = None
    displacement: Number | None = None
    built_in_ratio: Number | None = None
    internal_ratio: Number | None = None
    max_speed: Number | None = None
    rotor_diameter: Number | None = None
    volumetric_efficiency: Number | None = None
    mechanical_efficiency: Number | None = None
    design_point: DesignPoint | None = None
    ribs: Count | None = None
    pulleys: tuple[Number, ...] = ()
    crank_pulleys: tuple[Number, ...] = ()
    performance: Word | None = None
    performance_air: PerformanceAir | None = None
    map: BlowerMap | None = None
    fits: Mapping[str, Given[Range] | tuple[Given[str | int], ...]] = field(default_factory=dict)
    options: tuple[Option, ...] = ()
    accepted: tuple[Accepted, ...] = ()

    # ---------------------------------------------------------------- builds/<id>/build.yaml

    @property
    def displaces(self) -> bool:
        """Whether each revolution takes a fixed volume, as all kinds but a wheel do."""
        return KINDS[self.kind.value].displaces


@dataclass(frozen=True, slots=True)
class Engine:
    """The engine as it stands."""

    cylinders: Count
    bore: Number
    stroke: Number
    layout: Word | None = None
    displacement: Number | None = None
    compression_ratio: Number | None = None
    rod_length: Number | None = None
    valves_per_cylinder: Count | None = None
    max_speed: Number | None = None
    deck_height: Number | None = None
    bore_spacing: Number | None = None
    mount: Word | None = None
    volumetric_efficiency: Number | None = None


@dataclass(frozen=True, slots=True)
class ChargeCooler:
    """What cools the charge between blower and manifold."""

    kind: Word | None = None
    effectiveness: Number | None = None
    coolant_temperature: Number | None = None
    coolant_flow: Number | None = None
    pressure_drop: Number | None = None


@dataclass(frozen=True, slots=True)
class Throttle:
    """The throttle bodies."""

    bore: Number | None = None
    count: Count | None = None


@dataclass(frozen=True, slots=True)
class Turbocharger:
    """A turbocharger; described, never predicted."""

    title: Word
    count: Count | None = None
    max_speed: Number | None = None


@dataclass(frozen=True, slots=True)
class Induction:
    """How the engine is fed: exactly one of natural, blower, turbocharger."""

    natural: Flag | None = None
    blower: Word | None = None
    turbocharger: Turbocharger | None = None
    boost_control: Word | None = None
    throttle: Throttle | None = None
    filter: Word | None = None
    filter_pressure_drop: Number | None = None
    pipes: tuple[Pipe, ...] = ()
    charge_cooler: ChargeCooler | None = None
    inlet_pressure_drop: Number | None = None


@dataclass(frozen=True, slots=True)
class Belt:
    """The blower belt."""

    profile: Word | None = None
    ribs: Count | None = None
    length: Number | None = None
    tension: Number | None = None
    friction: Number | None = None


@dataclass(frozen=True, slots=True)
class Centre:
    """Where a pulley's centre stands, from the crank's."""

    x: Number
    y: Number


@dataclass(frozen=True, slots=True)
class LayoutPulley:
    """One pulley on the belt's path; `crank` and `blower` take their diameters from the setup.

    `travel_to` is where a tensioner stands at the other end of its travel.
    """

    pulley: Word
    x: Number
    y: Number
    diameter: Number | None = None
    side: Word | None = None
    travel_to: Centre | None = None


@dataclass(frozen=True, slots=True)
class Drive:
    """How the crank drives the blower."""

    crank_pulley: Number | None = None
    blower_pulley: Number | None = None
    belt: Belt | None = None
    layout: tuple[LayoutPulley, ...] = ()


@dataclass(frozen=True, slots=True)
class Injectors:
    """The injectors and the pressure their flow was measured at."""

    count: Count
    flow: Number
    at: Number | None = None


@dataclass(frozen=True, slots=True)
class FuelSystem:
    """Injectors and the pressure they work at."""

    injectors: Injectors | None = None
    pressure: Number | None = None
    pressure_reference: Word | None = None


@dataclass(frozen=True, slots=True)
class Limits:
    """What the builder or a part's maker does not want exceeded."""

    power: Number | None = None
    torque: Number | None = None
    boost: Number | None = None
    piston_speed: Number | None = None
    injector_duty: Number | None = None
    charge_temperature: Number | None = None
    belt_speed: Number | None = None


@dataclass(frozen=True, slots=True)
class Fuel:
    """A fuel: a name of the closed list, or a blend by volume.

    `tested` is the ethanol content of the batch that was run, which goes before either.
    """

    name: Word | None = None
    title: Word | None = None
    petrol: Number | None = None
    ethanol: Number | None = None
    methanol: Number | None = None
    tested: Number | None = None


@dataclass(frozen=True, slots=True)
class Setup:
    """One combination tried or planned on a build."""

    id: Word
    title: Word | None = None
    crank_pulley: Number | None = None
    blower_pulley: Number | None = None
    fuel: Fuel | None = None
    mixture: Number | None = None
    ignition: Word | None = None
    boost_control: Word | None = None
    boost_target: Number | None = None
    note: Word | None = None
    accepted: tuple[Accepted, ...] = ()


@dataclass(frozen=True, slots=True)
class Build:
    """One engine and all that is bolted to it."""

    id: str
    place: Place
    title: Word
    engine: Engine
    summary: Word | None = None
    publish: Word | None = None
    owner: Owner | None = None
    formerly: tuple[Word, ...] = ()
    induction: Induction = field(default_factory=Induction)
    drive: Drive = field(default_factory=Drive)
    fuel_system: FuelSystem = field(default_factory=FuelSystem)
    limits: Limits = field(default_factory=Limits)
    record: Record | None = None
    parts: tuple[Part, ...] = ()
    pictures: tuple[Picture, ...] = ()
    setups: tuple[Setup, ...] = ()
    sessions: tuple[Session, ...] = ()
    outings: tuple[Outing, ...] = ()
    corrections: tuple[Correction, ...] = ()
    withdrawn: Withdrawn | None = None
    accepted: tuple[Accepted, ...] = ()


@dataclass(frozen=True, slots=True)
class Archive:
    """Everything that was read, with what was found wrong on the way.

    `private` are words that what is published must not say, where something was kept back.
    """

    root: str
    settings: Settings
    blowers: Mapping[str, Blower]
    builds: Mapping[str, Build]
    findings: tuple[Finding, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    private: tuple[str, ...] = ()
