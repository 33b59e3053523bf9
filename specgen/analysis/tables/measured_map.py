"""A blower's measured map on the sheet: its rows, and where an estimate that rests on it ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Default, Made, Parameter, Rule, Scope
from specgen.analysis.tables import defaults
from specgen.archive.model.build import Blower
from specgen.physics.blower_map import (
    REFERENCE_PRESSURE,
    REFERENCE_TEMPERATURE,
    BlowerMap,
    CentrifugalMap,
    DisplacementMap,
)
from specgen.physics.map_matching import OUTSIDE
from specgen.vocabulary import quantity

NO_MAP = "no measured map of the blower"


def map_of(blower: Blower | None) -> BlowerMap | None:
    """A blower's measured map for the physics; None where it has none."""
    if blower is None or blower.map is None:
        return None
    columns, air = blower.map.columns, blower.performance_air
    if blower.displaces:
        return DisplacementMap(
            columns["blower_speed"],
            columns["pressure_ratio"],
            columns["volumetric_efficiency"],
            columns["isentropic_efficiency"],
            columns.get("shaft_efficiency"),
        )
    return CentrifugalMap(
        columns["blower_speed"],
        columns["air_mass_flow"],
        columns["pressure_ratio"],
        columns["isentropic_efficiency"],
        air.pressure.value if air else REFERENCE_PRESSURE,
        air.temperature.value if air else REFERENCE_TEMPERATURE,
        columns.get("shaft_efficiency"),
    )


def _points(scope: Scope) -> Mapping[str, Row]:
    """How many points were measured, with the file's place; all estimates have it as an input."""
    key, title, blower = "map_points", "Points of the blower's measured map", scope.subjects.blower
    if blower is None or blower.map is None:
        return {key: scope.absent(key, "count", title, NO_MAP)}
    count, lines = blower.map.points, blower.map.speeds
    return {
        key: scope.present(key, "count", float(count), title, basis="measured",
                           place=blower.map.place,
                           source=f"{count} points at {lines} speeds; straight lines "
                                  "between them, nothing beyond")
    }  # fmt: skip


def _factor(key: str, title: str, size: float, displaces: bool | None) -> Parameter:
    """How this blower stands to the one that was measured: alike, within `size`."""

    def default(scope: Scope) -> Default | None:
        blower = scope.subjects.blower
        if blower is None or blower.map is None:
            return None
        if displaces is not None and blower.displaces is not displaces:
            return None
        return Default(1.0, size, f"as measured, within {size:.0%}; {defaults.PRACTICE}")

    return Parameter(key, "ratio", default, title, missing=NO_MAP)


MAP: tuple[Rule, ...] = (
    Made(("map_points",), _points),
    _factor("map_volumetric_factor", "Volumetric efficiency against the measured map", 0.02, True),
    _factor("map_head_factor", "Isentropic head against the measured map", 0.02, False),
    _factor("map_efficiency_factor", "Isentropic efficiency against the measured map", 0.03, None),
)


def marked(scope: Scope, made: Mapping[str, Row], outside: NDArray[np.int8]) -> dict[str, Row]:
    """The estimated rows with the map as their source, and with where it ends as their reason.

    `outside` says for each speed of the scope where its balance lies, as `Match.outside` does.
    """
    points, words = scope["map_points"], ends(scope["speed"].curve, outside)
    source = f"from the measured map {points.place.file if points.place else ''}".strip()
    return {
        key: replace(row, source=source, inputs=(*row.inputs, points), reason=words)
        if row.present
        else row
        for key, row in made.items()
    }


def ends(speeds: Array, outside: NDArray[np.int8]) -> str:
    """At which engine speeds a balance lies outside the map, and why; empty where none does."""
    spans = list(_spans(speeds, outside))
    return f"outside the measured map {'; '.join(spans)}" if spans else ""


def _spans(speeds: Array, outside: NDArray[np.int8]) -> Iterator[str]:
    """Each run of neighbouring speeds that lie outside for one reason, in words."""
    speed = quantity("engine_speed")
    for cause, run in groupby(range(outside.size), lambda index: int(outside[index])):
        if cause:
            at = speeds[np.array(list(run))]
            low, high = (speed.text(float(end), "metric") for end in (at[0], at[-1]))
            where = f"at {low}" if low == high else f"from {low} to {high}"
            yield f"{where}: {OUTSIDE[cause]}"
