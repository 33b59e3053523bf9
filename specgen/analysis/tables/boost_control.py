"""How an engine's boost is set, and which of its figures leads because of that."""

from __future__ import annotations

import numpy as np

from specgen.analysis.rows.row import Array
from specgen.analysis.rows.scope import Scope
from specgen.archive.model.build import Build, Setup

#: Rows that a plateau has at least, and the share of its level within which it stays.
_FEWEST, _LEVEL = 4, 0.04

#: Control that holds an absolute pressure: the one under which observed figures lead.
ABSOLUTE = "absolute"


def control_of(build: Build, setup: Setup | None) -> str | None:
    """How boost is set: by the setup's own word, else the build's; None if nobody said."""
    given = (setup.boost_control if setup else None) or build.induction.boost_control
    return given.value if given else None


def plateau(boost: Array) -> float | None:
    """The level [Pa] at which a curve stays over the upper third of its rows; None if it does not.

    A blower's own boost goes on rising or falls with speed; only a control keeps it to a few
    hundredths. Common practice, no source.
    """
    upper = boost[-max(len(boost) // 3, _FEWEST) :]
    if len(boost) < 2 * _FEWEST or not np.isfinite(upper).all() or upper.mean() <= 0:
        return None
    return float(np.median(upper)) if np.ptp(upper) < _LEVEL * upper.mean() else None


def leads_observed(scope: Scope) -> bool:
    """Whether the observed figure leads, because a correction may count twice."""
    build, setup = scope.subjects.build, scope.subjects.setup
    if build is None or build.induction.natural is not None:
        return False
    return control_of(build, setup) == ABSOLUTE
