"""A page of ours taken apart again: what stands in its head, and its headings between its blocks.

An engine that reads Markdown needs none of this. One whose theme is handed finished HTML saves the
Markdown pass: the blocks go there as they are, and only the headings are left to be turned into
elements. Rests on what `page_markdown` writes: pieces between blank lines, each a heading or one
block, and no blank line inside any.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

_HEAD = re.compile(r"---\n(.*?)\n---\n+", re.DOTALL)
_HIDDEN = re.compile(r"[\w-]+")


@dataclass(frozen=True, slots=True)
class Finished:
    """A page's title and description as HTML, what its theme shall hide, and its pieces in order.

    A piece is a heading as Markdown, "## Limits", or a block of finished HTML.
    """

    title: str
    description: str
    hide: tuple[str, ...]
    pieces: tuple[str, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings as Markdown, in order."""
        return tuple(piece for piece in self.pieces if is_heading(piece))

    def with_headings(self, elements: Sequence[str]) -> str:
        """The page's HTML, an element in the place of each heading.

        A block ends in a blank line, as the Markdown pass has it.
        """
        rest = iter(elements)
        shown = (next(rest) if is_heading(it) else f"{it}\n" for it in self.pieces)
        return "\n".join(shown).rstrip("\n")


def is_heading(piece: str) -> bool:
    """Whether a piece is a heading; a block begins with its element."""
    return piece.startswith("#")


def finished(text: str) -> Finished:
    """Take a page apart that `page_markdown` put together; ValueError for any other text."""
    head = _HEAD.match(text)
    if head is None:
        raise ValueError("no front matter: not a page of ours")
    told = dict(line.split(": ", 1) for line in head.group(1).splitlines())
    pieces = text[head.end() :].strip("\n").split("\n\n")
    return Finished(
        json.loads(told["title"]),
        json.loads(told.get("description", '""')),
        tuple(_HIDDEN.findall(told.get("hide", ""))),
        tuple(pieces),
    )
