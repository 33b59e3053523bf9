"""The set point of a boost control that nobody wrote, by the level at which pulls stay."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from specgen.analysis.rows.scope import Fixed, Scope
from specgen.analysis.tables.boost_control import ABSOLUTE, control_of, plateau
from specgen.analysis.tables.setup import SETUP
from specgen.analysis.workings import SessionSheet
from specgen.archive.model.build import Build

#: Fewest setups that show a control that no file speaks of, by how much their ratios differ, and
#: how near [Pa] their levels lie: without a control each step of ratio would show.
_FEWEST, _RATIOS, _NEAR = 3, 0.04, 2.5e3
#: What such a level is known to [Pa]: common practice, no source.
_KNOWN = 1.0e3


def control_seen(
    build: Build, engine: Scope, sessions: tuple[SessionSheet, ...]
) -> tuple[Scope, ...]:
    """A scope with the observed set point, where pulls show one and no file states it."""
    found = list(_levels(build, engine, sessions))
    told = [level for control, _, level in found if control in (ABSOLUTE, "gauge")]
    silent = [(ratio, level) for control, ratio, level in found if control is None]
    if not told and _agree(silent):
        told = [level for _, level in silent]
    if not told:
        return ()
    source = f"the level at which {len(told)} of its pulls stay; no set point is recorded"
    row = engine.present("observed_set_point", "boost", float(np.median(told)),
                         "Boost that the control was seen to hold", basis="derived",
                         source=source, spread={"observed set point": _KNOWN})  # fmt: skip
    return (Scope("control", [Fixed("observed_set_point", row)], {}),)


def _agree(found: list[tuple[float, float]]) -> bool:
    """Whether pulls of clearly different ratios stay at one level."""
    if len(found) < _FEWEST:
        return False
    ratios, levels = np.array(found).T
    return bool(np.ptp(levels) < _NEAR and np.ptp(ratios) > _RATIOS * ratios.mean())


def _levels(
    build: Build, engine: Scope, sessions: tuple[SessionSheet, ...]
) -> Iterator[tuple[str | None, float, float]]:
    """Control, speed ratio and level of every pull that stays at one, and has no set point."""
    by_id = {setup.id.value: setup for setup in build.setups}
    for session in sessions:
        for pull in session.session.counted:
            setup, curve = by_id[pull.setup.value], session.readings[pull.id]["boost_curve"]
            if setup.boost_target is not None or not curve.present or pull.curve is None:
                continue
            level = plateau(curve.curve)
            ratio = Scope("ratio", SETUP, {"setup": setup}, [engine])["rotor_ratio"]
            if level is not None and ratio.present:
                yield control_of(build, setup), ratio.scalar, level
