"""The build record on a sheet: its parts in order, each only where something was recorded."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.record.record import Record
from specgen.analysis.sheet import Sheet
from specgen.publish.sheet.record.air import air
from specgen.publish.sheet.record.blueprint import blueprint
from specgen.publish.sheet.record.cam import cam
from specgen.publish.sheet.record.clearances import clearances, out_words
from specgen.publish.sheet.record.parts import parts, states
from specgen.publish.sheet.record.pictures import pictures
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.shots import Shot
from specgen.vocabulary import System

#: Title of each part by its address on the sheet, in the order of the page.
_TITLES = {
    "record-contradictions": "What contradicts what",
    "record-blueprint": "Blueprint",
    "record-cam": "Cam and valve train",
    "record-clearances": "Clearances and loads",
    "record-parts": "Parts and fluids",
    "record-states": "States of the build",
    "record-air": "Parts of the air's way",
    "record-pictures": "Pictures",
}


def record_blocks(
    sheet: Sheet, figures: Provenance, units: System, shots: Sequence[Shot]
) -> dict[str, Markup]:
    """Print every part of the record that has something in it, by its address on the sheet."""
    record = sheet.record
    if record is None:
        return {}
    blocks = [
        _contradictions(record),
        blueprint(record, figures),
        cam(record.cam, figures, units),
        clearances(record, figures),
        parts(record),
        states(record, sheet),
        air(record, figures, blown=sheet.blower is not None),
        pictures(shots, figures.links),
    ]
    return {name: block for name, block in zip(_TITLES, blocks, strict=True) if block}


@dataclass(frozen=True, slots=True)
class Contradictions(Context):
    """What contradicts what.

    `lines`: words and place of each.
    """

    template: ClassVar[str] = "sheet/record/contradictions.jinja"
    lines: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Contents(Context):
    """The way to the record's parts.

    `entries`: address, title and note of each.
    """

    template: ClassVar[str] = "sheet/record/contents.jinja"
    entries: Sequence[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class PaperOrder(Context):
    """What of a sheet is printed, and in which order.

    `full`: whether there is a record that somebody may want first; `known`: the link to where the
    figures come from.
    """

    template: ClassVar[str] = "sheet/record/paper.jinja"
    full: bool
    known: str


@dataclass(frozen=True, slots=True)
class Signatures(Context):
    """Lines to sign.

    `lines`: what each is for.
    """

    template: ClassVar[str] = "sheet/record/signatures.jinja"
    lines: Sequence[str]


def _contradictions(record: Record) -> Markup:
    """Tell which two figures of the file deny each other; nothing where none do."""
    if not record.contradictions:
        return Markup("")
    lines = [
        (f"{item.found[0].upper()}{item.found[1:]}; expected {item.expected}.",
         f"line {item.place.line}")
        for item in record.contradictions
    ]  # fmt: skip
    return rendered(Contradictions(lines=lines))


def contents(sheet: Sheet, printed: Collection[str]) -> Markup:
    """Print the way to each part that was printed; nothing where there are few."""
    if len(printed) < 3:
        return Markup("")
    notes = {"record-clearances": _clearance_note(sheet.record)}
    entries = [(name, _TITLES[name], notes.get(name, "")) for name in printed]
    return rendered(Contents(entries=entries))


def _clearance_note(record: Record | None) -> str:
    """Say in the contents already whether anything is out."""
    if record is None or not record.clearances:
        return ""
    return out_words(record.summary)


def _is_full(record: Record | None) -> bool:
    """Whether there is a record that somebody may want first on paper."""
    return record is not None and bool(record.blueprint or record.cam or record.clearances)


def signatures(sheet: Sheet) -> Iterator[Markup]:
    """Print lines to sign, where the archive asks for them; only paper shows them."""
    asked = sheet.archive.settings.signatures
    if asked:
        yield rendered(Signatures(lines=[word.value for word in asked]))


def paper_choice(sheet: Sheet, known: str) -> Markup:
    """Offer what goes on paper: links, which work without a script too."""
    return rendered(PaperOrder(full=_is_full(sheet.record), known=known))


def in_words(blocks: Collection[str]) -> str:
    """What stands in the build record, as the end of a list of its parts."""
    return ", ".join(_TITLES[name].lower() for name in blocks)
