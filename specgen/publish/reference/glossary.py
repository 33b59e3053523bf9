"""The words of the pages, told plainly: one table, in the order of the letters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from specgen.publish import addresses
from specgen.publish.addresses import Links
from specgen.publish.typesetting.page import Part, fixed_page
from specgen.publish.typesetting.rendering import Context, rendered
from specgen.vocabulary import System

#: Each word with what it means here; common practice where no standard is named.
WORDS = {
    "±": "How far a figure may be off: in 19 cases of 20 the truth lies within it.",
    "Air-fuel ratio": "Mass of air to mass of fuel that the engine burns.",
    "Band": "The shaded width around an estimate: where 19 of 20 measurements should lie.",
    "Blueprint": "The engine as it was built: bores, heights and volumes as they were measured.",
    "Boost": "Pressure in the manifold above that of the air outside.",
    "Brake mean effective pressure": "Torque for each litre of the engine, told as a pressure: "
    "it compares engines of unlike size.",
    "Centrifugal blower": "A fast wheel that throws air outwards; its boost rises with the square "
    "of its speed.",
    "Charge": "What the engine breathes in: air, and fuel where it is mixed in before.",
    "Charge cooler": "A heat exchanger between blower and engine: cooler air is denser.",
    "Compression ratio": "Volume above the piston at its lowest to that at its highest.",
    "Corrected": "Brought to the air of a standard, so that days and places compare.",
    "Density altitude": "The height at which standard air would be as thin as that of the day.",
    "Detonation": "Mixture that burns at once and by itself, before the flame: it breaks pistons.",
    "Discharge temperature": "Temperature of the air as it leaves the blower.",
    "E50, E85": "Fuel with that share of ethanol, in volume.",
    "Estimated": "Worked out from the engine, its drive and its tests; not measured.",
    "Flywheel, hub, roller": "Where power was measured: at the engine's own shaft, at the wheel "
    "hubs, or at the wheels on rollers. Each loses something on the way, so that figures of one "
    "do not stand beside those of another.",
    "Idler": "A pulley that drives nothing and leads or tightens the belt.",
    "Injector duty": "The share of the time that injectors are open; at all of it there is no "
    "more fuel to be had.",
    "Ladder": "The setups of a build in order, each measured one beside its prediction.",
    "Lambda": "Air there is, to the air that the fuel needs: below one is rich, above one is lean.",
    "Left over": "Measured less predicted.",
    "Limit": "What a maker or the workshop lets a part do; a sheet says how much is left.",
    "Lobe blower": "Two rotors that carry air round without squeezing it; also called Roots.",
    "Mean piston speed": "Twice the stroke, times the turns a second: what rods and rings bear.",
    "Observed": "As it was read in the air of that day, not corrected.",
    "Octane": "How well a fuel withstands detonation.",
    "Planned": "A setup that was never run: all its figures are estimates.",
    "Pull": "One sweep on the dyno, from low to high engine speed.",
    "Quench": "The narrow space between piston and head at the top: it stirs the mixture.",
    "Ratio": "Turns of the blower's pulley for each turn of the crankshaft.",
    "Reported": "As the dyno's paper has it, whatever that may have done to it.",
    "Screw blower": "Two rotors that squeeze the air as they carry it.",
    "Session": "One visit to a dyno: a day and its air.",
    "Setup": "One combination that was tried or planned: pulleys, fuel, ignition.",
    "Slip": "A belt that moves less than its pulley does; boost then falls short.",
    "Standard": "The air that figures are brought to, by a published rule such as ISO 1585.",
    "Vane blower": "A rotor off its centre with sliding blades, which squeezes the air.",
    "Volumetric efficiency": "Air that the engine takes, to what its cylinders would hold.",
    "Wrap": "How far around a pulley its belt lies; more of it grips better.",
}


@dataclass(frozen=True, slots=True)
class Glossary(Context):
    """The words and what they mean.

    `words`: anchor, word and meaning of each.
    """

    template: ClassVar[str] = "reference/glossary.jinja"
    words: Sequence[tuple[str, str, str]]


def anchor_of(word: str) -> str:
    """The address of a word on its page."""
    letters = "".join(it if it.isalnum() else "-" for it in word.lower()).strip("-")
    return "-".join(filter(None, letters.split("-"))) or "margin"


def glossary_page(units: System, folders: bool) -> str:
    """Print the words of the pages and what they mean."""
    links = Links(addresses.GLOSSARY, folders)
    words = [(anchor_of(word), word, meaning) for word, meaning in WORDS.items()]
    description = "What the words on these pages mean, in a sentence each."
    return fixed_page(links, description, [Part("", rendered(Glossary(words=words)))], units)
