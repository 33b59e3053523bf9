"""The entries of our pages: what somebody would type who looks for them, and no figure tables."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import blend_name, engine_words, fuel_words, induction_words
from specgen.archive.model.build import Blower, Build
from specgen.archive.model.kinds import KINDS
from specgen.publish import addresses
from specgen.publish.search.entry import Entry, shortened
from specgen.publish.typesetting.finished import Finished, is_heading

#: Bytes of text that an entry of a sheet has at most, and of one section of any other page.
_SHEET, _SECTION = 900, 300
#: What a section counts beside a page: a formula's title must not outweigh what builds are.
_BESIDE_A_PAGE = 0.01
#: Markup that is sure to hold so much text.
_ENOUGH = 4000
#: Cubic inches and cubic centimetres in a cubic metre (exact: the inch is 25.4 mm).
_CUBIC_INCHES, _CUBIC_CENTIMETRES = 1 / 0.0254**3, 1e6
_TAG = re.compile(r"<[^>]*>")
#: A heading with an anchor, or the heading or term that a section with one begins with.
_SECTION_HEAD = re.compile(
    r'<(h[2-4]) id="(?P<own>[^"]+)"[^>]*>(?P<heading>.*?)</\1>'
    r'|<(?:section|div)[^>]*\sid="(?P<outer>[^"]+)"[^>]*>\s*<(h[2-4]|dt)[^>]*>(?P<term>.*?)</\5>',
    re.DOTALL,
)
_UNSEARCHED = re.compile(r"<div[^>]*\sdata-search-exclude")

#: What the same thing is called elsewhere: common practice, no source.
_BLOWN = "supercharger supercharged"
_KINDS = {
    "lobe": "roots rotary lobe",
    "vane": "sliding vane",
    "screw": "twin screw",
    "centrifugal": "centrifugal impeller",
}
_COOLED = "charge cooler intercooler aftercooler"
_TESTED = "dyno power horsepower hp kW torque boost"
_TURBO = "turbo turbocharger"
_NATURAL = "naturally aspirated NA atmospheric"


def sheet_entry(sheet: Sheet) -> Entry:
    """A sheet by what it is, what it is made of, what it runs on, and the trade's other words."""
    build = sheet.build
    kind = sheet.blower.kind.value if sheet.blower else None
    told = [
        build.summary.value if build.summary else "",
        f"{engine_words(build)}, {induction_words(build, kind)}",
        *_sizes(sheet),
        *_fed(sheet),
        *dict.fromkeys(fuel_words(setup.setup.fuel) for setup in sheet.setups),
        *_trade_words(sheet),
        *_parts(build),
    ]
    text = " · ".join(dict.fromkeys(filter(None, (" ".join(it.split()) for it in told))))
    return Entry(
        addresses.build(sheet.id),
        build.title.value,
        shortened(text, _SHEET),
        tuple(dict.fromkeys(shortened(it, 60) for it in _labels(sheet))),
    )


def _labels(sheet: Sheet) -> Iterator[str]:
    """What a sheet is asked for by: its size, its blower, its fuels."""
    volume = sheet.engine["swept_volume"]
    if volume.present:
        yield f"{volume.scalar * 1e3:.1f} L"
    if sheet.blower:
        yield sheet.blower.title.value
    if turbo := sheet.build.induction.turbocharger:
        yield turbo.title.value
    for setup in sheet.setups[:6]:
        if setup.setup.fuel is not None:
            yield blend_name(setup.setup.fuel)


def _sizes(sheet: Sheet) -> Iterator[str]:
    """The engine's size as either side of an ocean writes it."""
    volume = sheet.engine["swept_volume"]
    if volume.present:
        yield (
            f"{volume.scalar * _CUBIC_CENTIMETRES:.0f} cc, "
            f"{volume.scalar * _CUBIC_INCHES:.0f} cubic inches cid"
        )


def _fed(sheet: Sheet) -> Iterator[str]:
    """What it is fed by, by name and size."""
    if (blower := sheet.blower) is not None:
        size = blower.displacement.text if blower.displacement else ""
        yield f"{blower.title.value} {size} blower"
    if turbo := sheet.build.induction.turbocharger:
        yield turbo.title.value


def _trade_words(sheet: Sheet) -> Iterator[str]:
    induction = sheet.build.induction
    if sheet.blower is not None:
        yield f"{_BLOWN} {_KINDS.get(sheet.blower.kind.value, '')}"
    if induction.turbocharger is not None:
        yield _TURBO
    if induction.natural is not None:
        yield _NATURAL
    if induction.charge_cooler is not None:
        yield _COOLED
    yield _TESTED if sheet.best is not None else "planned, not tested yet"


def _parts(build: Build) -> Iterator[str]:
    """Part numbers first, since they are what only one sheet has; then what the parts are."""
    for part in build.parts:
        yield " ".join(it.value for it in (part.maker_number, part.serial) if it is not None)
    for part in build.parts:
        yield part.item.value


def blower_entry(blower: Blower) -> Entry:
    """A blower by its name, kind and size."""
    kind = KINDS[blower.kind.value]
    told = [
        blower.summary.value if blower.summary else "",
        f"{kind.title} {blower.displacement.text if blower.displacement else ''}",
        f"{_BLOWN} {_KINDS.get(blower.kind.value, '')}",
    ]
    text = " · ".join(filter(None, (" ".join(it.split()) for it in told)))
    return Entry(addresses.blower(blower.id), blower.title.value, shortened(text, _SHEET))


def page_entries(address: str, page: Finished, elements: Sequence[str]) -> Iterator[Entry]:
    """Any other page: itself by its description, and each of its sections by how it begins.

    `elements` are its headings as HTML, in order.
    """
    yield Entry(address, _plain(page.title), _plain(page.description))
    made = iter(elements)
    pieces = (next(made) if is_heading(it) else it for it in page.pieces)
    shown = "".join(it for it in pieces if not _UNSEARCHED.match(it))
    sections = list(_SECTION_HEAD.finditer(shown))
    ends = [*(it.start() for it in sections[1:]), len(shown)]
    for section, end in zip(sections, ends, strict=False):
        text = _plain(shown[section.end() : min(end, section.end() + _ENOUGH)])
        title = _plain(section["heading"] or section["term"])
        anchor = section["own"] or section["outer"]
        yield Entry(address, title, shortened(text, _SECTION), anchor=anchor, weight=_BESIDE_A_PAGE)


def _plain(markup: str) -> str:
    """What a reader sees of finished HTML, in one line."""
    return " ".join(html.unescape(_TAG.sub(" ", markup)).split())
