"""Parts of a blower's page that choose a package: pairs, pictures, results, what to know first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.planning.package import SPEEDS, PairSpeeds, pair_speeds
from specgen.archive.model.build import Blower
from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.blowers.pictures import boost_picture, limit_words, map_picture, speeds_picture
from specgen.publish.blowers.plain import PlainBoost
from specgen.publish.blowers.runs import Run
from specgen.publish.typesetting.blocks import Charts
from specgen.publish.typesetting.figures import value_figure, words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System, quantity

#: Fuel that an engine burns at full load with room for a rich mixture [kg/J]: 340 g/kWh of petrol;
#: common practice, no source. Density of petrol [kg/m3], and the duty that injectors are sized for.
_CONSUMPTION, _DENSITY, _DUTY = 0.340 / 3.6e6, 745.0, 0.85


@dataclass(frozen=True, slots=True)
class SpeedLine:
    """One pair.

    `title`: its sizes; `ratio`, `nominal`: its ratios; `speeds`: rotor speed at each engine speed,
    and whether it is beyond the limit.
    """

    title: str
    ratio: str
    nominal: str
    speeds: Sequence[tuple[str, bool]]


@dataclass(frozen=True, slots=True)
class SpeedTable(Context):
    """Every pair the blower comes with.

    `heads`: engine speeds; `lines`: one a pair; `limit`: of the rotors, or nothing.
    """

    template: ClassVar[str] = "blowers/pairs.jinja"
    heads: Sequence[str]
    lines: Sequence[SpeedLine]
    limit: str


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One measured setup.

    `run`: what was measured; `href`: the link to its sheet; `plain`: boost of a plain engine of
    that size and ratio; `off`: what was measured, less that.
    """

    run: Run
    href: str
    plain: Markup
    off: Markup | str


@dataclass(frozen=True, slots=True)
class Results(Context):
    """Measured setups on this blower.

    `groups`: where power was measured, and its lines, best first.
    """

    template: ClassVar[str] = "blowers/results.jinja"
    groups: Sequence[tuple[str, Sequence[ResultLine]]]


@dataclass(frozen=True, slots=True)
class Before(Context):
    """What to know before ordering.

    `lines`: each in a sentence.
    """

    template: ClassVar[str] = "blowers/before.jinja"
    lines: Sequence[Markup]


def package_parts(
    blower: Blower, runs: Sequence[Run], links: Links, plain: PlainBoost
) -> Iterator[Part]:
    """Pairs and pictures, results, and what to know before ordering."""
    pairs = pair_speeds(blower)
    if pairs:
        picture = speeds_picture(blower, pairs)
        drawn = rendered(Charts(charts=[picture])) if picture is not None else Markup("")
        yield Part("Pulley pairs", rendered(_speeds(blower, pairs)) + drawn, searchable=False)
    if (drawing := map_picture(blower, runs)) is not None:
        note = safe("A dot is where a build works at its highest speed, a ring at lower ones.")
        block = rendered(Charts(charts=[drawing]))
        yield Part("Its measured map", block + Markup("<p>{}</p>").format(note), searchable=False)
    if (boost := boost_picture(blower, pairs, runs, plain)) is not None:
        yield Part("Boost by engine size and ratio", rendered(Charts(charts=[boost])) + _PLAIN,
                   searchable=False)  # fmt: skip
    if runs:
        yield Part("What it gave", rendered(_results(runs, links)), searchable=False)
    yield Part("Before ordering", rendered(Before(lines=list(_before(blower, pairs, runs)))))


_PLAIN = Markup(
    '<p class="sg-note">Estimated for an engine of four valves a cylinder at the speed named, '
    "without a charge cooler, in the reference air of ISO 1585; nobody measured that engine. "
    "Another engine lies where it breathes: the dots say how far.</p>"
)


def _speeds(blower: Blower, pairs: Sequence[PairSpeeds]) -> SpeedTable:
    limit = blower.max_speed
    shown = quantity("blower_speed")
    lines = [
        SpeedLine(
            f"{pair.crank.text} to {pair.blower.text}",
            f"{pair.ratio:.3f}",
            f"{pair.nominal:.3f}",
            [(shown.text(speed, "metric"), limit is not None and speed > limit.value * (1 + 1e-9))
             for speed in pair.rotors],
        )
        for pair in pairs
    ]  # fmt: skip
    heads = [quantity("engine_speed").text(speed, "metric") for speed in SPEEDS]
    return SpeedTable(heads, lines, limit_words(blower))


def _results(runs: Sequence[Run], links: Links) -> Results:
    groups: dict[str, list[ResultLine]] = {}
    for run in sorted(runs, key=lambda run: -run.power_si):
        expected = run.plain_si
        line = ResultLine(
            run,
            links.to(addresses.build(run.build)),
            Markup("–") if expected is None else value_figure("boost", expected),
            _off(run, expected),
        )
        groups.setdefault(run.place, []).append(line)
    return Results(groups=list(groups.items()))


def _off(run: Run, expected: float | None) -> Markup | str:
    if expected is None or run.boost_si < 0:
        return ""
    apart = run.boost_si - expected

    def words(system: System) -> str:
        text = quantity("boost").text(abs(apart), system)
        return f"{'+' if apart >= 0 else '−'}{text}"

    return words_in_both(words)


def _before(blower: Blower, pairs: Sequence[PairSpeeds], runs: Sequence[Run]) -> Iterator[Markup]:
    """Belt, crank pulley, fuel, injectors, and what nobody can tell from this page."""
    ribs = f"{blower.ribs.value} ribs" if blower.ribs else "as many ribs as its own pulley"
    yield safe(
        f"Belt: PK profile with {ribs}, the same on the crank pulley; its length follows from the "
        "pulleys and the layout of the engine, and changes with each pulley."
    )
    if pairs:
        cranks = ", ".join(dict.fromkeys(pair.crank.text for pair in pairs))
        yield safe(f"Crank pulley: it comes for {cranks}; another one changes every ratio above.")
    if blower.max_speed is not None:
        yield safe(
            f"Highest engine speed: whoever turns the engine beyond the table above passes the "
            f"limit of {limit_words(blower)}, which is the maker’s."
        )
    fuels = list(dict.fromkeys(run.fuel for run in runs))
    if fuels:
        yield safe(f"Fuel: builds on it were measured on {', '.join(fuels)}.")
    yield _injectors()
    fitted = dict.fromkeys(run.injectors for run in runs if run.injectors)
    if fitted:
        yield safe(f"Builds on it have injectors of {'; '.join(fitted)}.")
    yield safe(
        "Compression ratio, ignition and fuel belong together: more boost asks for more octane, "
        "and an engine that runs out of fuel runs lean first. Ask before the order, not after."
    )
    yield safe("Law: what may be fitted to a vehicle on the road is for local law and its tests.")


def _injectors() -> Markup:
    power = 100e3
    flow = power * _CONSUMPTION / _DENSITY / _DUTY

    def words(system: System) -> str:
        wanted = quantity("injector_flow").text(flow, system)
        return (
            f"Injectors: about {wanted} of petrol together for each "
            f"{quantity('power').text(power, system)} at the flywheel, at 85 % duty; half as much "
            "again on E85, more than twice as much on methanol (340 g/kWh, common practice)."
        )

    return words_in_both(words)
