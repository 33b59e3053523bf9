"""Ladders of four pulleys on large engines, ethanol in the tank, the belt slipping on the last.

Made by the second simulator. Calibrated on the first step alone, the second and third are
predicted; of the last the question is whether its shortfall is spoken of: the belt's margin or
the blower's speed on its row, or its belt accused, and not only a wide band.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from specgen.analysis.judging.reach import planned_excesses
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.archive import read_archive
from tests.accuracy.judging import SPEEDS, predicted
from tests.accuracy.workshop import STEPS, Case, known_by, with_slack_belt
from tests.accuracy.writing import Trial, step_id, write_archive
from tests.generator import (
    FUELS,
    Air,
    random_bench,
    random_setups,
    random_truth,
    run,
)
from tests.generator.draw import Kind
from tests.rig import RIG

LADDERS = 40

_KINDS: tuple[Kind, ...] = ("lobe", "screw")

#: Engines from this swept volume on [m3] count as large.
_LARGE = 3.5e-3
_PSI = 6894.757293168361


@dataclass(frozen=True, slots=True)
class Climb:
    """One ladder judged: miss of power (share) and boost (Pa) at each speed of steps 2 and 3."""

    power: np.ndarray
    boost: np.ndarray
    accused: bool
    spoken: bool


def draw_ladder(seed: int, number: int) -> Case | None:
    """A large engine on E85, four pulleys 5.5 % of ratio apart, a slack belt on the last.

    None where the belt gives way altogether.
    """
    rng = np.random.Generator(np.random.PCG64([seed, number, STEPS]))
    kind = _KINDS[number % 2]
    truth = random_truth(rng, kind)
    while truth.engine.swept_volume < _LARGE:
        truth = random_truth(rng, kind)
    setups = tuple(replace(item, fuel=FUELS["e85"]) for item in random_setups(rng, truth, STEPS))
    room = Air(rng.uniform(97e3, 101.5e3), rng.uniform(285.0, 303.0), rng.uniform(0.3, 0.7))
    known = replace(
        known_by(rng, truth, "{petrol: 15 %, ethanol: 85 %}"), standard="", mixture=True
    )
    bench = random_bench(truth)
    sweeps = tuple(run(truth, setup, room, rng, bench, RIG) for setup in setups)
    case = Case(number, kind, truth, setups, room, bench, known, 0, sweeps, RIG)
    return with_slack_belt(case, STEPS - 1)


def climb(case: Case) -> Climb:
    """Write the ladder twice, once as measured on its first step, once as measured on all."""
    first, whole = (Trial(case, name, steps) for name, steps in _TRIALS)
    with tempfile.TemporaryDirectory(prefix="ladder-") as folder:
        root = Path(folder) / "builds"
        write_archive(root, [first, whole], planned_all=True)
        archive = read_archive(root)
        sheets = [sheet_of(archive, archive.builds[trial.id]) for trial in (first, whole)]
    power, boost = zip(*(_missed(sheets[0], case, step) for step in (1, 2)), strict=True)
    last = step_id(STEPS - 1)
    accused = any(found.setup.id == last for found in sheets[1].diagnoses)
    spoken = any(speaks(sheet, last) for sheet in sheets)
    return Climb(np.concatenate(power), np.concatenate(boost), accused, spoken)


_TRIALS = (("one", (0,)), ("all", tuple(range(STEPS))))


def _missed(sheet: Sheet, case: Case, step: int) -> tuple[np.ndarray, np.ndarray]:
    """Miss of power and boost of one step against what the dyno truly had."""
    true = case.sweeps[step]
    setup = next(item for item in sheet.setups if item.id == step_id(step))
    speeds = np.linspace(true.engine_speed[0], true.engine_speed[-1], SPEEDS)
    power, boost = (
        predicted(setup, f"estimated_{name}", speeds)[0]
        - np.interp(speeds, true.engine_speed, true.true[name])
        for name in ("power", "boost")
    )
    return power / np.interp(speeds, true.engine_speed, true.true["power"]), boost


def speaks(sheet: Sheet, setup_id: str) -> bool:
    """Whether belt or blower speed are said to be at their end in a setup.

    A belt's margin is looked for by its name, as any row of the setup whose key speaks of slip.
    """
    setup = next(item for item in sheet.setups if item.id == setup_id)
    if any(re.search("speed", title) for title, _ in planned_excesses(sheet, setup)):
        return True
    if any(
        found.setup.id == setup_id and "slip" in found.causes[0].title.lower()
        for found in sheet.diagnoses
        if found.causes
    ):
        return True
    rows = {row.key: row for row in setup.rows}
    return any(
        "slip" in key
        and "margin" in key
        and row.present
        and float(np.min(np.asarray(row.value, float))) < 1
        for key, row in rows.items()
    )


def judged(seed: int, count: int = LADDERS) -> dict[str, Any]:
    """Median misses of the next steps, and how often the last one's shortfall was spoken of."""
    cases = [case for number in range(count) if (case := draw_ladder(seed, number))]
    climbs: Sequence[Climb] = [climb(case) for case in cases]
    power = np.abs(np.concatenate([item.power for item in climbs]))
    boost = np.abs(np.concatenate([item.boost for item in climbs])) / _PSI
    return {
        "ladders": len(climbs),
        "power_median_miss": round(float(np.nanmedian(power)), 5),
        "power_miss_90th_percentile": round(float(np.nanpercentile(power, 90)), 5),
        "boost_median_miss_psi": round(float(np.nanmedian(boost)), 4),
        "boost_miss_90th_percentile_psi": round(float(np.nanpercentile(boost, 90)), 4),
        "last_step_accused": round(sum(item.accused for item in climbs) / len(climbs), 4),
        "last_step_spoken_of": round(sum(item.spoken for item in climbs) / len(climbs), 4),
    }


def text(found: dict[str, Any]) -> str:
    """The figures for a terminal."""
    return "\n".join(f"{key.replace('_', ' '):36}{value}" for key, value in found.items())
