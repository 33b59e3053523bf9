"""The card for a day at the dyno: setups in order, what is expected, where to stop, what to write.

Setups are the planned ones of the build, by rising ratio; where none is planned, the next pairs of
the plan that break no limit for certain. What is to be written down is what a new session takes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from specgen.analysis.planning.belts import BeltChoice, belt_of
from specgen.analysis.planning.pairs import Pair
from specgen.analysis.planning.plan import Plan
from specgen.analysis.planning.room import Room, rooms_of
from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import SetupSheet, Workings
from specgen.archive.model.build import Given
from specgen.physics.correction import STANDARDS

#: Setups on one card: a ladder that still stands on one sheet of paper.
MOST = 4
#: Shares of the highest engine speed at which a setup is read, to the nearest hundred.
_SHARES = (0.6, 0.8, 1.0)
#: Figures expected at each speed: row of the setup, what the card calls it.
EXPECTED = (
    ("estimated_boost", "Boost"),
    ("estimated_power", "Power"),
    ("estimated_discharge_temperature", "Discharge"),
    ("estimated_charge_temperature", "Charge"),
)
#: What is written down of the day, by the option of `specgen new session` that takes it.
DAY = (
    ("--date", "Date"),
    ("--dyno", "Dyno: engine, hub or roller"),
    ("--measured-at", "Power holds at: flywheel, hub or roller"),
    ("--figures", "Figures: observed, or unknown"),
    ("--pressure", "Barometer"),
    ("--barometer", "Read at the station, or reduced to sea level"),
    ("--elevation", "Elevation, if reduced"),
    ("--temperature", "Air temperature"),
    ("--humidity", "Relative humidity"),
    ("--note", "Note"),
)
#: What is written down of each pull: key of the peaks, what the card calls it.
PULL = (("power", "Power, at rpm"), ("torque", "Torque, at rpm"), ("boost", "Boost, at rpm"),
        ("charge_temperature", "Charge temperature"))  # fmt: skip

#: What is looked at before the engine turns; common practice, no source.
BEFORE = (
    "Belt of the length named, in its grooves, tensioned, guard on, nobody in its plane",
    "Pulley bolts tightened to their maker's figure",
    "Fuel as named, enough of it, pump and pressure checked, no leak under pressure",
    "Coolant full and bled, oil level, cooler's flow",
    "Mixture and knock under watch, ignition as mapped for this fuel",
    "Extinguisher at hand, exhaust gas led away, hot and turning parts clear",
)


@dataclass(frozen=True, slots=True)
class Reading:
    """What is expected at one engine speed, in the order of `EXPECTED`; absent rows stay."""

    speed: Row
    figures: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class CardStep:
    """One setup of the card; `rooms` are the limits at which to stop.

    A `new` one stands in no file yet: it has to be written there before its session.
    """

    setup: SetupSheet
    readings: tuple[Reading, ...]
    rooms: tuple[Room, ...]
    belt: BeltChoice | None
    new: bool = False

    @property
    def id(self) -> str:
        """The setup's id in the build's file, or one that it may have there."""
        if not self.new:
            return self.setup.id
        blower = self.setup.rows["blower_pulley"]
        return f"p{1e3 * blower.scalar:.1f}".replace(".", "-").removesuffix("-0")


@dataclass(frozen=True, slots=True)
class FactorTable:
    """The factor of the archive's standard over the day's air.

    `factors` stand by temperature and then pressure: pressures [Pa], temperatures [K], humidity.
    """

    standard: str
    pressures: tuple[float, ...]
    temperatures: tuple[float, ...]
    humidity: float
    factors: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A card; `reason` says why it has no setups, `left` how many there was no room for."""

    sheet: Workings
    steps: tuple[CardStep, ...]
    factors: FactorTable | None
    reason: str = ""
    left: int = 0


def card_of(sheet: Workings, plan: Plan, wanted: Sequence[str] = ()) -> Card:
    """The card of a build, for the setups named by their ids, else for those to be tried next."""
    setups = [setup for setup in sheet.setups if setup.id in wanted] or _next(sheet, plan)
    setups = sorted(setups, key=_ratio)
    top = sheet.engine["max_speed"]
    reason = "" if setups else plan.reason or "no setup is planned"
    if setups and not top.present:
        reason, setups = top.reason, []
    steps = tuple(_step(sheet, setup, top) for setup in setups[:MOST])
    return Card(sheet, steps, _factors(sheet), reason, max(len(setups) - MOST, 0))


def _next(sheet: Workings, plan: Plan) -> list[SetupSheet]:
    """Planned setups of the file; else pairs above the leading one that break nothing for sure."""
    planned = [setup for setup in sheet.setups if setup.planned]
    if planned or sheet.lead is None:
        return planned
    lead = _ratio(sheet.lead)
    above = [item for item in plan.own if item.pair.ratio > lead * (1 + 1e-6) and item.runs]
    kept = [item for item in above if all(room.title == "Octane" for room in item.certain)]
    return [item.setup for item in kept[: MOST - 1]] or [sheet.lead]


def _ratio(setup: SetupSheet) -> float:
    row = setup.rows["pitch_ratio"]
    return row.scalar if row.present else 0.0


def _step(sheet: Workings, setup: SetupSheet, top: Row) -> CardStep:
    speeds = [_rounded(top, share) for share in _SHARES]
    readings = tuple(
        Reading(at, tuple(_read(setup, key, at, title) for key, title in EXPECTED)) for at in speeds
    )
    rows = setup.rows["crank_pulley"], setup.rows["blower_pulley"]
    belt = None
    if all(row.present and row.place is not None for row in rows):
        crank, blower = (Given(row.scalar, row.text, row.place) for row in rows if row.place)
        belt = belt_of(sheet, Pair(crank, blower))
    new = setup.id not in [item.id for item in sheet.setups]
    return CardStep(setup, readings, rooms_of(sheet, setup), belt, new)


def _rounded(top: Row, share: float) -> Row:
    """An engine speed to the nearest hundred a minute, the highest as it is."""
    value = top.scalar if share == 1.0 else round(top.scalar * share * 0.6) / 0.6
    return replace(top, key=f"speed_{share}", value=value)


def _read(setup: SetupSheet, key: str, at: Row, title: str) -> Row:
    curve = setup.rows[key]
    return point(curve, setup.rows["speed"], at, f"{key}_card", title) if curve.present else curve


def _factors(sheet: Workings) -> FactorTable | None:
    """The archive's standard over usual air at half humidity; None where it corrects nothing."""
    standard = STANDARDS.get(sheet.archive.settings.correction.value)
    if standard is None:
        return None
    pressures = tuple(1e3 * value for value in (94.0, 96.0, 98.0, 100.0, 102.0))
    temperatures = tuple(273.15 + value for value in (5.0, 15.0, 25.0, 35.0))
    humidity = 0.5
    factors = tuple(
        tuple(float(standard.factor(pressure, temperature, humidity))
              for pressure in pressures)
        for temperature in temperatures
    )  # fmt: skip
    return FactorTable(standard.title, pressures, temperatures, humidity, factors)
