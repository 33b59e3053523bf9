"""The few unknowns of a build, fitted to what was measured, with stated priors.

The unknowns are rows that are stated or taken by default with an uncertainty: that uncertainty
is the prior. The fit is a least squares over all curves (or peaks) of the build at once, by the
very model that makes the estimates; a setup that all the others speak against is set aside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.fit.calibration import SURPRISING, Calibration, Exchange
from specgen.analysis.fit.departures import Departure, departed
from specgen.analysis.fit.observations import BEST_SPARK, Observation
from specgen.analysis.fit.products import applied
from specgen.analysis.fit.residuals import TURNING, Residuals, Unknown
from specgen.analysis.fit.solving import solved
from specgen.analysis.rows.row import Array
from specgen.analysis.shapes import KNOTS
from specgen.physics import Unphysical

#: Unknowns of the whole build: row key, and whether the fit moves its logarithm.
_BUILD: dict[str, bool] = {
    "volumetric_efficiency": True,
    **{f"breathing_{index + 1}": False for index in range(len(KNOTS))},
    "temperature_exponent": False,
    "limit_efficiency": True,
    "leak_area": True,
    "built_in_ratio": True,
    "map_volumetric_factor": True,
    "map_head_factor": True,
    "map_efficiency_factor": True,
    "inlet_drop": True,
    "cooler_drop": True,
    "effectiveness": False,
    "cooler_exponent": False,
    "intake_warming": False,
    "evaporation_share": False,
    "mechanical_efficiency": False,
    "design_ratio": True,
    "design_efficiency": False,
    **{f"burning_{index + 1}": False for index in range(len(KNOTS))},
    "indicated_efficiency": True,
    "boost_exponent": False,
    "octane_need": False,
    "octane_slope": True,
    "octane_fall": False,
    "knock_cost": True,
    "gas_exchange_share": False,
    "friction_share": False,
    **dict.fromkeys(BEST_SPARK, False),
}
#: Unknowns that each fuel, or each measuring point, has for itself.
_BY_FUEL = {"fuel_factor": True, "mixture": False}
_BY_POINT = {"drive_line_efficiency": True}

#: Most setups that are tried as the one to set aside.
_SUSPECTS = 4
#: How much less strain two exchanged pulls must leave, and by how much [Pa] their boosts deny the
#: order of their ratios.
_BETTER, _CLEARLY = 10.0, 3e3
#: By how many per cent of speed a wrong pulley is usually off.
_PULLEY = 8.0


def calibrate(kind: Kind, observations: Sequence[Observation]) -> Calibration | None:
    """Fit the unknowns to the observations; None where there is nothing to fit.

    Unphysical where no parameters near their priors explain what was measured: a figure is wrong.

    Residuals and priors are in units of their standard deviation. A setup that lies far from what
    all the others say (a slipping belt) is set aside, so that the model is not bent to it; one of
    two cannot be told from the other, so that at least three setups are needed for that.
    """
    whole = _fit(kind, observations)
    if whole is None or max((whole.surprise(name) for name in whole.setups), default=0.0) < (
        SURPRISING
    ):
        return whole
    fit = _set_aside(kind, whole, observations)
    return _exchanged(kind, whole, fit, observations) or fit


def _set_aside(kind: Kind, fit: Calibration, observations: Sequence[Observation]) -> Calibration:
    """The fit without each setup that the others speak against, one after the other."""
    aside: list[str] = []
    while len(fit.setups) > 2:
        surprises = {name: fit.surprise(name) for name in fit.setups}
        suspects = sorted(surprises, key=lambda name: -surprises[name])[:_SUSPECTS]
        if surprises[suspects[0]] < SURPRISING:
            break
        without = {
            name: _fit(kind, _but(observations, [*aside, name]), fit.without(name).shifts)
            for name in suspects
            if surprises[name] >= SURPRISING
        }
        known = {name: other for name, other in without.items() if other is not None}
        if not known:
            break
        worst = min(known, key=lambda name: known[name].strain)
        aside.append(worst)
        fit = known[worst]
    return _judged(kind, fit, observations, aside) if aside else fit


def _exchanged(
    kind: Kind, whole: Calibration, apart: Calibration, observations: Sequence[Observation]
) -> Calibration | None:
    """The fit with two pulls under each other's names, if all fits then.

    It must leave less than the fit `apart`, whose setups set aside have each another pulley at
    best. Only pulls whose boost denies the order of their ratios are tried: seldom, and cheap.
    """
    least = apart.strain + sum(_at_another_pulley(item) for item in apart.set_aside)
    for one, other in combinations(range(len(observations)), 2):
        if not _denies(observations[one], observations[other]):
            continue
        turned = list(observations)
        here, there = observations[one], observations[other]
        turned[one], turned[other] = _under(here, there), _under(there, here)
        again = _fit(kind, turned)
        if again is None or again.strain > least - _BETTER:
            continue
        if max(again.surprise(name) for name in again.setups) < SURPRISING:
            fast, slow = _by_ratio(here, there)
            size = float(np.sqrt(max(whole.strain - again.strain, 0.0)))
            return replace(again, exchanged=Exchange(fast.pull, slow.pull, size))
    return None


def _at_another_pulley(item: Departure) -> float:
    """What is left of a setup set aside if its pulley were another one."""
    turning = item.directions.get(TURNING)
    directions = [] if turning is None else [turning]
    return item.misfit(item.ahead, directions, [_PULLEY] * len(directions))[0]


def _by_ratio(one: Observation, other: Observation) -> tuple[Observation, Observation]:
    """The two with the faster blower first."""
    ratios = [float(np.mean(item.inputs.get("speed_ratio", 0.0))) for item in (one, other)]
    return (one, other) if ratios[0] >= ratios[1] else (other, one)


def _denies(one: Observation, other: Observation) -> bool:
    """Whether the pull with the faster blower made clearly less boost."""
    fast, slow = _by_ratio(one, other)
    if "boost" not in fast.measured or "boost" not in slow.measured or fast.setup == slow.setup:
        return False
    return bool(np.nanmean(fast.measured["boost"]) < np.nanmean(slow.measured["boost"]) - _CLEARLY)


def _under(own: Observation, other: Observation) -> Observation:
    """A setup's observation with what was measured in another's pull."""
    inputs = {**own.inputs, "speed": other.inputs["speed"]}
    return replace(own, inputs=inputs, measured=other.measured, own=other.own, level=other.level,
                   gain=other.gain)  # fmt: skip


def _but(observations: Sequence[Observation], names: Sequence[str]) -> list[Observation]:
    """All observations but those of some setups."""
    return [item for item in observations if item.setup not in names]


def _judged(
    kind: Kind, fit: Calibration, observations: Sequence[Observation], aside: Sequence[str]
) -> Calibration:
    """The fit with what its setups set aside are off by, as the model itself gives it there."""
    rest = tuple(item for item in observations if item.setup in aside)
    count = len(fit.unknowns)
    try:
        model = Residuals(kind, rest, fit.unknowns)
    except Unphysical:
        return fit
    shifts = fit.shifts[:count]
    slopes = np.hstack([model.slopes(shifts), model.common])
    covariance = np.eye(slopes.shape[1])
    covariance[:count, :count] = fit.covariance[:count, :count]
    told = model.told(shifts)
    turning = told.pop(TURNING, None)
    roots = [
        column + applied(slopes[:, :count], fit.taken_up.get(root, np.zeros(count))[:count])
        for root, column in told.items()
    ]
    directions = fit.directions_of(slopes, turning)
    found = departed(model.labels(), model.misses(shifts), slopes, covariance, roots, directions)
    return replace(fit, set_aside=tuple(found))


def _fit(
    kind: Kind, observations: Sequence[Observation], start: Array | None = None
) -> Calibration | None:
    """One least squares, from the priors unless a better start for the same unknowns is known."""
    unknowns = _unknowns(observations)
    if not observations or not unknowns:
        return None
    begin = np.zeros(len(unknowns))
    if start is not None and len(start) >= len(unknowns):
        begin = start[: len(unknowns)]
    try:
        model = Residuals(kind, tuple(observations), unknowns)
        if not model.labels():
            return None
    except Unphysical:  # no balance at all: the sheet's own estimate says why
        return None
    try:
        return _fitted(model, begin)
    except np.linalg.LinAlgError as problem:
        raise Unphysical("what was measured leaves the unknowns open") from problem


def _fitted(model: Residuals, start: Array) -> Calibration:
    """Move the unknowns to what was measured, and book what that leaves open."""
    found = solved(model, start)
    told = model.told(found.shifts[: len(model.unknowns)])
    turning = told.pop(TURNING, None)
    return Calibration(
        model.unknowns,
        found.shifts,
        found.information,
        found.misses * found.weights,
        found.slopes * found.weights[:, None],
        found.weights,
        model.labels(),
        {root: column * found.weights for root, column in told.items()},
        None if turning is None else turning * found.weights,
        model=model,
    )


def _unknowns(observations: Sequence[Observation]) -> tuple[Unknown, ...]:
    """Every uncertain parameter that the observed setups rest on, each once."""
    found: dict[tuple[str, str], Unknown] = {}
    for item in observations:
        groups = [
            *((key, log, "") for key, log in _BUILD.items()),
            *((key, log, item.fuel) for key, log in _BY_FUEL.items()),
            *((key, log, item.point) for key, log in _BY_POINT.items()),
        ]
        for key, logarithmic, group in groups:
            row = item.parameters.get(key)
            if row is None or not row.present or (key == "mixture" and row.basis != "default"):
                continue
            if isinstance(row.uncertainty, float):
                found.setdefault((key, group), Unknown(row, group, logarithmic))
    return tuple(found.values())
