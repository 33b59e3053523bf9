"""Editions of a site: which state of the archive a page shows, and the way to the others."""

from __future__ import annotations

import datetime
import posixpath
import re
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from importlib.metadata import version
from pathlib import Path
from typing import ClassVar

from specgen.past.tags import Tag
from specgen.publish import addresses
from specgen.publish.delivery.manifest import OWN
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.rendering import Context, rendered

#: Where the editions lie in a site, a folder each.
ROOM = "editions"
#: Where a page's own text begins; the body of a page whose theme has no article.
_BEGINS = (re.compile(r"<article\b[^>]*>", re.IGNORECASE),
           re.compile(r"<body\b[^>]*>", re.IGNORECASE))  # fmt: skip


@dataclass(frozen=True, slots=True)
class EditionLine(Context):
    """Which edition a page belongs to.

    `tag`: its name, `day`: its day, nothing for the newest state; `version`: of this program;
    `others`: name and link of each edition, no link for the page's own.
    """

    template: ClassVar[str] = "typesetting/edition.jinja"
    tag: str
    day: str
    version: str
    others: Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Editions:
    """The editions that a site has, and the one that it is; none for the newest state.

    `made` has the folder of each edition's finished pages, `archive` that of this one's files;
    `names` the ids that builds had in each edition.
    """

    tags: tuple[Tag, ...] = ()
    shown: Tag | None = None
    archive: Path | None = None
    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    made: Mapping[str, Path] = field(default_factory=dict)

    def told(self, page: str, url: str) -> str:
        """A page's HTML with a line that says which edition it is; as it is where there is one."""
        if not self.tags and self.shown is None:
            return page
        line = rendered(
            EditionLine(
                tag=self.shown.name if self.shown else "",
                day=_day(self.shown.day) if self.shown else "",
                version=version("specgen"),
                others=list(self._others(url)),
            )
        )
        begun = next(filter(None, (it.search(page) for it in _BEGINS)), None)
        if begun is None:
            return page
        return f'{page[: begun.end()]}<div class="sg">{line}</div>{page[begun.end() :]}'

    def _others(self, url: str) -> Sequence[tuple[str, str]]:
        up = posixpath.relpath(".", posixpath.dirname(url) or ".")
        top = up if self.shown is None else posixpath.join(up, "..", "..")
        newest = ("newest", "" if self.shown is None else f"{top}/")
        links = [
            (it.name, "" if it == self.shown else f"{top}/{ROOM}/{it.folder}/")
            for it in reversed(self.tags)
        ]
        return [newest, *links]

    def of_build(self, build: str) -> tuple[tuple[str, str], ...]:
        """The editions that a build stands in: name, and address of its sheet there."""
        return tuple(
            (it.name, f"{ROOM}/{it.folder}/{addresses.build(self.names[it.name][build])}")
            for it in self.tags
            if build in self.names.get(it.name, {})
        )

    def address_below(self, site_url: str) -> str:
        """The address of this edition's pages, below the site's."""
        assert self.shown is not None
        return f"{site_url.rstrip('/')}/{ROOM}/{self.shown.folder}/"

    def copied_to(self, stage: Path) -> None:
        """Put the finished pages of each edition into a site that is being made."""
        for folder, made in self.made.items():
            target = stage / ROOM / folder
            shutil.copytree(made, target, ignore=lambda _at, names: OWN & set(names))


def _day(text: str) -> str:
    try:
        return day_words(datetime.date.fromisoformat(text))
    except ValueError:
        return ""
