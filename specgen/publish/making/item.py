"""One file of the site, as whoever publishes it gets it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from specgen.publish.search.entry import Entry

Content = str | bytes


@dataclass(frozen=True, slots=True)
class Item:
    """One file of the site's sources.

    `address` is its path, `given` its content or what gives it when it is asked for, `source` the
    archive's file that a reader edits to change it, `leaf` keeps it out of the navigation, `date`
    (year-month-day) is that of its newest content, `picture` the address of what a shared link of
    it shows, `linked` what it is as linked data, `entry` what a search finds of it. `mark` tells
    one content from another where that is known without loading it.
    """

    address: str
    given: Content | Callable[[], Content] = field(repr=False)
    title: str = ""
    source: str | None = None
    description: str = ""
    leaf: bool = False
    date: str = ""
    picture: str = ""
    linked: str = ""
    entry: Entry | None = None
    mark: str = ""

    @property
    def content(self) -> Content:
        """The content; loaded anew each time where it is not at hand."""
        return self.given() if callable(self.given) else self.given
