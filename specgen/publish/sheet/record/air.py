"""What each part of the air's way costs, on a sheet: estimates, unless they say measured."""

from __future__ import annotations

from markupsafe import Markup

from specgen.analysis.record.air import AirParts
from specgen.analysis.record.record import Record
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import rendered

_SIDES = {"inlet": "inlet", "charge": "behind the blower"}


def air(record: Record, figures: Provenance, *, blown: bool) -> Markup:
    """Print the parts with their pressure drops; nothing where only one part is known.

    `blown` says whether there is a blower, before and behind which parts can stand.
    """
    found = record.air
    if found is None or single(found):
        return Markup("")
    return rendered("sheet/record/air.jinja", air=found, figures=figures, sides=_SIDES, blown=blown)


def single(found: AirParts) -> bool:
    """Whether one fact says it all, so that a table would say too much."""
    return len(found.parts) == 1
