"""A build's sheet as a page: its parts in order, each only where there is something to say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from markupsafe import Markup

from specgen.analysis.judging.trouble import troubles
from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import (
    DYNOS,
    MEASURING_POINTS,
    engine_words,
    fuel_words,
    induction_words,
)
from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.past.chronicle import Event
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.share import sharing
from specgen.publish.sheet.changes import corrected_block, history_part
from specgen.publish.sheet.drive import drive
from specgen.publish.sheet.end import accepted_part, cautions_part, data_part
from specgen.publish.sheet.facts import record
from specgen.publish.sheet.fit import misfits
from specgen.publish.sheet.known import knowing, known_page, told
from specgen.publish.sheet.ladder import ladder, top_speeds
from specgen.publish.sheet.outings import outings
from specgen.publish.sheet.record import section
from specgen.publish.sheet.results import air_path, limits, power_and_torque
from specgen.publish.sheet.sessions import tests
from specgen.publish.sheet.ways_on import jumps, next_steps
from specgen.publish.typesetting.blocks import withdrawn_block
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.page import Part, page_markdown, trail
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.shots import Shot
from specgen.vocabulary import System


class Neighbour(NamedTuple):
    """The build of a sheet beside this one, in the order of the index."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a sheet needs to know of the site around it, and of the changes that it went through."""

    folders: bool = True
    before: Neighbour | None = None
    after: Neighbour | None = None
    edit: str = ""
    site_url: str = ""
    shots: tuple[Shot, ...] = ()
    events: tuple[Event, ...] = ()
    editions: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A printed sheet: its Markdown, and every figure it shows or rests on, with its scope's title.

    `known` is the Markdown of the page that tells where the figures come from. The figures are
    handed on, so that the sheet as data has each of them.
    """

    text: str
    known: str
    shown: tuple[tuple[str, Row], ...]


def sheet_page(archive: Archive, sheet: Sheet, around: Surroundings) -> SheetPage:
    """Print one build's sheet."""
    links = Links(addresses.build(sheet.id), around.folders)
    predicted = (scope for setup in sheet.setups for scope in (setup.held_out, setup.over_speed))
    twins = {scope.name: scope.twin for scope in predicted}
    pulls = (*sheet.pulls, *sheet.withdrawn)
    earlier = {it.rows.name: [f"pull {old}" for old in it.pull.earlier] for it in pulls}
    figures = Provenance(links, addresses.figures(sheet.id), twins, earlier)
    units = archive.settings.units.value
    way_there = Links(addresses.figures(sheet.id), around.folders)
    tops = list(top_speeds(sheet, figures.seen_from(way_there)))
    parts = list(_parts(archive, sheet, figures, units, around))
    parts[1:1] = jumps([part.heading for part in parts])
    way = trail(links, addresses.BUILDS, title=sheet.build.title.value)
    text = page_markdown(
        sheet.build.title.value, description(sheet), parts, units, trail=way, hide=("navigation",),
        head=sharing.paper_head(sheet),
    )  # fmt: skip
    known = known_page(sheet, figures, units, tops)
    return SheetPage(text, known, told(sheet, figures))


def description(sheet: Sheet) -> str:
    """The sheet in one plain sentence."""
    if sheet.build.summary:
        return sheet.build.summary.value
    return f"{_what(sheet)}."


def _what(sheet: Sheet) -> str:
    kind = sheet.blower.kind.value if sheet.blower else None
    words = f"{engine_words(sheet.build)}, {induction_words(sheet.build, kind)}"
    return words[0].upper() + words[1:]


@dataclass(frozen=True, slots=True)
class Lead(Context):
    """What opens a sheet.

    `summary`: the sheet in a sentence; `facts`: the line of facts; `steps`: words and links of
    where to go on; `code`: the address as a code for paper, or nothing; `script`: the link to
    that of sheets; `style`: that to the record's.
    """

    template: ClassVar[str] = "sheet/lead.jinja"
    summary: str
    facts: Sequence[str]
    steps: Sequence[tuple[str, str]]
    code: Markup | str
    script: str
    style: str


@dataclass(frozen=True, slots=True)
class HeadlineCell:
    """One large figure.

    `title`: what it is; `row`: the figure; `at`: the speed it stands at; `notes`: what stands
    beneath it.
    """

    title: str
    row: Row
    at: Row | None
    notes: Sequence[str]


@dataclass(frozen=True, slots=True)
class Headline(Context):
    """Large figures.

    `cells`: title, row, speed and notes of each; `words`: the link to what words mean;
    `figures`: prints and remembers a row.
    """

    template: ClassVar[str] = "sheet/headline.jinja"
    cells: Sequence[HeadlineCell]
    words: str
    figures: Provenance


@dataclass(frozen=True, slots=True)
class Neighbours(Context):
    """The sheets beside this one.

    `before`: title and link of the one before; `after`: those of the next; `builds`: the link to
    all builds; `address`: where this page stands, for paper.
    """

    template: ClassVar[str] = "sheet/neighbours.jinja"
    before: tuple[str, str] | None
    after: tuple[str, str] | None
    builds: str
    address: str


@dataclass(frozen=True, slots=True)
class Contradiction(Context):
    """What the build's files deny each other.

    `found`: each trouble.
    """

    template: ClassVar[str] = "sheet/contradiction.jinja"
    found: Sequence[Finding]


def _parts(
    archive: Archive, sheet: Sheet, figures: Provenance, units: System, around: Surroundings
) -> Iterator[Part]:
    """All parts in the order a reader meets them."""
    yield Part("", _lead(sheet, figures.links, around))
    if sheet.build.withdrawn:
        yield Part("", withdrawn_block("This build", sheet.build.withdrawn))
    yield from corrected_block(sheet)
    if found := troubles(sheet):
        yield Part("", rendered(Contradiction(found=found)))
    yield Part("", _headline(sheet, figures), searchable=False)
    yield from power_and_torque(sheet, figures.links, units)
    yield from ladder(sheet, figures)
    yield from limits(sheet, figures)
    yield from misfits(sheet, figures, units)
    yield from drive(sheet, figures.links, units)
    known = figures.links.to(addresses.figures(sheet.id))
    yield Part("", section.paper_choice(sheet, known), searchable=False)
    yield from air_path(sheet, figures, units)
    yield from record(sheet, figures, units, around.shots)
    yield from tests(sheet, figures)
    yield from outings(sheet, figures)
    yield from accepted_part(archive, sheet, figures.links)
    yield knowing(sheet, figures)
    yield from history_part(around.events, around.editions, figures.links)
    yield data_part(sheet, figures.links, around.edit, units)
    yield cautions_part(sheet, figures.links)
    yield Part("", _neighbours(sheet, figures.links, around))


def _lead(sheet: Sheet, links: Links, around: Surroundings) -> Markup:
    address = sharing.public_address(around.site_url, addresses.build(sheet.id), around.folders)
    return rendered(
        Lead(
            summary=description(sheet),
            facts=list(_facts(sheet)),
            steps=next_steps(sheet, links),
            code=sharing.code(address) if address else "",
            script=links.to(addresses.SHEET_SCRIPT),
            style=links.to(addresses.RECORD_STYLE),
        )
    )


def _facts(sheet: Sheet) -> Iterator[str]:
    """The line of facts: tested or planned, where measured, fuel, date."""
    yield _what(sheet)
    if sheet.blower:
        yield sheet.blower.title.value
    best = sheet.best
    if best is None:
        yield "planned, not tested yet"
    else:
        session = best.session
        place = MEASURING_POINTS[session.dyno.measured_at.value]
        yield f"tested {day_words(session.date.value)}"
        yield f"{DYNOS[session.dyno.kind.value]}, power {place}"
    fuels = dict.fromkeys(fuel_words(setup.setup.fuel) for setup in sheet.setups)
    yield from list(fuels)[:1] if best is None else [fuel_words(best.setup.setup.fuel)]
    if owner := sheet.build.owner:
        what = f" ({owner.covers.value})" if owner.covers else ""
        yield f"shown with its owner's consent{what}"
    if sheet.archive.settings.invented and sheet.archive.settings.invented.value:
        yield "invented data"


def _headline(sheet: Sheet, figures: Provenance) -> Markup:
    """Three to five large figures with what stands beneath each."""
    place = ""
    if sheet.best:
        place = MEASURING_POINTS[sheet.best.session.dyno.measured_at.value]
    cells = []
    for row in sheet.headline:
        measured = row.quantity.key in ("power", "torque", "specific_power")
        notes = [place if measured and sheet.best else "", row.standing or _state(row.basis)]
        title = row.quantity.title if row.state == "corrected" else row.title
        notes = [note for note in notes if note and note not in title]
        cells.append(HeadlineCell(title, row, row.at, notes))
    words = figures.links.to(addresses.GLOSSARY)
    return rendered(Headline(cells=cells, words=words, figures=figures))


def _state(basis: str) -> str:
    return {"estimated": "estimated", "measured": "as measured"}.get(basis, "")


def _neighbours(sheet: Sheet, links: Links, around: Surroundings) -> Markup:
    def reached(build: Neighbour | None) -> tuple[str, str] | None:
        return (build.title, links.to(addresses.build(build.id))) if build else None

    return rendered(
        Neighbours(
            before=reached(around.before),
            after=reached(around.after),
            builds=links.to(addresses.BUILDS),
            address=sharing.public_address(
                around.site_url, addresses.build(sheet.id), around.folders
            ),
        )
    )
