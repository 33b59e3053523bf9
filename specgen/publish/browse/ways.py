"""One way in for each reader: what the home page offers, and a page that is not there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.archive.model.build import Archive
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.rendering import Context, rendered

#: Address, title and words of each way, in the order of the home page.
_WAYS = (
    (
        addresses.FIND,
        "Find one like mine",
        "Say what engine you have and what you wish: the nearest tested combos, what they made.",
    ),
    (
        addresses.ESTIMATE,
        "On your engine",
        "Say what engine you have: what each blower and pulley would do on it, as an estimate.",
    ),
    (
        addresses.BUILDS,
        "All builds",
        "Every build with its best result, newest first, to sort, filter and compare.",
    ),
    (
        addresses.BLOWERS,
        "Blowers",
        "What each one moves, what limits it, and the builds that run it.",
    ),
    (
        addresses.METHOD,
        "How we test",
        "How figures are measured, corrected and estimated, and how sure each is.",
    ),
)


@dataclass(frozen=True, slots=True)
class Ways(Context):
    """Ways into the site.

    `ways`: title, words and link of each; `style`: the link to their style.
    """

    template: ClassVar[str] = "browse/ways.jinja"
    ways: Sequence[tuple[str, str, str]]
    style: str


def ways_in(_archive: Archive, _lines: object, links: Links) -> Markup:
    """Print one way in for each kind of reader."""
    return ways(links)


def ways(links: Links, base: str = "") -> Markup:
    """Print the ways; `base` stands before each link, where a page has no place of its own."""
    lines = [(title, words, base + links.to(address)) for address, title, words in _WAYS]
    return rendered(Ways(ways=lines, style=base + links.to(addresses.BROWSE_STYLE)))


@dataclass(frozen=True, slots=True)
class NotFound(Context):
    """What stands where a page is asked for that is not there.

    `ways`: the ways on.
    """

    template: ClassVar[str] = "browse/not_found.jinja"
    ways: Markup


def not_found(base: str, folders: bool) -> Markup:
    """Say that there is no such page, with ways on; links begin with the path of the site."""
    return rendered(NotFound(ways=ways(Links(addresses.HOME, folders), base)))
