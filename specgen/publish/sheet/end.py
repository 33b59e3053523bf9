"""The end of a sheet: what somebody answers for, what to take away, what to be careful about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from specgen.findings import Finding
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.sheet.charts import offered
from specgen.publish.typesetting.cautions import CAUTIONS, Caution
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

_ALCOHOL = {"e50", "e85", "ethanol", "methanol"}


@dataclass(frozen=True, slots=True)
class Offered:
    """A file to take away.

    `name`: what it is called; `href`: the link to it; `words`: what is in it.
    """

    name: str
    href: str
    words: str


@dataclass(frozen=True, slots=True)
class DataFiles(Context):
    """What to take away.

    `files`: name, link and words of each file; `edit`: the link to where the build is edited, or
    nothing; `file`: the build's own file.
    """

    template: ClassVar[str] = "sheet/data.jinja"
    files: Sequence[Offered]
    edit: str
    file: str


@dataclass(frozen=True, slots=True)
class CautionLines(Context):
    """What to be careful about.

    `lines`: each caution's line; `more`: the link to the page that tells more of them.
    """

    template: ClassVar[str] = "sheet/cautions.jinja"
    lines: Sequence[str]
    more: str


@dataclass(frozen=True, slots=True)
class AcceptedLines(Context):
    """What a check doubts of the build and somebody answers for.

    `lines`: each such finding; `all`: the link to those of the whole archive.
    """

    template: ClassVar[str] = "sheet/accepted.jinja"
    lines: Sequence[Finding]
    all: str


def accepted_part(archive: Archive, sheet: Sheet, links: Links) -> Iterator[Part]:
    """Say in short what was accepted in the build's own files, with the reason."""
    lines = [
        it for it in archive.findings if it.accepted and it.place.file.startswith(f"{sheet.id}/")
    ]
    if lines:
        block = rendered(AcceptedLines(lines=lines, all=links.to(addresses.ACCEPTED)))
        yield Part("Accepted as it is", block, searchable=False)


def data_part(sheet: Sheet, links: Links, edit: str, units: System) -> Part:
    """Offer the files behind the sheet and its figures as data."""
    files = [
        Offered(
            "sheet.json",
            links.to(addresses.build_data(sheet.id)),
            "every figure with its unit, uncertainty, place and source; ladder, fit",
        ),
        Offered(
            "build.yaml",
            links.to(addresses.build_file(sheet.id, "build.yaml")),
            "the build as its owner wrote it",
        ),
    ]
    curves = list(_curves(sheet, links))
    files += curves
    charts = [
        Offered(name, links.to(addresses.chart_file(sheet.id, name)), words)
        for name, words in offered(sheet, units)
    ]
    cited = [
        Offered(f"citation.{ending}", links.to(addresses.citation(sheet.id, ending)), words)
        for ending, words in (("txt", "how to cite this sheet"), ("bib", "the same as BibTeX"))
    ]
    archive = Offered(
        "datapackage.json",
        links.to(addresses.PACKAGE),
        "tables of the whole archive and what their columns are (Data Package)",
    )
    files += [*charts, *cited, archive]
    block = rendered(DataFiles(files=files, edit=edit, file=sheet.build.place.file))
    kinds = ", curves" * bool(curves) + ", charts" * bool(charts)
    fold = f"{len(files)} files: figures, the build{kinds} and more"
    return Part("Data to take away", block, searchable=False, fold=fold, kind="sg-rest")


def _curves(sheet: Sheet, links: Links) -> Iterator[Offered]:
    """All curves as one table, and each file that was written of them."""
    if any(pull.rows["speed_curve"].is_curve for pull in (*sheet.pulls, *sheet.withdrawn)):
        table = links.to(addresses.build_curves(sheet.id))
        yield Offered("curves.csv", table, "all its curves as one table, in SI")
    for name, setup in curve_files(sheet):
        yield Offered(name, links.to(addresses.build_file(sheet.id, name)), f"curve, setup {setup}")


def curve_files(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Names of the curve files beside the build's YAML, each once, with their setup's title."""
    seen: set[str] = set()
    for pull in (*sheet.pulls, *sheet.withdrawn):
        given = pull.pull.curve_file
        if given is not None and given.value not in seen:
            seen.add(given.value)
            yield Path(given.value).as_posix(), pull.setup.title


def cautions_part(sheet: Sheet, links: Links) -> Part:
    """Name what to be careful about with this build."""
    lines = [caution.line for caution in _cautions(sheet)]
    more = links.to(addresses.CAUTIONS)
    return Part("Cautions", rendered(CautionLines(lines=lines, more=more)))


def _cautions(sheet: Sheet) -> Iterator[Caution]:
    """The cautions that apply, in the order of the cautions page."""
    wanted = {"petrol", "exhaust-gas", "hot-parts", "law", "detonation"}
    if any(setup.planned or setup.rows["estimated_boost"].present for setup in sheet.setups):
        wanted.add("estimates")
    if sheet.build.induction.natural is None:
        wanted.add("over-speed")
    if sheet.blower is not None:
        wanted.add("rotating-parts")
    if any(_alcohol(sheet)):
        wanted.add("alcohol-fuel")
    yield from (caution for name, caution in CAUTIONS.items() if name in wanted)


def _alcohol(sheet: Sheet) -> Iterator[bool]:
    for setup in sheet.setups:
        fuel = setup.setup.fuel
        if fuel is not None:
            named = fuel.name is not None and fuel.name.value in _ALCOHOL
            yield named or fuel.methanol is not None or fuel.ethanol is not None
