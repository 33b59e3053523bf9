"""The product's answer set against the truth that it has never seen.

`judge` writes the archive, goes the public way (`read_archive`, `sheet_of`) and reads the planned
setup's rows, as a page would.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from specgen.analysis.rows.row import COVERAGE
from specgen.analysis.sheet import Sheet, sheet_of
from specgen.analysis.workings import SetupSheet
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import as_text
from tests.accuracy.workshop import Case, family_of
from tests.accuracy.writing import Trial, step_id, write_archive
from tests.generator import Sweep

Array = NDArray[np.float64]

#: Channels behind and before the cooler that are predicted too.
TEMPERATURES = ("discharge_temperature", "charge_temperature")

#: Engine speeds of a pull, ends included, at which a prediction is set against the truth.
SPEEDS = 9


@dataclass(frozen=True, slots=True)
class Figure:
    """One predicted figure at each speed: miss and half-width of the band, as shares of the truth.

    Positive where too much was predicted; not a number where nothing was predicted. Boost counts
    as absolute manifold pressure. `inside` is whether the true value lies in the band (k = 2); a
    speed without a prediction counts as missed.
    """

    miss: Array
    half_width: Array
    inside: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One trial judged: its prediction, and which of its setups were accused.

    `name` is "one", "three" or "slip", `number` the case's; `traits` say what kind of build it is.
    Misses and bands of `temperatures` are in kelvin; `failure` is what the product said where it
    gave up.
    """

    name: str
    number: int
    traits: dict[str, str]
    boost: Figure
    power: Figure
    measured: int
    accused: frozenset[str]
    temperatures: Mapping[str, Figure] = field(default_factory=dict)
    failure: str = ""


def accused(sheet: Sheet) -> set[str]:
    """Ids of the measured setups that the sheet's diagnosis says something is wrong with."""
    return {diagnosis.setup.id for diagnosis in sheet.diagnoses}


def judge(folder: Path, trials: Sequence[Trial]) -> list[Verdict]:
    """Write the trials as an archive, have the product read and predict, and judge it."""
    write_archive(folder, trials)
    archive = read_archive(folder)
    if archive.findings:
        raise ValueError(f"the synthetic archive has findings:\n{as_text(archive.findings)}")
    return [_judged(trial, archive) for trial in trials]


def _judged(trial: Trial, archive: Archive) -> Verdict:
    """Judge one trial; where the product gives up with an error, nothing was predicted."""
    try:
        return _verdict(trial, sheet_of(archive, archive.builds[trial.id]))
    except ValueError as error:
        gone, missed = np.full(SPEEDS, np.nan), np.zeros(SPEEDS, dtype=np.bool_)
        nothing = Figure(gone, gone, missed)
        return Verdict(
            trial.name,
            trial.case.number,
            traits(trial.case),
            nothing,
            nothing,
            len(trial.measured),
            frozenset(),
            dict.fromkeys(TEMPERATURES, nothing),
            str(error),
        )


def _verdict(trial: Trial, sheet: Sheet) -> Verdict:
    planned = next(item for item in sheet.setups if item.id == step_id(trial.planned))
    assert planned.planned
    true = trial.true
    speeds = np.linspace(true.engine_speed[0], true.engine_speed[-1], SPEEDS)
    at_speed = {
        name: np.interp(speeds, true.engine_speed, true.true[name])
        for name in ("boost", "manifold_pressure", "power")
    }
    boost, width = predicted(planned, "estimated_boost", speeds)
    pressure, _ = predicted(planned, "estimated_manifold_pressure", speeds)
    power, band = predicted(planned, "estimated_power", speeds)
    manifold = at_speed["manifold_pressure"]
    return Verdict(
        trial.name,
        trial.case.number,
        traits(trial.case),
        Figure(
            pressure / manifold - 1, width / manifold, np.abs(boost - at_speed["boost"]) <= width
        ),
        _shares(power, band, at_speed["power"]),
        len(trial.measured),
        frozenset(accused(sheet)),
        {name: _temperature(planned, name, true, speeds) for name in TEMPERATURES},
    )


def _temperature(planned: SetupSheet, name: str, true: Sweep, speeds: Array) -> Figure:
    value, width = predicted(planned, f"estimated_{name}", speeds)
    miss = value - np.interp(speeds, true.engine_speed, true.true[name])
    return Figure(miss, width, np.abs(miss) <= width)


def traits(case: Case) -> dict[str, str]:
    """By what a miss may be sorted: kind of blower, cooler, fuel as written, measuring point."""
    away: dict[str, str] = {}
    if case.elsewhere is not None:
        away = {"air": case.elsewhere.name, "fuel family": family_of(case.known.fuel)}
    return {
        **away,
        "blower": case.kind,
        "cooler": "cooled" if case.truth.cooler else "no cooler",
        "fuel": case.known.fuel,
        "measured at": case.bench.measured_at,
    }


def _shares(value: Array, half_width: Array, true: Array) -> Figure:
    return Figure(value / true - 1, half_width / true, np.abs(value - true) <= half_width)


def predicted(setup: SetupSheet, key: str, speeds: Array) -> tuple[Array, Array]:
    """A predicted curve and the half-width of its band at these speeds [1/s], in SI.

    Not a number where there is no prediction. A prediction without uncertainty has no band.
    """
    row, grid = setup.rows[key], setup.rows["speed"]
    if not row.present or not grid.present:
        nothing = np.full(len(speeds), np.nan)
        return nothing, nothing
    spread = 0.0 if row.uncertainty is None else row.uncertainty
    whole = np.broadcast_to(np.asarray(spread, float), row.curve.shape)
    # a speed read from text differs from the same speed by a rounding in the last place
    inside = (speeds > grid.curve[0] * (1 - 1e-9)) & (speeds < grid.curve[-1] * (1 + 1e-9))
    value, width = (np.interp(speeds, grid.curve, curve) for curve in (row.curve, whole))
    return np.where(inside, value, np.nan), np.where(inside, COVERAGE * width, np.nan)
