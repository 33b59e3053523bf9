"""What each part of the air's way costs, on a sheet: estimates, unless they say measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.air import AirParts
from specgen.analysis.record.record import Record
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered

_SIDES = {"inlet": "inlet", "charge": "behind the blower"}


@dataclass(frozen=True, slots=True)
class AirCosts(Context):
    """What each part of the air's way costs.

    `air`: the parts with their drops; `figures`: prints and remembers a row; `sides`: words for
    where a part stands; `blown`: whether there is a blower between.
    """

    template: ClassVar[str] = "sheet/record/air.jinja"
    air: AirParts
    figures: Provenance
    sides: Mapping[str, str]
    blown: bool


def air(record: Record, figures: Provenance, *, blown: bool) -> Markup:
    """Print the parts with their pressure drops; nothing where only one part is known.

    `blown` says whether there is a blower, before and behind which parts can stand.
    """
    found = record.air
    if found is None or single(found):
        return Markup("")
    return rendered(AirCosts(air=found, figures=figures, sides=_SIDES, blown=blown))


def single(found: AirParts) -> bool:
    """Whether one fact says it all, so that a table would say too much."""
    return len(found.parts) == 1
