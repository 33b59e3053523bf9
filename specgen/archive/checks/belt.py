"""Checks of the belt: whether it has a path at all, and whether the one that is on fits it."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.archive.belts import BeltLine, belt_line
from specgen.archive.checks.drive import pairs
from specgen.archive.model.build import Build
from specgen.archive.phrases.figures import error, shown, warning
from specgen.findings import Finding, Place
from specgen.physics import Unphysical

#: A belt's length and the places of a layout are known to this share of the path; where a
#: tensioner's travel is not stated it may take up as much as the second (common practice).
LENGTH_TOLERANCE, UNKNOWN_TRAVEL = 0.01, 0.04


def layout_path(build: Build) -> Iterator[Finding]:
    """The belt runs over each pulley on its side, crosses nothing and touches nothing else."""
    told: set[str] = set()
    for crank, pulley, place, name, _ in pairs(build):
        line = belt_line(build.drive, crank.value, pulley.value)
        if line is None:
            return
        try:
            assert line.path
        except Unphysical as problem:
            if str(problem) not in told:
                told.add(str(problem))
                yield _no_path(place, f"{name} with {crank.text} and {pulley.text}: {problem}")


def _no_path(place: Place, words: str) -> Finding:
    expected = "pulleys in the order of the belt, each clear of the others, with its side"
    hint = "layout: with the order, x, y, diameter and side as they are on the engine"
    return error("contradiction", place, f"no path for the belt, {words}", expected, hint)


def belt_length(build: Build) -> Iterator[Finding]:
    """The belt that is on fits the path over the drive's own pulleys, as far as that can move."""
    drive = build.drive
    belt = drive.belt.length if drive.belt else None
    if belt is None or drive.crank_pulley is None or drive.blower_pulley is None:
        return
    line = belt_line(drive, drive.crank_pulley.value, drive.blower_pulley.value)
    if line is None:
        return
    try:
        low, high = line.reach
    except Unphysical:
        return  # said of the layout, or of the tensioner's travel
    open_travel = line.tensioner is None and "tensioner" in line.names
    room = UNKNOWN_TRAVEL if open_travel else LENGTH_TOLERANCE
    if low * (1 - room) <= belt.value <= high * (1 + room):
        return
    ends = shown("belt_length", low)
    ends = ends if low == high else f"{ends} to {shown('belt_length', high)}"
    found = f"a belt of {belt.text} where the layout's path asks for {ends}"
    expected = f"a belt within {100 * room:.0f} % of that"
    hint = f"length: {shown('belt_length', low)}, or the layout's places and diameters as they are"
    yield warning("contradiction", belt.place, found, expected, hint)


def tensioner_travel(build: Build) -> Iterator[Finding]:
    """One pulley moves, it is not the crank's, and the belt has a path at the end of its travel."""
    moving = [item for item in build.drive.layout if item.travel_to is not None]
    for item in moving:
        assert item.travel_to is not None
        place, name = item.travel_to.x.place, item.pulley.value
        if item is not moving[0] or name == "crank":
            found = f'a travel of the pulley "{name}"'
            expected = "the travel of one tensioner, which is not the crank"
            yield error("contradiction", place, found, expected, "travel_to beside the tensioner")
    drive = build.drive
    if len(moving) != 1 or drive.crank_pulley is None or drive.blower_pulley is None:
        return
    line = belt_line(drive, drive.crank_pulley.value, drive.blower_pulley.value)
    if line is None or not _runs(line):
        return
    try:
        assert line.reach
    except Unphysical as problem:
        assert moving[0].travel_to is not None
        place = moving[0].travel_to.x.place
        words = f"no path for the belt at the end of the tensioner's travel: {problem}"
        expected = "a centre at which the belt still runs clear"
        yield error("contradiction", place, words, expected, "travel_to: {x: ..., y: ...} as it is")


def _runs(line: BeltLine) -> bool:
    """Whether the belt has a path where the layout stands; `layout_path` says why not."""
    try:
        return bool(line.path)
    except Unphysical:
        return False
