"""Reading what a page says, for tests of pages."""

from __future__ import annotations

import hashlib
import html
import re

from specgen.analysis.sheet import Sheet, analyse
from specgen.publish.making.item import Item
from specgen.publish.site import Site


def text_of(page: str) -> str:
    """What a page says, without markup and with plain spaces."""
    return html.unescape(re.sub(r"<[^>]*>", "", page)).replace("\u202f", " ")


def part(items: dict[str, Item], build: str, heading: str) -> str:
    """One part of a sheet, from its heading to the next; empty if it does not stand."""
    return part_of(str(items[f"builds/{build}/index.md"].content), heading)


def known(items: dict[str, Item], build: str, heading: str) -> str:
    """One part of the page that tells where a sheet's figures come from."""
    return part_of(str(items[f"builds/{build}/figures/index.md"].content), heading)


def part_of(page: str, heading: str) -> str:
    """One part of a page, from its heading to the next; empty if it does not stand."""
    return re.split(r"^## ", page.partition(f"\n## {heading}")[2], maxsplit=1, flags=re.MULTILINE)[
        0
    ]


def digest(item: Item) -> str:
    """All that an item says, in short."""
    return hashlib.sha256(f"{item!r} {item.content!r}".encode()).hexdigest()


#: The sheets of each site that was asked for, and the site, so that no other gets its number.
_KNOWN: dict[int, tuple[Site, dict[str, Sheet]]] = {}


def sheets_of(site: Site) -> dict[str, Sheet]:
    """All sheets that a site's pages are printed from, by id; made once a site."""
    if id(site) not in _KNOWN:
        _KNOWN[id(site)] = site, analyse(site.archive)
    return _KNOWN[id(site)][1]
