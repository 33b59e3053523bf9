"""The comparison page: a place that a reader's browser fills, and what stands there without one."""

from __future__ import annotations

from importlib.resources import files

from specgen.analysis.sheet import Sheet
from specgen.archive.model import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.page import Part, page_markdown, trail
from specgen.publish.rendering import rendered
from specgen.vocabulary import System

#: Parts of the one script that compares, browses and finds, in the order they build on each other.
SCRIPT_PARTS = (
    "compare_numbers.js",
    "compare_address.js",
    "compare_measure.js",
    "compare_words.js",
    "compare_chart.js",
    "compare_table.js",
    "compare_readout.js",
    "compare_picker.js",
    "compare_page.js",
    "browse.js",
    "find.js",
    "compare_start.js",
)


def compare_script() -> str:
    """The pages' script, put together from its parts."""
    own = files("specgen.publish") / "assets"
    return "\n".join(own.joinpath(name).read_text("utf-8") for name in SCRIPT_PARTS)


def compare_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page."""
    links = Links(addresses.COMPARE, folders)
    block = rendered(
        "compare.jinja",
        index=links.to(addresses.COMPARE_BUILDS),
        data=_pattern(links.to(addresses.compare_build(_ANY))),
        sheet=_pattern(links.to(addresses.build(_ANY))),
        script=links.to(addresses.COMPARE_SCRIPT),
        builds=links.to(addresses.BUILDS),
    )
    name = archive.settings.name.value
    description = f"Up to five setups of {name} side by side: figures, curves, and what compares."
    way = trail(links, ("Compare", addresses.COMPARE))
    return page_markdown(
        "Compare", description, [Part("", block)], units, trail=way, hide=("navigation", "toc")
    )


def find_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page that finds the tested combos nearest to a reader's own engine."""
    links = Links(addresses.FIND, folders)
    block = rendered(
        "find.jinja",
        index=links.to(addresses.COMPARE_BUILDS),
        combos=links.to(addresses.FIND_COMBOS),
        sheet=_pattern(links.to(addresses.build(_ANY))),
        compare=links.to(addresses.COMPARE),
        script=links.to(addresses.COMPARE_SCRIPT),
        builds=links.to(addresses.BUILDS),
    )
    name = archive.settings.name.value
    description = f"The tested combos of {name} nearest to an engine of your own."
    way = trail(links, ("Find one like mine", addresses.FIND))
    parts = [Part("", block)]
    hide = ("navigation", "toc")
    return page_markdown("Find one like mine", description, parts, units, trail=way, hide=hide)


_ANY = "any-build"


def _pattern(link: str) -> str:
    """A link with a star where the build's id goes."""
    return link.replace(_ANY, "*")


def compare_link(links: Links, sheet: Sheet) -> str:
    """A link to the comparison that begins with this build."""
    return f"{links.to(addresses.COMPARE)}?with={sheet.id}"


def setups_link(links: Links, sheet: Sheet) -> str:
    """A link to the comparison of a build's own tested setups; empty where there is but one."""
    tested = [f"{sheet.id}/{setup.id}" for setup in sheet.setups if not setup.planned]
    if len(tested) < 2:
        return ""
    return f"{links.to(addresses.COMPARE)}?with={','.join(tested[-_MOST:])}"


#: How many columns a comparison has at most; the page's script holds the same number.
_MOST = 5
