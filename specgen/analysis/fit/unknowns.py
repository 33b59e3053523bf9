"""What was fitted: each unknown before and after, and how far the measurements pinned it down."""

from __future__ import annotations

import math
from dataclasses import dataclass

from specgen.analysis.fit.calibration import Calibration
from specgen.analysis.rows.row import Row


@dataclass(frozen=True, slots=True, eq=False)
class FittedUnknown:
    """One unknown: its row before the fit (the prior) and after it.

    `group` is the fuel or the measuring point that it belongs to, "" for the whole build.
    `narrowed` is the posterior's standard uncertainty as a share of the prior's.
    """

    before: Row
    after: Row
    group: str
    pinned: bool
    narrowed: float


def fitted_unknowns(fit: Calibration, scope: str) -> tuple[FittedUnknown, ...]:
    """Every unknown of a fit, in the order of the model; `scope` names the fitted rows."""
    return tuple(
        FittedUnknown(
            unknown.row,
            fit.fitted(index, scope),
            unknown.group,
            fit.pinned(index),
            math.sqrt(float(fit.covariance[index, index])),
        )
        for index, unknown in enumerate(fit.unknowns)
    )
