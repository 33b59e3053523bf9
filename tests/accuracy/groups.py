"""Verdicts in other air summed up by group: signed bias, coverage, and what the bands are worth.

z is a miss over its standard uncertainty, half of the printed band; its root mean square is one
where bands are as wide as the misses ask for, above one where they promise too much.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.accuracy.judging import TEMPERATURES, Figure, Verdict
from tests.accuracy.scores import SLACK, false_alarms

#: What is asked of each group: key, lowest, highest.
ASKED: tuple[tuple[str, float, float], ...] = (
    ("bias_boost", -0.005, 0.005),
    ("bias_power", -0.005, 0.005),
    ("coverage_boost", 0.92, 0.98),
    ("coverage_power", 0.92, 0.98),
    ("rms_z_boost", 0.8, 1.2),
    ("rms_z_power", 0.8, 1.2),
)

#: Builds that a group must hold before its figures say anything.
FEWEST = 200

_DIGITS = 5


def other_air(verdicts: Sequence[Verdict]) -> dict[str, Any]:
    """Figures of the whole set, of the cooled and the uncooled builds, and what was accused."""
    three = [verdict for verdict in verdicts if verdict.name == "three"]
    honest = [verdict for verdict in verdicts if verdict.name in ("one", "three")]
    slipped = [verdict for verdict in verdicts if verdict.name == "slip"]
    cooled = {
        name.replace(" ", "_"): marks([v for v in three if v.traits["cooler"] == name])
        for name in ("cooled", "no cooler")
    }
    found = [SLACK in verdict.accused for verdict in slipped]
    return {
        **marks(three),
        **cooled,
        "failures": [f"{v.name}-{v.number}: {v.failure}" for v in verdicts if v.failure],
        "false_alarm_rate": false_alarms(honest),
        "slips": len(slipped),
        "slips_found": round(sum(found) / max(len(found), 1), _DIGITS),
    }


def by_group(verdicts: Sequence[Verdict]) -> dict[str, dict[str, dict[str, float]]]:
    """The figures of each group: of the fourth step, and from the first step as against three."""
    three = [verdict for verdict in verdicts if verdict.name == "three"]
    one = [verdict for verdict in verdicts if verdict.name == "one"]
    found: dict[str, dict[str, dict[str, float]]] = {
        "fitted on": {"one step": marks(one), "three steps": marks(three)}
    }
    for trait in ("cooler", "blower", "fuel family", "air"):
        names = sorted({verdict.traits[trait] for verdict in three})
        found[trait] = {
            name: marks([verdict for verdict in three if verdict.traits[trait] == name])
            for name in names
        }
    return found


def marks(verdicts: Sequence[Verdict]) -> dict[str, float]:
    """Bias, coverage, rms z and width of pressure, power and temperatures of some builds.

    Pressure and power in shares of the truth, temperatures in kelvin. A speed without a
    prediction counts as missed, and stands under `without_prediction`.
    """
    found: dict[str, float] = {"builds": len({verdict.number for verdict in verdicts})}
    for name in ("boost", "power"):
        found |= _figure([getattr(verdict, name) for verdict in verdicts], name)
    for name in TEMPERATURES:
        found |= _figure([verdict.temperatures[name] for verdict in verdicts], name)
    return found


def _figure(parts: Sequence[Figure], name: str) -> dict[str, float]:
    miss = _joined([part.miss for part in parts])
    width = _joined([part.half_width for part in parts])
    inside = _joined([part.inside for part in parts])
    known = np.isfinite(miss) & (width > 0)
    if not known.any():
        return {f"without_prediction_{name}": 1.0}
    z = 2 * miss[known] / width[known]
    sizes = {
        "bias": miss[known].mean(),
        "median_bias": np.median(miss[known]),
        "median_miss": np.median(np.abs(miss[known])),
        "coverage": inside.mean(),
        "rms_z": np.sqrt(np.mean(z**2)),
        "median_half_width": np.median(width[known]),
        "without_prediction": 1 - known.mean(),
    }
    return {f"{key}_{name}": round(float(size), _DIGITS) for key, size in sizes.items()}


def _joined(parts: Sequence[NDArray[Any]]) -> NDArray[Any]:
    return np.concatenate(parts) if parts else np.zeros(0)


def text(whole: dict[str, Any], groups: dict[str, dict[str, dict[str, float]]]) -> str:
    """The groups for a terminal; a figure outside what is asked for has a cross behind it."""
    slips = f"{whole['slips_found']:.1%} of {whole['slips']}"
    lines = [
        f"in other air: {whole['builds']} builds of the second simulator, fourth step",
        f"slipping belts noticed: {slips}; false alarms {whole['false_alarm_rate']:.2%}",
        *(f"gave up on {failure}" for failure in whole["failures"]),
        "",
        f"{'':26}{'builds':>8}" + "".join(f"{key.replace('_', ' '):>16}" for key, *_ in ASKED),
    ]
    for group, members in groups.items():
        for name, found in members.items():
            cells = "".join(f"{_cell(found, key, low, high):>16}" for key, low, high in ASKED)
            lines.append(f"{f'{group}: {name}':26}{found['builds']:>8.0f}{cells}")
    lines += ["", f"{'temperatures':26}" + "".join(f"{title:>20}" for title in _TEMPERATURE_HEAD)]
    for group, members in groups.items():
        for name, found in members.items():
            cells = "".join(f"{_warm(found, key):>20}" for key in TEMPERATURES)
            lines.append(f"{f'{group}: {name}':26}{cells}")
    return "\n".join(lines)


_TEMPERATURE_HEAD = ("discharge", "charge, bias | z")


def _cell(found: dict[str, float], key: str, low: float, high: float) -> str:
    size = found.get(key, float("nan"))
    words = f"{size:.2f}" if "rms" in key else f"{size:.2%}"
    return words + (" " if low <= size <= high else " x")


def _warm(found: dict[str, float], name: str) -> str:
    bias, z = (found.get(f"{key}_{name}", float("nan")) for key in ("bias", "rms_z"))
    return f"{bias:+.1f} K | {z:.2f}"
