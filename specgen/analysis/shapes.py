"""Curves over engine speed that measurements bend: straight lines between fixed shares of it."""

from __future__ import annotations

from typing import Any

import numpy as np

from specgen.analysis.rows.row import Value

#: Where over the speed range breathing and efficiency may differ from their usual shape.
KNOTS = (0.3, 0.5, 0.7, 0.85, 1.0)


def bend(share: Value, shape: tuple[Value, ...]) -> Value:
    """Straight lines through the values at `KNOTS`, level beyond the ends; shape may be arrays."""
    weights = [np.interp(share, KNOTS, unit) for unit in np.eye(len(KNOTS))[: len(shape)]]
    return np.asarray(sum(w * value for w, value in zip(weights, shape, strict=True)))


def shape_of(values: dict[str, Any], name: str) -> tuple[Any, ...]:
    """The parameters `name_1`, `name_2` and so on that bend one curve."""
    return tuple(values[f"{name}_{index + 1}"] for index in range(len(KNOTS)))
