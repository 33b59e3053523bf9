"""What is wrong with a build although each of its figures alone is sound, as findings."""

from __future__ import annotations

import math
from collections.abc import Iterator

from specgen.analysis.rows.row import Row
from specgen.analysis.workings import Workings
from specgen.findings import Finding

#: What the model rests on first of all; a digit slipped in one of them spoils every estimate.
_OF_THE_ENGINE = ("blower_displacement", "bore", "stroke")
_OF_A_SETUP = ("blower_pulley", "crank_pulley")


def troubles(sheet: Workings) -> tuple[Finding, ...]:
    """Why a build's figures cannot be worked out, with the line most likely to blame."""
    if not sheet.unfitted:
        return ()
    place, hint = sheet.build.place, "the figures as they were measured"
    suspects = list(_suspects(sheet))
    if suspects:
        blamed = max(suspects, key=_strangeness)
        assert blamed.place is not None
        place, hint = blamed.place, f"{blamed.title.lower()} as it is; found {blamed.text}"
    return (
        Finding(
            "contradiction",
            "error",
            place,
            sheet.unfitted,
            "figures that one engine can have at once",
            hint,
        ),
    )


def _suspects(sheet: Workings) -> Iterator[Row]:
    """Figures that somebody wrote and the model rests on."""
    rows = [sheet.engine.find(key) for key in _OF_THE_ENGINE]
    rows += [setup.rows.find(key) for setup in sheet.setups for key in _OF_A_SETUP]
    yield from (
        row for row in rows if row and row.present and row.place and row.scalar > 0 and row.text
    )


def _strangeness(row: Row) -> float:
    """How far out a figure lies in the range of its kind: 0 in the middle, 1 at an end."""
    low, high = (math.log(max(end, 1e-9)) for end in row.quantity.plausible)
    return abs(2 * math.log(row.scalar) - low - high) / (high - low)
