"""The comparison page: a place that a reader's browser fills, and what stands there without one."""

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
class Comparison(Context):
    """The place of a comparison.

    `index`: the link to the list of builds; `data`: that to a build's data, with a star for its
    id; `sheet`: that to a build's page, likewise; `script`: that of the script; `builds`: that to
    the table of builds.
    """

    template: ClassVar[str] = "compare/compare.jinja"
    index: str
    data: str
    sheet: str
    script: str
    builds: str


def compare_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the page."""
    links = Links(addresses.COMPARE, folders)
    block = rendered(
        Comparison(
            index=links.to(addresses.COMPARE_BUILDS),
            data=links.pattern(addresses.compare_build),
            sheet=links.pattern(addresses.build),
            script=links.to(addresses.COMPARE_SCRIPT),
            builds=links.to(addresses.BUILDS),
        )
    )
    name = archive.settings.name.value
    description = f"Up to five setups of {name} side by side: figures, curves, and what compares."
    return fixed_page(links, description, [Part("", block)], units, hide=("navigation", "toc"))
