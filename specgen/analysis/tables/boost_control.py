"""How an engine's boost is set, and which of its figures leads because of that."""

from __future__ import annotations

from specgen.analysis.rows.scope import Scope
from specgen.archive.model.build import Build, Setup

#: Control that holds an absolute pressure: the one under which observed figures lead.
ABSOLUTE = "absolute"


def control_of(build: Build, setup: Setup | None) -> str | None:
    """How boost is set: by the setup's own word, else the build's; None if nobody said."""
    given = (setup.boost_control if setup else None) or build.induction.boost_control
    return given.value if given else None


def leads_observed(scope: Scope) -> bool:
    """Whether the observed figure leads, because a correction may count twice."""
    build, setup = scope.subjects.build, scope.subjects.setup
    if build is None or build.induction.natural is not None:
        return False
    return control_of(build, setup) == ABSOLUTE
