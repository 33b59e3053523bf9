"""A visit to a dyno: its air, what its figures include, and the sweeps made there.

Frozen, typed objects like those of `build`; the same rule holds: field names equal the keys of
the files.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from specgen.archive.model.given import Day, Number, Word
from specgen.archive.model.standing import Accepted, Withdrawn
from specgen.findings import Place

#: Stands for a day that was not recorded; it sorts before every other.
UNDATED = datetime.date.min
#: What a file says of a thing that nobody recorded and that a sheet cannot do without.
NOT_RECORDED = "not recorded"


@dataclass(frozen=True, slots=True)
class Repeatability:
    """Standard uncertainties that hold unless a session states its own."""

    power: Number | None = None
    torque: Number | None = None
    engine_speed: Number | None = None
    boost: Number | None = None
    temperature: Number | None = None
    air_pressure: Number | None = None
    humidity: Number | None = None
    length: Number | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """What the dyno's figures already include: observed, corrected (standard, factor), unknown."""

    state: Literal["observed", "corrected", "unknown"]
    place: Place
    standard: Word | None = None
    factor: Number | None = None
    recorded: bool = True


#: Stands where a session does not say what its figures include; the settings' dyno may.
NOT_SAID = Figures("unknown", Place(""))


@dataclass(frozen=True, slots=True)
class Gain:
    """What one dyno reads against another."""

    against: Word
    factor: Number
    note: Word | None = None


@dataclass(frozen=True, slots=True)
class LogColumn:
    """A column of a dyno's logs: the text of its head, and what it is."""

    head: Word
    column: Word


@dataclass(frozen=True, slots=True)
class Logs:
    """How a dyno's logs are read, where they do not say it themselves."""

    date_order: Word | None = None
    decimal: Word | None = None
    pressure: Word | None = None
    barometer: Word | None = None
    columns: tuple[LogColumn, ...] = ()


@dataclass(frozen=True, slots=True)
class Bench:
    """A dyno that the settings describe once: what it is, what its figures include, its logs."""

    id: Word
    kind: Word
    measured_at: Word
    title: Word | None = None
    figures: Figures | None = None
    calibrated: Day | None = None
    gain: Gain | None = None
    logs: Logs = field(default_factory=Logs)


@dataclass(frozen=True, slots=True)
class Dyno:
    """The kind of dyno and where it measured power."""

    kind: Word
    measured_at: Word
    note: Word | None = None
    named: Bench | None = None


@dataclass(frozen=True, slots=True)
class Air:
    """The air of a session; what is unknown is None and stays so."""

    pressure: Number | None = None
    barometer: Word | None = None
    elevation: Number | None = None
    temperature: Number | None = None
    humidity: Number | None = None


@dataclass(frozen=True, slots=True)
class Peaks:
    """A result that is only its peak figures."""

    power: Number | None = None
    torque: Number | None = None
    boost: Number | None = None
    charge_temperature: Number | None = None


@dataclass(frozen=True, slots=True)
class Channel:
    """A column of a curve that is none of its quantities: name, unit and numbers as they stand."""

    name: str
    unit: str
    values: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve file: one array per quantity, SI, by engine speed; and extra channels."""

    place: Place
    columns: Mapping[str, NDArray[np.float64]]
    headers: Mapping[str, str]
    extra: tuple[Channel, ...] = ()

    @property
    def engine_speed(self) -> NDArray[np.float64]:
        """Engine speed in rev/s, rising."""
        return self.columns["engine_speed"]


@dataclass(frozen=True, slots=True)
class Calibrations:
    """What the engine's computer was calibrated with, by names."""

    ignition: Word | None = None
    fuel: Word | None = None


@dataclass(frozen=True, slots=True)
class FuelBatch:
    """One filling or drum of fuel, and the share of ethanol that was tested in it."""

    name: Word | None = None
    ethanol: Number | None = None
    tested: Day | None = None


@dataclass(frozen=True, slots=True)
class Pull:
    """One sweep on the dyno: a curve or its peaks, with the setup it was made with.

    `id` is what it is called, `written_id` the same where somebody wrote it; `earlier` are ids that
    lead to it too, those in `formerly` among them.
    """

    id: str
    place: Place
    setup: Word
    written_id: Word | None = None
    formerly: tuple[Word, ...] = ()
    earlier: tuple[str, ...] = ()
    calibration: Calibrations | None = None
    fuel_batch: FuelBatch | None = None
    curve: Curve | None = None
    curve_file: Word | None = None
    original: Word | None = None
    peaks: Peaks | None = None
    note: Word | None = None
    publish: Word | None = None
    withdrawn: Withdrawn | None = None
    accepted: tuple[Accepted, ...] = ()


@dataclass(frozen=True, slots=True)
class Session:
    """One visit to a dyno."""

    date: Day
    dyno: Dyno
    place: Place
    figures: Figures = NOT_SAID
    title: Word | None = None
    air: Air = field(default_factory=Air)
    uncertainty: Repeatability = field(default_factory=Repeatability)
    pulls: tuple[Pull, ...] = ()
    note: Word | None = None
    publish: Word | None = None
    withdrawn: Withdrawn | None = None
    accepted: tuple[Accepted, ...] = ()

    @property
    def when(self) -> datetime.date | None:
        """The day, None where it was not recorded."""
        return None if self.date.text == NOT_RECORDED else self.date.value

    @property
    def day(self) -> str:
        """The day as year-month-day, "" where it was not recorded."""
        return self.when.isoformat() if self.when else ""

    @property
    def counted(self) -> tuple[Pull, ...]:
        """The pulls that count: none of a withdrawn visit, and no withdrawn one."""
        return tuple(pull for pull in self.pulls if not (self.withdrawn or pull.withdrawn))
