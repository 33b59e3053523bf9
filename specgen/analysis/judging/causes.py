"""What disagrees with the others: a pull outside its band, and what speaks for which cause.

The model is never bent to such a pull. Each cause is judged by what the data say about it, and
the causes come in the order of how much speaks for them; where little speaks, the words say so.
Every cause is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from specgen.analysis.estimate import Kind
from specgen.analysis.fit.calibration import SURPRISING
from specgen.analysis.fit.departures import Trace
from specgen.analysis.judging.hypotheses import (
    COOLER,
    CORRECTION,
    LEAK,
    PULLEY,
    RESTRICTION,
    SENSOR,
    SLIP,
    TUNE,
)
from specgen.analysis.rows.row import Row
from specgen.analysis.tables.boost_control import control_of
from specgen.analysis.tables.estimated import kind_of, rule_of
from specgen.analysis.workings import PullSheet, SetupSheet, Workings

#: What a piece of evidence does to a cause; "unknown" is what nobody recorded.
Weighs = Literal["for", "against", "unknown"]
_WEIGHS: dict[Weighs, str] = {"for": "", "against": "against it: ", "unknown": "not known: "}

#: To which side of the prediction a measurement lies, and where over the speed range.
Side = Literal["short", "high"]
Where = Literal["everywhere", "at high speed", "at low speed", "in places"]

#: A stretch of a trace counts as "where it was short" from this many standard deviations.
_CLEAR, _NOTHING = 1.5, 1.0
#: A trace whose worst departure stays below this is as predicted: what chance makes of ten ways.
_AS_PREDICTED = 2.7

#: A pulley of the blower's own list this near to the one that would fit is taken to be it.
_PULLEY_STEP = 2.6e-3

#: Boost [Pa] by which a pulley misses where the model has no balance with it.
_NO_BALANCE = 1e6

#: A boost that changes by less than this share of it, from highest to lowest, is level.
_PLATEAU = 0.06

#: A belt that uses more than this share of its grip is near slipping: its friction is known to a
#: fifth at best.
_GRIPS = 0.8

#: A measured blower speed this much below the drive's is slip.
_SLIP = 0.01


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that the data say about a cause."""

    words: str
    weighs: Weighs = "for"

    @property
    def text(self) -> str:
        """The words with what they do, in one line."""
        return f"{_WEIGHS[self.weighs]}{self.words}"


def _against(words: str) -> Evidence:
    return Evidence(words, "against")


def _unknown(words: str) -> Evidence:
    return Evidence(words, "unknown")


@dataclass(frozen=True, slots=True)
class Cause:
    """What could explain a misfit, and what in the data speaks for or against it."""

    title: str
    evidence: tuple[Evidence, ...]
    weight: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """How a measurement departs from its prediction over the speed range."""

    side: Side
    where: Where

    @property
    def words(self) -> str:
        """The pattern as a sentence has it: "short at high speed"."""
        return f"{self.side} {self.where}"


@dataclass(frozen=True, slots=True)
class Case:
    """What the judges of causes look at."""

    sheet: Workings
    setup: SetupSheet
    pull: PullSheet
    traces: dict[str, Trace]
    pattern: Pattern


def pattern_of(trace: Trace) -> Pattern:
    """Where over the speed range a trace departs, and to which side."""
    third = max(len(trace.short) // 3, 1)
    low, high = trace.short[:third].mean(), trace.short[-third:].mean()
    if low > _CLEAR and high > _CLEAR:
        return Pattern("short", "everywhere")
    if low < -_CLEAR and high < -_CLEAR:
        return Pattern("high", "everywhere")
    if high > _CLEAR and low < _NOTHING:
        return Pattern("short", "at high speed")
    if low > _CLEAR and high < _NOTHING:
        return Pattern("short", "at low speed")
    if high < -_CLEAR and low > -_NOTHING:
        return Pattern("high", "at high speed")
    if low < -_CLEAR and high > -_NOTHING:
        return Pattern("high", "at low speed")
    return Pattern("short" if trace.short.sum() > 0 else "high", "in places")


# ------------------------------------------------------------ causes of boost that disagrees


def _held(case: Case) -> Sequence[Cause]:
    """A control that holds boost bends a curve flat, and no belt or leak is to blame."""
    control = control_of(case.sheet.build, case.setup.setup)
    if case.pattern.side != "short" or control not in ("absolute", "gauge"):
        return ()
    evidence, weight = [Evidence(f"boost is set by a control, {control}, says the file")], 6
    measured = case.pull.rows["boost_curve"]
    if measured.present:
        upper = measured.curve[len(measured.curve) // 2 :]
        if np.ptp(upper) < _PLATEAU * np.mean(upper):
            evidence.append(Evidence("boost is level over the upper half of the speed range"))
            weight += 4
    return (Cause("Held by its control", tuple(evidence), weight),)


def _belt_slip(case: Case) -> Sequence[Cause]:
    """A belt slips where it carries most: the smallest pulley at the highest speed."""
    if case.pattern.side != "short" or not _driven(case):
        return ()
    evidence: list[Evidence] = []
    weight = 0
    measured = _blower_speed_shortfall(case)
    if measured is not None:
        if measured > _SLIP:
            evidence.append(
                Evidence(f"the blower was measured {measured:.0%} slower than its drive turns it")
            )
            weight += 6
        else:
            evidence.append(_against("the measured blower speed is what the drive gives"))
            weight -= 6
    if case.pattern == Pattern("short", "at high speed"):
        evidence.append(Evidence("boost is short at high speed only, where the belt carries most"))
        weight += 2
    grip = case.setup.rows["grip_used"]
    if grip.present:
        words = f"by its tension, ribs and wraps the belt uses {grip.scalar:.0%} of its grip"
        tight = grip.scalar + (grip.expanded or 0.0) < _GRIPS
        evidence.append(_against(words) if tight else Evidence(words))
        weight += -1 if tight else 3 if grip.scalar > _GRIPS else 0
    else:
        evidence.append(_unknown(f"how much of the belt's grip is used: {grip.reason}"))
    if _smallest_pulley(case) and _others_fit(case):
        evidence.append(Evidence("only the setup with the fastest blower is short"))
        weight += 2
    power = case.traces.get("power")
    if power is not None and pattern_of(power).side == "short":
        evidence.append(Evidence("power sags with it"))
        weight += 1
    return (Cause(SLIP, tuple(evidence), weight),)


def _inlet_loss(case: Case) -> Sequence[Cause]:
    """A restriction before the blower costs most at the highest flow."""
    if case.pattern != Pattern("short", "at high speed"):
        return ()
    evidence = [Evidence("boost is short at high speed, where the flow is largest")]
    weight = 1
    trace = case.traces.get("inlet_pressure")
    if trace is None:
        evidence.append(_unknown("the pressure before the blower was not recorded in this pull"))
    elif trace.size > _AS_PREDICTED and pattern_of(trace).side == "short":
        evidence.append(
            Evidence("the measured pressure before the blower is lower than predicted too")
        )
        weight += 6
    else:
        evidence.append(_against("the measured pressure before the blower is as predicted"))
        weight -= 4
    if _others_fit(case):
        evidence.append(_against("at nearly the same flow the other setups fit"))
        weight -= 1
    return (Cause(RESTRICTION, tuple(evidence), weight),)


def _leak(case: Case) -> Sequence[Cause]:
    """A leak behind the blower costs everywhere, most where the flow is small."""
    if case.pattern.side != "short" or case.pattern.where == "at high speed":
        return ()
    evidence, weight = [Evidence("boost is short where the blower has speed to spare")], 1
    if case.pattern == Pattern("short", "at low speed"):
        evidence.append(
            Evidence("it is shortest at low speed, where a leak is the largest share of the flow")
        )
        weight += 2
    power = case.traces.get("power")
    if power is not None and pattern_of(power).side == "short":
        evidence.append(Evidence("power is short with it"))
        weight += 1
    return (Cause(LEAK, tuple(evidence), weight),)


def _wrong_pulley(case: Case) -> Sequence[Cause]:
    """Another pulley than written: boost is off by the same ratio over the whole range."""
    if case.pattern.where != "everywhere" or not _driven(case):
        return ()
    meant = _pulley_meant(case)
    if meant is None:
        return ()
    words, known = Evidence(meant[0]), meant[1]
    power = case.traces.get("power")
    if power is not None and power.size < _AS_PREDICTED:
        against = _against("power is as predicted for the written one")
        return (Cause(PULLEY, (words, against), -1),)
    return (Cause(PULLEY, (words,), 4 if known else 1),)


def _sensor(case: Case) -> Sequence[Cause]:
    """A sensor with an offset reads wrong by the same amount, and power does not follow."""
    power = case.traces.get("power")
    if power is not None and power.size > _AS_PREDICTED:
        return (Cause(SENSOR, (_against("power departs with boost"),), -1),)
    if power is None:
        words = _unknown("power was not recorded over speed")
    else:
        words = Evidence("power is as predicted, so that the air flow is")
    return (Cause(SENSOR, (words,), 0),)


def _too_high(case: Case) -> Sequence[Cause]:
    """More boost than the model gives: less swallowed, or more delivered, than is written."""
    if case.pattern.side != "high":
        return ()
    return (
        Cause("A restriction behind the blower, or late valve timing",
              (Evidence("the engine swallows less than the other setups say"),), 1),
        Cause("A wrong displacement or temperature in the file",
              (Evidence("boost is above what the written blower can give"),), 1),
    )  # fmt: skip


# ------------------------------------------------------------ causes of power that disagrees


def _burning(case: Case) -> Sequence[Cause]:
    """Boost fits and power does not: what burns, not what is swallowed."""
    word = "low" if case.pattern.side == "short" else "high"
    return (
        Cause(TUNE, (Evidence(f"boost is as predicted while power is {word}"),), 0),
        Cause("Another fuel than written", (Evidence(f"power is {word} over the range"),), -1),
    )


def _correction(case: Case) -> Sequence[Cause]:
    """A correction that is in the figures although they are said to be observed, or not in them."""
    if case.pattern.where != "everywhere":
        return ()
    factor = case.pull.rows["correction_factor"]
    words = "power is off by the same share at every speed"
    if factor.present:
        words += f"; the session's own factor would be {factor.scalar:.3f}"
    return (Cause(CORRECTION, (Evidence(words),), 0),)


def _plain(title: str, words: str) -> Callable[[Case], Sequence[Cause]]:
    return lambda _: (Cause(title, (Evidence(words),), 0),)


JUDGES: dict[str, tuple[Callable[[Case], Sequence[Cause]], ...]] = {
    "boost": (_held, _belt_slip, _inlet_loss, _leak, _wrong_pulley, _sensor, _too_high),
    "power": (_burning, _correction),
    "charge_temperature": (_plain(COOLER, "only the charge temperature departs"),),
    "inlet_pressure": (
        _plain("The filter, or where the pressure is tapped", "only the inlet departs"),
    ),
}


# ------------------------------------------------------------ what the data say


def _driven(case: Case) -> bool:
    return case.setup.rows["rotor_ratio"].present


def _others_fit(case: Case) -> bool:
    fit = case.sheet.calibration
    others = [item.id for item in case.sheet.setups if item.pulls and item.id != case.setup.id]
    return fit is not None and bool(others) and all(
        fit.surprise(name) <= SURPRISING for name in others
    )  # fmt: skip


def _smallest_pulley(case: Case) -> bool:
    ratios = [
        (item.rows["rotor_ratio"].scalar, item.id)
        for item in case.sheet.setups
        if item.pulls and item.rows["rotor_ratio"].present
    ]
    return len(ratios) > 1 and max(ratios)[1] == case.setup.id


def _blower_speed_shortfall(case: Case) -> float | None:
    """Share by which the measured blower speed is below the drive's at the highest speed."""
    measured = case.pull.rows["blower_speed_curve"]
    if not measured.present or not np.isfinite(measured.curve[-1]):
        return None
    drive = case.pull.rows["speed_curve"].curve[-1] * case.setup.rows["rotor_ratio"].scalar
    return float(1 - measured.curve[-1] / drive)


def _pulley_meant(case: Case) -> tuple[str, bool] | None:
    """The blower pulley that would give the measured boost, and whether the blower has one."""
    pulley, measured = case.setup.rows["blower_pulley"], case.pull.rows["boost_curve"]
    kind = kind_of(case.setup.rows)
    if kind is None or not (pulley.present and measured.present):
        return None
    wanted = pulley.scalar / _ratio_that_fits(case, kind, measured)
    offered = [item.value for item in case.sheet.blower.pulleys] if case.sheet.blower else []
    near = min(offered, key=lambda size: abs(size - wanted), default=None)
    known = near is not None and abs(near - wanted) < _PULLEY_STEP and near != pulley.scalar
    text = pulley.quantity.text(near if known and near else wanted, "metric")
    tail = ", which this blower comes with" if known else ""
    return f"a blower pulley of about {text}{tail} would give the measured boost", known


def _ratio_that_fits(case: Case, kind: Kind, measured: Row) -> float:
    """By what the speed ratio must be multiplied so that the model gives the measured boost."""
    rows, speeds = case.setup.held_out, case.pull.rows["speed_curve"].curve
    rule = rule_of(rows, kind)
    keys = {**rule.inputs, **rule.options}
    values = {name: rows[key].value for name, key in keys.items() if rows[key].present}
    scales = np.linspace(0.7, 1.4, 71)
    chosen = speeds[np.linspace(0, len(speeds) - 1, min(9, len(speeds))).astype(int)]
    cases = {name: np.full((len(scales), len(chosen)), value) for name, value in values.items()
             if not isinstance(value, np.ndarray)}  # fmt: skip
    cases["speed"] = np.tile(chosen, (len(scales), 1))
    cases["speed_ratio"] = cases["speed_ratio"] * scales[:, None]
    boost = rule.function(**{name: item.ravel() for name, item in cases.items()})["boost"]
    wanted = np.interp(chosen, speeds, measured.curve)
    misses = np.abs(np.reshape(boost, cases["speed"].shape) - wanted)
    known = np.nan_to_num(misses, nan=_NO_BALANCE).mean(axis=1)
    return float(scales[int(np.argmin(known))])
