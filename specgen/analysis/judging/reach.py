"""Where a prediction leaves what it rests on: beyond what was measured, or beyond a limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specgen.analysis.judging.limits import whole_grip
from specgen.analysis.rows.row import Row
from specgen.analysis.words import fuel_words
from specgen.analysis.workings import SetupSheet, Workings

#: Figures of a setup that have a limit: row of the figure, row of the limit.
LIMITS: dict[str, str] = {
    "boost_at_top": "limit_boost",
    "power_at_top": "limit_power",
    "torque_at_top": "limit_torque",
    "charge_temperature_at_top": "limit_charge_temperature",
    "blower_speed_at_top": "blower_max_speed",
    "belt_speed": "limit_belt_speed",
    "injector_duty": "limit_injector_duty",
}

#: What is said of a planned setup in the ladder, by what it is called there.
_PLANNED = {
    "boost": "boost_at_top",
    "power": "power_at_top",
    "torque": "torque_at_top",
    "charge temperature": "charge_temperature_at_top",
    "blower speed": "blower_speed_at_top",
    "belt speed": "belt_speed",
    "injector duty": "injector_duty",
}

#: Two ratios closer than this are of one and the same pulley.
_SAME_RATIO = 1e-6


@dataclass(frozen=True, slots=True)
class Excess:
    """A figure above its limit; `certain` is False where its band (k = 2) lies on either side."""

    value: Row
    limit: Row
    certain: bool


def excess(value: Row, limit: Row) -> Excess | None:
    """Set a figure against its limit; None where it stays below, or one of them is not there."""
    if not (value.present and limit.present):
        return None
    width = value.expanded or 0.0
    if value.scalar + width <= limit.scalar:
        return None
    return Excess(value, limit, certain=value.scalar - width >= limit.scalar)


def excess_of(sheet: Workings, setup: SetupSheet, key: str) -> Excess | None:
    """Whether an estimated figure of a setup lies above its limit, by the figure's row key."""
    if key not in LIMITS:
        return None
    return excess(setup.rows[key], sheet.engine[LIMITS[key]])


def planned_excesses(sheet: Workings, setup: SetupSheet) -> tuple[tuple[str, Excess], ...]:
    """What of a planned setup lies above its limit, by title; none once it was measured."""
    if not setup.planned:
        return ()
    found = {name: excess_of(sheet, setup, key) for name, key in _PLANNED.items()}
    found["belt grip"] = excess(setup.rows["grip_used"], whole_grip(sheet))
    return tuple((name, item) for name, item in found.items() if item is not None)


def beyond_data(sheet: Workings, setup: SetupSheet) -> tuple[str, ...]:
    """In what a setup lies beyond the measured ones that its prediction rests on, in words.

    Empty where it lies among them, and where there are none: then it rests on defaults alone.
    """
    fit = sheet.calibration
    if fit is None:
        return ()
    others = [item for item in sheet.setups if item.id in fit.setups and item.id != setup.id]
    return tuple(_departures(setup, others)) if others else ()


def _departures(setup: SetupSheet, others: list[SetupSheet]) -> Iterator[str]:
    own = setup.rows["rotor_ratio"]
    ratios = sorted(item.rows["rotor_ratio"].scalar for item in others
                    if item.rows["rotor_ratio"].present)  # fmt: skip
    if own.present and ratios:
        low, high = ratios[0], ratios[-1]
        if not low - _SAME_RATIO <= own.scalar <= high + _SAME_RATIO:
            known = [own.quantity.text(end, "metric") for end in (low, high)]
            span = known[0] if known[0] == known[1] else " to ".join(known)
            turned = own.quantity.text(own.scalar, "metric")
            yield f"rotor ratio {turned}, measured {span}"
    fuel = fuel_words(setup.setup.fuel)
    if all(fuel_words(item.setup.fuel) != fuel for item in others):
        yield f"no other pull on {fuel}"
