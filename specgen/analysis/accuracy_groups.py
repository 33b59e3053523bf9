"""Misses by kind of build: signed bias, and what the bands are worth, of every figure.

A miss of several kinds at once counts in each. z is a miss over the standard uncertainty of
measurement and prediction together; its root mean square is one where bands are as wide as the
misses ask for, above one where they promise too much.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

import numpy as np

from specgen.analysis.judging.ladder import Step, miss
from specgen.analysis.rows.row import COVERAGE, Row, point
from specgen.analysis.words import BLOWERS, blend_name
from specgen.analysis.workings import Workings

#: Figures that are judged: of boost and power shares, of the charge's temperature kelvin.
FIGURES = ("boost", "power", "temperature")


@dataclass(frozen=True, slots=True)
class Judged:
    """One setup's misses, measured less predicted, each with its z; and what kind of build it is.

    `sizes` and `z` are by figure of `FIGURES`, those that could be compared.
    """

    traits: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, float], ...]
    z: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Marks:
    """Mean miss with its sign, and root mean square of z, of one figure in a group."""

    count: int
    bias: float
    rms_z: float


@dataclass(frozen=True, slots=True)
class Group:
    """Setups that have a trait in common, and how well each figure of theirs was predicted."""

    trait: str
    name: str
    count: int
    marks: tuple[tuple[str, Marks], ...]


def judged(sheet: Workings, step: Step, boost: float | None, power: float | None) -> Judged:
    """One measured setup; `boost` and `power` are its misses as shares."""
    sizes, z = [], []
    rows: dict[str, tuple[Row | None, Row | None, float | None]] = {
        "boost": (step.measured_boost, step.estimated_boost, boost),
        "power": (step.measured_power, step.estimated_power, power),
        "temperature": _temperatures(step),
    }
    for figure, (measured, predicted, size) in rows.items():
        if size is None or measured is None or predicted is None:
            continue
        width = hypot(measured.expanded or 0.0, predicted.expanded or 0.0) / COVERAGE
        off = miss(measured, predicted)
        if width > 0 and off is not None:
            sizes.append((figure, size))
            z.append((figure, off / width))
    return Judged(_traits(sheet, step), tuple(sizes), tuple(z))


def _temperatures(step: Step) -> tuple[Row | None, Row | None, float | None]:
    """Charge temperature as measured at the speed of peak power, and as the others have it."""
    pull = step.pull
    if pull is None:
        return None, None, None
    curve, at = pull.rows["charge_temperature_curve"], pull.rows["power_speed"]
    held = step.setup.held_out
    if not (curve.present and at.present and held["estimated_charge_temperature"].present):
        return None, None, None
    measured = point(curve, pull.rows["speed_curve"], at, "charge_measured", "")
    predicted = point(held["estimated_charge_temperature"], held["speed"], at, "charge_due", "")
    return measured, predicted, miss(measured, predicted)


def _traits(sheet: Workings, step: Step) -> tuple[tuple[str, str], ...]:
    """By what a miss is sorted."""
    cooled = sheet.build.induction.charge_cooler is not None
    kind = BLOWERS.get(sheet.blower.kind.value, sheet.blower.kind.value) if sheet.blower else ""
    return (
        ("Charge", "cooled" if cooled else "not cooled"),
        ("Blower", kind or "none"),
        ("Fuel", blend_name(step.setup.setup.fuel) or "not recorded"),
        ("Resting on", "one other pull" if step.others == 1 else "two or more other pulls"),
    )


def groups(found: Iterable[Judged]) -> tuple[Group, ...]:
    """The marks of each group, by trait in the order of `Judged.traits`, then by name."""
    known = list(found)
    kinds = sorted({kind for item in known for kind in item.traits},
                   key=lambda kind: (_order(known, kind[0]), kind[1]))  # fmt: skip
    return tuple(_group(kind, [item for item in known if kind in item.traits]) for kind in kinds)


def _order(known: list[Judged], trait: str) -> int:
    return [name for name, _ in known[0].traits].index(trait)


def _group(kind: tuple[str, str], members: list[Judged]) -> Group:
    marks = []
    for figure in FIGURES:
        sizes = [dict(item.sizes)[figure] for item in members if figure in dict(item.sizes)]
        z = np.array([dict(item.z)[figure] for item in members if figure in dict(item.z)])
        if sizes:
            rms = float(np.sqrt(np.mean(z**2)))
            marks.append((figure, Marks(len(sizes), float(np.mean(sizes)), rms)))
    return Group(*kind, len(members), tuple(marks))
