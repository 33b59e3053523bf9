"""Blocks that several pages have, as their templates take them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Protocol

from markupsafe import Markup

from specgen.archive.model.standing import Withdrawn
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import own_words


class Drawn(Protocol):
    """A chart ready for a page."""

    @property
    def caption(self) -> Markup:
        """What it finds, in both unit systems."""

    @property
    def wide(self) -> Markup:
        """It as wide as a page."""

    @property
    def narrow(self) -> Markup:
        """It as narrow as a phone."""


@dataclass(frozen=True, slots=True)
class Facts(Context):
    """Pairs of words and value.

    `facts`: each pair.
    """

    template: ClassVar[str] = "typesetting/facts.jinja"
    facts: Sequence[tuple[str, Markup]]


@dataclass(frozen=True, slots=True)
class EditLink(Context):
    """Where a page's file is edited.

    `file`: the archive's file; `edit`: the link, or nothing.
    """

    template: ClassVar[str] = "typesetting/edit.jinja"
    file: str
    edit: str


@dataclass(frozen=True, slots=True)
class Charts(Context):
    """Drawings one below the other.

    `charts`: each with its caption, wide and narrow.
    """

    template: ClassVar[str] = "typesetting/charts.jinja"
    charts: Sequence[Drawn]


@dataclass(frozen=True, slots=True)
class Note(Context):
    """A paragraph.

    `words`: what it says.
    """

    template: ClassVar[str] = "typesetting/note.jinja"
    words: str


@dataclass(frozen=True, slots=True)
class Warned(Context):
    """A paragraph that a reader is to meet before what follows.

    `words`: what it says; `because`: why.
    """

    template: ClassVar[str] = "typesetting/warned.jinja"
    words: str
    because: str


def sentence(text: str) -> str:
    """Make a sentence of words that somebody wrote as a reason: a capital first, a stop last."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def withdrawn_block(what: str, withdrawn: Withdrawn) -> Markup:
    """Say that something no longer counts, since when and why."""
    words = f"{what} was withdrawn on {day_words(withdrawn.on.value)}."
    stay = "The figures stay to be read; no ranking, fit or average has them."
    because = f"{sentence(withdrawn.because.value)} {stay}"
    return rendered(Warned(words=words, because=because))


@dataclass(frozen=True, slots=True)
class Switch(Context):
    """The place of the switch of units.

    `own`: what a workshop's own units are called, or nothing.
    """

    template: ClassVar[str] = "typesetting/switch.jinja"
    own: str = field(default_factory=own_words)
