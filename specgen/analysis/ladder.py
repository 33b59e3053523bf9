"""The ladder: one step a setup, measured beside estimated."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from specgen.analysis.row import Row

if TYPE_CHECKING:
    from specgen.analysis.sheet import PullSheet, SetupSheet


@dataclass(frozen=True, slots=True)
class Step:
    """One setup: its drive, what was measured with it (None if planned), what is estimated."""

    setup: SetupSheet
    pull: PullSheet | None
    measured_boost: Row | None
    estimated_boost: Row
    power: Row | None
    blower_speed: Row

    @property
    def agrees(self) -> bool | None:
        """Whether measured boost lies in the estimate's band (k = 2, both uncertainties)."""
        if self.measured_boost is None or not self.estimated_boost.present:
            return None
        widths = (self.measured_boost.expanded or 0.0, self.estimated_boost.expanded or 0.0)
        miss = self.measured_boost.scalar - self.estimated_boost.scalar
        return abs(miss) <= math.hypot(*widths)


def ladder_of(setups: tuple[SetupSheet, ...]) -> tuple[Step, ...]:
    """One step a setup, in the order of the file."""
    return tuple(_step(setup) for setup in setups)


def _step(setup: SetupSheet) -> Step:
    pull = setup.best
    speed = setup.rows["blower_speed_at_top"]
    if pull is None:
        return Step(setup, None, None, setup.rows["boost_at_top"], None, speed)
    boost, power = pull.rows["boost"], pull.rows["power"]
    here = pull.rows["estimated_boost_here"]
    return Step(
        setup,
        pull,
        boost if boost.present else None,
        here if boost.present else setup.rows["boost_at_top"],
        power if power.present else None,
        speed,
    )
