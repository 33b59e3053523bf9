"""A page as an engine gets it: front matter, Markdown headings, and blocks of finished HTML.

Headings are Markdown so that every engine builds its own table of contents and anchors from them;
everything below a heading is one block of HTML, which no engine touches.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import ClassVar

from markupsafe import Markup

from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.markup import heading_text, one_block, safe
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System, own_words


@dataclass(frozen=True, slots=True)
class Part:
    """One section: a heading of our own words ("" for none) and the HTML below it.

    `searchable` is False for tables of figures, which would swell the search index. A part with
    the words of a `fold` opens from them. `kind` are classes of our styles for the whole part.
    """

    heading: str
    block: Markup
    searchable: bool = True
    level: int = 2
    fold: str = ""
    kind: str = ""


def page_markdown(
    title: str,
    description: str,
    parts: Iterable[Part],
    units: System,
    *,
    trail: Markup,
    hide: tuple[str, ...] = (),
    found: bool = True,
    head: str = "",
) -> str:
    """Put a page together; title and description are plain text, the trail stands above all.

    `head` is what stands at the head of each page of paper, where it is not the title alone.

    `hide` asks a theme that knows it to leave out "navigation" or "toc", so that tables have room;
    a page that is not to be `found` stays out of a theme's search.
    """
    matter = _front_matter(title, description, hide, found)
    named = Markup('<span data-sg-head="{}"></span>').format(safe(head)) if head else Markup("")
    pieces = [matter, wrapped(trail + named, units, searchable=False)]
    pieces.append(f"# {heading_text(title)}")
    for part in parts:
        if part.heading:
            pieces.append(f"{'#' * part.level} {heading_text(part.heading)}")
        if part.block:
            block = rendered(Fold(words=part.fold, block=part.block)) if part.fold else part.block
            pieces.append(wrapped(block, units, searchable=part.searchable, kind=part.kind))
    return "\n\n".join(pieces) + "\n"


@dataclass(frozen=True, slots=True)
class Fold(Context):
    """A part that is closed until it is asked for.

    `words`: what is in it; `block`: that.
    """

    template: ClassVar[str] = "typesetting/fold.jinja"
    words: str
    block: Markup


def fixed_page(
    links: Links,
    description: str,
    parts: Iterable[Part],
    units: System,
    *,
    hide: tuple[str, ...] = (),
) -> str:
    """Put one of the pages together that every site has; its title stands in `PAGES`."""
    way = trail(links, links.page)
    return page_markdown(
        addresses.PAGES[links.page], description, parts, units, trail=way, hide=hide
    )


@dataclass(frozen=True, slots=True)
class Trail(Context):
    """The way to this page.

    `steps`: title and link of each, the last without one; `style`: the link to the style of pages
    that are read, or nothing on those that are tools; `own`: what a workshop's own units are
    called, or nothing.
    """

    template: ClassVar[str] = "typesetting/trail.jinja"
    steps: Sequence[tuple[str, str]]
    style: str
    own: str = field(default_factory=own_words)


def trail(
    links: Links, *above: str, under: tuple[str, str] | None = None, title: str = ""
) -> Markup:
    """Print the way to this page: addresses of `PAGES` from the home page on, then its title.

    `under`: title and address of a page between the two.
    """
    steps = [addresses.HOME, *above]
    walked = [(addresses.PAGES[step], str(links.to(step))) for step in steps]
    if under:
        walked.append((under[0], str(links.to(under[1]))))
    if title:
        walked.append((title, ""))
    walked[-1] = (walked[-1][0], "")
    style = "" if links.page in _TOOLS else links.to(addresses.READING_STYLE)
    return rendered(Trail(steps=walked, style=style))


#: Pages that a reader works with: they load scripts instead of the style of what is read.
_TOOLS = (addresses.BUILDS, addresses.COMPARE, addresses.FIND, addresses.ESTIMATE)


def wrapped(block: Markup, units: System, *, searchable: bool = True, kind: str = "") -> Markup:
    """Wrap a block so that our styles know it, its kind, and the units that are shown first."""
    hidden = "" if searchable else " data-search-exclude"
    kinds = f"sg sg-{units} {kind}".strip()
    return one_block(f'<div class="{kinds}"{hidden}>\n{block}\n</div>')


def _front_matter(title: str, description: str, hide: tuple[str, ...], found: bool) -> str:
    """Write title and description; themes print both into HTML as they stand."""
    lines = [f"title: {_quoted(title)}"]
    if description:
        lines.append(f"description: {_quoted(description)}")
    if hide:
        lines.append(f"hide: [{', '.join(hide)}]")
    if not found:
        lines.append("search: {exclude: true}")
    return "\n".join(["---", *lines, "---"])


def _quoted(text: str) -> str:
    return json.dumps(safe(text).strip(), ensure_ascii=False)
