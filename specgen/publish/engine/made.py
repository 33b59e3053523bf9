"""Pages and files that are finished before the engine gets them.

A made page passes the theme's template and nothing else: no Markdown pass, and no search that
reads its HTML. Its HTML is there only while its template is printed.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import markdown
from jinja2 import Template
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents, get_toc

from specgen.publish.making.item import Item
from specgen.publish.search.entries import page_entries
from specgen.publish.typesetting.finished import Finished, finished
from specgen.publish.typesetting.markup import safe

#: The template that prints a page's content and nothing else.
FINISHED = "specgen-finished.html"
_ELEMENTS = re.compile(r"\n(?=<h[1-6][ >])")
_IDS = re.compile(r'\sid="([^"]+)"')


class Headings:
    """Headings as this site's settings print them, with anchors and whatever else they add.

    The engine's own library makes them, since its extensions may number or link them.
    """

    def __init__(self, config: MkDocsConfig) -> None:
        self._markdown = markdown.Markdown(
            extensions=config.markdown_extensions, extension_configs=config.mdx_configs or {}
        )

    def printed(self, headings: tuple[str, ...]) -> tuple[list[str], TableOfContents]:
        """Give an element a heading and the table of contents; ValueError if that is not so."""
        made = self._markdown.reset().convert("\n\n".join(headings))
        elements = _ELEMENTS.split(made)
        if len(elements) != len(headings):
            raise ValueError("an extension makes more or less than one element of a heading")
        return elements, get_toc(getattr(self._markdown, "toc_tokens", []))


class MadeFile(File):
    """A file of ours, whose bytes or text its item gives when their turn comes."""

    def __init__(self, item: Item, config: MkDocsConfig) -> None:
        level = InclusionLevel.NOT_IN_NAV if item.leaf else InclusionLevel.UNDEFINED
        super().__init__(
            item.address, None, config.site_dir, config.use_directory_urls, inclusion=level
        )
        self.generated_by = "specgen"
        self.take(item)

    def take(self, item: Item) -> None:
        """Hold what an item says."""
        self._load: Callable[[], str | bytes] = lambda: item.content

    @property
    def _content(self) -> str | bytes | None:
        """What the engine takes for the content of a file that lies in memory."""
        return self._load()

    @_content.setter
    def _content(self, value: str | bytes | None) -> None:
        self._load = lambda: value or b""


class MadePage(Page):
    """A page of ours, whose file holds what `page_markdown` wrote.

    `entries` are what a search finds of it: the item's own, or one a section. What is not needed
    before its template is printed is not even read before.
    """

    def __init__(
        self,
        title: str | None,
        file: MadeFile,
        config: MkDocsConfig,
        headings: Headings,
        item: Item,
    ) -> None:
        self.take(item)
        self._headings = headings
        super().__init__(title, file, config)

    def take(self, item: Item) -> None:
        """Be the page that an item is."""
        self.item = item
        self.entries = [item.entry] if item.entry is not None else []

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002 - the engine's signature
        """Take over what stands in the page's head; what is below it is not Markdown's to read."""
        self.markdown = ""
        # The search that a theme brings is told to leave the page out: its entry is of our own.
        self.meta = {
            "title": str(safe(self.item.title)),
            "search": {"exclude": True},
            "template": FINISHED,
        }
        if not self.item.leaf and not self.entries:
            page, elements = self._opened()
            self.entries = list(page_entries(self.item.address, page, elements))

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002 - likewise
        """Have nothing rendered; the HTML comes when the template is printed."""
        self.content = ""

    @property
    def mark(self) -> str:
        """What tells the page's text from another's."""
        text = self.item.mark or self.file.content_string
        return hashlib.sha256(text.encode("utf-8")).hexdigest()

    def printed(self, template: Template, context: Mapping[str, Any]) -> str:
        """The page in a template; its HTML is let go of afterwards."""
        page, elements = self._opened()
        self.content = page.with_headings(elements)
        try:
            return template.render(context)
        finally:
            self.content = ""

    def _opened(self) -> tuple[Finished, list[str]]:
        """Take the page's text apart, and over what its head says; give its headings too."""
        page = finished(self.file.content_string)
        self.meta["title"] = page.title
        if page.description:
            self.meta["description"] = page.description
        if page.hide:
            self.meta["hide"] = list(page.hide)
        elements, self.toc = self._headings.printed(page.headings)
        return page, elements

    @property
    def present_anchor_ids(self) -> set[str] | None:
        """What a link in a hand-written page may lead to; looked for only where one does."""
        page, elements = self._opened()
        return set(_IDS.findall(page.with_headings(elements)))

    @present_anchor_ids.setter
    def present_anchor_ids(self, value: set[str] | None) -> None:
        """Take nothing over: the page knows its anchors."""


def titles(nav: Any) -> Iterator[tuple[str, str]]:
    """Address and title of each page that a site's navigation names with a title."""
    if isinstance(nav, list):
        for part in nav:
            yield from titles(part)
    elif isinstance(nav, dict):
        for title, part in nav.items():
            if isinstance(part, str):
                yield part, str(title)
            else:
                yield from titles(part)
