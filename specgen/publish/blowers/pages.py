"""Pages of the blowers: the list, and one page for each with its limits and the builds on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from markupsafe import Markup

from specgen.analysis.words import LAYOUTS, title_words
from specgen.archive.fitment import Fit, engine_of, fitment, verdict
from specgen.archive.model.build import Archive, Blower, Build, Given, Option, Range
from specgen.archive.model.kinds import KINDS
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.blowers.package import package_parts
from specgen.publish.blowers.plain import PlainBoost
from specgen.publish.blowers.runs import Run
from specgen.publish.store.shelf import Shelf
from specgen.publish.typesetting.blocks import EditLink, Facts
from specgen.publish.typesetting.figures import span, value_figure, words_in_both, written
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part, fixed_page, page_markdown, trail
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System, quantity

#: Figures of a blower's file, in the order of its page: field and words.
_FIELDS = (
    ("displacement", "Displacement per rotor revolution"),
    ("built_in_ratio", "Built-in volume ratio"),
    ("internal_ratio", "Step-up between its pulley and the rotors"),
    ("max_speed", "Highest speed of the rotors"),
    ("rotor_diameter", "Impeller diameter"),
    ("volumetric_efficiency", "Volumetric efficiency without pressure difference"),
    ("mechanical_efficiency", "Mechanical efficiency"),
    ("ribs", "Belt ribs"),
)


@dataclass(frozen=True, slots=True)
class BlowerLine:
    """One blower in the table of them.

    `title`, `href`: which, and its page; `kind`: of blower; `displacement`, `speed`: size and
    highest speed; `key`: what size is sorted by; `builds`: how many have it.
    """

    title: str
    href: str
    kind: str
    displacement: Markup
    key: float | str
    speed: Markup
    builds: int


@dataclass(frozen=True, slots=True)
class UseLine:
    """A build that has a blower, or that it would bolt to.

    `title`, `href`: which, and its sheet; `uses`: whether it has it; `verdict`: whether it fits;
    `why`: what does not fit or is not recorded.
    """

    title: str
    href: str
    uses: bool
    verdict: str
    why: Sequence[Markup]


@dataclass(frozen=True, slots=True)
class BlowersTable(Context):
    """The table of all blowers.

    `rows`: one line a blower.
    """

    template: ClassVar[str] = "blowers/blowers.jinja"
    rows: Sequence[BlowerLine]


@dataclass(frozen=True, slots=True)
class BlowerLead(Context):
    """What opens a blower's page.

    `blower`: the blower as it was read; `kind`: its kind in words.
    """

    template: ClassVar[str] = "blowers/lead.jinja"
    blower: Blower
    kind: str


@dataclass(frozen=True, slots=True)
class BlowerBuilds(Context):
    """Builds that have a blower, and those it would bolt to.

    `lines`: one a build, with what speaks against it.
    """

    template: ClassVar[str] = "blowers/builds.jinja"
    lines: Sequence[UseLine]


@dataclass(frozen=True, slots=True)
class BlowerOptions(Context):
    """What to choose with a blower.

    `options`: each choice as it was read.
    """

    template: ClassVar[str] = "blowers/options.jinja"
    options: Sequence[Option]


def blowers_page(archive: Archive, units: System, folders: bool) -> str:
    """Print the table of all blowers."""
    links = Links(addresses.BLOWERS, folders)
    rows = [
        BlowerLine(
            title=blower.title.value,
            href=links.to(addresses.blower(blower.id)),
            kind=blower.kind.value,
            displacement=_or_dash(blower.displacement),
            key=blower.displacement.value if blower.displacement else "",
            speed=_or_dash(blower.max_speed),
            builds=len(builds_with(archive, blower)),
        )
        for blower in archive.blowers.values()
    ]
    block = rendered(BlowersTable(rows=rows))
    description = "All blowers of the archive, with their size and highest speed."
    parts = [Part("", block)]
    return fixed_page(links, description, parts, units, hide=("navigation", "toc"))


def blower_page(
    archive: Archive,
    blower: Blower,
    runs: Sequence[Run],
    units: System,
    folders: bool,
    edit: str,
    shelf: Shelf | None = None,
    more: Sequence[Part] = (),
) -> str:
    """Print one blower: what it is, its pairs, map and boost, what it gave, what it fits.

    `more` are parts of other rooms, before what it fits.
    """
    links = Links(addresses.blower(blower.id), folders)
    fields = [
        (words, written(getattr(blower, name)))
        for name, words in _FIELDS
        if getattr(blower, name) is not None
    ]
    lead = rendered(BlowerLead(blower=blower, kind=KINDS[blower.kind.value].title))
    parts = [Part("", lead), Part("What it is", rendered(Facts(facts=fields)))]
    parts += _offers(blower)
    plain = PlainBoost(archive, blower, shelf or Shelf())
    parts += package_parts(blower, runs, links, plain)
    parts += more
    parts += _fits(blower)
    parts.append(Part("Builds it is on, and would fit", _builds(archive, blower, links)))
    parts.append(
        Part(
            "This page's file",
            rendered(EditLink(file=blower.place.file, edit=edit)),
        )
    )
    summary = blower.summary.value if blower.summary else KINDS[blower.kind.value].title
    way = trail(links, addresses.BLOWERS, title=blower.title.value)
    return page_markdown(blower.title.value, summary, parts, units, trail=way, hide=("navigation",))


def builds_with(archive: Archive, blower: Blower) -> list[Build]:
    """All builds that use a blower, in the archive's order."""
    return [
        build
        for build in archive.builds.values()
        if build.induction.blower is not None and build.induction.blower.value == blower.id
    ]


def _builds(archive: Archive, blower: Blower, links: Links) -> Markup:
    """Print the builds that use a blower, and those that it would bolt to by its file."""
    using = {build.id for build in builds_with(archive, blower)}
    lines = []
    for build in archive.builds.values():
        fits = fitment(blower, engine_of(build))
        told = verdict(fits)
        if build.id in using or told == "fits":
            line = UseLine(
                title=title_words(build),
                href=links.to(addresses.build(build.id)),
                uses=build.id in using,
                verdict=told if fits else "its file asks for nothing",
                why=[fit_words(fit) for fit in fits if fit.verdict != "fits"],
            )
            lines.append(line)
    lines.sort(key=lambda line: not line.uses)
    return rendered(BlowerBuilds(lines=lines))


def fit_words(fit: Fit) -> Markup:
    """One answer to what a blower asks for, in both systems of units."""
    return words_in_both(fit.words)


def _offers(blower: Blower) -> list[Part]:
    """The parts about pulleys, options and the stated operating point."""
    parts = []
    if point := blower.design_point:
        facts = [
            ("Speed", written(point.speed)),
            ("Pressure ratio", written(point.pressure_ratio)),
        ]
        if point.isentropic_efficiency:
            facts.append(("Isentropic efficiency", written(point.isentropic_efficiency)))
        parts.append(Part("Its stated operating point", rendered(Facts(facts=facts))))
    lists = [("For the blower", blower.pulleys), ("For the crank", blower.crank_pulleys)]
    pulleys = [(words, _listed(values)) for words, values in lists if values]
    if pulleys:
        parts.append(Part("Pulleys it comes with", rendered(Facts(facts=pulleys))))
    if blower.options:
        block = rendered(BlowerOptions(options=blower.options))
        parts.append(Part("What to choose with it", block))
    return parts


def _fits(blower: Blower) -> list[Part]:
    if not blower.fits:
        return []
    facts = [
        (name.replace("_", " ").capitalize(), _fitting(value))
        for name, value in blower.fits.items()
    ]
    return [Part("What it bolts to", rendered(Facts(facts=facts)))]


def _fitting(value: Given[Range] | tuple[Given[Any], ...]) -> Markup:
    """Print what a blower fits: a range of a quantity, or the values it accepts."""
    if isinstance(value, tuple):
        words = [LAYOUTS.get(str(item.value), str(item.value)) for item in value]
        return safe(" or ".join(filter(None, [", ".join(words[:-1]), words[-1]])))
    if value.quantity is None:
        return safe(value.text)
    ends = value.value
    if ends.low == ends.high:
        return value_figure(value.quantity, ends.low)
    return span(quantity(value.quantity), (ends.low, None), (ends.high, None))


def _listed(values: Sequence[Given[float]]) -> Markup:
    return Markup(", ").join(written(value) for value in values)


def _or_dash(value: Given[Any] | None) -> Markup:
    return written(value) if value is not None else Markup('<span class="sg-absent">–</span>')
