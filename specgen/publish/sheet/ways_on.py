"""Where a reader goes from a sheet: to comparing, and to builds like this one."""

from __future__ import annotations

from urllib.parse import urlencode

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import blend_name, induction_words
from specgen.publish import addresses
from specgen.publish.addresses import Links

#: How many columns a comparison has at most; the page's script holds the same number.
_MOST = 5


def next_steps(sheet: Sheet, links: Links) -> list[tuple[str, str]]:
    """Where a reader of a sheet goes from there, as pairs of words and link."""
    compare, tested = links.to(addresses.COMPARE), tested_setups(sheet)
    steps = [("Compare this build", f"{compare}?with={sheet.id}")]
    if len(tested) > 1:
        steps.append(("Compare its setups", f"{compare}?with={','.join(tested)}"))
    return [*steps, ("Find builds like it", f"{links.to(addresses.FIND)}?{_likeness(sheet)}")]


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
