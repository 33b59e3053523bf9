"""Reads data files of figures and turns their arguments into what a function takes."""

from __future__ import annotations

import importlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from specgen.units import parse_any


def load(path: Path) -> list[dict[str, Any]]:
    """Read one file of figures."""
    figures: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8"))
    return figures


def decoded(value: Any, room: str) -> Any:
    """Turn text into SI, {"Name": {...}} into the room's object and {"text": ...} into a text."""
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
