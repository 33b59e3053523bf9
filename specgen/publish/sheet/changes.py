"""How a sheet came to be: each change of its headline figures, by what and why, newest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.sheet import Sheet
from specgen.past.chronicle import Event
from specgen.past.figures import Moved
from specgen.past.telling import causes_words
from specgen.publish.addresses import Links
from specgen.publish.typesetting.blocks import Warned, sentence
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.figures import words_in_both
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered

#: Changes that a reader sees without opening the rest.
_OPEN = 4


@dataclass(frozen=True, slots=True)
class MovedLine:
    """A figure that a change moved.

    `title`: what it is, and of what; `before`, `after`: as it was printed, or that it was not
    there.
    """

    title: str
    before: Markup | str
    after: Markup | str


@dataclass(frozen=True, slots=True)
class EventLine:
    """A change of the build.

    `day`: its date in words; `tag`: that it was a correction, or nothing; `by`: its causes; `why`:
    what was said of it; `moved`: the figures.
    """

    day: str
    tag: str
    by: str
    why: str
    moved: Sequence[MovedLine]


@dataclass(frozen=True, slots=True)
class History(Context):
    """How a sheet came to be.

    `newest`: the changes that stand open; `older`: the others; `editions`: name of each edition
    that the build stands in, and the link to its sheet there.
    """

    template: ClassVar[str] = "sheet/history.jinja"
    newest: Sequence[EventLine]
    older: Sequence[EventLine]
    editions: Sequence[tuple[str, str]]


def history_part(
    events: Sequence[Event], editions: Sequence[tuple[str, str]], links: Links
) -> Iterator[Part]:
    """Tell every change of the build's figures, newest first; nothing where nobody knows any."""
    if not events and not editions:
        return
    stands_in = [(name, links.to(address)) for name, address in editions]
    lines = [_line(it) for it in reversed(events)]
    block = rendered(History(newest=lines[:_OPEN], older=lines[_OPEN:], editions=stands_in))
    heading = "What changed in its figures"
    yield Part(heading, block, searchable=False, fold=_in_words(lines), kind="sg-rest")


def _in_words(lines: Sequence[EventLine]) -> str:
    """How often the build was changed, and when last."""
    last = f", the last on {lines[0].day}" if lines[0].day else ""
    return f"{len(lines)} change{'s' if len(lines) > 1 else ''}{last}"


def _line(event: Event) -> EventLine:
    return EventLine(
        day=day_words(event.date) if event.date else "",
        tag="Corrected" if event.corrected else "",
        by=_by(event),
        why=sentence(event.why) if event.why else "",
        moved=[_moved(it) for it in event.moved],
    )


def _by(event: Event) -> str:
    """What kind of change it was."""
    if event.first:
        return "First recorded"
    if not event.causes:
        return ""
    if event.causes == ("words",):
        return "Words only; no headline figure moved"
    words = causes_words(event.causes)
    return f"By {words}"


def _moved(it: Moved) -> MovedLine:
    of = f", {it.told.of}" if it.told.of else ""
    was, now = it.before, it.after
    return MovedLine(
        f"{it.told.title}{of}",
        words_in_both(was.text) if was else "not there",
        words_in_both(now.text) if now else "not there",
    )


def corrected_block(sheet: Sheet) -> Iterator[Part]:
    """Say beside the headline that figures were put right, for as long as the archive says so."""
    for it in sheet.build.corrections:
        words = f"Corrected on {day_words(it.on.value)}."
        yield Part("", rendered(Warned(words=words, because=sentence(it.because.value))))
