"""One pull's figures in any base: as observed, or in the air of any standard.

A sheet shows its figures in the archive's own base. A comparison may ask for another; the same
table of rows makes them, so that what is undone and what is applied cannot differ from a sheet.
"""

from __future__ import annotations

import math
from dataclasses import replace

from specgen.analysis.rows.row import Row
from specgen.analysis.rows.scope import Fixed, Rule, Scope
from specgen.analysis.tables.pull import PULL
from specgen.analysis.tables.session import DRIVE_LINE, NO_CORRECTION, factor_key
from specgen.analysis.workings import PullSheet
from specgen.archive.model.build import Settings
from specgen.physics.correction import STANDARDS

OBSERVED = "observed"
#: What a comparison may be made in.
BASES: tuple[str, ...] = (OBSERVED, *STANDARDS)


def own_base(settings: Settings) -> str:
    """The base in which an archive shows its results."""
    chosen = settings.correction.value
    return OBSERVED if chosen == NO_CORRECTION else chosen


def in_base(pull: PullSheet, base: str) -> Scope:
    """The rows of a pull with its figures shown in `base`, one of BASES; KeyError for another.

    A figure that cannot be brought there stays observed, or as reported, and its row says which.
    """
    settings = pull.rows.subjects.settings
    assert settings is not None
    if base == own_base(settings):
        return pull.rows
    factor = _factor(pull, base)
    rules: tuple[Rule, ...] = (*PULL, Fixed("correction_factor", factor))
    correction = replace(
        settings.correction, value=NO_CORRECTION if base == OBSERVED else base, text=base
    )
    changed = {"settings": replace(settings, correction=correction)}
    return Scope(pull.rows.name, rules, changed, [pull.rows])


def _factor(pull: PullSheet, base: str) -> Row:
    """The factor that takes observed figures to a base; none is applied to what was observed."""
    if base == OBSERVED:
        reason = "the figures are wanted as observed"
        return pull.rows.absent("correction_factor", "correction_factor", "", reason)
    return pull.rows[factor_key(base)]


def drive_line_range(value: float, uncertainty: float) -> tuple[float, float]:
    """The ends of what of the flywheel's power arrives where power was measured.

    The table states a range that nothing is known within as its middle and standard uncertainty;
    its half width is that times the square root of three. Source: JCGM 100:2008, 4.3.7.
    """
    half = math.sqrt(3.0) * uncertainty
    return value - half, value + half


def drive_line_ranges() -> dict[str, tuple[float, float]]:
    """That range for each measuring point, for any drive line."""
    return {
        place: drive_line_range(value, uncertainty)
        for place, (value, uncertainty, _) in DRIVE_LINE.items()
    }
