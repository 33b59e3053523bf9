"""Published figures against what the physics gives: the same files that the tests read.

The files lie beside the physics (`physics/published/*.json`). A text in them is a quantity with
its unit, a mapping with one capitalised key is an object of the function's room, and
`{"text": ...}` is a plain text.
"""

from __future__ import annotations

import importlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from specgen.analysis.rows.formula import Formula, formula_of
from specgen.units import parse_any

#: How well the source of a figure is known, in words.
STATUSES = {
    "READ": "seen in the source",
    "RESTATED": "by a second source that names the first",
    "RUN": "printed by a general-purpose library",
    "COMPUTED": "computed apart from this program",
    "MEMORY": "from memory",
}


@dataclass(frozen=True, slots=True)
class Check:
    """One published figure: what was asked, what is printed, what the code gives."""

    name: str
    formula: Formula
    arguments: Mapping[str, Any]
    field: str
    expected: float
    expected_text: str
    found: float
    tolerance: float
    source: str
    status: str
    note: str

    @property
    def deviation(self) -> float:
        """Difference from the published figure."""
        return self.found - self.expected

    @property
    def passes(self) -> bool:
        """Whether the difference lies within the tolerance that stands beside the figure."""
        return abs(self.deviation) <= self.tolerance


@cache
def published() -> tuple[Check, ...]:
    """Every published figure, computed; in the order of the files."""
    folder = files("specgen.physics") / "published"
    found = []
    for path in sorted(folder.iterdir(), key=lambda item: item.name):
        if path.name.endswith(".json"):
            topic = path.name.removesuffix(".json")
            figures = json.loads(path.read_text("utf-8"))
            found += [_check(f"{topic}-{figure['id']}", figure) for figure in figures]
    return tuple(found)


def _check(name: str, figure: Mapping[str, Any]) -> Check:
    room, _, function_name = figure["function"].partition(".")
    function = getattr(importlib.import_module(f"specgen.physics.{room}"), function_name)
    result = function(**decoded(figure["arguments"], room))
    expected = float(decoded(figure["expected"], room))
    if "absolute" in figure:
        tolerance = float(decoded(figure["absolute"], room))
    else:
        tolerance = figure["tolerance"] * abs(expected)
    return Check(
        name,
        formula_of(function),
        figure["arguments"],
        figure.get("field") or "",
        expected,
        str(figure["expected"]),
        float(pick(result, figure.get("field"))),
        tolerance,
        figure["source"],
        figure["status"],
        figure.get("note", ""),
    )


def decoded(value: Any, room: str) -> Any:
    """Turn an argument as it is written in a file into what a function takes."""
    if isinstance(value, str):
        return parse_any(value)
    if isinstance(value, list):
        return [decoded(item, room) for item in value]
    if not isinstance(value, dict):
        return value
    if set(value) == {"text"}:
        return value["text"]
    if len(value) == 1 and (name := next(iter(value)))[0].isupper():
        module = importlib.import_module(f"specgen.physics.{room}")
        return getattr(module, name)(**decoded(value[name], room))
    return {key: decoded(item, room) for key, item in value.items()}


def pick(result: Any, field: str | None) -> Any:
    """Follow a path such as "spans.0.direction" into a result."""
    for step in field.split(".") if field else ():
        if isinstance(result, Mapping):
            result = result[step]
        elif step.isdigit():
            result = result[int(step)]
        else:
            result = getattr(result, step)
    return result
