"""How uncertainty goes through a function: first order, each input moved by its own uncertainty.

The change of each output is booked to the roots behind the moved input, so that outputs which
rest on the same reading stay correlated (GUM, first order).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from specgen.analysis.rows.row import Array, Row, Spread, Value
from specgen.physics import Unphysical

#: Share of its uncertainty by which an input of a curve is moved, to one side: near enough to the
#: slope itself, and half the cost of both sides.
_STEP = 0.2

#: A function of named inputs that gives its outputs in order.
Call = Callable[[Mapping[str, Any]], list[Any]]
#: Outputs at the inputs' values; for each moved input the slope of each output.
_Slopes = tuple[list[Any], list[list[Any]]]


def propagated(
    call: Call, rows: Mapping[str, Row], *, over_speed: bool
) -> tuple[list[Value], list[Spread]]:
    """Give the outputs and their spreads; Unphysical where the function refuses its inputs."""
    moved = {name: row for name, row in rows.items() if row.uncertainty is not None}
    slopes_of = _together if over_speed and moved else _in_turn
    values, slopes = slopes_of(call, rows, moved)
    spreads = _booked(list(moved.values()), slopes, len(values))
    return [plain(value) for value in values], spreads


def _booked(moved: list[Row], slopes: list[list[Any]], outputs: int) -> list[Spread]:
    """Add up, for each output and root, slope times the root's share of each input."""
    curves = any(isinstance(slope, np.ndarray) for own in slopes for slope in own)
    shares = (part for row in moved for part in row.spread.values())
    plain_roots = not any(isinstance(part, np.ndarray) for part in shares)
    if curves and plain_roots:
        return _booked_at_once(moved, slopes, outputs)
    spreads: list[dict[str, Value]] = [{} for _ in range(outputs)]
    for row, own in zip(moved, slopes, strict=True):
        for spread, slope in zip(spreads, own, strict=True):
            for root, part in row.spread.items():
                spread[root] = spread.get(root, 0.0) + slope * part
    return list(spreads)


def _booked_at_once(moved: list[Row], slopes: list[list[Any]], outputs: int) -> list[Spread]:
    """The same by one product of matrices, where many roots meet many curves."""
    roots = list(dict.fromkeys(root for row in moved for root in row.spread))
    place = {root: index for index, root in enumerate(roots)}
    shares = np.zeros((len(roots), len(moved)))
    for column, row in enumerate(moved):  # of fifty roots an input has one or two
        for root, part in row.spread.items():
            shares[place[root], column] = part
    found: list[Spread] = []
    for index in range(outputs):
        parts = shares @ np.array([own[index] for own in slopes])
        found.append(dict(zip(roots, parts, strict=True)))
    return found


def _in_turn(call: Call, rows: Mapping[str, Row], moved: Mapping[str, Row]) -> _Slopes:
    """Move one input after the other by its standard uncertainty, up and down."""
    values: dict[str, Any] = {name: row.value for name, row in rows.items()}
    base = call(values)
    slopes = []
    for name, row in moved.items():
        step = row.uncertainty
        above = _moved(call, values, name, step, base)
        below = _moved(call, values, name, -step if step is not None else step, base)
        slopes.append([_slope(a, b, step) for a, b in zip(above, below, strict=True)])
    return base, slopes


def _moved(
    call: Call, values: Mapping[str, Any], name: str, step: Any, base: list[Any]
) -> list[Any]:
    """Evaluate with one input moved; at the edge of a domain the other side is mirrored."""
    try:
        return call({**values, name: values[name] + step})
    except Unphysical:
        opposite = call({**values, name: values[name] - step})
        return [2 * centre - other for centre, other in zip(base, opposite, strict=True)]


def _together(call: Call, rows: Mapping[str, Row], moved: Mapping[str, Row]) -> _Slopes:
    """Move every input in one call: the speeds repeated, each repetition with its own case."""
    points = max(np.asarray(row.value).size for row in rows.values())
    steps = [_STEP * np.asarray(row.uncertainty) for row in moved.values()]
    names = list(moved)
    results = _cases(call, rows, names, steps, points)
    found = _rises(results, steps)
    if any(np.isnan(result[1:][:, np.isfinite(result[0])]).any() for result in results):
        back = _rises(
            _cases(call, rows, names, [-step for step in steps], points), [-step for step in steps]
        )
        found = [
            np.where(np.isnan(one), other, one) for one, other in zip(found, back, strict=True)
        ]
    slopes = [[slope[index] for slope in found] for index in range(len(steps))]
    return [result[0] for result in results], slopes


def _cases(
    call: Call, rows: Mapping[str, Row], names: list[str], steps: list[Array], points: int
) -> list[Array]:
    """Evaluate the base and, below it, one case for each moved input."""
    count = 1 + len(names)
    cases = {name: np.empty((count, points)) for name in rows}
    for name, row in rows.items():
        cases[name][:] = row.value  # repeated here: fifty copies made one by one took longer
    for index, (name, step) in enumerate(zip(names, steps, strict=True)):
        cases[name][1 + index] += step
    flat = {name: case.ravel() for name, case in cases.items()}
    return [np.reshape(result, (count, points)) for result in call(flat)]


def _rises(results: list[Array], steps: list[Array]) -> list[Array]:
    """Slopes from one side, a row for each moved input; nothing where the input is certain."""
    size = np.array([np.broadcast_to(step, results[0].shape[1]) for step in steps])
    size[size == 0] = 1.0
    return [(result[1:] - result[0]) / size for result in results]


def _slope(above: Any, below: Any, step: Any) -> Any:
    """Slope from both sides; nothing where the input is certain."""
    if isinstance(step, np.ndarray):
        return (above - below) / (2 * np.where(step == 0, 1.0, step))
    return (above - below) / (2 * step) if step else 0.0


def plain(value: Any) -> Value:
    """Turn NumPy scalars into floats, leave curves as they are."""
    return value if isinstance(value, np.ndarray) and value.ndim else float(value)
