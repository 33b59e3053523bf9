"""What can go wrong around a boosted engine, in plain words, for the cautions page and the sheets.

The statements are common practice, no source: they name what hurts people and engines and send
the reader to the maker's papers, the law and licensed people. They give no limits of their own.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard: `anchor` on the page, the line a sheet shows, and the paragraphs behind it."""

    anchor: str
    title: str
    line: str
    paragraphs: tuple[str, ...]


_ALL = (
    Caution(
        "estimates",
        "Estimates",
        "An estimate is not a test: it leads to the next careful step, never past a limit.",
        (
            "Figures marked as estimated come from a model with assumptions. The band around them "
            "says how far the truth may lie if those assumptions hold; it says nothing about a "
            "loose hose, a slipping belt or a wrong entry.",
            "Approach an estimated setup in steps, with the mixture, the charge temperature and "
            "the blower speed under watch, and stop where the measurement leaves the band.",
        ),
    ),
    Caution(
        "detonation",
        "Detonation and lean running",
        "Boost narrows the margin to detonation; a lean mixture or hot charge can destroy pistons "
        "within seconds.",
        (
            "More boost, a hotter charge, more compression, earlier ignition, a leaner mixture and "
            "a fuel of lower octane all act in the same direction. A change to one of them calls "
            "for a fresh look at the others.",
            "Fuel pressure, injector duty and pump flow belong on the record of every pull. An "
            "engine that runs out of fuel under boost runs lean first. A wide-band sensor in the "
            "exhaust reads late and reads the average of the cylinders before it.",
            "An ignition map belongs to the fuel and the air it was made with. A map made on "
            "alcohol fuel is not safe on petrol.",
        ),
    ),
    Caution(
        "rotating-parts",
        "Rotating parts and belt guards",
        "Keep the belt and pulleys guarded, and stand clear of their plane when the engine runs.",
        (
            "A blower belt carries tens of kilowatts and stores energy when it is tensioned. "
            "Fingers, sleeves, hair, cables and cleaning cloths stay away from it, and the guard "
            "goes back on before the engine is started.",
            "Stop the engine and secure it against starting before measuring belt tension or "
            "changing a pulley. Tighten pulleys to their maker's figure and check them again "
            "after the first pulls.",
        ),
    ),
    Caution(
        "over-speed",
        "Over-speed of pulleys, blower and engine",
        "Do not run the blower, a pulley or the engine beyond the maker's highest speed.",
        (
            "A smaller blower pulley turns the rotors faster at every engine speed. What counts is "
            "the highest speed the engine can reach, including a missed gear or a propeller out "
            "of the water, not the speed of peak power.",
            "The load on a rotating part grows with the square of its speed: ten per cent more "
            "speed is a fifth more load. Pulleys have a highest speed of their own, and "
            "an impeller that bursts is not held by its housing.",
        ),
    ),
    Caution(
        "alcohol-fuel",
        "Ethanol and methanol",
        "Alcohol fuels need their own handling: methanol is poisonous through skin and breath and "
        "burns with a flame that is hard to see.",
        (
            "Methanol poisons when it is swallowed, breathed or left on the skin, and it can cost "
            "the sight. Use gloves, eye protection and moving air, and keep a burn plan that does "
            "not rely on seeing the flame.",
            "Ethanol blends draw water, carry current and attack some seals, hoses and metals. "
            "What a pump sells as E85 differs in ethanol share over the year, and the mixture has "
            "to follow it: measure the share, do not assume it.",
        ),
    ),
    Caution(
        "petrol",
        "Fuel",
        "Fuel under pressure sprays and ignites: relieve it before opening a line, and keep an "
        "extinguisher at hand.",
        (
            "Relieve the pressure before a line is opened, collect what runs out, and air the "
            "room before anything sparks. Check every joint for leaks before the first start after "
            "work on the fuel system.",
            "An extinguisher suited to liquid fuel and to electrical equipment belongs within "
            "reach of the dyno's operator.",
        ),
    ),
    Caution(
        "exhaust-gas",
        "Exhaust gas",
        "Exhaust gas kills without a smell: run an engine only with extraction that works, and a "
        "carbon-monoxide alarm.",
        (
            "A rich mixture under boost makes much carbon monoxide. Extraction has to take the "
            "whole exhaust flow away from the cell, with fresh air coming in, and an alarm has to "
            "watch the place where people stand.",
        ),
    ),
    Caution(
        "hot-parts",
        "Hot coolant, oil and surfaces",
        "Let the engine cool before opening the cooling system; a blower's housing and the charge "
        "pipes burn too.",
        (
            "Coolant under pressure boils when its cap is opened. The charge leaves a blower "
            "hotter than water boils, and its housing and pipes follow. Exhaust parts stay hot "
            "for a long time after a pull.",
        ),
    ),
    Caution(
        "law",
        "Law, makers' limits and licensed work",
        "Local law on vehicle, vessel and emission changes, the makers' limits and the work of "
        "licensed people come before anything said here.",
        (
            "A blower changes an engine's emissions, noise and power. Whether it may be used on a "
            "road, on water or in the air is decided by local law and by the inspection that goes "
            "with it.",
            "Where a maker's limit and a figure on this site differ, the maker's limit holds. Work "
            "that the law keeps for licensed people, on aircraft, on pressure equipment, on "
            "gas and on electrical supply, is theirs.",
        ),
    ),
)

CAUTIONS: dict[str, Caution] = {caution.anchor: caution for caution in _ALL}
