"""The home page, for sites whose owner has not written one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.browse.builds import Lines, newest_results
from specgen.publish.browse.ways import ways
from specgen.publish.typesetting.blocks import Switch
from specgen.publish.typesetting.page import Part, page_markdown
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System


@dataclass(frozen=True, slots=True)
class Home(Context):
    """What opens the home page.

    `summary`: what the archive says of itself; `ways`: one way in for each reader.
    """

    template: ClassVar[str] = "browse/home.jinja"
    summary: str
    ways: Markup


def home_page(archive: Archive, lines: Lines, units: System, folders: bool) -> str:
    """Print a home page, for sites whose owner has not written one."""
    links = Links(addresses.HOME, folders)
    name = archive.settings.name.value
    summary = archive.settings.summary.value if archive.settings.summary else ""
    lead = rendered(Home(summary=summary, ways=ways(links)))
    parts = [Part("", lead), Part("Newest results", newest_results(archive, lines, links))]
    return page_markdown(name, summary, parts, units, trail=rendered(Switch()))
