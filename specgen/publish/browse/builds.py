"""The index of builds, and the snippets of it that a hand-written page may ask for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import (
    STATES,
    engine_words,
    fuel_name,
    fuel_words,
    induction_words,
    title_words,
)
from specgen.archive.model.build import Archive
from specgen.physics.correction import STANDARDS
from specgen.publish import addresses, drawings
from specgen.publish.addresses import Links
from specgen.publish.browse.columns import COLUMNS, Column
from specgen.publish.typesetting.dates import day_words
from specgen.publish.typesetting.figures import figure
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

Sheets = Mapping[str, Sheet]

#: How many results the home page shows.
_NEWEST = 5


def builds_page(archive: Archive, sheets: Sheets, units: System, folders: bool) -> str:
    """Print the index of all builds."""
    links = Links(addresses.BUILDS, folders)
    block = builds_table(archive, sheets, links)
    description = f"All builds of {archive.settings.name.value}, with power, boost and fuel."
    parts = [Part("", block)]
    hide = ("navigation", "toc")
    return fixed_page(links, description, parts, units, hide=hide)


@dataclass(frozen=True, slots=True)
class BuildLine:
    """One build in a table of them.

    `id`, `title`, `href`: which build, and its sheet; `cylinders`, `engine`, `volume`,
    `induction`, `fuel`, `fuel_words`: what was built; `boost`, `power`, `place`, `date`: its best
    result, where it was measured, and the day of its newest session; `standing`: what was done to
    the power; `untested`: why there is no result; `volume_key`, `boost_key`, `power_key`,
    `date_key`: what a column is sorted by; `spark`: its power over speed in small.
    """

    id: str
    title: str
    cylinders: int
    href: str
    engine: str
    volume: Markup
    volume_key: float | str
    induction: str
    fuel: str
    fuel_words: str
    boost: Markup
    boost_key: float | str
    power: Markup
    power_key: float | str
    standing: str
    place: str
    date: str
    date_key: str
    untested: str
    spark: Markup


@dataclass(frozen=True, slots=True)
class BuildsTable(Context):
    """A table of builds, whole or only its newest.

    `rows`: one a build; `name`: the table's id; `filter`: whether a reader may narrow it;
    `caption`: what it is called; `standard`: the standard in whose air power is shown, or
    nothing; `columns`: what each column is; `compare`: the link to comparing, for a table that
    can be narrowed; `script`: that of the script which narrows it.
    """

    template: ClassVar[str] = "browse/builds.jinja"
    rows: Sequence[BuildLine]
    name: str
    filter: bool
    caption: str
    standard: str
    columns: Sequence[Column]
    compare: str = ""
    script: str = ""


def builds_table(archive: Archive, sheets: Sheets, links: Links) -> Markup:
    """Print one row a build, dense and sortable."""
    rows = [_row(sheet, links) for sheet in sheets.values()]
    return rendered(
        BuildsTable(
            rows=rows,
            name="sg-builds",
            filter=True,
            caption="Builds",
            standard=_standard(archive),
            columns=COLUMNS,
            compare=links.to(addresses.COMPARE),
            script=links.to(addresses.BROWSE_SCRIPT),
        )
    )


def newest_results(archive: Archive, sheets: Sheets, links: Links) -> Markup:
    """Print the builds that were tested last."""
    tested = [it for it in sheets.values() if it.best is not None and not it.build.withdrawn]
    tested.sort(key=lambda sheet: (_tested(sheet), sheet.id), reverse=True)
    rows = [_row(sheet, links) for sheet in tested[:_NEWEST]]
    return rendered(
        BuildsTable(
            rows=rows,
            name="sg-newest",
            filter=False,
            caption="Newest results",
            standard=_standard(archive),
            columns=COLUMNS,
        )
    )


#: What `<!-- specgen: name -->` in a hand-written page may ask for.
SNIPPETS: dict[str, Callable[[Archive, Sheets, Links], Markup]] = {
    "newest": newest_results,
    "builds": builds_table,
}


def _row(sheet: Sheet, links: Links) -> BuildLine:
    best = None if sheet.build.withdrawn else sheet.best
    leading = sheet.lead
    power = best.rows["power"] if best else None
    boost = best.rows["boost"] if best else None
    kind = sheet.blower.kind.value if sheet.blower else None
    volume = sheet.engine["swept_volume"]
    return BuildLine(
        id=sheet.id,
        title=title_words(sheet.build),
        cylinders=sheet.build.engine.cylinders.value,
        href=links.to(addresses.build(sheet.id)),
        engine=engine_words(sheet.build),
        volume=figure(volume, bare=True),
        volume_key=volume.scalar if volume.present else "",
        induction=induction_words(sheet.build, kind),
        fuel=fuel_name(leading.setup.fuel) if leading else "",
        fuel_words=fuel_words(leading.setup.fuel) if leading else "",
        boost=figure(boost, bare=True),
        boost_key=boost.scalar if boost is not None and boost.present else "",
        power=figure(power, bare=True),
        power_key=power.scalar if power is not None and power.present else "",
        standing=STATES[power.state] if power is not None and power.state else "",
        place=best.session.dyno.measured_at.value if best else "",
        date=day_words(best.session.date.value) if best else "",
        date_key="" if sheet.build.withdrawn else _tested(sheet),
        untested="withdrawn" if sheet.build.withdrawn else "planned",
        spark=Markup("") if sheet.build.withdrawn else drawings.spark(sheet),
    )


def _standard(archive: Archive) -> str:
    """The standard in whose air this archive shows its results; empty for none."""
    key = archive.settings.correction.value
    return STANDARDS[key].title if key in STANDARDS else ""


def _tested(sheet: Sheet) -> str:
    """The date of the newest session; empty if there is none."""
    return max((item.session.date.value.isoformat() for item in sheet.sessions), default="")
