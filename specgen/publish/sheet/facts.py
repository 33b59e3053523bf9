"""The record of a build: engine, induction, drive and fuel system, then the build record."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from specgen.analysis.sheet import Sheet
from specgen.analysis.words import BLOWERS, BOOST_CONTROLS, engine_words
from specgen.archive.fitment import engine_of, fitment, verdict
from specgen.archive.model.build import Induction
from specgen.publish import addresses, drawings
from specgen.publish.sheet.record import section
from specgen.publish.sheet.record.air import single
from specgen.publish.typesetting.blocks import Charts
from specgen.publish.typesetting.figures import words_in_both
from specgen.publish.typesetting.markup import safe
from specgen.publish.typesetting.page import Part
from specgen.publish.typesetting.provenance import Provenance
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.publish.typesetting.shots import Shot
from specgen.vocabulary import System

Fact = tuple[str, Markup]

_ENGINE_ROWS = (
    ("Bore", "bore"),
    ("Stroke", "stroke"),
    ("Swept volume", "swept_volume"),
    ("Compression ratio", "compression_ratio"),
    ("Clearance volume of one cylinder", "clearance_volume"),
    ("Connecting-rod length", "rod_length"),
    ("Highest engine speed", "max_speed"),
    ("Mean piston speed at the highest speed", "piston_speed"),
    ("Peak piston acceleration", "piston_acceleration"),
)


#: Figures that a blueprint gives from what was built in, so that they are not said twice.
_IN_BLUEPRINT = ("clearance_volume", "piston_speed", "piston_acceleration")


@dataclass(frozen=True, slots=True)
class RecordPart(Context):
    """The record of a build.

    `groups`: title, facts and drawing of each group; `contents`: the way to each part of the
    build record; `blocks`: those parts.
    """

    template: ClassVar[str] = "sheet/facts.jinja"
    groups: Sequence[tuple[str, Sequence[Fact], Markup]]
    contents: Markup
    blocks: Sequence[Markup]


def record(
    sheet: Sheet, figures: Provenance, units: System, shots: Sequence[Shot] = ()
) -> Iterator[Part]:
    """Print the record under one heading, its groups below."""
    groups = [
        ("Engine", list(_engine(sheet, figures)), Markup("")),
        ("Induction", list(_induction(sheet, figures)), Markup("")),
        ("Drive", list(_drive(sheet, figures)), _layout(sheet, units)),
        ("Fuel system", list(_fuel(sheet, figures)), Markup("")),
    ]
    blocks = section.record_blocks(sheet, figures, units, shots)
    contents = section.contents(sheet, blocks)
    block = rendered(
        RecordPart(
            groups=groups,
            contents=contents,
            blocks=[*blocks.values(), *section.signatures(sheet)],
        )
    )
    titles = [title for title, facts, _ in groups if facts]
    fold = ", ".join([titles[0], *(title.lower() for title in titles[1:])])
    if more := section.in_words(blocks):
        fold += f", {more}"
    yield Part("The record", block, fold=fold, kind="sg-rest sg-record-part")


def _engine(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    engine = sheet.build.engine
    words = engine_words(sheet.build)
    yield "Layout", safe(words[0].upper() + words[1:])
    blueprint = sheet.record is not None and sheet.record.blueprint is not None
    for title, key in _ENGINE_ROWS:
        row = sheet.engine[key]
        if row.present and not (blueprint and key in _IN_BLUEPRINT):
            yield title, figures.show(row)
    if engine.valves_per_cylinder:
        yield "Valves a cylinder", safe(str(engine.valves_per_cylinder.value))
    for title, key in (("Deck height", "deck_height"), ("Bore spacing", "bore_spacing")):
        if given := getattr(engine, key):
            yield title, figures.written(key, title, given)
    if engine.mount:
        yield "Blower mount", safe(engine.mount.value)


def _induction(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    induction = sheet.build.induction
    yield from _fed_by(sheet, figures)
    if induction.boost_control:
        control = induction.boost_control.value
        yield "Boost", safe(BOOST_CONTROLS.get(control, control))
    if induction.throttle and induction.throttle.bore:
        bore = figures.written("throttle_bore", "Throttle bore", induction.throttle.bore)
        count = induction.throttle.count
        many = Markup("{} × ").format(str(count.value)) if count and count.value > 1 else ""
        yield "Throttle", Markup("{}{}").format(many, bore)
    if induction.filter:
        yield "Filter", safe(induction.filter.value)
    if induction.inlet_pressure_drop:
        yield (
            "Pressure lost before the blower" if sheet.blower else "Pressure lost in the inlet",
            figures.show(sheet.engine["inlet_drop"]),
        )
    if sheet.record is not None and (air := sheet.record.air) and single(air):
        drop = air.parts[0].drop
        yield drop.title, figures.reasoned(drop)
    yield from _cooler(sheet, induction, figures)


def _fed_by(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    induction = sheet.build.induction
    if induction.natural is not None:
        yield "Induction", safe("naturally aspirated")
    if sheet.blower is not None:
        link = Markup('<a href="{}">{}</a>, {}').format(
            figures.links.to(addresses.blower(sheet.blower.id)),
            safe(sheet.blower.title.value),
            BLOWERS.get(sheet.blower.kind.value, "blower"),
        )
        yield "Blower", link
        answers = fitment(sheet.blower, engine_of(sheet.build))
        if answers:
            against = [words_in_both(fit.words) for fit in answers if fit.verdict != "fits"]
            told = [safe(verdict(answers)), *against]
            yield "Its fit on this engine, by its file", Markup("; ").join(told)
        for title, key in (
            ("Displacement per revolution", "blower_displacement"),
            ("Highest speed of the blower", "blower_max_speed"),
        ):
            if sheet.engine[key].present:
                yield title, figures.show(sheet.engine[key])
    if (turbo := induction.turbocharger) is not None:
        count = f"{turbo.count.value} × " if turbo.count and turbo.count.value > 1 else ""
        yield "Turbocharger", safe(count + turbo.title.value)
        if turbo.max_speed:
            words = "Highest speed of the turbocharger"
            yield words, figures.written("turbocharger_speed", words, turbo.max_speed)


def _cooler(sheet: Sheet, induction: Induction, figures: Provenance) -> Iterator[Fact]:
    cooler = induction.charge_cooler
    if cooler is None:
        if induction.natural is None:
            yield "Charge cooler", safe("none recorded")
        return
    yield "Charge cooler", safe(cooler.kind.value.replace("-", " ") if cooler.kind else "fitted")
    for title, key, given in (
        ("Its effectiveness", "effectiveness", cooler.effectiveness),
        ("What cools it", "coolant_temperature", cooler.coolant_temperature),
        ("Pressure lost in it", "cooler_drop", cooler.pressure_drop),
    ):
        if given is not None:
            yield title, figures.show(sheet.engine[key])


def _drive(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    drive = sheet.build.drive
    if drive.crank_pulley:
        yield "Crank pulley", figures.written("crank_pulley", "Crank pulley", drive.crank_pulley)
    if drive.blower_pulley:
        given = figures.written("blower_pulley", "Blower pulley", drive.blower_pulley)
        yield "Blower pulley as built", given
    belt = drive.belt
    if belt is None:
        return
    ribs = f"{belt.ribs.value} ribs" if belt.ribs else ""
    profile = f"profile {belt.profile.value}" if belt.profile else ""
    words = ", ".join(part for part in (profile, ribs) if part)
    if words:
        yield "Belt", safe(words)
    for title, key in (
        ("Belt length", "length"),
        ("Belt tension, standing", "tension"),
        ("Coefficient of friction", "friction"),
    ):
        if given := getattr(belt, key):
            yield title, figures.written(f"belt_{key}", title, given)
    yield from _worked_out(sheet, figures)


def _worked_out(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    """What follows for the belt with the pulleys of the setup that the sheet leads with."""
    if sheet.lead is None:
        return
    for key in ("belt_path", "belt_slack", "crank_wrap", "blower_wrap", "belt_speed", "grip_used"):
        row = sheet.lead.rows[key]
        if row.present:
            yield row.title, figures.show(row)


def _layout(sheet: Sheet, units: System) -> Markup:
    chart = drawings.belt(sheet, units)
    return rendered(Charts(charts=[chart])) if chart is not None else Markup("")


def _fuel(sheet: Sheet, figures: Provenance) -> Iterator[Fact]:
    system = sheet.build.fuel_system
    if injectors := system.injectors:
        flow = figures.show(sheet.engine["injector_rated_flow"])
        rated = sheet.engine["injector_rated_pressure"]
        count = str(injectors.count.value)
        at = Markup(" at {}").format(figures.show(rated)) if rated.present else ""
        yield "Injectors", Markup("{} × {}{}").format(count, flow, at)
    if system.pressure:
        yield "Fuel pressure", figures.show(sheet.engine["fuel_pressure"])
    if system.pressure_reference:
        followed = {
            "manifold": "follows the manifold",
            "atmosphere": "constant against the air outside",
        }
        reference = system.pressure_reference.value
        yield "Its regulator", safe(followed.get(reference, reference))
