"""The page that finds one like a reader's own: a form and a list that their browser fills."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class Finding(Context):
    """The place where combos are found.

    `index`: the link to the list of builds; `combos`: that to the tested combos; `sheet`: that to
    a build's page, with a star for its id; `compare`: that to comparing; `script`: that of the
    script; `builds`: that to the table of builds.
    """

    template: ClassVar[str] = "find/find.jinja"
    index: str
    combos: str
    sheet: str
    compare: str
    script: str
    builds: str


def find_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page that finds the tested combos nearest to a reader's own engine."""
    links = Links(addresses.FIND, folders)
    block = rendered(
        Finding(
            index=links.to(addresses.COMPARE_BUILDS),
            combos=links.to(addresses.FIND_COMBOS),
            sheet=links.pattern(addresses.build),
            compare=links.to(addresses.COMPARE),
            script=links.to(addresses.FIND_SCRIPT),
            builds=links.to(addresses.BUILDS),
        )
    )
    name = archive.settings.name.value
    description = f"The tested combos of {name} nearest to an engine of your own."
    return fixed_page(links, description, [Part("", block)], units, hide=("navigation", "toc"))
