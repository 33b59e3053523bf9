"""The plan of a build: what the model expects of every pulley pair, and what stops each.

Boost, power and torque are read where the ladder reads a planned setup: at the speeds of the
leading pull's peaks, or at the highest engine speed where nothing was measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from specgen.analysis.judging.ladder import planned_at
from specgen.analysis.judging.reach import beyond_data
from specgen.analysis.planning.belts import BeltChoice, belt_of
from specgen.analysis.planning.pairs import Pair, Question, measured_with, pairs_of, planned
from specgen.analysis.planning.room import Room, Stop, highest, rooms_of, stops_of
from specgen.analysis.rows.row import Row
from specgen.analysis.workings import PullSheet, SetupSheet, Workings

#: Figures of a pair: key, what a page calls it, row of the setup; "" for what is read elsewhere.
FIGURES = (
    ("ratio", "Ratio", "pitch_ratio"),
    ("boost", "Boost", ""),
    ("power", "Power as observed", ""),
    ("torque", "Torque as observed", ""),
    ("blower_speed", "Blower speed", "blower_speed_at_top"),
    ("belt_speed", "Belt speed", "belt_speed"),
    ("discharge_temperature", "Discharge temperature", "discharge_temperature_at_top"),
    ("charge_temperature", "Charge temperature", "charge_temperature_at_top"),
    ("drive_power", "Power to drive the blower", "drive_power_at_top"),
    ("fuel_flow", "Fuel flow", "fuel_flow_at_top"),
    ("injector_duty", "Injector duty", "injector_duty"),
    ("grip_used", "Belt grip used", "grip_used"),
    ("octane_asked", "Octane asked for", ""),
    ("octane_given", "Octane of the fuel", "fuel_octane"),
)
_READ = ("boost", "power", "torque")


@dataclass(frozen=True, eq=False)
class PlannedPair:
    """One pulley pair with what is expected of it.

    `offered` pairs are the blower's own; `pulls` are those that were made with it.
    """

    pair: Pair
    setup: SetupSheet
    figures: dict[str, Row]
    rooms: tuple[Room, ...]
    pulls: tuple[PullSheet, ...]
    beyond_data: tuple[str, ...]
    belt: BeltChoice | None

    @property
    def certain(self) -> tuple[Room, ...]:
        """Limits that it breaks by more than its band."""
        return tuple(room for room in self.rooms if room.state == "beyond")

    @property
    def doubtful(self) -> tuple[Room, ...]:
        """Limits that lie within its band."""
        return tuple(room for room in self.rooms if room.state == "may be beyond")

    @property
    def runs(self) -> bool:
        """Whether its boost is known: outside a blower's measured map, or without balance, not."""
        return self.figures["boost"].present


@dataclass(frozen=True, eq=False)
class Plan:
    """Every pair by rising ratio; `reason` says why there is none."""

    sheet: Workings
    question: Question
    pairs: tuple[PlannedPair, ...]
    reason: str = ""

    @cached_property
    def stops(self) -> tuple[Stop, ...]:
        """Each limit at the ratio where it is reached, the first one first."""
        return stops_of([(item.pair.ratio, item.rooms) for item in self.pairs])

    @property
    def own(self) -> tuple[PlannedPair, ...]:
        """The pairs with the crank pulley that is on the engine."""
        lead = self.sheet.lead
        crank = lead.rows["crank_pulley"] if lead else None
        if crank is None or not crank.present:
            return self.pairs
        return tuple(i for i in self.pairs if abs(i.pair.crank.value - crank.scalar) < 1e-4)


def plan_of(sheet: Workings, question: Question | None = None) -> Plan:
    """Work out a build's plan."""
    question = question or Question()
    reason = _reason(sheet)
    pairs = () if reason else pairs_of(sheet, question)
    if not reason and not pairs:
        reason = "no pulleys are recorded, of the blower or of the build"
    found = tuple(planned_pair(sheet, pair, question) for pair in pairs)
    return Plan(sheet, question, found, reason)


def planned_pair(sheet: Workings, pair: Pair, question: Question) -> PlannedPair:
    """What is expected of one pair."""
    setup = planned(sheet, pair, question)
    pulls = tuple(s.best for s in measured_with(sheet, pair) if s.best is not None)
    return PlannedPair(
        pair,
        setup,
        _figures(sheet, setup),
        rooms_of(sheet, setup),
        pulls,
        beyond_data(sheet, setup),
        belt_of(sheet, pair),
    )


def _figures(sheet: Workings, setup: SetupSheet) -> dict[str, Row]:
    rows = {key: setup.rows[name] for key, _, name in FIGURES if name}
    rows |= {key: planned_at(sheet, setup, key) for key in _READ}
    asked = setup.rows["estimated_octane_asked"]
    rows["octane_asked"] = highest(asked, setup.rows["speed"]) if asked.present else asked
    return rows


def _reason(sheet: Workings) -> str:
    """Why there is nothing to plan."""
    if sheet.blower is not None:
        return sheet.unfitted
    if sheet.build.induction.turbocharger is not None:
        return "a turbocharger's boost is set by its control, not by pulleys"
    return "no blower, so that there is no pulley to choose"
