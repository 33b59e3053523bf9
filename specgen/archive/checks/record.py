"""Checks of the build record but its blueprint: cam card, clearances, parts over time."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from specgen.archive.model.build import Build, Number
from specgen.archive.model.record import Cam, Lobe, Part, replaced_part
from specgen.archive.phrases.figures import allowance, article, error, warning
from specgen.findings import Finding, Place
from specgen.vocabulary import quantity

#: No poppet valve of a four-stroke engine is open for longer (common practice, no source).
LONGEST_DURATION = math.radians(400)
#: Figures of a card may differ by this much beyond their rounding.
CARD_TOLERANCE = math.radians(0.5)
#: A lobe whose flanks differ has its highest lift some degrees off the middle of its events.
UNEVEN_LOBE = math.radians(8)


def _cam(build: Build) -> Cam | None:
    return build.record.cam if build.record else None


def _lobes(build: Build) -> Iterator[tuple[str, Lobe]]:
    cam = _cam(build)
    if cam is not None:
        yield "intake", cam.intake
        yield "exhaust", cam.exhaust


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.4g} deg"


def _from_events(lobe: Lobe) -> float | None:
    if lobe.opens is None or lobe.closes is None:
        return None
    return lobe.opens.value + lobe.closes.value + math.pi


def long_durations(build: Build) -> Iterator[Finding]:
    """No valve is open for longer than valves are."""
    for name, lobe in _lobes(build):
        stated = lobe.duration.value if lobe.duration else None
        for given, value in ((lobe.duration, stated), (lobe.closes, _from_events(lobe))):
            if given is not None and value is not None and value > LONGEST_DURATION:
                found = f"an {name} that is open for {_degrees(value)} of the crank"
                expected = f"at most {_degrees(LONGEST_DURATION)}, degrees of the crank"
                hint = "opens and closes again, each with its dead centre"
                if given is lobe.duration:
                    hint = f"duration: {_degrees(value / 2)}, if it was counted twice"
                yield error("implausible", given.place, found, expected, hint)


def events_and_durations(build: Build) -> Iterator[Finding]:
    """Both forms of a card say the same."""
    for name, lobe in _lobes(build):
        due = _from_events(lobe)
        if due is None or lobe.opens is None or lobe.closes is None:
            continue
        slack = allowance(lobe.opens) + allowance(lobe.closes) + CARD_TOLERANCE
        if lobe.duration and abs(lobe.duration.value - due) > slack + allowance(lobe.duration):
            found = f"an {name} duration of {lobe.duration.text}"
            expected = f"{_degrees(due)}, which opens and closes make"
            hint = f"duration: {_degrees(due)}, or the event that is wrong"
            yield error("contradiction", lobe.duration.place, found, expected, hint)
        near = lobe.opens if name == "intake" else lobe.closes
        middle = 0.5 * due - near.value
        if lobe.centre_line and abs(lobe.centre_line.value - middle) > UNEVEN_LOBE:
            found = f"an {name} centre line of {lobe.centre_line.text}"
            expected = f"about {_degrees(middle)}, the middle between opens and closes"
            hint = f"centre_line: {_degrees(middle)}, or the event that is wrong"
            yield warning("contradiction", lobe.centre_line.place, found, expected, hint)


def centre_lines(build: Build) -> Iterator[Finding]:
    """Centre lines, lobe separation and advance agree."""
    cam = _cam(build)
    if cam is None:
        return
    intake, exhaust = cam.intake.centre_line, cam.exhaust.centre_line
    if cam.lobe_separation and intake and exhaust:
        due = 0.5 * (intake.value + exhaust.value)
        words = f"half the sum of {intake.text} and {exhaust.text}"
        yield from _card(cam.lobe_separation, due, "lobe_separation", words, (intake, exhaust))
    elif cam.lobe_separation and cam.advance and (intake or exhaust):
        turned = cam.advance.value if exhaust else -cam.advance.value
        line = intake or exhaust
        assert line is not None
        due, sign = cam.lobe_separation.value + turned, "and" if exhaust else "less"
        words = f"{cam.lobe_separation.text} {sign} {cam.advance.text}"
        yield from _card(line, due, "centre_line", words, (cam.lobe_separation, cam.advance))
    if cam.advance and intake and exhaust:
        due = 0.5 * (exhaust.value - intake.value)
        words = f"half of {exhaust.text} less {intake.text}"
        yield from _card(cam.advance, due, "advance", words, (intake, exhaust))


def _card(
    stated: Number, due: float, key: str, words: str, others: Sequence[Number]
) -> Iterator[Finding]:
    slack = allowance(stated) + CARD_TOLERANCE + 0.5 * sum(allowance(other) for other in others)
    if abs(stated.value - due) > slack:
        found = f"{article(key.replace('_', ' '))} of {stated.text}"
        expected = f"{_degrees(due)}, which is {words}"
        hint = f"{key}: {_degrees(due)}, or the other figure that is wrong"
        yield error("contradiction", stated.place, found, expected, hint)


def checking_lifts(build: Build) -> Iterator[Finding]:
    """Durations are taken near the seat, not half way up."""
    for name, lobe in _lobes(build):
        if lobe.at_lift and lobe.lift and lobe.at_lift.value > 0.5 * lobe.lift.value:
            found = f"an {name} duration at {lobe.at_lift.text} of {lobe.lift.text} lift"
            expected = "a checking lift of less than half the highest lift"
            hint = "at_lift: 1.00 mm, or the lift of the valve itself"
            yield error("contradiction", lobe.at_lift.place, found, expected, hint)


def clearance_kinds(build: Build) -> Iterator[Finding]:
    """A reading is of the same kind as its limit."""
    for item in build.record.clearances if build.record else ():
        wanted = item.specified
        if wanted is None:
            wanted_key, text = item.measured[0].quantity if item.measured else None, "the first"
        else:
            wanted_key, text = wanted.quantity, f'"{wanted.text}"'
        for reading in item.measured:
            if reading.quantity != wanted_key and wanted_key and reading.quantity:
                kind, other = quantity(wanted_key), quantity(reading.quantity)
                found = f'"{reading.text}", which is {article(other.kind)}, '
                found += f"where {text} is {article(kind.kind)}"
                hint = f"measured: with a unit of {kind.kind}, such as {kind.metric.symbol}"
                expected = f"{article(kind.kind)} like {'the limit' if wanted else 'the first'}"
                yield error("contradiction", reading.place, found, expected, hint)


def nothing_to_judge(build: Build) -> Iterator[Finding]:
    """A measured thing has a limit or a reading."""
    for item in build.record.clearances if build.record else ():
        if item.specified is None and not item.measured:
            found = f'"{item.what.value}" with neither a limit nor a reading'
            hint = "specified: 0.05 to 0.08 mm, or measured: 0.062 mm, or leave the item out"
            yield error("missing-key", item.place, found, "specified, measured, or both", hint)


def part_days(build: Build) -> Iterator[Finding]:
    """A part comes out after it went in, and what replaces it goes in when it comes out."""
    for part in build.parts:
        if part.fitted and part.removed and part.removed.value < part.fitted.value:
            found = f'"{part.item.value}" removed on {part.removed.text}, before it was fitted'
            hint = f"removed: {part.fitted.text} or later, or another day of fitting"
            expected = f"a day from {part.fitted.text} on"
            yield error("contradiction", part.removed.place, found, expected, hint)
        old = replaced_part(part, build.parts)
        if old is not None:
            yield from _both_in(part, old)
        else:
            yield from _misspelled(part, build.parts)


def _both_in(new: Part, old: Part) -> Iterator[Finding]:
    """Report a part that is still in after another has taken its place."""
    place: Place = new.replaces.place if new.replaces else new.item.place
    if new.fitted is None and old.removed is None:
        found = f'"{new.item.value}" that replaces "{old.item.value}", but nobody says when'
        hint = "fitted: 2025-05-14, with the day it went in"
        yield warning("unclear", place, found, "the day it went in", hint)
    elif new.fitted and old.removed and old.removed.value != new.fitted.value:
        found = f'"{old.item.value}" removed on {old.removed.text}'
        expected = f'{new.fitted.text}, the day "{new.item.value}" took its place'
        hint = f"removed: {new.fitted.text}, or no removed at all"
        yield warning("contradiction", old.removed.place, found, expected, hint)


def _misspelled(part: Part, parts: Sequence[Part]) -> Iterator[Finding]:
    """Report a name that differs from the item of another part in spelling alone."""
    if part.replaces is None:
        return
    name = _letters(part.replaces.value)
    meant = [
        item.item.value for item in parts if item is not part and _letters(item.item.value) == name
    ]
    if meant:
        found = f'"{part.replaces.value}", which is no item of the list'
        expected = f'an item of the list as it is written there: "{meant[0]}"'
        hint = f'replaces: "{meant[0]}"'
        yield warning("unknown-reference", part.replaces.place, found, expected, hint)


def _letters(text: str) -> str:
    return re.sub(r"[\W_]", "", text).lower()
