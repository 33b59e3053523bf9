"""The sentences of a plan: what comes first, what a pair breaks, what a goal asks for."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from specgen.analysis.planning.plan import Plan, PlannedPair
from specgen.analysis.planning.room import Room, Stop
from specgen.analysis.planning.seek import Sought
from specgen.analysis.rows.row import Row
from specgen.analysis.words import fuel_words
from specgen.publish.typesetting.figures import words_in_both
from specgen.vocabulary import System, quantity

_RATIO = quantity("pulley_ratio")
#: The limit that is no edge: the spark goes back, and power with it.
OCTANE = "Octane"


def figure_words(row: Row, system: System) -> str:
    """A figure with its band; a dash where there is none."""
    if not row.present:
        return "\u2013"
    return row.quantity.printed(row.scalar, system, row.expanded).text


def hard_stops(plan: Plan) -> tuple[Stop, ...]:
    """The limits that pairs reach, octane left out: it costs power and breaks nothing at once."""
    return tuple(stop for stop in plan.stops if stop.title != OCTANE)


def stop_words(plan: Plan, system: System) -> Iterator[str]:
    """What stops larger ratios: the limit that comes first, those after it, and the fuel."""
    stops = hard_stops(plan)
    if stops:
        first, *later = stops
        yield f"The limit that comes first is that of {_reached(first, system)}."
        if later:
            yield f"After it: {'; '.join(_reached(stop, system) for stop in later)}."
    elif any(room.title != OCTANE for item in plan.pairs for room in item.rooms):
        yield "No pair on offer reaches a limit that is recorded."
    else:
        yield "No limit is recorded that could be compared."
    for stop in plan.stops:
        if stop.title == OCTANE:
            given = stop.limit.quantity.text(stop.limit.scalar, system)
            where = "At every ratio" if stop.low else f"From a ratio of {_ratio(stop.ratio)} on"
            yield (
                f"{where} the engine asks for more octane than the {given} of the fuel: the spark "
                "goes back, which costs power, or the engine knocks."
            )


def stops_in_both(plan: Plan) -> list[Markup]:
    """The sentences of `stop_words`, each in both systems of units."""

    def one(index: int) -> Markup:
        return words_in_both(lambda system: list(stop_words(plan, system))[index])

    return [one(index) for index, _ in enumerate(stop_words(plan, "metric"))]


def _reached(stop: Stop, system: System) -> str:
    limit = stop.limit.quantity.text(stop.limit.scalar, system)
    if stop.low:
        return f"{stop.title.lower()} ({limit}), beyond it with every pair"
    return f"{stop.title.lower()} ({limit}), reached at a ratio of {_ratio(stop.ratio)}"


def _ratio(value: float) -> str:
    return _RATIO.text(value, "metric")


def verdict_words(item: PlannedPair, system: System) -> str:
    """What stops a pair, and in what it lies further than what was measured."""
    told = against_limits(item, system)
    if item.beyond_data:
        told += f"; further than measured: {', '.join(item.beyond_data)}"
    return told


def against_limits(item: PlannedPair, system: System) -> str:
    """What a pair breaks or may break; "inside its limits" where all are kept.

    Octane is left out: the fuel's is told once for all pairs, and each one's asking is a figure.
    """
    if not item.runs:
        return item.figures["boost"].reason
    certain, doubtful = (
        tuple(room for room in rooms if room.title != OCTANE)
        for rooms in (item.certain, item.doubtful)
    )
    told = [f"beyond: {_rooms(certain, system)}"] if certain else []
    if doubtful:
        told.append(f"may be beyond: {_rooms(doubtful, system)}")
    if not told:
        compared = any(room.title != OCTANE for room in item.rooms)
        told.append("inside its limits" if compared else "no limit recorded")
    return "; ".join(told)


def _rooms(rooms: tuple[Room, ...], system: System) -> str:
    return ", ".join(
        f"{room.title.lower()} {room.limit.quantity.text(room.limit.scalar, system)}"
        for room in rooms
    )


def further_words(plan: Plan) -> str:
    """Which ratios lie further than what was measured; empty where none does."""
    told = [item for item in plan.pairs if item.beyond_data]
    if not told:
        return ""
    ratios = [setup.rows["rotor_ratio"] for setup in plan.sheet.setups if setup.pulls]
    known = sorted(row.scalar for row in ratios if row.present)
    if not known:
        return ""
    ends = [_ratio(end) for end in (known[0], known[-1])]
    span = ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
    return f"measured at rotor ratios of {span}"


def rest_words(plan: Plan, system: System) -> str:
    """What a plan rests on: fuel, air, pulls, and where it is read."""
    sheet = plan.sheet
    setup = plan.pairs[0].setup
    fuel = fuel_words(setup.setup.fuel)
    count = len(sheet.calibration.pulls) if sheet.calibration else 0
    pulls = {0: "defaults alone: nothing was measured", 1: "one pull"}.get(count, f"{count} pulls")
    boost = plan.pairs[0].figures["boost"].at
    power = plan.pairs[0].figures["power"].at
    read = ""
    if boost is not None and power is not None and boost.present and power.present:
        ends = [row.quantity.text(row.scalar, system) for row in (boost, power)]
        same = ends[0] == ends[1]
        read = f", read at {ends[0]}" if same else f", boost at {ends[0]}, power at {ends[1]}"
    return f"On {fuel}, in {_air(setup.rows, system)}; rests on {pulls}{read}."


def _air(rows: object, system: System) -> str:
    """The air of a plan in figures."""
    keys = ("estimate_pressure", "estimate_temperature", "estimate_humidity")
    found = [rows[key] for key in keys]  # type: ignore[index]
    return "air of " + ", ".join(row.quantity.text(row.scalar, system) for row in found)


def sought_words(found: Sought, system: System) -> Iterator[str]:
    """What a goal asks for, what stops it, and what else must change."""
    shown = quantity(found.aim)
    goal = shown.text(found.goal, system)
    if found.exact is None:
        yield f"{goal} of {found.aim} is not reached by any pulley."
        if found.most is not None:
            most = figure_words(found.most.figures[found.aim], system)
            yield f"The most is {most}, with {found.most.pair.title}: {_why(found, system)}."
    else:
        size = found.exact.pair
        made = quantity("pulley_diameter").text(size.blower.value, system)
        yield (
            f"{goal} of {found.aim} asks for a ratio of {_ratio(size.ratio)}: {made} "
            f"on the blower with {size.crank.text} on the crank."
        )
        yield f"There: {verdict_words(found.exact, system)}."
        for need in found.needs:
            yield f"{need.kind}: {need.words(system)}."
    if found.nearest is not None:
        there = figure_words(found.nearest.figures[found.aim], system)
        told = verdict_words(found.nearest, system)
        yield f"Of the pairs in the plan {found.nearest.pair.title} comes nearest: {there}; {told}."


def _why(found: Sought, system: System) -> str:
    """Why there is no more: the fuel, else what the largest pair breaks."""
    assert found.most is not None
    most = found.most
    if found.aim == "power" and any(room.title == OCTANE for room in most.rooms if room.left < 0):
        return "more boost asks for a later spark than it gives power"
    return verdict_words(most, system)
