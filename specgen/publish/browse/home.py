"""The home page, for sites whose owner has not written one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.browse.builds import Lines, newest_results
from specgen.publish.typesetting.blocks import Switch
from specgen.publish.typesetting.page import Part, page_markdown
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class Home(Context):
    """What opens the home page.

    `summary`: what the archive says of itself. The rest are links. `builds`: to all builds;
    `blowers`: to all blowers; `method`: to how figures are made; `accuracy`: to how well
    predictions did; `validation`: to published figures; `cautions`: to what hurts people.
    """

    template: ClassVar[str] = "browse/home.jinja"
    summary: str
    builds: str
    blowers: str
    method: str
    accuracy: str
    validation: str
    cautions: str


def home_page(archive: Archive, lines: Lines, units: System, folders: bool) -> str:
    """Print a home page, for sites whose owner has not written one."""
    links = Links(addresses.HOME, folders)
    name = archive.settings.name.value
    summary = archive.settings.summary.value if archive.settings.summary else ""
    lead = rendered(
        Home(
            summary=summary,
            builds=links.to(addresses.BUILDS),
            blowers=links.to(addresses.BLOWERS),
            method=links.to(addresses.METHOD),
            accuracy=links.to(addresses.ACCURACY),
            validation=links.to(addresses.VALIDATION),
            cautions=links.to(addresses.CAUTIONS),
        )
    )
    parts = [Part("", lead), Part("Newest results", newest_results(archive, lines, links))]
    return page_markdown(name, summary, parts, units, trail=rendered(Switch()))
