"""Pages and files that are finished before the engine gets them.

A made page passes the theme's template and nothing else: no Markdown pass, and no search that
reads its HTML. Its HTML is there only while its template is printed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import markdown
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents, get_toc

from specgen.publish.search.entries import page_entries
from specgen.publish.search.entry import Entry
from specgen.publish.typesetting.finished import Finished, finished

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
    """A file of ours, whose bytes or text `load` gives when their turn comes."""

    def __init__(
        self,
        address: str,
        config: MkDocsConfig,
        inclusion: InclusionLevel,
        load: Callable[[], str | bytes],
    ) -> None:
        super().__init__(
            address, None, config.site_dir, config.use_directory_urls, inclusion=inclusion
        )
        self.generated_by = "specgen"
        self._load = load

    @property
    def _content(self) -> str | bytes | None:
        """What the engine takes for the content of a file that lies in memory."""
        return self._load()

    @_content.setter
    def _content(self, value: str | bytes | None) -> None:
        self._load = lambda: value or b""


class MadePage(Page):
    """A page of ours, whose file holds what `page_markdown` wrote.

    `searched` is the entry by which a search finds it, or says whether to make one a section;
    `entries` are those that it has got.
    """

    def __init__(
        self,
        title: str | None,
        file: MadeFile,
        config: MkDocsConfig,
        headings: Headings,
        *,
        searched: Entry | bool = True,
    ) -> None:
        self._in_sections = searched is True
        self.entries = [searched] if isinstance(searched, Entry) else []
        self._headings = headings
        self._elements: list[str] = []
        super().__init__(title, file, config)

    def read_source(self, config: MkDocsConfig) -> None:  # noqa: ARG002 - the engine's signature
        """Take over what stands in the page's head; what is below it is not Markdown's to read."""
        page = self._taken_apart()
        self.markdown = ""
        # The search that a theme brings is told to leave the page out: its entry is of our own.
        self.meta = {"title": page.title, "search": {"exclude": True}}
        if page.description:
            self.meta["description"] = page.description
        if page.hide:
            self.meta["hide"] = list(page.hide)
        self._elements, self.toc = self._headings.printed(page.headings)
        if self._in_sections:
            self.entries = list(page_entries(self.file.src_uri, page, self._elements))

    def render(self, config: MkDocsConfig, files: Files) -> None:  # noqa: ARG002 - likewise
        """Have nothing rendered; the HTML comes when the template asks for it."""
        self.content = ""

    def unfold(self) -> None:
        """Have the page's HTML at hand, for its template."""
        self.content = self._taken_apart().with_headings(self._elements)

    def fold(self) -> None:
        """Let go of the page's HTML."""
        self.content = ""

    @property
    def present_anchor_ids(self) -> set[str] | None:
        """What a link in a hand-written page may lead to; looked for only where one does."""
        page = self._taken_apart()
        return set(_IDS.findall(page.with_headings(self._elements)))

    @present_anchor_ids.setter
    def present_anchor_ids(self, value: set[str] | None) -> None:
        """Take nothing over: the page knows its anchors."""

    def _taken_apart(self) -> Finished:
        return finished(self.file.content_string)


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
