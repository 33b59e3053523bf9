"""A plan as plain data: every figure with unit and standard uncertainty, rooms, stops, goals."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from specgen.analysis.planning.plan import Plan, PlannedPair
from specgen.analysis.planning.seek import Sought
from specgen.publish.planned.words import rest_words, verdict_words
from specgen.publish.typesetting.plain_data import figure_data

FORMAT = 1


def plan_json(plan: Plan, sought: Sequence[Sought] = ()) -> str:
    """Write a plan as JSON text with a final newline; lengths of belts are in metres."""
    document = {
        "format": FORMAT,
        "id": plan.sheet.id,
        "title": plan.sheet.build.title.value,
        "reason": plan.reason,
        "rests_on": rest_words(plan, "metric") if plan.pairs else "",
        "stops": [
            {"limit": stop.title, "ratio": stop.ratio, "all_beyond": stop.low,
             "at": figure_data(stop.limit)}
            for stop in plan.stops
        ],
        "sought": [_sought(found) for found in sought],
        "pairs": [_pair(item) for item in plan.pairs],
    }  # fmt: skip
    return json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def _pair(item: PlannedPair) -> dict[str, Any]:
    return {
        "crank_pulley": figure_data(item.setup.rows["crank_pulley"]),
        "blower_pulley": figure_data(item.setup.rows["blower_pulley"]),
        "offered": item.pair.offered,
        "measured": [pull.id for pull in item.pulls],
        "beyond_data": list(item.beyond_data),
        "verdict": verdict_words(item, "metric"),
        "figures": {key: figure_data(row) for key, row in item.figures.items()},
        "limits": [
            {"limit": room.title, "state": room.state, "value": figure_data(room.value),
             "at": figure_data(room.limit)}
            for room in item.rooms
        ],
        "belt": asdict(item.belt) if item.belt else None,
    }  # fmt: skip


def _sought(found: Sought) -> dict[str, Any]:
    return {
        "aim": found.aim,
        "goal": found.goal,
        "exact": _pair(found.exact) if found.exact else None,
        "nearest": _pair(found.nearest) if found.nearest else None,
        "most": _pair(found.most) if found.most else None,
        "needs": [{"what": need.what, "kind": need.kind, "words": need.words("metric")}
                  for need in found.needs],
    }  # fmt: skip
