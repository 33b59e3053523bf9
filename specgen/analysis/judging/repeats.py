"""Pulls that were made again: how far they lie apart, and whether they follow the charge's heat.

A setup that was pulled twice or more in one session shows what the dyno and the engine repeat to,
with nothing else changed. That is set against the repeatability stated for the session or the
archive, by the chi-squared distribution at 95 %; with two or three pulls only a gross difference
shows, and the words say no more than that. A drift is told only where it is significant.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from specgen.analysis.rows.formula import formula_of
from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Fixed, Scope
from specgen.analysis.tables.defaults import PRACTICE, instrument
from specgen.analysis.workings import PullSheet, SessionSheet, SetupSheet, Workings
from specgen.physics import scatter

Verdict = Literal["as stated", "more than stated", "less than stated"]

#: Share of chance below which a difference is told.
_CHANCE = 0.05
#: Fewest pulls that show a drift apart from their scatter.
_FEWEST = 3
#: Warming of the charge that a drift is told for [K].
WARMER = 10.0


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """How far repeated pulls lie apart in one figure, beside what was stated."""

    figure: str
    deviation: Row
    stated: Row
    verdict: Verdict


@dataclass(frozen=True, slots=True, eq=False)
class Repeat:
    """The pulls of one setup in one session, two or more.

    `drift` is the change of power with a charge 10 K warmer; None where none can be told.
    """

    setup: SetupSheet
    session: SessionSheet
    pulls: tuple[PullSheet, ...]
    power: Spread | None
    boost: Spread | None
    drift: Row | None
    rows: Scope


def repeats_of(sheet: Workings) -> tuple[Repeat, ...]:
    """Every setup that was pulled twice or more in one session, in the order of the file."""
    return tuple(
        repeat
        for session in sheet.sessions
        for setup in sheet.setups
        if (repeat := _repeat(setup, session)) is not None
    )


def _repeat(setup: SetupSheet, session: SessionSheet) -> Repeat | None:
    pulls = tuple(pull for pull in session.pulls if pull.setup is setup)
    if len(pulls) < 2:
        return None
    name = f"repeats {setup.id} {session.rows.name}"
    scope = Scope(name, [], {}, [session.rows])
    power, boost = _power(scope, pulls), _boost(scope, pulls)
    drift = _drift(scope, pulls)
    if power is None and boost is None:
        return None
    made = [row for item in (power, boost) if item for row in (item.deviation, item.stated)]
    made += [drift] if drift else []
    title = f"Repeat pulls of setup {setup.title}, {session.session.date.text}"
    rows = Scope(name, [Fixed(row.key, row) for row in made], {}, [session.rows], title=title)
    return Repeat(setup, session, pulls, power, boost, drift, rows)


# ------------------------------------------------------------ how far they lie apart


def _power(scope: Scope, pulls: Sequence[PullSheet]) -> Spread | None:
    """Scatter of peak power, as a share of its mean; observed, or as reported where that is all."""
    peaks = _present(pulls, "observed_power") or _present(pulls, "reported_power")
    if len(peaks) < 2:
        return None
    values = np.array([row.scalar for row in peaks])
    mean = float(values.mean())
    size, source = instrument("power")(scope, mean)
    return _spread(
        scope, "power", "relative_uncertainty", peaks,
        scatter.standard_deviation, values / mean, (size / mean, source),
    )  # fmt: skip


def _boost(scope: Scope, pulls: Sequence[PullSheet]) -> Spread | None:
    """Scatter of boost at the speeds that the pulls have in common, else of its peaks."""
    curves = _common(pulls, "boost_curve")
    if curves is not None:
        rows, values = curves
    else:
        rows = _present(pulls, "boost")
        if len(rows) < 2:
            return None
        values = np.array([[row.scalar] for row in rows])
    stated = instrument("boost")(scope, float(values.mean()))
    return _spread(scope, "boost", "pressure_uncertainty", rows, scatter.pooled_deviation, values,
                   stated)  # fmt: skip


def _spread(
    scope: Scope,
    figure: str,
    quantity_key: str,
    rows: Sequence[Row],
    function: Callable[[Array], float],
    values: Array,
    stated: tuple[float, str],
) -> Spread:
    """Make the two rows and the verdict."""
    count = len(rows)
    found, (size, source) = function(values), stated
    key = f"{figure}_deviation"
    title = f"Standard deviation of {figure} over {count} pulls"
    doubt = scatter.deviation_uncertainty(found, count)
    deviation = scope.present(
        key, quantity_key, found, title, basis="derived", formula=formula_of(function),
        inputs=tuple(rows), spread={f"{scope.name} {key}": doubt} if doubt else {},
    )  # fmt: skip
    claimed = scope.present(
        f"{figure}_repeatability", quantity_key, size, f"Repeatability of {figure}, stated",
        basis="default" if PRACTICE in source else "stated", source=source,
    )  # fmt: skip
    return Spread(figure, deviation, claimed, verdict(found, size, count))


def verdict(deviation: float, stated: float, count: int) -> Verdict:
    """What a standard deviation of `count` readings says of a stated one, two-sided at 95 %."""
    from scipy.special import chdtri  # slow to import: only where a setup was pulled again

    freedom = count - 1
    ratio = freedom * (deviation / stated) ** 2
    if ratio > chdtri(freedom, _CHANCE / 2):
        return "more than stated"
    return "less than stated" if ratio < chdtri(freedom, 1 - _CHANCE / 2) else "as stated"


# ------------------------------------------------------------ whether they follow the heat


def _drift(scope: Scope, pulls: Sequence[PullSheet]) -> Row | None:
    """Change of power with a warmer charge, where three pulls or more tell one."""
    from scipy.special import stdtrit  # likewise

    warmth, power = _levels(pulls, "charge_temperature"), _levels(pulls, "power")
    if warmth is None or power is None or np.ptp(warmth[1]) == 0:
        return None
    (warm_rows, temperatures), (power_rows, levels) = warmth, power
    shares = levels / levels.mean()
    found = scatter.slope(temperatures, shares)
    doubt = scatter.slope_uncertainty(temperatures, shares)
    if abs(found) <= doubt * stdtrit(len(shares) - 2, 1 - _CHANCE / 2):
        return None
    title = f"Change of power with a charge {WARMER:g} K warmer"
    root = {f"{scope.name} drift": WARMER * doubt} if doubt else {}
    return scope.present(
        "power_drift", "power_drift", WARMER * found, title, basis="derived",
        formula=formula_of(scatter.slope), inputs=(*power_rows, *warm_rows), spread=root,
    )  # fmt: skip


def _levels(pulls: Sequence[PullSheet], figure: str) -> tuple[list[Row], Array] | None:
    """One value a pull: the mean over the common speeds, else the peak; None if one lacks it.

    Of power the mean is of shares, so that every speed counts alike.
    """
    curve, peak = {
        "power": ("reported_power_curve", "reported_power"),
        "charge_temperature": ("charge_temperature_curve", "charge_temperature"),
    }[figure]
    found = _common(pulls, curve)
    if found is not None and len(found[0]) == len(pulls) >= _FEWEST:
        rows, values = found
        return rows, np.mean(values / values.mean(axis=0) if figure == "power" else values, axis=1)
    rows = _present(pulls, peak)
    if len(rows) < len(pulls) or len(rows) < _FEWEST:
        return None
    return rows, np.array([row.scalar for row in rows])


# ------------------------------------------------------------ what the pulls have in common


def _present(pulls: Sequence[PullSheet], key: str) -> list[Row]:
    return [pull.rows[key] for pull in pulls if pull.rows[key].present]


def _common(pulls: Sequence[PullSheet], key: str) -> tuple[list[Row], Array] | None:
    """The pulls that have a curve, and its values at the speeds they share, one row a pull."""
    able = [
        pull for pull in pulls if pull.rows[key].present and np.isfinite(pull.rows[key].curve).any()
    ]
    if len(able) < 2:
        return None
    known = [_known(pull, key) for pull in able]
    low = max(speeds[0] for speeds, _ in known)
    high = min(speeds[-1] for speeds, _ in known)
    speeds = known[0][0]
    shared = speeds[(speeds >= low) & (speeds <= high)]
    if shared.size == 0:
        return None
    values = np.array([np.interp(shared, own, curve) for own, curve in known])
    return [pull.rows[key] for pull in able], values


def _known(pull: PullSheet, key: str) -> tuple[Any, Any]:
    """A curve's speeds and values where it was recorded."""
    curve, speeds = pull.rows[key].curve, pull.rows["speed_curve"].curve
    seen = np.isfinite(curve)
    return speeds[seen], curve[seen]
