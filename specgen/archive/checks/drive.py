"""Checks of what turns the blower: its pulleys, and the speed they give it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from specgen.archive.fitment import engine_of, fitment
from specgen.archive.model.build import Blower, Build, Number, Setup
from specgen.archive.phrases.figures import error, shown, warning
from specgen.archive.phrases.suggestion import nearest, one_of
from specgen.findings import Finding, Place
from specgen.physics.pulley import blower_speed, pitch_diameter, pitch_ratio

#: Two pulleys are the same size within this share: 0.1 mm in 100 mm.
SAME_SIZE = 1e-3


def pulleys_without_blower(build: Build) -> Iterator[Finding]:
    """A blower pulley turns a blower."""
    if build.induction.blower is not None:
        return
    for pulley in (build.drive.blower_pulley, *(setup.blower_pulley for setup in build.setups)):
        if pulley is not None:
            found = f"a blower pulley of {pulley.text} on a build without a blower"
            hint = "induction: {blower: ...} with the blower's id, or no blower_pulley"
            yield error("contradiction", pulley.place, found, "a blower that it turns", hint)


def layout_members(build: Build) -> Iterator[Finding]:
    """A layout has one crank pulley and one blower pulley."""
    layout = build.drive.layout
    names = [item.pulley.value for item in layout]
    for name in ("crank", "blower") if layout else ():
        places = [item.pulley.place for item in layout if item.pulley.value == name]
        expected = f"one {name} pulley in the layout"
        if not places:
            near = nearest(name, [word for word in names if word not in ("crank", "blower")])
            found = f"a layout without a {name} pulley"
            found += f', but with "{near}"' if near else ""
            hint = f"- {{pulley: {name}, x: 0 mm, y: 0 mm}}, with its own centre"
            hint = f"pulley: {name}" if near else hint
            yield error("missing-key", layout[0].pulley.place, found, expected, hint)
        for place in places[1:]:
            found = f"a second {name} pulley in the layout"
            hint = "pulley: idler, or another word for what it is"
            yield error("contradiction", place, found, expected, hint)


def layout_diameters(build: Build) -> Iterator[Finding]:
    """Crank and blower take their diameters from the setup; all others state theirs."""
    for item in build.drive.layout:
        name, place = item.pulley.value, item.pulley.place
        if name in ("crank", "blower") and item.diameter is not None:
            found = f"a diameter of {item.diameter.text} for the {name} pulley in the layout"
            hint = f"{name}_pulley: {item.diameter.text} in drive or in the setup, and none here"
            expected = "no diameter: it comes from drive or from the setup"
            yield error("contradiction", item.diameter.place, found, expected, hint)
        elif name not in ("crank", "blower") and item.diameter is None:
            found = f'no "diameter" for the pulley "{name}"'
            expected = "the effective diameter of each pulley but crank and blower"
            yield error("missing-key", place, found, expected, "diameter: 76 mm")


def fits_the_engine(build: Build, blower: Blower) -> Iterator[Finding]:
    """The blower's own file does not deny the engine it is on; what is not recorded is no fault."""
    named = build.induction.blower
    assert named is not None
    for fit in fitment(blower, engine_of(build)):
        if fit.verdict != "does not fit" or fit.found is None:
            continue
        found = f'"{blower.id}" on an engine it does not fit: {fit.title} {fit.found.text}'
        found += f", {fit.apart('metric')}" if fit.over else ""
        expected = f"{fit.wanted('metric')}, by {blower.place.file}"
        hint = f"another blower, or {fit.key} as measured under engine, or fits in its file"
        yield warning("does-not-fit", named.place, found, expected, hint)


def offered_pulleys(build: Build, blower: Blower) -> Iterator[Finding]:
    """The pulleys of a build are among those its blower comes with, where it says so."""
    pairs = [(build.drive.blower_pulley, build.drive.crank_pulley)]
    pairs += [(setup.blower_pulley, setup.crank_pulley) for setup in build.setups]
    for pulley, crank in pairs:
        yield from _offered(pulley, blower.pulleys, "blower_pulley", blower)
        yield from _offered(crank, blower.crank_pulleys, "crank_pulley", blower)


def _offered(
    pulley: Number | None, offer: Iterable[Number], key: str, blower: Blower
) -> Iterator[Finding]:
    known = sorted(offer, key=lambda item: item.value)
    if pulley is None or not known:
        return
    nearest_size = min(known, key=lambda item: abs(item.value - pulley.value))
    if abs(nearest_size.value - pulley.value) <= SAME_SIZE * pulley.value:
        return
    found = f'a {key.replace("_", " ")} of {pulley.text}, which "{blower.id}" does not come with'
    expected = one_of(item.text for item in known)
    hint = f"{key}: {nearest_size.text}, or the new size in {blower.place.file}"
    yield warning("not-offered", pulley.place, found, expected, hint)


def belt_ribs(build: Build, blower: Blower) -> Iterator[Finding]:
    """The belt has as many ribs as the blower's own pulley."""
    ribs = build.drive.belt.ribs if build.drive.belt else None
    if ribs is None or blower.ribs is None or ribs.value == blower.ribs.value:
        return
    found = f'a belt of {ribs.value} ribs on "{blower.id}", whose pulley has {blower.ribs.value}'
    expected = f"{blower.ribs.value} ribs"
    hint = f"ribs: {blower.ribs.value}, or the other pulley's ribs in {blower.place.file}"
    yield warning("not-offered", ribs.place, found, expected, hint)


def blower_speed_limit(build: Build, blower: Blower) -> Iterator[Finding]:
    """No setup turns the blower beyond its limit at the engine's highest speed."""
    top, limit = build.engine.max_speed, blower.max_speed
    if top is None or limit is None:
        return
    internal = blower.internal_ratio.value if blower.internal_ratio else 1.0
    for crank, pulley, place, name, _ in pairs(build):
        ratio = pitch_ratio(crank.value, pulley.value)
        speed = float(blower_speed(top.value, ratio, internal))
        if speed <= limit.value * (1 + 1e-9):
            continue
        pitch = float(pitch_diameter(pulley.value))
        least = pitch * speed / limit.value - (pitch - pulley.value)
        smallest = math.ceil(2e3 * least) / 2e3
        found = f"{name} turns the blower at {shown('blower_speed', speed)} when the engine does "
        hint = f"blower_pulley: {shown('pulley_diameter', smallest)} or more, or a lower max_speed"
        expected = f'at most {limit.text}, the limit of "{blower.id}"'
        yield warning("beyond-limit", place, found + top.text, expected, hint)


class DrivenBy(NamedTuple):
    """A crank and a blower pulley, where they stand and in which setup; None for the drive."""

    crank: Number
    pulley: Number
    place: Place
    name: str
    setup: Setup | None = None


def pairs(build: Build) -> Iterator[DrivenBy]:
    """Give the crank and blower pulley of the drive and of each setup that changes one."""
    drive = build.drive
    if drive.crank_pulley and drive.blower_pulley:
        place = drive.blower_pulley.place
        yield DrivenBy(drive.crank_pulley, drive.blower_pulley, place, "the drive")
    for setup in build.setups:
        crank = setup.crank_pulley or drive.crank_pulley
        pulley = setup.blower_pulley or drive.blower_pulley
        if crank and pulley and _changed(setup):
            place = (setup.blower_pulley or setup.crank_pulley or pulley).place
            yield DrivenBy(crank, pulley, place, f'the setup "{setup.id.value}"', setup)


def _changed(setup: Setup) -> bool:
    return setup.blower_pulley is not None or setup.crank_pulley is not None
