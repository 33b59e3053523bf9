"""The home page, for sites whose owner has not written one."""

from __future__ import annotations

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.browse.builds import Sheets, newest_results
from specgen.publish.typesetting.page import Part, page_markdown
from specgen.publish.typesetting.rendering import rendered
from specgen.vocabulary import System


def home_page(archive: Archive, sheets: Sheets, units: System, folders: bool) -> str:
    """Print a home page, for sites whose owner has not written one."""
    links = Links(addresses.HOME, folders)
    name = archive.settings.name.value
    summary = archive.settings.summary.value if archive.settings.summary else ""
    lead = rendered("browse/home.jinja", summary=summary, links=links, addresses=addresses)
    parts = [Part("", lead), Part("Newest results", newest_results(archive, sheets, links))]
    return page_markdown(name, summary, parts, units, trail=rendered("typesetting/switch.jinja"))
