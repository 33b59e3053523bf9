"""Verdicts summed up: how many true values lie in their bands, how far off the middle one is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from tests.accuracy.judging import Figure, Verdict
from tests.accuracy.writing import SLACK_STEP, step_id

#: What the predictions are meant to reach: key of a summary, from one, from three, better is.
TARGETS: tuple[tuple[str, float, float, str], ...] = (
    ("coverage", 0.90, 0.90, "at least"),
    ("boost_median_miss", 0.02, 0.01, "below"),
    ("power_median_miss", 0.025, 0.015, "below"),
)

_DIGITS = 5

#: The setup whose belt slips, in the trials where one does.
SLACK = step_id(SLACK_STEP)


def summary(verdicts: Sequence[Verdict], seed: int) -> dict[str, Any]:
    """All figures of a run, as JSON prints them; shares and fractions, not per cent."""
    one = [verdict for verdict in verdicts if verdict.name == "one"]
    three = [verdict for verdict in verdicts if verdict.name == "three"]
    slipped = [verdict for verdict in verdicts if verdict.name == "slip"]
    return {
        "builds": len(three),
        "seed": seed,
        "from_one": {**figures(one), "groups": groups(one)},
        "from_three": {**figures(three), "groups": groups(three)},
        "false_alarm_rate": false_alarms([*one, *three]),
        "false_alarm_rate_of_one": false_alarms(one),
        "false_alarm_rate_of_three": false_alarms(three),
        "measured_setups": sum(verdict.measured for verdict in [*one, *three]),
        "slips": len(slipped),
        "slips_found": _share(SLACK in verdict.accused for verdict in slipped),
        "innocents_accused_beside_a_slip": _share(
            bool(verdict.accused - {SLACK}) for verdict in slipped
        ),
    }


def figures(verdicts: Sequence[Verdict]) -> dict[str, float]:
    """Coverage, misses and widths over all speeds of all builds."""
    found: dict[str, float] = {}
    inside = []
    for name in ("boost", "power"):
        parts = [getattr(verdict, name) for verdict in verdicts]
        inside.append(np.concatenate([part.inside for part in parts]))
        found[f"coverage_{name}"] = _rounded(inside[-1].mean())
        found |= {f"{name}_{key}": size for key, size in _sizes(parts).items()}
    return {"coverage": _rounded(np.concatenate(inside).mean()), **found}


def _sizes(parts: Sequence[Figure]) -> dict[str, float]:
    """Misses and widths of one figure.

    A speed without a prediction is as wrong as can be: its miss counts as the whole figure.
    """
    miss = np.concatenate([part.miss for part in parts])
    width = np.concatenate([part.half_width for part in parts])
    nothing = np.isnan(miss)
    size = np.where(nothing, 1.0, np.abs(miss))
    middle = {"median_bias": miss[~nothing], "median_half_width": width[~nothing]}
    return {
        "median_miss": _rounded(np.median(size)),
        "miss_90th_percentile": _rounded(np.percentile(size, 90)),
        **{key: _rounded(np.median(some)) if some.size else 0.0 for key, some in middle.items()},
        "without_prediction": _rounded(nothing.mean()),
    }


def false_alarms(verdicts: Iterable[Verdict]) -> float:
    """Share of the measured setups that were accused; nothing was wrong with any of them."""
    counts = [(len(verdict.accused), verdict.measured) for verdict in verdicts]
    return _rounded(sum(count for count, _ in counts) / sum(total for _, total in counts))


def groups(verdicts: Sequence[Verdict]) -> dict[str, dict[str, dict[str, float]]]:
    """The same figures by kind of blower, cooler, fuel and measuring point, with their counts."""
    found: dict[str, dict[str, dict[str, float]]] = {}
    for trait in dict.fromkeys(trait for verdict in verdicts for trait in verdict.traits):
        found[trait] = {}
        for name in sorted({verdict.traits[trait] for verdict in verdicts}):
            members = [verdict for verdict in verdicts if verdict.traits[trait] == name]
            found[trait][name] = {"builds": len(members), **figures(members)}
    return found


def _share(cases: Iterable[bool]) -> float:
    """Share of the cases that are so; nought of none."""
    counted = list(cases)
    return _rounded(sum(counted) / max(len(counted), 1))


def _rounded(value: Any) -> float:
    return round(float(value), _DIGITS)


_LINES = (
    ("coverage", "true values inside the band"),
    ("coverage_boost", "  of boost"),
    ("coverage_power", "  of power"),
    ("boost_median_miss", "manifold pressure, median miss"),
    ("boost_miss_90th_percentile", "  90th percentile"),
    ("boost_median_bias", "  median, with its sign"),
    ("boost_median_half_width", "  half-width of the band"),
    ("power_median_miss", "power, median miss"),
    ("power_miss_90th_percentile", "  90th percentile"),
    ("power_median_bias", "  median, with its sign"),
    ("power_median_half_width", "  half-width of the band"),
    ("boost_without_prediction", "speeds without a prediction"),
)


def text(found: dict[str, Any]) -> str:
    """The summary for a terminal, targets beside it."""
    one, three = found["from_one"], found["from_three"]
    lines = [f"{found['builds']} invented builds, seed {found['seed']}", ""]
    lines.append(f"{'':34}{'from one pull':>16}{'from three':>16}")
    lines += [f"{words:34}{one[key]:>16.2%}{three[key]:>16.2%}" for key, words in _LINES]
    rate = f"{found['false_alarm_rate']:.2%} of {found['measured_setups']}"
    slips = f"{found['slips_found']:.1%} of {found['slips']}"
    lines += ["", f"well-behaved setups accused: {rate}"]
    lines += [f"slipping belts noticed: {slips}, from 84 to 95 % of the highest speed up", ""]
    for key, from_one, from_three, how in TARGETS:
        for title, due, size in (("one", from_one, one[key]), ("three", from_three, three[key])):
            met = size >= due if how == "at least" else size < due
            verdict = "met" if met else "NOT MET"
            words = f"{key} from {title}: {size:.2%}, meant to be {how} {due:.1%}"
            lines.append(f"{words:72}{verdict}")
    return "\n".join(
        [*lines, "", *_table(one["groups"], "one"), "", *_table(three["groups"], "three")]
    )


def _table(found: dict[str, dict[str, dict[str, float]]], title: str) -> list[str]:
    head = f"from {title}"
    columns = ("builds", "boost in", "power in", "boost off", "power off")
    lines = [f"{head:34}" + "".join(f"{column:>11}" for column in columns)]
    keys = ("coverage_boost", "coverage_power", "boost_median_miss", "power_median_miss")
    for group, members in found.items():
        for name, size in members.items():
            shares = "".join(f"{size[key]:>11.1%}" for key in keys)
            lines.append(f"{f'  {group}: {name}':34}{size['builds']:>11.0f}{shares}")
    return lines
