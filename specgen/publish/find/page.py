"""The page that finds one like a reader's own: a form and a list that their browser fills."""

from __future__ import annotations

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import rendered
from specgen.vocabulary import System


def find_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page that finds the tested combos nearest to a reader's own engine."""
    links = Links(addresses.FIND, folders)
    block = rendered(
        "find/find.jinja",
        index=links.to(addresses.COMPARE_BUILDS),
        combos=links.to(addresses.FIND_COMBOS),
        sheet=links.pattern(addresses.build),
        compare=links.to(addresses.COMPARE),
        script=links.to(addresses.FIND_SCRIPT),
        builds=links.to(addresses.BUILDS),
    )
    name = archive.settings.name.value
    description = f"The tested combos of {name} nearest to an engine of your own."
    return fixed_page(links, description, [Part("", block)], units, hide=("navigation", "toc"))
