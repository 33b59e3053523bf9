"""The ladder: one step a setup, what was measured beside what the others say of it.

A measured setup is predicted without its own pulls; a planned one from all of them. Boost and
power are compared at the speed of the measured peak, in the air of the pull; a planned setup is
read where the build's leading pull has its peaks, so that steps can be compared.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import PullSheet, SetupSheet, Workings


@dataclass(frozen=True, slots=True)
class Step:
    """One setup: its drive, what was measured with it (None if planned), what is predicted.

    `others` is how many other pulls the prediction rests on; with none it rests on the defaults.
    """

    setup: SetupSheet
    pull: PullSheet | None
    measured_boost: Row | None
    estimated_boost: Row
    measured_power: Row | None
    estimated_power: Row
    power: Row | None
    blower_speed: Row
    others: int

    @property
    def agrees(self) -> bool | None:
        """Whether measured boost lies in the prediction's band (k = 2, both uncertainties)."""
        return agree(self.measured_boost, self.estimated_boost)

    @property
    def power_agrees(self) -> bool | None:
        """The same for power."""
        return agree(self.measured_power, self.estimated_power)

    @property
    def boost_miss(self) -> float | None:
        """Measured less predicted boost [Pa]."""
        return miss(self.measured_boost, self.estimated_boost)

    @property
    def power_miss(self) -> float | None:
        """Measured less predicted power [W]."""
        return miss(self.measured_power, self.estimated_power)


def miss(measured: Row | None, predicted: Row) -> float | None:
    """Measured less predicted; None where one of them is not there."""
    if measured is None or not measured.present or not predicted.present:
        return None
    return measured.scalar - predicted.scalar


def agree(measured: Row | None, predicted: Row) -> bool | None:
    """Whether two figures agree within their expanded uncertainties together."""
    difference = miss(measured, predicted)
    if difference is None or measured is None:
        return None
    width = math.hypot(measured.expanded or 0.0, predicted.expanded or 0.0)
    return abs(difference) <= width


def ladder_of(sheet: Workings, pulls: dict[str, int]) -> tuple[Step, ...]:
    """One step a setup, in the order of the file; `pulls` counts the fit's pulls by setup."""
    total = sum(pulls.values())
    return tuple(_step(sheet, setup, total - pulls.get(setup.id, 0)) for setup in sheet.setups)


def read_at(sheet: Workings, figure: str) -> Row:
    """Engine speed at which a setup without a pull is read: the leading pull's peak of `figure`.

    `figure` is the key of a pull's peak; the highest engine speed where no pull has one.
    """
    peak = sheet.best.rows[figure] if sheet.best else None
    at = peak.at if peak is not None and peak.present else None
    return at or sheet.engine["max_speed"]


def planned_at(sheet: Workings, setup: SetupSheet, figure: str) -> Row:
    """A setup's estimate of boost, power or torque by all pulls, at the speed of `read_at`."""
    key = f"estimated_{figure}"
    at, curve = read_at(sheet, _PEAKS[figure]), setup.rows[key]
    if not at.present:
        return curve
    return point(curve, setup.rows["speed"], at, f"{key}_planned", curve.title)


_PEAKS = {"boost": "boost", "power": "observed_power", "torque": "observed_torque"}


def _step(sheet: Workings, setup: SetupSheet, others: int) -> Step:
    pull = setup.best
    speed = setup.rows["blower_speed_at_top"]
    if pull is None:
        boost, power = (planned_at(sheet, setup, name) for name in ("boost", "power"))
        return Step(setup, None, None, boost, None, power, None, speed, others)
    boost, power = pull.rows["boost"], pull.rows["observed_power"]
    return Step(
        setup,
        pull,
        boost if boost.present else None,
        _predicted(setup, "estimated_boost", boost, "Boost predicted from the other setups"),
        power if power.present else None,
        _predicted(setup, "estimated_power", power, "Power predicted from the other setups"),
        pull.rows["power"] if pull.rows["power"].present else None,
        speed,
        others,
    )


def _predicted(setup: SetupSheet, key: str, measured: Row, title: str) -> Row:
    """The prediction without the setup's own pulls, at the speed of the measured peak."""
    at = measured.at or setup.rows["max_speed"]
    curve, speeds = setup.held_out[key], setup.held_out["speed"]
    if not at.present:
        return curve
    return point(curve, speeds, at, f"{key}_predicted", title)
