"""A sheet as data: every figure that was printed, and every figure it rests on, as JSON.

One unit a row, named beside it, in full precision; the format's number rises when a key changes
its meaning.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from specgen.analysis.row import COVERAGE, Row, Value
from specgen.analysis.sheet import Sheet
from specgen.archive.model import Archive

FORMAT = 1
#: Significant digits: more than any figure here supports, few enough to read.
_DIGITS = 7


def sheet_json(archive: Archive, sheet: Sheet) -> str:
    """Write a build's figures as JSON text with a final newline."""
    document = {
        "format": FORMAT,
        "archive": archive.settings.name.value,
        "invented": bool(archive.settings.invented and archive.settings.invented.value),
        "id": sheet.id,
        "title": sheet.build.title.value,
        "coverage_factor_shown": COVERAGE,
    }
    head = _json(document).removesuffix("}")
    figures = ",\n".join(_json(data) for data in _figures(sheet))
    return f'{head}, "figures": [\n{figures}\n]}}\n'


def _json(data: dict[str, Any]) -> str:
    """Write one object on one line: a figure a line can be compared from edition to edition."""
    return json.dumps(data, ensure_ascii=False, allow_nan=False)


def _figures(sheet: Sheet) -> Iterator[dict[str, Any]]:
    for title, scope in sheet.scopes:
        for row in scope:
            yield {"of": title, **row_data(row)}


def row_data(row: Row) -> dict[str, Any]:
    """Turn one row into plain data; an absent row has a reason instead of a value."""
    data: dict[str, Any] = {
        "key": row.key,
        "scope": row.scope,
        "title": row.title,
        "basis": row.basis,
    }
    if not row.present:
        return {**data, "reason": row.reason}
    unit = row.quantity.metric
    data["unit"] = unit.symbol or "1"
    data["value"] = _plain(row.value, unit.factor, unit.offset)
    if row.uncertainty is not None:
        data["standard_uncertainty"] = _plain(row.uncertainty, unit.factor, 0.0)
    if row.at is not None and row.at.present:
        data["at"] = {"unit": row.at.quantity.metric.symbol, "value": row_data(row.at)["value"]}
    if row.formula is not None:
        data["formula"] = row.formula.name
        data["inputs"] = [{"scope": part.scope, "key": part.key} for part in row.inputs]
    if row.place is not None:
        data["place"] = {"file": row.place.file, "line": row.place.line}
    for name in ("text", "source", "standing"):
        if value := getattr(row, name):
            data[name] = value
    return data


def _plain(value: Value | None, factor: float, offset: float) -> Any:
    """Turn an SI value into numbers of a unit; what is not a number becomes null."""
    if value is None:
        return None
    if isinstance(value, np.ndarray):
        return [_rounded((float(item) - offset) / factor) for item in value]
    return _rounded((float(value) - offset) / factor)


def _rounded(number: float) -> float | None:
    return float(f"{number:.{_DIGITS}g}") if math.isfinite(number) else None
