"""Checks of the blueprint: dimensions that add up, and volumes that make the stated ratio."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from specgen.archive.model.build import Build, Number
from specgen.archive.model.record import Blueprint, Dimension
from specgen.archive.phrases.figures import allowance, error, shown, warning
from specgen.archive.phrases.suggestion import more
from specgen.findings import Finding, Place
from specgen.physics import blueprint
from specgen.physics.engine import swept_volume

#: A deck clearance may differ from what block, stroke, rod and piston add up to: as specified by
#: what a drawing rounds, as measured by what the bench and the bearings leave open.
SPECIFIED_DECK, MEASURED_DECK = 0.05e-3, 0.25e-3
#: A stated compression ratio may differ from the one that the volumes make.
RATIO_TOLERANCE = 0.15
#: A measured dimension may differ from its specification by this share.
MEASURED_SHARE = 0.005
#: What rounding may have changed in a figure is taken as no more than this: a drawing's "211 mm"
#: is not half a millimetre off. Half the second decimal of an inch.
MOST_ROUNDING = 0.127e-3
#: Dimensions that the engine's entry states too, by its key there.
IN_ENGINE = {
    "bore": "bore",
    "stroke": "stroke",
    "rod_length": "rod_length",
    "block_deck_height": "deck_height",
}
_KEYS = tuple(Blueprint.__dataclass_fields__)


@dataclass(frozen=True, slots=True)
class _Value:
    """A dimension in one form: its SI value, what rounding may have changed, its text and place."""

    value: float
    slack: float
    text: str
    place: Place
    is_measured: bool = False


def _dimensions(build: Build) -> Iterator[tuple[str, Dimension]]:
    if build.record is not None:
        for key in _KEYS:
            yield key, getattr(build.record.blueprint, key)


def measured_counts(build: Build) -> Iterator[Finding]:
    """A list of readings has one for each cylinder."""
    wanted = build.engine.cylinders.value
    for key, dimension in _dimensions(build):
        count = len(dimension.measured)
        if count > 1 and count != wanted:
            found = f"{count} readings of the {key.replace('_', ' ')} on an engine of {wanted}"
            found += " cylinders" if wanted > 1 else " cylinder"
            hint = f"measured: with {wanted} values in the order of the cylinders, or with one"
            expected = f"one value for all, or a list of {wanted}"
            yield error("contradiction", dimension.measured[0].place, found, expected, hint)


def against_engine(build: Build) -> Iterator[Finding]:
    """A specified dimension is the engine's own; a measured one is near it."""
    for key, dimension in _dimensions(build):
        stated: Number | None = getattr(build.engine, IN_ENGINE.get(key, ""), None)
        specified = dimension.specified
        if stated and specified and _apart(stated, specified, 0.0):
            found = f"a specified {key.replace('_', ' ')} of {specified.text}"
            expected = f"{stated.text}, as the engine has it in line {stated.place.line}"
            hint = f"specified: {stated.text}, or {IN_ENGINE[key]}: {specified.text} in engine"
            yield error("contradiction", specified.place, found, expected, hint)
        yield from _far_readings(key, dimension, specified or stated)


def _far_readings(key: str, dimension: Dimension, wanted: Number | None) -> Iterator[Finding]:
    """Report the first reading that is far from its specification, and count the others."""
    if wanted is None or key not in IN_ENGINE:
        return
    tolerance = MEASURED_SHARE * wanted.value
    far = [reading for reading in dimension.measured if _apart(wanted, reading, tolerance)]
    if far:
        found = f"a measured {key.replace('_', ' ')} of {far[0].text}"
        found += more(len(far) - 1, "reading")
        expected = f"about {wanted.text}, as it is specified"
        hint = "the reading as it was taken, or the specification as it is now"
        yield warning("contradiction", far[0].place, found, expected, hint)


def _apart(one: Number, other: Number, tolerance: float) -> bool:
    return abs(one.value - other.value) > _rounding(one) + _rounding(other) + tolerance


def _rounding(figure: Number) -> float:
    """What rounding may have changed in a length; one float's width at the least."""
    return min(allowance(figure), MOST_ROUNDING) + 1e-9 * abs(figure.value)


def _specified(build: Build, key: str) -> _Value | None:
    """A dimension as specified, or as the engine's entry has it."""
    assert build.record is not None
    dimension: Dimension = getattr(build.record.blueprint, key)
    given: Number | None = dimension.specified
    given = given or getattr(build.engine, IN_ENGINE.get(key, ""), None)
    return _Value(given.value, _rounding(given), given.text, given.place) if given else None


def _measured(build: Build, key: str) -> _Value | None:
    """The mean of a dimension's readings; its specification where nobody measured it."""
    assert build.record is not None
    readings = getattr(build.record.blueprint, key).measured
    if not readings:
        return _specified(build, key)
    mean = sum(reading.value for reading in readings) / len(readings)
    text = readings[0].text if len(readings) == 1 else "the readings' mean"
    return _Value(mean, _rounding(readings[0]), text, readings[0].place, True)


_Form = Callable[[Build, str], _Value | None]
_FORMS: tuple[tuple[str, _Form], ...] = (("specified", _specified), ("measured", _measured))


def deck_stack(build: Build) -> Iterator[Finding]:
    """The deck clearance is what block, stroke, rod and piston leave."""
    for name, form in _FORMS if build.record else ():
        keys = ("block_deck_height", "stroke", "rod_length", "compression_height")
        block, stroke, rod, height = (form(build, key) for key in keys)
        stated = form(build, "deck_clearance")
        if not (block and stroke and rod and height and stated):
            continue
        if name == "measured" and not stated.is_measured:
            continue
        due = float(blueprint.deck_clearance(block.value, stroke.value, rod.value, height.value))
        slack = block.slack + 0.5 * stroke.slack + rod.slack + height.slack + stated.slack
        slack += SPECIFIED_DECK if name == "specified" else MEASURED_DECK
        if abs(stated.value - due) > slack:
            report = error if name == "specified" else warning
            text = shown("deck_clearance", due)
            found = f"a {name} deck clearance of {shown('deck_clearance', stated.value)}"
            expected = f"{text}, which block, half the stroke, rod and piston leave"
            heights = f"{block.text} of block, {stroke.text} of stroke, {rod.text} of rod, "
            heights += f"{height.text} of piston"
            hint = f"specified: {text}, or the height that is wrong ({heights})"
            if name == "measured":
                hint = f"the readings again as they were taken ({heights})"
            yield report("contradiction", stated.place, found, expected, hint)


def volumes(build: Build) -> Iterator[Finding]:
    """The volumes leave room above the piston and make the ratio that is stated."""
    seen: set[str] = set()
    for name, form in _FORMS if build.record else ():
        values = {key: form(build, key) for key in _VOLUMES}
        deck = _deck(build, form)
        known = {key: value for key, value in values.items() if value is not None}
        if deck is None or len(known) < len(_VOLUMES):
            continue
        if name == "measured" and not any(item.is_measured for item in known.values()):
            continue
        for finding in _judged(build, name, known, deck):
            if finding.found not in seen:
                seen.add(finding.found)
                yield finding


_VOLUMES = ("bore", "stroke", "gasket_bore", "gasket_thickness", "chamber_volume", "dish_volume")


def _deck(build: Build, form: _Form) -> float | None:
    """The deck clearance as stated, or as the heights leave it."""
    stated = form(build, "deck_clearance")
    if stated is not None:
        return stated.value
    keys = ("block_deck_height", "stroke", "rod_length", "compression_height")
    heights = [item.value for item in (form(build, key) for key in keys) if item is not None]
    return float(blueprint.deck_clearance(*heights)) if len(heights) == len(keys) else None


def _judged(build: Build, name: str, known: dict[str, _Value], deck: float) -> Iterator[Finding]:
    gasket, chamber = known["gasket_thickness"], known["chamber_volume"]
    if deck + gasket.value <= 0:
        found = f"a piston that stands {shown('deck_clearance', -deck)} above the deck"
        expected = f"less than the {gasket.text} of the pressed gasket, or piston and head touch"
        hint = "deck_clearance and gasket_thickness again as they were measured"
        yield error("contradiction", gasket.place, found, expected, hint)
        return
    bore, dish = known["bore"].value, known["dish_volume"]
    try:
        clearance = blueprint.clearance_from_parts(
            chamber.value, known["gasket_bore"].value, gasket.value, bore, deck, dish.value
        )
    except ValueError:
        found = f"a chamber of {chamber.text} that a dome of {dish.text} fills"
        hint = "chamber_volume and dish_volume again; a dish is above zero, a dome below"
        yield error("contradiction", dish.place, found, "room above the piston", hint)
        return
    swept = swept_volume(bore, known["stroke"].value, 1)
    yield from _ratio(build, name, float(blueprint.compression_ratio(swept, clearance)))


def _ratio(build: Build, name: str, due: float) -> Iterator[Finding]:
    stated = build.engine.compression_ratio
    if stated is None or abs(stated.value - due) <= RATIO_TOLERANCE:
        return
    report = error if name == "specified" else warning
    found = f"a compression ratio of {stated.text}, where the volumes as {name} make {due:.2f}"
    expected = f"a ratio within {RATIO_TOLERANCE} of what the volumes make"
    hint = f"compression_ratio: {due:.1f}, or the volume of the record that is wrong"
    yield report("contradiction", stated.place, found, expected, hint)
