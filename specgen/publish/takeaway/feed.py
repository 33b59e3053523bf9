"""The archive's news as an Atom feed (RFC 4287): new results, changed and withdrawn ones.

Every date is the archive's own, none the clock's, so that the same archive gives the same bytes.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID, uuid5
from xml.sax.saxutils import escape, quoteattr

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import MEASURING_POINTS
from specgen.analysis.workings import SessionSheet, best_of
from specgen.archive.model.build import Settings
from specgen.past.chronicle import Event
from specgen.past.telling import causes_words, moved_words
from specgen.publish import addresses
from specgen.publish.share.sharing import public_address
from specgen.publish.typesetting.blocks import sentence

#: Entries that a feed keeps.
NEWEST = 50
#: The room of names in which entries without an address of their own are named; any fixed one.
_SPACE = UUID("6f0a3f5e-2f55-5d0c-9a42-3a2bd3a5a0c1")


@dataclass(frozen=True, slots=True)
class Entry:
    """One piece of news of a build: what happened on a day."""

    build: str
    key: str
    title: str
    words: str
    day: datetime.date


def entries_of(sheet: Sheet, events: Iterable[Event] = ()) -> tuple[Entry, ...]:
    """What is new of one build: each session, what was withdrawn, each change of its figures."""
    return (*_entries(sheet), *_changes(sheet, events))


def _changes(sheet: Sheet, events: Iterable[Event]) -> Iterator[Entry]:
    """Changes that moved figures, each with its causes, its reason and the figures."""
    title = sheet.build.title.value
    for event in events:
        if event.first or not event.moved or event.date is None:
            continue
        told = "; ".join(moved_words(it, "metric") for it in event.moved)
        words = f"{sentence(event.why)} By {causes_words(event.causes)}: {told}."
        key = f"changed-{event.revision or event.date.isoformat()}"
        kind = "Corrected" if event.corrected else "Changed"
        yield Entry(sheet.id, key, f"{kind}: {title}", words, event.date)


def _entries(sheet: Sheet) -> Iterator[Entry]:
    title = sheet.build.title.value
    if (gone := sheet.build.withdrawn) is not None:
        yield Entry(sheet.id, "withdrawn", f"Withdrawn: {title}", gone.because.value, gone.on.value)
    for number, session in enumerate(sheet.sessions, 1):
        when = session.session.when
        if (gone := session.session.withdrawn) is not None:
            day = session.session.day or "an unrecorded day"
            words = f"The session of {day} no longer counts: {gone.because.value}"
            yield Entry(
                sheet.id, f"withdrawn-{number}", f"Withdrawn: {title}", words, gone.on.value
            )
        if when is not None:
            yield Entry(sheet.id, f"session-{number}", title, _result(session), when)
        for pull in session.withdrawn:
            if (gone := pull.pull.withdrawn) is not None:
                words = f"Pull {pull.id} no longer counts: {gone.because.value}"
                key = f"withdrawn-{pull.id}"
                yield Entry(sheet.id, key, f"Withdrawn: {title}", words, gone.on.value)


def _result(session: SessionSheet) -> str:
    """The session's highest power in words, with where it was measured."""
    best = best_of(session.pulls)
    place = MEASURING_POINTS[session.session.dyno.measured_at.value]
    if best is None or not best.rows["power"].present:
        return f"Tested, measured {place}."
    told = []
    for key in ("power", "torque", "boost"):
        row = best.rows[key]
        if row.present:
            figure = row.quantity.text(row.scalar, "metric", row.expanded)
            told.append(f"{row.quantity.title.lower()} {figure}")
    return f"Setup {best.setup.title}: {', '.join(told)}; {place}, {best.rows['power'].standing}."


def feed(settings: Settings, entries: Iterable[Entry], site_url: str, folders: bool) -> str:
    """The feed's text, newest first, with a final newline."""
    found = sorted(entries, key=lambda it: (it.day, it.build, it.key), reverse=True)[:NEWEST]
    name = settings.name.value
    here = public_address(site_url, addresses.FEED)
    home = public_address(site_url, addresses.HOME, folders)
    lines = [
        '<?xml version="1.0" encoding="utf-8"?>',
        '<feed xmlns="http://www.w3.org/2005/Atom">',
        f"<title>{escape(_plain(name))}</title>",
        f"<id>{escape(here) or _name(name, '', '')}</id>",
        f"<updated>{_moment(found[0].day if found else datetime.date(1980, 1, 1))}</updated>",
        f"<author><name>{escape(_plain(name))}</name></author>",
    ]
    if here:
        lines += [f'<link rel="self" href={quoteattr(here)}/>', f"<link href={quoteattr(home)}/>"]
    if settings.invented:
        lines.append("<subtitle>All data is invented.</subtitle>")
    lines += [_entry(it, name, site_url, folders) for it in found]
    return "\n".join([*lines, "</feed>"]) + "\n"


def _entry(it: Entry, name: str, site_url: str, folders: bool) -> str:
    links = addresses.Links(addresses.FEED, folders)
    page = addresses.build(it.build)
    href = public_address(site_url, page, folders) or str(links.to(page))
    lines = [
        "<entry>",
        f"<title>{escape(_plain(it.title))}</title>",
        f"<id>{_name(name, it.build, it.key)}</id>",
        f"<updated>{_moment(it.day)}</updated>",
        f"<link href={quoteattr(href)}/>",
        f"<summary>{escape(_plain(it.words))}</summary>",
        "</entry>",
    ]
    return "\n".join(lines)


def _name(archive: str, build: str, key: str) -> str:
    """A name that stays when the site moves, and is another for each piece of news."""
    return f"urn:uuid:{uuid5(_SPACE, '/'.join((archive, build, key)))}"


def _moment(day: datetime.date) -> str:
    return f"{day.isoformat()}T00:00:00Z"


def _plain(text: str) -> str:
    """A text without what XML cannot carry."""
    return "".join(it for it in " ".join(text.split()) if it >= " " and it not in "\ufffe\uffff")
