"""The site's own style and scripts as a reader loads them: put together and made small.

The sources in the rooms are written to be read. One style and one script stand on every page, and
a second style on those that are read and no tools; sheets, the comparison, the list of builds
and the search for a build each have a script of their own on their own page, which rests on the
first, and some a style. The only room that knows the minifiers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files

import rcssmin
import rjsmin

from specgen.publish import addresses

#: A part that no file has: the model's own functions, which whoever asks for the bundles makes.
MODEL = "the model"

#: What each file is put together from, in the order the parts build on each other.
BUNDLES = {
    addresses.STYLE: (
        "web/specgen.css",
        "web/tables.css",
        "web/paper.css",
        "charts/charts.css",
        "compare/compare.css",
        "compare/table.css",
    ),
    addresses.READING_STYLE: (
        "web/reading.css",
        "reference/trust.css",
        "sheet/sheet.css",
        "sheet/choice.css",
        "years/years.css",
        "sheet/phone.css",
    ),
    addresses.LOOK: ("web/look.css",),
    addresses.SCRIPT: ("web/numbers.js", "web/page.js", "web/address.js", "web/specgen.js"),
    addresses.RECORD_STYLE: ("sheet/record/record.css",),
    addresses.CARD_STYLE: ("plan/card.css",),
    addresses.SHEET_SCRIPT: ("sheet/sheet.js", "sheet/readout.js", "sheet/record/record.js"),
    addresses.FIGURES_STYLE: ("sheet/known.css",),
    addresses.COMPARE_SCRIPT: (
        "compare/measure.js",
        "compare/words.js",
        "compare/chart.js",
        "compare/table.js",
        "compare/readout.js",
        "compare/picker.js",
        "compare/page.js",
    ),
    addresses.BROWSE_STYLE: ("browse/browse.css",),
    addresses.BROWSE_SCRIPT: ("browse/browse.js",),
    addresses.FIND_SCRIPT: ("find/find.js",),
    addresses.ESTIMATE_STYLE: ("estimate/estimate.css",),
    addresses.ESTIMATE_SCRIPT: (
        "estimate/elements.js",
        MODEL,
        "estimate/working.js",
        "estimate/chart.js",
        "estimate/asking.js",
        "estimate/telling.js",
        "estimate/page.js",
    ),
}


#: The zero before a decimal point, where a number begins.
_IDLE_ZERO = re.compile(r"(?<=[:\s,(-])0\.(?=\d)")

#: What the style has besides where a workshop has units of its own.
OWN_UNITS = "web/own.css"


def source(name: str) -> str:
    """One part as it was written."""
    return (files("specgen.publish") / name).read_text("utf-8")


def bundles(*, own_units: bool = False, model: str = "") -> Iterator[tuple[str, str]]:
    """Each file that pages load, as address and text; the same bytes every time.

    `model` are the functions that an estimate is made with.
    """
    for address, parts in BUNDLES.items():
        extra = (OWN_UNITS,) if own_units and address == addresses.STYLE else ()
        texts = (model if name == MODEL else source(name) for name in (*parts, *extra))
        yield address, small("\n".join(texts), address.endswith(".css"))


def small(text: str, style: bool) -> str:
    """Leave out what only its writers need: comments, space between words, a style's idle zeros."""
    made = _IDLE_ZERO.sub(".", rcssmin.cssmin(text)) if style else rjsmin.jsmin(text)
    return f"{made}\n"
