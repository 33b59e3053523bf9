"""The chapters of the physics, as the method page and the validation page part it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from specgen.analysis.rows.formula import Formula

#: Title and first words of each room of the physics, in the order of a page.
CHAPTERS: dict[str, tuple[str, str]] = {
    "air": ("Air", "The air an engine breathed on the day, and the standard atmosphere."),
    "correction": ("Correction", "What a result becomes in a named standard's air."),
    "blueprint": ("Blueprint", "Volumes, compression, piston motion and valve events."),
    "engine": ("Engine", "What torque, speed and swept volume say about an engine."),
    "breathing": ("Breathing", "How much air an engine swallows."),
    "motion": ("Motion", "Where the piston and the valves are at each crank angle."),
    "valves": ("Valves", "The cam card turned round, and how far a valve is open."),
    "pulley": ("Pulleys", "How fast the blower and its belt run."),
    "belt": ("Belt", "Length, wrap, tension and slip."),
    "layout": ("Belt layout", "The belt's path over any number of pulleys."),
    "compression": ("Compression", "The work it takes to raise a gas's pressure."),
    "blower": ("Blower", "What a blower delivers, and what it takes to drive it."),
    "blower_map": ("Blower maps", "What a measured map says between its points."),
    "charge": ("Charge", "What the charge cooler takes out."),
    "flow": ("Flow", "What pipes, bends and openings cost in pressure."),
    "matching": ("Matching", "Where blower and engine agree: the boost."),
    "map_matching": ("Matching on a map", "The boost where the blower's map was measured."),
    "fuel": ("Fuel", "Fuels, blends, mixture and injectors."),
    "blends": ("Blends", "What a mixture of fuels is, by volume and by mass."),
    "power": ("Power", "From air and fuel to the crankshaft."),
    "estimate": ("Estimate", "What stands in until an engine's breathing has been measured."),
}


def chapters(formulas: Iterable[Formula]) -> Iterator[tuple[str, str, list[Formula]]]:
    """Formulas by their room: title, first words, and the formulas in the order they came."""
    rooms: dict[str, list[Formula]] = {}
    for formula in formulas:
        rooms.setdefault(formula.name.partition(".")[0], []).append(formula)
    for room in (*CHAPTERS, *(room for room in rooms if room not in CHAPTERS)):
        if room in rooms:
            title, words = CHAPTERS.get(room, (room.replace("_", " ").capitalize(), ""))
            yield title, words, rooms[room]
