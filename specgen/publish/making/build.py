"""All that is published of one build, and what other pages say of it.

Rests on the build's own part of the archive and on its surroundings, and on nothing else, so that
their hash names what comes out. An exception here takes nothing from the other builds: the build
gets a page that says so, and a finding.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.model.build import Archive
from specgen.findings import Finding, Place
from specgen.past.kept import Kept
from specgen.past.known import Keeping, Nowhere
from specgen.past.past import Past
from specgen.past.states import State
from specgen.publish import addresses
from specgen.publish.compare.data import build_script
from specgen.publish.making.extract import Extract, extract_of
from specgen.publish.making.item import Item
from specgen.publish.plan.pages import plan_pages
from specgen.publish.readings.data import readings_script
from specgen.publish.readings.page import readings_page
from specgen.publish.search.entries import sheet_entry
from specgen.publish.search.entry import Entry
from specgen.publish.share import sharing
from specgen.publish.sheet import left_out
from specgen.publish.sheet.charts import files_of
from specgen.publish.sheet.data import sheet_json
from specgen.publish.sheet.page import Surroundings, sheet_page
from specgen.publish.takeaway.citing import bibtex, citation
from specgen.publish.takeaway.linked import dataset
from specgen.publish.takeaway.package import curves_csv
from specgen.publish.typesetting.shots import shots_of
from specgen.vocabulary import printed_in

_DIGITS = 16


@dataclass(frozen=True, slots=True)
class MadeBuild:
    """The files of a build, and its extract; None, and the fault, where they could not be made."""

    items: tuple[Item, ...]
    extract: Extract | None
    fault: Finding | None = None


#: The states that a build went through, and what was kept of its figures, as `Past.of` gives them.
Before = tuple[tuple[State, ...], tuple[Kept, ...]]
NOTHING: Before = ((), ())


class Parts:
    """An archive taken apart by builds, once for all of them."""

    def __init__(self, archive: Archive) -> None:
        self._archive = archive
        self._sources: dict[str, dict[str, str]] = {}
        self._findings: dict[str, list[Finding]] = {}
        for file, text in archive.sources.items():
            self._sources.setdefault(file.partition("/")[0], {})[file] = text
        for item in archive.findings:
            self._findings.setdefault(item.place.file.partition("/")[0], []).append(item)

    def of(self, name: str) -> Archive:
        """A build's own part: its files and findings, its blower, and the settings."""
        build = self._archive.builds[name]
        given = build.induction.blower
        blower = self._archive.blowers.get(given.value) if given else None
        return dataclasses.replace(
            self._archive,
            blowers={blower.id: blower} if blower else {},
            builds={name: build},
            findings=tuple(self._findings.get(name, ())),
            sources=self._sources.get(name, {}),
        )


def made_build(
    part: Archive, around: Surroundings, before: Before = NOTHING, keeping: Keeping | None = None
) -> MadeBuild:
    """Make all of a build; never raises for what stands in its files.

    `before` is what git knows of it, and `keeping` where figures of earlier states are kept.
    """
    (build,) = part.builds.values()
    with printed_in(part.settings.units.own):
        try:
            sheet = sheet_of(part, build)
            past = Past.of_one(part, build.id, *before, keeping or Nowhere())
            told = dataclasses.replace(around, events=past.events(build))
            curves = curves_csv(sheet)
            items = tuple(_items(part, sheet, told, curves))
            return MadeBuild(items, extract_of(sheet, told, curves))
        except Exception as problem:
            fault = _fault(build.id, problem)
            page = _page_that_says_so(part, fault, around)
            return MadeBuild((page, *_sources(part)), None, fault)


def _items(part: Archive, sheet: Sheet, around: Surroundings, curves: str) -> Iterator[Item]:
    """Sheet and figures, and all files beside them."""
    build, units = sheet.build, part.settings.units.value
    shots = shots_of(part.root, build)
    page = sheet_page(part, sheet, dataclasses.replace(around, shots=shots))
    title, source = build.title.value, build.place.file
    date = max((it.day for it in build.sessions), default="")
    picture = addresses.share_picture(build.id)
    yield Item(
        addresses.build(build.id), page.text, title, source, sharing.description(sheet),
        leaf=True, date=date, picture=picture, entry=sheet_entry(sheet), mark=_mark(page.text),
        linked=dataset(sheet, around.site_url, around.folders),
    )  # fmt: skip
    yield Item(
        addresses.figures(build.id), page.known, f"How we know: {title}", source,
        leaf=True, date=date, mark=_mark(page.known),
    )  # fmt: skip
    if text := readings_page(sheet, units, around.folders):
        named = f"All readings: {title}"
        yield Item(addresses.readings(build.id), text, named, source, leaf=True, date=date,
                   mark=_mark(text))  # fmt: skip
    if text := readings_script(sheet, units):
        yield Item(addresses.readings_data(build.id), text)
    for address, text, named in plan_pages(sheet, units, around.folders):
        yield Item(address, text, named, source, leaf=True, date=date, mark=_mark(text))
    yield Item(picture, sharing.picture(sheet, units))
    yield Item(addresses.build_data(build.id), sheet_json(part, sheet, page.shown))
    yield Item(addresses.compare_build(build.id), build_script(sheet))
    yield from _to_cite(sheet, around)
    if curves:
        yield Item(addresses.build_curves(build.id), curves)
    yield from _sources(part)
    yield from (Item(address, data) for address, data in files_of(part, sheet, units))
    yield from (Item(address, data) for shot in shots for address, data in shot.files)


def _to_cite(sheet: Sheet, around: Surroundings) -> Iterator[Item]:
    """How to cite a sheet."""
    here = sharing.public_address(around.site_url, addresses.build(sheet.id), around.folders)
    yield Item(addresses.citation(sheet.id, "txt"), citation(sheet, here))
    yield Item(addresses.citation(sheet.id, "bib"), bibtex(sheet, here))


def _sources(part: Archive) -> Iterator[Item]:
    """The build's own files as they were read."""
    return (Item(f"builds/{file}", text) for file, text in part.sources.items())


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:_DIGITS]


def _fault(build_id: str, problem: Exception) -> Finding:
    """Say that a build's page could not be made; the reason is for whoever mends this program."""
    return Finding(
        "not-made",
        "error",
        Place(f"{build_id}/build.yaml"),
        # what the error says may name a place on this machine, and this stands on a page
        f"a build whose sheet could not be made ({type(problem).__name__})",
        "figures that a sheet can be made of",
        "the figure changed last as it was before; it is a fault of specgen: see "
        f"specgen show {build_id} --traceback, and report it: specgen report {build_id}",
    )


def _page_that_says_so(part: Archive, fault: Finding, around: Surroundings) -> Item:
    (build,) = part.builds.values()
    address, title = addresses.build(build.id), build.title.value
    page = left_out.not_made_page(build.id, title, fault, part.settings.units.value, around.folders)
    return Item(
        address, page, title, build.place.file, leaf=True, mark=_mark(page),
        entry=Entry(address, title, "Its sheet could not be made."),
    )  # fmt: skip
