"""The site's own style and scripts as a reader loads them: put together and made small.

The sources in `assets/` are written to be read. One style and one script stand on every page; the
record, the comparison, the table of builds and the search for a build each have a script of their
own on their own page, which rests on the first, and the record a style. The only room that knows
the minifiers.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files

import rcssmin
import rjsmin

from specgen.publish import addresses

#: What each file is put together from, in the order the parts build on each other.
BUNDLES = {
    addresses.STYLE: (
        "specgen.css",
        "tables.css",
        "paper.css",
        "trust.css",
        "charts.css",
        "compare.css",
        "compare_table.css",
    ),
    addresses.SCRIPT: ("numbers.js", "page.js", "address.js", "specgen.js"),
    addresses.RECORD_STYLE: ("record.css",),
    addresses.RECORD_SCRIPT: ("record.js",),
    addresses.COMPARE_SCRIPT: (
        "compare_measure.js",
        "compare_words.js",
        "compare_chart.js",
        "compare_table.js",
        "compare_readout.js",
        "compare_picker.js",
        "compare_page.js",
    ),
    addresses.BROWSE_SCRIPT: ("browse.js",),
    addresses.FIND_SCRIPT: ("find.js",),
}


def source(name: str) -> str:
    """One part as it was written."""
    return (files("specgen.publish") / "assets" / name).read_text("utf-8")


def bundles() -> Iterator[tuple[str, str]]:
    """Each file that pages load, as address and text; the same bytes every time."""
    for address, parts in BUNDLES.items():
        yield address, small("\n".join(map(source, parts)), address.endswith(".css"))


def small(text: str, style: bool) -> str:
    """Leave out what only its writers need: comments, and space between words that need none."""
    return str(rcssmin.cssmin(text) if style else rjsmin.jsmin(text)) + "\n"
