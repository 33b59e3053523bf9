"""What is near its limit: each limit against the setup that comes nearest to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from specgen.analysis.rows.row import Row
from specgen.analysis.workings import PullSheet, SetupSheet, Workings


@dataclass(frozen=True, slots=True)
class Limit:
    """A figure and the limit it must stay below, with the setup in which it came nearest."""

    title: str
    value: Row
    limit: Row
    setup: str
    planned: bool

    @property
    def share(self) -> float:
        """Share of the limit that is used; above one is beyond it. Temperatures count from 0 °C."""
        unit = self.limit.quantity.metric
        return unit.from_si(self.value.scalar) / unit.from_si(self.limit.scalar)


#: title, row of the setup, row of the limit
_OF_SETUPS = (
    ("Blower speed", "blower_speed_at_top", "blower_max_speed"),
    ("Injector duty", "injector_duty", "limit_injector_duty"),
)
#: title, row of a pull, row of the limit
_OF_PULLS = (
    ("Power", "observed_power", "limit_power"),
    ("Torque", "observed_torque", "limit_torque"),
    ("Boost", "boost", "limit_boost"),
    ("Charge temperature", "charge_temperature", "limit_charge_temperature"),
)


def limits_of(sheet: Workings) -> tuple[Limit, ...]:
    """All limits with both figures known, nearest first."""
    found = [*_engine(sheet), *_setups(sheet), *_pulls(sheet), *_planned_boost(sheet)]
    return tuple(sorted(found, key=lambda limit: -limit.share))


def _engine(sheet: Workings) -> Iterator[Limit]:
    value, limit = sheet.engine["piston_speed"], sheet.engine["limit_piston_speed"]
    if value.present and limit.present:
        yield Limit("Mean piston speed", value, limit, "", not sheet.pulls)


def _setups(sheet: Workings) -> Iterator[Limit]:
    for title, key, limit_key in _OF_SETUPS:
        limit = sheet.engine[limit_key]
        for planned in (False, True):
            some = [setup for setup in sheet.setups if setup.planned is planned]
            yield from _worst(title, limit, some, key, planned)


def _worst(
    title: str, limit: Row, setups: Iterable[SetupSheet], key: str, planned: bool
) -> Iterator[Limit]:
    rows = [(setup.rows[key], setup) for setup in setups]
    known = [(row, setup) for row, setup in rows if row.present]
    if known and limit.present:
        row, setup = max(known, key=lambda pair: pair[0].scalar)
        yield Limit(title, row, limit, setup.title, planned)


def _pulls(sheet: Workings) -> Iterator[Limit]:
    for title, key, limit_key in _OF_PULLS:
        limit = sheet.engine[limit_key]
        known: list[tuple[Row, PullSheet]] = [
            (pull.rows[key], pull) for pull in sheet.pulls if pull.rows[key].present
        ]
        if known and limit.present:
            row, pull = max(known, key=lambda pair: pair[0].scalar)
            yield Limit(title, row, limit, pull.setup.title, planned=False)


def _planned_boost(sheet: Workings) -> Iterator[Limit]:
    planned = [setup for setup in sheet.setups if setup.planned]
    yield from _worst("Boost", sheet.engine["limit_boost"], planned, "boost_at_top", planned=True)
