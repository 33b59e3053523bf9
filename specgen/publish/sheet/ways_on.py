"""Where a reader goes from a sheet: to its parts, to comparing, and to builds like this one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import urlencode

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import blend_name, induction_words
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered

#: How many columns a comparison has at most; the page's script holds the same number.
_MOST = 5


#: The parts that a bar leads to, in a word each.
_JUMPS = {
    "Power and torque": "Curves",
    "Boost": "Curves",
    "The ladder of setups": "Ladder",
    "Near its limits": "Limits",
    "Choosing the drive": "Drive",
    "The record": "Record",
    "How it was tested": "Tests",
}


@dataclass(frozen=True, slots=True)
class Jumps(Context):
    """The bar that leads to the parts of a sheet where no table of contents stands beside it.

    `jumps`: words and anchor of each.
    """

    template: ClassVar[str] = "sheet/jumps.jinja"
    jumps: Sequence[tuple[str, str]]


def jumps(headings: Sequence[str]) -> list[Part]:
    """The bar for a sheet with these headings; none where there is nothing to leap over."""
    found = [
        (_JUMPS[heading], heading.lower().replace(" ", "-"))
        for heading in headings
        if heading in _JUMPS
    ]
    if len(found) < 3:
        return []
    return [Part("", rendered(Jumps(jumps=found)), searchable=False, kind="sg-jumps")]


def next_steps(sheet: Sheet, links: Links) -> list[tuple[str, str]]:
    """Where a reader of a sheet goes from there, as pairs of words and link."""
    compare, tested = links.to(addresses.COMPARE), tested_setups(sheet)
    steps = [("Compare it", f"{compare}?with={sheet.id}")]
    if len(tested) > 1:
        steps.append(("Compare its setups", f"{compare}?with={','.join(tested)}"))
    return [*steps, ("Builds like it", f"{links.to(addresses.FIND)}?{_likeness(sheet)}")]


def tested_setups(sheet: Sheet) -> list[str]:
    """A build's tested setups as a comparison's address names them, the last ones if many."""
    tested = [f"{sheet.id}/{setup.id}" for setup in sheet.setups if not setup.planned]
    return tested[-_MOST:]


def _likeness(sheet: Sheet) -> str:
    """What this build is, as the query of the page that finds builds like it."""
    volume, speed = sheet.engine["swept_volume"], sheet.engine["max_speed"]
    setup = sheet.best.setup if sheet.best else next(iter(sheet.setups), None)
    asked = {
        "litres": f"{volume.scalar * 1e3:.3g}" if volume.present else "",
        "cylinders": str(sheet.build.engine.cylinders.value),
        "rpm": f"{speed.scalar * 60:.0f}" if speed.present else "",
        "fuel": blend_name(setup.setup.fuel) if setup else "",
        "fed": induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None),
    }
    return urlencode({key: value for key, value in asked.items() if value})
