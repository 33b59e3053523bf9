"""Every limit against every setup, and what is near its limit.

A setup's figure is what was measured with it; where nothing was, it is what is estimated, at the
highest of the estimated curve.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from specgen.analysis.rows.row import Row
from specgen.analysis.workings import SetupSheet, Workings
from specgen.vocabulary import quantity


@dataclass(frozen=True, slots=True)
class Limit:
    """A figure and the limit it must stay below, with the setup that has it."""

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


#: title, row of a pull or None, row of the setup (a figure or a curve), row of the limit ("" for
#: what is a limit by nature)
_LIMITED: tuple[tuple[str, str | None, str, str], ...] = (
    ("Power", "observed_power", "estimated_power", "limit_power"),
    ("Torque", "observed_torque", "estimated_torque", "limit_torque"),
    ("Boost", "boost", "estimated_boost", "limit_boost"),
    ("Charge temperature", "charge_temperature", "estimated_charge_temperature",
     "limit_charge_temperature"),
    ("Blower speed", None, "blower_speed_at_top", "blower_max_speed"),
    ("Belt speed", None, "belt_speed", "limit_belt_speed"),
    ("Injector duty", None, "injector_duty", "limit_injector_duty"),
    ("Belt grip", None, "grip_used", ""),
)  # fmt: skip


def whole_grip(sheet: Workings) -> Row:
    """All of a belt's grip: where so much is used, it slips."""
    source = "the belt slips where all of its grip is used"
    return Row("limit_grip", sheet.engine.name, "All of the grip", quantity("grip_used"),
               "derived", 1.0, source=source)  # fmt: skip


def every_limit(sheet: Workings) -> tuple[Limit, ...]:
    """Each limit against each setup, setups in the order of the file; then the engine's own."""
    found = [limit for setup in sheet.setups for limit in _of(sheet, setup)]
    value, limit = sheet.engine["piston_speed"], sheet.engine["limit_piston_speed"]
    if value.present and limit.present:
        found.append(Limit("Mean piston speed", value, limit, "", not sheet.pulls))
    return tuple(found)


def limits_of(sheet: Workings) -> tuple[Limit, ...]:
    """Each limit against the tested and the planned setup nearest to it, nearest first."""
    nearest: dict[tuple[str, bool], Limit] = {}
    for limit in every_limit(sheet):
        kept = nearest.get((limit.title, limit.planned))
        if kept is None or limit.share > kept.share:
            nearest[limit.title, limit.planned] = limit
    return tuple(sorted(nearest.values(), key=lambda limit: -limit.share))


def _of(sheet: Workings, setup: SetupSheet) -> Iterator[Limit]:
    """Every limit against one setup, where both figures are known."""
    for title, measured, estimated, limit_key in _LIMITED:
        limit = sheet.engine[limit_key] if limit_key else whole_grip(sheet)
        value = _measured(setup, measured) or highest(setup, estimated)
        if limit.present and value.present:
            yield Limit(title, value, limit, setup.title, setup.planned)


def _measured(setup: SetupSheet, key: str | None) -> Row | None:
    """The largest figure of all pulls with a setup; None where it was not measured."""
    rows = [pull.rows[key] for pull in setup.pulls] if key else []
    return max((row for row in rows if row.present), key=lambda row: row.scalar, default=None)


def highest(setup: SetupSheet, key: str) -> Row:
    """A setup's estimated figure: of a curve its highest point, with the engine speed of it."""
    row, speeds = setup.rows[key], setup.rows["speed"]
    if not row.present or not row.is_curve or not np.isfinite(row.curve).any():
        return row if not row.is_curve else replace(row, value=None, basis="absent", spread={})
    index = int(np.nanargmax(row.curve))
    spread = {
        root: float(np.broadcast_to(part, row.curve.shape)[index])
        for root, part in row.spread.items()
    }
    at = replace(speeds, key=f"{key}_speed", value=float(speeds.curve[index]), spread={})
    return replace(row, key=f"{key}_highest", title=f"{row.title}, highest", at=at,
                   value=float(row.curve[index]), spread=spread)  # fmt: skip
