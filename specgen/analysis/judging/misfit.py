"""One pull that disagrees with the others, over speed: measured beside what they say of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from specgen.analysis.judging.diagnosis import Diagnosis
from specgen.analysis.rows.row import Row, point
from specgen.analysis.workings import PullSheet

#: figure of a diagnosis: the pull's curve, the setup's curve
_CURVES = {
    "boost": ("boost_curve", "estimated_boost"),
    "power": ("observed_power_curve", "estimated_power"),
    "charge_temperature": ("charge_temperature_curve", "estimated_charge_temperature"),
    "inlet_pressure": ("inlet_pressure_drop_curve", "estimated_inlet_pressure"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Misfit:
    """A diagnosis with its two curves, each over its own engine speeds.

    `measured_worst` and `predicted_worst` are read where the two lie farthest apart.
    """

    diagnosis: Diagnosis
    speeds: Row
    measured: Row
    predicted_speeds: Row
    predicted: Row
    measured_worst: Row
    predicted_worst: Row


def misfit_of(diagnosis: Diagnosis) -> Misfit | None:
    """The curves behind a diagnosis; None where there is none to draw, such as of bare peaks."""
    pull = next(item for item in diagnosis.setup.pulls if item.id == diagnosis.pull)
    if diagnosis.figure not in _CURVES:
        return None
    measured_key, predicted_key = _CURVES[diagnosis.figure]
    measured, speeds = pull.rows[measured_key], pull.rows["speed_curve"]
    if not measured.present or not speeds.present:
        return None
    others = diagnosis.setup.over_speed
    if diagnosis.figure == "inlet_pressure":
        measured = _absolute(pull, measured)
    predicted, grid = others[predicted_key], others["speed"]
    if not predicted.present:
        return None
    title = predicted.quantity.title
    at = replace(speeds, key="misfit_speed", title=f"{title}: engine speed of the largest misfit",
                 value=_nearest(speeds, diagnosis.speed), spread={})  # fmt: skip
    return Misfit(
        diagnosis, speeds, measured, grid, predicted,
        point(measured, speeds, at, f"{measured_key}_misfit", f"{title}, measured"),
        point(predicted, grid, at, f"{predicted_key}_misfit", f"{title}, from the other setups"),
    )  # fmt: skip


def _nearest(speeds: Row, wanted: float) -> float:
    """The engine speed of the sweep next to the one that the fit's thinned points name."""
    return float(speeds.curve[int(np.argmin(np.abs(speeds.curve - wanted)))])


def _absolute(pull: PullSheet, drop: Row) -> Row:
    """A measured drop before the blower as the absolute pressure that the model speaks of."""
    outside = pull.setup.rows["estimate_pressure"]
    inlet = pull.setup.rows["estimated_inlet_pressure"].quantity
    return replace(drop, key="inlet_pressure_curve", title=inlet.title, quantity=inlet,
                   value=outside.scalar - drop.curve)  # fmt: skip
