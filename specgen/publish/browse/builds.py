"""The index of builds, and the snippets of it that a hand-written page may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import ClassVar, NamedTuple

from markupsafe import Markup

from specgen.analysis.rows.row import Row
from specgen.analysis.sheet import Sheet
from specgen.analysis.words import (
    STATES,
    blend_name,
    engine_words,
    fuel_words,
    induction_words,
    title_words,
)
from specgen.archive.model.build import Archive
from specgen.physics.correction import STANDARDS
from specgen.publish import addresses, drawings
from specgen.publish.addresses import Links
from specgen.publish.browse.columns import COLUMNS, Column
from specgen.publish.browse.ways import ways_in
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.figures import figure
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.shots import cover_of
from specgen.rounding import rounded
from specgen.vocabulary import System

Lines = Sequence["Listed"]

#: How many results the home page shows.
_NEWEST = 4


class Missing(NamedTuple):
    """A build without a sheet: its id, what it is called, and why; it has a page that says more."""

    id: str
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class MissingLine:
    """A build that the table above does not have.

    `href`, `title`: the link to its page, and its name; `why`: the reason.
    """

    href: str
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class MissingBuilds(Context):
    """Builds that the table above does not have.

    `missing`: link, name and reason of each.
    """

    template: ClassVar[str] = "browse/missing.jinja"
    missing: Sequence[MissingLine]


def builds_page(
    archive: Archive, lines: Lines, missing: Sequence[Missing], units: System, folders: bool
) -> str:
    """Print the index of all builds, and below it those that have no sheet."""
    links = Links(addresses.BUILDS, folders)
    block = builds_table(archive, lines, links)
    description = f"All builds of {archive.settings.name.value}, with power, boost and fuel."
    parts = [Part("", block)]
    if missing:
        told = [MissingLine(links.to(addresses.build(it.id)), it.title, it.why) for it in missing]
        parts.append(Part("Left out", rendered(MissingBuilds(missing=told)), searchable=False))
    hide = ("navigation", "toc")
    return fixed_page(links, description, parts, units, hide=hide)


@dataclass(frozen=True, slots=True)
class BuildLine:
    """One build in a list of them.

    `id`, `title`, `href`: which build, and its sheet; `picture`: the address of its picture at
    its smallest, or nothing; `pictures`: that of every width, for the browser's choice; `plan`:
    its cylinders drawn, where it has no picture; `cylinders`, `engine`, `volume`, `induction`,
    `blower`: what was built; `fuel`, `fuel_words`: that of its best result; `other_fuels`:
    those of its other setups; `power`, `torque`, `boost`, `specific`, `place`, `date`: its best
    result, where it was measured, and that day; `standing`: what was done to the power;
    `untested`: why there is no result; `volume_key`, `power_key`, `torque_key`, `boost_key`,
    `specific_key`, `date_key`: what a column is sorted by; `fuel_key`: every fuel of its
    setups; `spark`: its power over speed in small.
    """

    id: str
    title: str
    href: str
    picture: str
    pictures: str
    plan: Markup
    cylinders: int
    engine: str
    volume: Markup
    volume_key: float | str
    induction: str
    blower: str
    fuel: str
    fuel_words: str
    fuel_key: str
    other_fuels: str
    power: Markup
    power_key: float | str
    torque: Markup
    torque_key: float | str
    boost: Markup
    boost_key: float | str
    specific: Markup
    specific_key: float | str
    standing: str
    place: str
    date: str
    date_key: str
    untested: str
    spark: Markup


@dataclass(frozen=True, slots=True)
class ResultCard:
    """A build's best result with its picture, as a home page shows it.

    Each is what the line of the build has: `title`, `href`: which build, and its sheet; `picture`,
    `pictures`, `plan`: what is seen of it; `engine`, `volume`, `induction`, `fuel`: what was
    built; `power`, `torque`, `boost`, `standing`, `place`, `date`: its best result;
    `torque_key`, `boost_key`: nothing where there is no such figure.
    """

    title: str
    href: str
    picture: str
    pictures: str
    plan: Markup
    engine: str
    volume: Markup
    induction: str
    fuel: str
    power: Markup
    torque: Markup
    torque_key: float | str
    boost: Markup
    boost_key: float | str
    standing: str
    place: str
    date: str

    @classmethod
    def of(cls, line: BuildLine) -> ResultCard:
        """Take what a card shows from a line of the list."""
        return cls(**{item.name: getattr(line, item.name) for item in fields(cls)})


@dataclass(frozen=True, slots=True)
class BuildsTable(Context):
    """A list of all builds.

    `rows`: one a build; `standard`: the standard in whose air power is shown, or nothing;
    `columns`: what each column is; `compare`: the link to comparing; `style`: that to the
    list's style; `script`: that to the script which narrows it.
    """

    template: ClassVar[str] = "browse/builds.jinja"
    rows: Sequence[BuildLine]
    standard: str
    columns: Sequence[Column]
    compare: str
    style: str
    script: str


@dataclass(frozen=True, slots=True)
class Newest(Context):
    """The builds that were tested last, with their pictures.

    `rows`: one a build; `standard`: the standard in whose air power is shown, or nothing; `style`:
    the link to the list's style.
    """

    template: ClassVar[str] = "browse/newest.jinja"
    rows: Sequence[ResultCard]
    standard: str
    style: str


def builds_table(archive: Archive, lines: Lines, links: Links) -> Markup:
    """Print one line a build, the newest first: a dense table, on a narrow screen cards."""
    return rendered(
        BuildsTable(
            rows=[it.on(links) for it in newest_first(lines)],
            standard=_standard(archive),
            columns=COLUMNS,
            compare=links.to(addresses.COMPARE),
            style=links.to(addresses.BROWSE_STYLE),
            script=links.to(addresses.BROWSE_SCRIPT),
        )
    )


def newest_results(archive: Archive, lines: Lines, links: Links) -> Markup:
    """Print the builds that were tested last, with their pictures."""
    tested = newest_first(it for it in lines if it.line.date)
    return rendered(
        Newest(
            rows=[ResultCard.of(it.on(links)) for it in tested[:_NEWEST]],
            standard=_standard(archive),
            style=links.to(addresses.BROWSE_STYLE),
        )
    )


#: What `<!-- specgen: name -->` in a hand-written page may ask for.
SNIPPETS: dict[str, Callable[[Archive, Lines, Links], Markup]] = {
    "newest": newest_results,
    "builds": builds_table,
    "ways": ways_in,
}


@dataclass(frozen=True, slots=True)
class Listed:
    """A build as a line of any list: links are put in where it stands.

    `tested` is the day of its newest session, `cover` address and width of each rendition of the
    picture that stands for it.
    """

    line: BuildLine
    tested: str
    cover: tuple[tuple[str, int], ...]

    def on(self, links: Links) -> BuildLine:
        """The line on a page, with the ways to sheet and picture."""
        widths = [(links.to(address), width) for address, width in self.cover]
        return replace(
            self.line,
            href=links.to(addresses.build(self.line.id)),
            picture=widths[0][0] if widths else "",
            pictures=", ".join(f"{way} {width}w" for way, width in widths),
        )


def newest_first(lines: Iterable[Listed]) -> list[Listed]:
    """Order lines by the day of the newest session, those that were never tested last."""
    return sorted(lines, key=lambda it: (it.tested, it.line.id), reverse=True)


def listed(sheet: Sheet) -> Listed:
    """Set a build as a line of a list: what it is, and its best result."""
    cover = cover_of(sheet.archive.root, sheet.build)
    pairs = zip(cover.addresses, cover.renditions, strict=True) if cover else ()
    widths = tuple((address, item.width) for address, item in pairs)
    return Listed(_line(sheet, pictured=cover is not None), _tested(sheet), widths)


def _line(sheet: Sheet, *, pictured: bool) -> BuildLine:
    best = None if sheet.build.withdrawn else sheet.best
    made = {key: best.rows[key] if best else None for key in _RESULTS}
    power, volume = made["power"], sheet.engine["swept_volume"]
    fuel, others = _fuels(sheet)
    return BuildLine(
        id=sheet.id,
        title=title_words(sheet.build),
        href="",
        picture="",
        pictures="",
        plan=Markup("") if pictured else drawings.plan(sheet.build),
        cylinders=sheet.build.engine.cylinders.value,
        engine=engine_words(sheet.build),
        volume=figure(volume, bare=True),
        volume_key=_key(volume),
        induction=induction_words(sheet.build, sheet.blower.kind.value if sheet.blower else None),
        blower=sheet.blower.title.value if sheet.blower else "",
        fuel=fuel,
        fuel_words=fuel_words(sheet.lead.setup.fuel) if sheet.lead and fuel else "",
        fuel_key="|".join([fuel, *others] if fuel else others),
        other_fuels=", ".join(others),
        power=figure(power, bare=True),
        power_key=_key(power),
        torque=figure(made["torque"], bare=True),
        torque_key=_key(made["torque"]),
        boost=figure(made["boost"], bare=True),
        boost_key=_key(made["boost"]),
        specific=figure(made["specific_power"], bare=True),
        specific_key=_key(made["specific_power"]),
        standing=STATES[power.state] if power is not None and power.state else "",
        place=best.session.dyno.measured_at.value if best else "",
        date=day_words(best.session.date.value) if best else "",
        date_key="" if sheet.build.withdrawn else _tested(sheet),
        untested="withdrawn" if sheet.build.withdrawn else "planned",
        spark=Markup("") if sheet.build.withdrawn else drawings.spark(sheet),
    )


#: Figures of the best pull that a line tells.
_RESULTS = ("power", "torque", "boost", "specific_power")


def _key(row: Row | None) -> float | str:
    """What a cell is sorted by; nothing where there is no figure, and such cells come last."""
    return rounded(row.scalar) if row is not None and row.present else ""


def _fuels(sheet: Sheet) -> tuple[str, list[str]]:
    """The fuel of the leading setup, and those of the others; each blend under one name."""
    leading = blend_name(sheet.lead.setup.fuel) if sheet.lead else ""
    all_of_them = dict.fromkeys(blend_name(setup.setup.fuel) for setup in sheet.setups)
    return leading, [fuel for fuel in all_of_them if fuel and fuel != leading]


def _standard(archive: Archive) -> str:
    """The standard in whose air this archive shows its results; empty for none."""
    key = archive.settings.correction.value
    return STANDARDS[key].title if key in STANDARDS else ""


def _tested(sheet: Sheet) -> str:
    """The date of the newest session; empty if there is none."""
    return max((item.session.day for item in sheet.sessions), default="")
