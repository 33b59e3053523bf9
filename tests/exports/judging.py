"""What the import makes of a composed export, held against what is true of it, value by value."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import (
    CannotImport,
    Understood,
    day_of_name,
    understood,
)
from specgen.archive.model.session import Curve
from specgen.archive.reading.pulls import read_curve
from specgen.units import parse
from tests.exports.compose import Column, Export, compose

Floats = NDArray[np.float64]

#: The quantity that an archive has for each channel.
QUANTITIES = {
    "speed": "engine_speed", "torque": "torque", "power": "power", "pressure": "boost",
    "absolute": "manifold_pressure", "lambda": "lambda", "afr": "air_fuel_ratio",
    "intake": "intake_temperature", "charge": "charge_temperature",
    "discharge": "discharge_temperature", "coolant": "coolant_temperature",
    "blower": "blower_speed", "depression": "inlet_pressure_drop", "fuel": "fuel_mass_flow",
    "air": "air_mass_flow", "spark": "ignition_advance",
}  # fmt: skip
#: A mean over a step lies this near to the engine's own curve, as a share of its largest figure:
#: the curves bend little within a step, and the speed of a log shakes.
NEAR = 0.006


@dataclass(slots=True)
class Verdict:
    """What became of one export: right, asked (a flag is needed), or wrong; and why."""

    seed: int
    kind: str
    why: str
    traits: list[str]
    open: bool


def judged(seed: int) -> Verdict:
    """Compose an export, understand it without a flag, and compare."""
    export = compose(seed)

    def verdict(kind: str, why: str) -> Verdict:
        return Verdict(seed, kind, why, export.traits, export.open)

    try:
        found = understood(export.data, export.name, Answers())
    except CannotImport as problem:
        return verdict("asked", f"refused: {problem}")
    wrong = list(_wrong(export, found))
    if wrong:
        return verdict("wrong", wrong[0])
    missing = _missing(export, found)
    return verdict("asked", missing) if missing else verdict("right", "")


def _wrong(export: Export, found: Understood) -> Iterator[str]:
    """Give all that was taken in wrong."""
    days = found.facts.dates
    if len(days) == 1 and days[0] != export.day:
        yield f"day {days[0]} for {export.day}"
    yield from _wrong_facts(export, found)
    if not found.pulls:
        return
    if len(found.pulls) != len(export.sweeps):
        yield f"{len(found.pulls)} sweeps for {len(export.sweeps)}"
        return
    for index, pull in enumerate(found.pulls):
        curve, _, findings = read_curve(pull.text.encode(), "x.csv")
        if curve is None:
            yield f"not read back: {findings[0].found}"
            return
        yield from _wrong_curve(export, index, curve)


def _wrong_facts(export: Export, found: Understood) -> Iterator[str]:
    standard, factor = found.facts.standard, found.facts.factor
    if standard and standard.text != export.facts.get("standard"):
        yield f"standard {standard.text} for {export.facts.get('standard')}"
    if factor and float(factor.text) != export.facts.get("factor"):
        yield f"factor {factor.text} for {export.facts.get('factor')}"
    kinds = {"pressure": "absolute pressure", "temperature": "temperature", "humidity": "fraction"}
    for key, fact in found.facts.air.items():
        true = export.facts.get(key)
        read = parse(fact.text, kinds[key])
        if not isinstance(true, float) or abs(read - true) > 1e-3 * abs(true):
            yield f"air {key} {fact.text} for {true}"


def _wrong_curve(export: Export, index: int, curve: Curve) -> Iterator[str]:
    """Hold each column that was taken against the figures that the file prints."""
    wanted = {QUANTITIES[it.channel]: it for it in export.columns
              if it.wanted and it.channel in QUANTITIES}  # fmt: skip
    for key, values in curve.columns.items():
        if key not in wanted:
            yield f"a column of {key} that is not there"
            continue
        item = wanted[key]
        if item.channel in ("torque", "power") and item.open and not item.unit_shown:
            continue
        why = _off(export, item, values, curve) if export.sampled else _unequal(
            export, index, item, values)  # fmt: skip
        if why:
            yield f"{key} of sweep {index + 1}: {why}"
    names = [it.name for it in curve.extra]
    if len(set(names)) != len(names):
        yield f"extra channels of one name: {names}"


def _unequal(export: Export, index: int, item: Column, values: Floats) -> str:
    """Rows that are kept have the very figures that were printed."""
    printed = sorted(export.sweeps[index], key=lambda row: row["speed"] or 0.0)
    due = np.array([row[item.channel] for row in printed], float)
    if len(due) != len(values):
        return f"{len(values)} rows for {len(due)}"
    if (np.isnan(due) != np.isnan(values)).any():
        return "figures where none were printed, or none where there were some"
    due, values = np.nan_to_num(due), np.nan_to_num(values)
    size = float(np.max(np.abs(due))) or 1.0
    worst = float(np.max(np.abs(due - values)))
    alike = [it for it in export.columns if it.channel == item.channel and it.scale == 1]
    # of a column and its repetition in another unit either may be taken
    printed_off = sum(0.51 * 10.0**-it.decimals * it.factor for it in alike) * (len(alike) > 1)
    return "" if worst <= 1e-6 * size + printed_off else f"{worst / size:.2%} off"


def _off(export: Export, item: Column, values: Floats, curve: Curve) -> str:
    """Means lie on the engine's curve, as far as its figures were printed."""
    speeds = curve.engine_speed * 60
    due = np.array([export.engine.curves[item.channel](float(n)) for n in speeds])
    size = float(np.max(np.abs(due - (273.15 if item.offset else 0.0)))) or 1.0
    rounding = 0.5 * 10.0**-item.decimals * item.factor
    worst = float(np.max(np.abs(due - values)))
    if worst > NEAR * size + 2 * rounding:
        return f"{worst / size:.2%} off at {speeds[int(np.argmax(np.abs(due - values)))]:.0f} rpm"
    low, high = export.engine.lowest, export.engine.highest
    covered = (speeds[-1] - speeds[0]) / (high - low)
    return "" if covered > 0.9 else f"covers {covered:.0%} of the sweep"


def _missing(export: Export, found: Understood) -> str:
    """Say what somebody has to tell by a flag."""
    if not found.pulls:
        return "; ".join(item.words for item in found.questions) or "no pull"
    curve, _, _ = read_curve(found.pulls[0].text.encode(), "x.csv")
    assert curve is not None
    for item in export.columns:
        key = QUANTITIES.get(item.channel)
        if item.wanted and key and key not in curve.columns:
            return f'"{item.name}" [{item.unit}] is not taken'
    days = found.facts.dates or ((day_of_name(export.name),) if day_of_name(export.name) else ())
    if len(days) != 1:
        return "day"
    for key in ("pressure", "temperature", "humidity"):
        if key in export.facts and key not in found.facts.air:
            return f"air {key} is not taken"
    for key, fact in (("standard", found.facts.standard), ("factor", found.facts.factor)):
        if key in export.facts and fact is None:
            return f"{key} is not taken"
    extra = [it for it in export.columns if it.wanted and it.channel not in QUANTITIES]
    if len(curve.extra) < len(extra):
        return f"extra channels {[it.name for it in curve.extra]} for {[it.name for it in extra]}"
    return ""


def counted(verdicts: list[Verdict]) -> str:
    """Say how many were right, asked and wrong."""
    kinds = Counter(item.kind for item in verdicts)
    asked = [item for item in verdicts if item.kind == "asked"]
    closed = sum(not item.open for item in asked)
    return (
        f"{len(verdicts)} exports: {kinds['right']} without a flag, {kinds['asked']} with one "
        f"({closed} of these say all that is needed), {kinds['wrong']} wrong"
    )
