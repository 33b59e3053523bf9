"""Goals sought from three measured pulleys: whether the one named truly comes nearest.

The list has twelve pulleys, 3 % of ratio apart, around and well beyond those that were measured;
the simulator says what each truly gives. A limit of boost and one of power lie somewhere in that
range: a pair is called safe where the plan has it inside both with its band. A goal of power is
set only where power truly rises along the list, since else two pulleys meet it.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from specgen.analysis.planning.pairs import Pair, Question
from specgen.analysis.planning.plan import Plan, PlannedPair, planned_pair
from specgen.analysis.planning.seek import Aim
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Given
from specgen.findings import Place
from tests.accuracy.workshop import STEPS, Case, draw_case
from tests.accuracy.writing import Trial, write_archive
from tests.generator import Setup, Sweep, run

GOALS, PAIRS, STEP = 200, 12, 1.03
#: Pulleys on the list before the largest that was measured.
_BEFORE = 2
HERE = Place("tests")


@dataclass(frozen=True, slots=True)
class Choice:
    """One goal judged: by how many pulleys the named one is off, and what was called safe.

    `broken` and `kept` count pairs that truly break or keep both limits by more than their band;
    the others of the two count those of them that were called safe.
    """

    number: int
    aim: Aim
    off: int
    broken: int = 0
    broken_called_safe: int = 0
    kept: int = 0
    kept_called_safe: int = 0


def judged(seed: int, goals: int = GOALS) -> dict[str, Any]:
    """Seek so many goals, one a build, and count."""
    found: list[Choice] = []
    number = 0
    while len(found) < goals:
        choice = choose(seed, number)
        number += 1
        if choice is not None:
            found.append(choice)
    return summed(found, number)


def summed(found: list[Choice], drawn: int) -> dict[str, Any]:
    """The shares that the plan is held to."""
    off = np.array([choice.off for choice in found])
    total = {name: sum(getattr(choice, name) for choice in found)
             for name in ("broken", "broken_called_safe", "kept", "kept_called_safe")}  # fmt: skip
    by_aim = {
        aim: {"goals": int(sum(c.aim == aim for c in found)),
              "best": _share([c.off == 0 for c in found if c.aim == aim])}
        for aim in ("boost", "power")
    }  # fmt: skip
    return {
        "goals": len(found),
        "builds_drawn": drawn,
        "best_pair": _share(off == 0),
        "best_or_neighbour": _share(off <= 1),
        "by_aim": by_aim,
        **total,
        "broken_called_safe_share": total["broken_called_safe"] / max(total["broken"], 1),
        "kept_called_safe_share": total["kept_called_safe"] / max(total["kept"], 1),
    }


def text(told: dict[str, Any]) -> str:
    """The counts for a terminal."""
    lines = [
        f"{told['goals']} goals sought from three measured pulleys, {PAIRS} pulleys on the list:",
        f"  the best pulley itself in {told['best_pair']:.1%}, it or its neighbour in "
        f"{told['best_or_neighbour']:.1%}",
    ]
    lines += [f"  {aim}: {by['goals']} goals, the best itself in {by['best']:.1%}"
              for aim, by in told["by_aim"].items()]  # fmt: skip
    lines += [
        f"  of {told['broken']} pairs that break a limit by more than their band "
        f"{told['broken_called_safe_share']:.1%} are called safe",
        f"  of {told['kept']} pairs that keep every limit by more than their band "
        f"{told['kept_called_safe_share']:.1%} are called safe",
    ]
    return "\n".join(lines)


def choose(seed: int, number: int) -> Choice | None:
    """One build and one goal; None where the simulator finds no steady state for some pulley."""
    case = draw_case(seed, number)
    rng = np.random.Generator(np.random.PCG64([seed, number, PAIRS]))
    setups = candidates(case)
    try:
        true = [run(case.truth, setup, case.air, rng, case.bench) for setup in setups]
    except RuntimeError:
        return None
    limits = {name: float(rng.uniform(*_ends(true, name))) for name in ("boost", "power")}
    plan = _planned(case, setups, limits)
    if plan is None:
        return None
    aim = _aim(rng, plan, true)
    values = _true_at(plan, true, aim)
    goal = float(rng.uniform(values.min(), values.max()))
    told = np.array([item.figures[aim].scalar for item in plan.pairs])
    off = abs(int(np.argmin(np.abs(told - goal))) - int(np.argmin(np.abs(values - goal))))
    return replace(_safety(plan, true, limits), number=number, aim=aim, off=off)


def candidates(case: Case) -> list[Setup]:
    """The list of blower pulleys by rising ratio, in tenths of a millimetre."""
    first, line = case.setups[0], 2 * case.truth.belt.line
    ratio = (first.crank_pulley + line) / (first.blower_pulley + line)
    ratios = [ratio * STEP ** (index - _BEFORE) for index in range(PAIRS)]
    sizes = [round((first.crank_pulley + line) / item - line, 4) for item in ratios]
    return [replace(first, blower_pulley=size) for size in sizes]


def _planned(case: Case, setups: list[Setup], limits: dict[str, float]) -> Plan | None:
    """The product's plan of these pulleys; None where one of them has no figure."""
    with tempfile.TemporaryDirectory(prefix="choosing-") as folder:
        root = Path(folder) / "builds"
        trial = Trial(case, "choose", tuple(range(STEPS - 1)))
        write_archive(root, [trial])
        file = root / trial.id / "build.yaml"
        stated = f"limits: {{boost: {limits['boost'] / 1e3:.3f} kPa, "
        stated += f"power: {limits['power'] / 1e3:.3f} kW}}\nsetups:"
        file.write_text(file.read_text("utf-8").replace("setups:", stated, 1), encoding="utf-8")
        archive = read_archive(root)
        sheet = sheet_of(archive, archive.builds[trial.id])
        pairs = tuple(_pair(sheet, setup) for setup in setups)
    if not all(item.runs and item.figures["power"].present for item in pairs):
        return None
    return Plan(sheet, Question(), pairs)


def _pair(sheet: Sheet, setup: Setup) -> PlannedPair:
    crank, size = (
        Given(value, f"{1e3 * value:.1f} mm", HERE)
        for value in (setup.crank_pulley, setup.blower_pulley)
    )
    return planned_pair(sheet, Pair(crank, size), Question())


def _aim(rng: np.random.Generator, plan: Plan, true: list[Sweep]) -> Aim:
    """Power half of the times where it rises all along the list, else boost."""
    rises = bool((np.diff(_true_at(plan, true, "power")) > 0).all())
    return "power" if rises and rng.random() < 0.5 else "boost"


def _true_at(plan: Plan, true: list[Sweep], aim: Aim) -> np.ndarray:
    """What each pulley truly gives at the speed at which the plan reads it."""
    at = plan.pairs[0].figures[aim].at
    assert at is not None
    return np.array([np.interp(at.scalar, sweep.engine_speed, sweep.true[aim]) for sweep in true])


def _ends(true: list[Sweep], name: str) -> tuple[float, float]:
    highest = [float(np.max(sweep.true[name])) for sweep in true]
    return min(highest), max(highest)


def _safety(plan: Plan, true: list[Sweep], limits: dict[str, float]) -> Choice:
    """Count what truly breaks or keeps the limits by more than its band, and what was said."""
    counts = dict.fromkeys(("broken", "broken_called_safe", "kept", "kept_called_safe"), 0)
    for item, sweep in zip(plan.pairs, true, strict=True):
        rooms = {room.title.lower(): room for room in item.rooms}
        over = [
            (float(np.max(sweep.true[name])) - limit, rooms[name].value.expanded or 0.0)
            for name, limit in limits.items()
        ]
        safe = all(rooms[name].state == "inside" for name in limits)
        if any(excess > band for excess, band in over):
            counts["broken"] += 1
            counts["broken_called_safe"] += safe
        elif all(excess < -band for excess, band in over):
            counts["kept"] += 1
            counts["kept_called_safe"] += safe
    return Choice(0, "boost", 0, **counts)


def _share(holds: Any) -> float:
    return float(np.mean(holds)) if len(holds) else float("nan")
