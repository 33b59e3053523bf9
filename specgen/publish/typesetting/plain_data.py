"""A row's figure as plain data: one unit, named beside it, in full precision."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from specgen import rounding
from specgen.analysis.rows.row import Row, Value

#: Significant digits: more than any figure here supports, few enough to read.
_DIGITS = 7


def figure_data(row: Row | None) -> dict[str, Any] | None:
    """Turn a row's value into plain data: unit, value, uncertainty, engine speed; else null."""
    if row is None or not row.present:
        return None
    unit = row.quantity.metric
    data = {"unit": unit.symbol or "1", "value": plain_value(row.value, unit.factor, unit.offset)}
    if row.uncertainty is not None:
        data["standard_uncertainty"] = plain_value(row.uncertainty, unit.factor, 0.0)
    if row.at is not None and row.at.present:
        unit = row.at.quantity.metric
        at = plain_value(row.at.value, unit.factor, unit.offset)
        data["at"] = {"unit": unit.symbol, "value": at}
    return data


def plain_value(value: Value | None, factor: float, offset: float) -> Any:
    """Turn an SI value into numbers of a unit; what is not a number becomes null."""
    if value is None:
        return None
    if isinstance(value, np.ndarray):
        return [rounded((float(item) - offset) / factor) for item in value]
    return rounded((float(value) - offset) / factor)


def rounded(number: float) -> float | None:
    """Round to the digits of plain data; what is not a number becomes null."""
    return rounding.rounded(number, _DIGITS) if math.isfinite(number) else None
