"""The estimate's page, and its part on each blower's: a form, and what needs no script."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.planning.package import sizes_around
from specgen.analysis.planning.plan import PlannedPair
from specgen.analysis.planning.typed import Typed, typed_pair
from specgen.archive.model.build import Archive, Blower
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.estimate.attempts import held
from specgen.publish.estimate.data import Estimates, usual
from specgen.publish.typesetting.cautions import CAUTIONS
from specgen.publish.typesetting.figures import figure, value_figure
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

#: Cautions that stand below every estimate.
_CAUTIONS = ("estimates", "detonation", "rotating-parts", "over-speed", "law")


@dataclass(frozen=True, slots=True)
class SizeLine:
    """An engine size without script: `size`, and of the pair `pulleys` its `boost` and `power`."""

    size: Markup
    pulleys: str
    boost: Markup
    power: Markup


@dataclass(frozen=True, slots=True)
class Estimate(Context):
    """The place of an estimate.

    `common`: link to what every estimate rests on; `blower`: to what one blower's does, with a star
    for its id; `on`: the id of the one blower, or nothing where there is a choice; `sheet`: link to
    a build, with a star; `script`: link to the script; `style`: to its style; `lines`: what stands
    there without script, a size a line; `blowers`: link to the table of blowers; `method`: link to
    the method; `caution`: to the cautions; `held`: how often such bands held, in a sentence;
    `cautions`: a line each.
    """

    template: ClassVar[str] = "estimate/estimate.jinja"
    common: str
    blower: str
    on: str
    sheet: str
    script: str
    style: str
    lines: Sequence[SizeLine]
    blowers: str
    method: str
    caution: str
    held: str
    cautions: Sequence[str]


def estimate_page(estimates: Estimates, units: System, folders: bool) -> str:
    """Print the page where any blower of the archive is tried on a reader's engine."""
    links = Links(addresses.ESTIMATE, folders)
    name = estimates.archive.settings.name.value
    description = f"What each blower of {name} would do on an engine of your own, as an estimate."
    block = rendered(_place(estimates, links, "", ()))
    return fixed_page(links, description, [Part("", block)], units, hide=("navigation", "toc"))


def estimate_parts(estimates: Estimates, blower: Blower, links: Links) -> list[Part]:
    """The same on a blower's own page, for that blower alone; none if it cannot be estimated."""
    if blower.id not in estimates.known:
        return []
    kept = estimates.kept("lines", blower, _lines)
    lines = [SizeLine(Markup(size), pair, Markup(boost), Markup(power))
             for size, pair, boost, power in kept]  # fmt: skip
    block = rendered(_place(estimates, links, blower.id, lines))
    return [Part("On your engine", block, searchable=False, kind="sg-estimate")]


def _place(estimates: Estimates, links: Links, on: str, lines: Sequence[SizeLine]) -> Estimate:
    return Estimate(
        common=links.to(addresses.ESTIMATE_DATA),
        blower=links.pattern(addresses.blower_estimate),
        on=on,
        sheet=links.pattern(addresses.build),
        script=links.to(addresses.ESTIMATE_SCRIPT),
        style=links.to(addresses.ESTIMATE_STYLE),
        lines=lines,
        blowers=links.to(addresses.BLOWERS),
        method=links.to(addresses.METHOD),
        caution=links.to(addresses.CAUTIONS),
        held=held_words(held(estimates.attempts)),
        cautions=[CAUTIONS[anchor].line for anchor in _CAUTIONS],
    )


def held_words(counts: dict[str, list[int]]) -> str:
    """How often such bands held over the archive, in a sentence."""
    told = [
        f"{figure} in {inside} of {count}" for figure, (inside, count) in counts.items() if count
    ]
    if not told:
        return (
            "No setup of this archive with a blower was measured, so that nobody can say how often "
            "such bands hold."
        )
    return (
        "Every measured setup of this archive with a blower was estimated in this same way, from "
        "what its owner would have typed and without any of its pulls. What was measured lay in "
        f"the band: {', '.join(told)}."
    )


def _lines(archive: Archive, blower: Blower) -> list[list[str]]:
    """Typical sizes with the middle pair on offer: size, pulleys, boost and power."""
    displaced = blower.displacement.value if blower.displacement else None
    plain = usual(blower)
    found = []
    for volume in sizes_around((), displaced):
        bore = (4 * volume / plain.cylinders / pi) ** (1 / 3)
        typed = replace(plain, bore=bore, stroke=bore)
        pair = _middle(archive, blower, typed)
        boost, power = (figure(pair.figures[name]) for name in ("boost", "power"))
        found.append([value_figure("swept_volume", volume), pair.pair.title, boost, power])
    return found


def _middle(archive: Archive, blower: Blower, typed: Typed) -> PlannedPair:
    """The middle one of a blower's pairs, on a typed engine."""
    cranks, pulleys = (sorted(sizes, key=lambda it: it.value)
                       for sizes in (blower.crank_pulleys, blower.pulleys))  # fmt: skip
    middle = cranks[len(cranks) // 2], pulleys[len(pulleys) // 2]
    return typed_pair(archive, blower, typed, *middle)
