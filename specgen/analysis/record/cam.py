"""The cam card as rows: events, overlap and centre lines from either form, and valve lift.

What the card says itself stands first; what it leaves out follows from the rest of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import pi
from typing import Any, Literal

import numpy as np

from specgen.analysis.rows.row import Array, Row
from specgen.analysis.rows.scope import Derived, Output, Rule, Scope
from specgen.analysis.rows.written import Assumed, Written, first_of
from specgen.archive.model.build import Build
from specgen.archive.model.record import Cam as WrittenCam
from specgen.archive.model.record import Lobe
from specgen.physics import Unphysical, blueprint, motion, valves

Side = Literal["intake", "exhaust"]
DeadCentre = Literal["TDC", "BDC"]

#: What a lift curve rests on, in words; it stands wherever one is drawn.
LIFT_LAW = (
    "The flanks follow a harmonic law through the card's duration and highest lift: an assumption, "
    "the lobe itself was not measured. Both flanks are taken as alike."
)
#: How flat real flanks are near the seat against harmonic ones, with its standard uncertainty.
_FLANK, _FLANK_UNCERTAINTY = 1.0, 0.3
_FLANK_SOURCE = (
    "five cams with both durations published (two READ, three RESTATED): 0.61 to 1.45, in the mean "
    "1.02"
)
#: What the ratio with boost is, in words; it stands wherever that ratio is shown.
BOOSTED_CAUTION = (
    "A rule of thumb without a source: it knows nothing of temperature, fuel, mixture, chamber or "
    "ignition. It does not tell whether an engine detonates, and no setting may rest on it."
)
_NOT_STATED = "not on the cam card"
#: Points of a lift curve.
_POINTS = 181


@dataclass(frozen=True, slots=True, eq=False)
class Event:
    """Where a valve opens or closes.

    `row` is signed, above zero on the usual side of the dead centre; `angle` [rad] and `side`
    say the same without a sign.
    """

    title: str
    row: Row
    dead_centre: DeadCentre
    usual: Literal["before", "after"]

    @property
    def angle(self) -> float:
        """Crank angle from the dead centre, zero or above [rad]."""
        return abs(self.row.scalar)

    @property
    def side(self) -> Literal["before", "after"]:
        """The side of the dead centre it lies on."""
        if self.row.scalar >= 0:
            return self.usual
        return "after" if self.usual == "before" else "before"


@dataclass(frozen=True, slots=True, eq=False)
class LiftCurve:
    """Valve lift over crank angle, down to no lift.

    `crank_angle` [rad] counts from the top dead centre between exhaust and intake stroke,
    `opening` and `closing` lie on the same scale at the card's checking lift `at_lift` [m].
    """

    side: Side
    crank_angle: Array
    lift: Array
    opening: float
    closing: float
    at_lift: float
    rows: tuple[Row, ...]
    law: str = LIFT_LAW


@dataclass(frozen=True, slots=True, eq=False)
class LobeRows:
    """One side of the card; absent rows say why."""

    side: Side
    duration: Row
    centre_line: Row
    at_lift: Row
    lift: Row
    lash: Row
    opens: Event | None
    closes: Event | None


@dataclass(frozen=True, slots=True, eq=False)
class Cam:
    """The cam card with what follows from it.

    `overlap_span` is where both valves are open, as crank angles from the top dead centre
    between exhaust and intake stroke [rad]; None where they are not, or where nobody knows.
    """

    intake: LobeRows
    exhaust: LobeRows
    lobe_separation: Row
    advance: Row
    overlap: Row
    overlap_span: tuple[float, float] | None
    effective_ratio: Row
    boosted_ratio: Row
    curves: tuple[LiftCurve, ...]

    @property
    def events(self) -> tuple[Event, ...]:
        """The events that are known, in the order of the crank's turning."""
        known = (self.exhaust.opens, self.intake.opens, self.exhaust.closes, self.intake.closes)
        return tuple(event for event in known if event is not None)


@dataclass(frozen=True, slots=True)
class _Side:
    """What tells the two sides apart."""

    name: Side
    other: Side
    opens_at: DeadCentre
    closes_at: DeadCentre
    timing: Callable[..., Any]
    events: Callable[..., Any]


_SIDES = (
    _Side("intake", "exhaust", "TDC", "BDC", motion.intake_timing, motion.intake_events),
    _Side("exhaust", "intake", "BDC", "TDC", motion.exhaust_timing, motion.exhaust_events),
)


def cam_rules(build: Build) -> list[Rule]:
    """Make the rules of a build's cam card; none where it has no card."""
    cam = build.record.cam if build.record else None
    if cam is None:
        return []
    rules: list[Rule] = [
        Written("lobe_separation_stated", "lobe_separation", "Lobe separation as stated",
                cam.lobe_separation, missing=_NOT_STATED),
        Written("cam_advance_stated", "cam_advance", "Cam advance as stated", cam.advance,
                missing=_NOT_STATED),
        Derived(
            (Output("intake_centre_line_card", "centre_line", "Intake centre line", _first),
             Output("exhaust_centre_line_card", "centre_line", "Exhaust centre line", _second)),
            valves.centre_lines,
            {"lobe_separation": "lobe_separation_stated", "advance": "cam_advance_stated"}),
    ]  # fmt: skip
    rules.append(Assumed("cam_flank", "ratio", "Flanks near the seat against harmonic ones",
                         _FLANK, _FLANK_SOURCE, _FLANK_UNCERTAINTY))  # fmt: skip
    for side in _SIDES:
        rules += _written(side, getattr(cam, side.name))
        rules += _timing(side)
    return [*rules, *_together()]


def _first(pair: Any) -> Any:
    return pair[0]


def _second(pair: Any) -> Any:
    return pair[1]


def _written(side: _Side, lobe: Lobe) -> Iterator[Rule]:
    """One rule for each figure that a card may state."""
    name, title = side.name, side.name.capitalize()
    usual = ("before", "after")
    yield Written(f"{name}_duration_stated", "valve_duration", f"{title} duration as stated",
                  lobe.duration, missing=_NOT_STATED)  # fmt: skip
    yield Written(f"{name}_centre_line_stated", "centre_line", f"{title} centre line as stated",
                  lobe.centre_line, missing=_NOT_STATED)  # fmt: skip
    for event, given, word, centre in (
        ("opening", lobe.opens, usual[0], side.opens_at),
        ("closing", lobe.closes, usual[1], side.closes_at),
    ):
        verb = "opens" if event == "opening" else "closes"
        yield Written(f"{name}_{event}_stated", "valve_event",
                      f"{title} {verb}, {word} {centre}, as stated", given,
                      missing=_NOT_STATED)  # fmt: skip
    yield Written(f"{name}_lift", "valve_lift", f"{title} valve lift", lobe.lift,
                  missing=_NOT_STATED)  # fmt: skip
    yield Written(f"{name}_lash", "valve_lash", f"{title} valve lash", lobe.lash,
                  missing=_NOT_STATED)  # fmt: skip
    if lobe.at_lift is not None:
        yield Written(f"{name}_at_lift", "valve_lift", f"{title} lift at which events were taken",
                      lobe.at_lift)  # fmt: skip
    else:
        yield Assumed(f"{name}_at_lift", "valve_lift", f"{title} lift at which events were taken",
                      0.0, "no checking lift recorded: counted from the seat")  # fmt: skip


def _timing(side: _Side) -> Iterator[Rule]:
    """Duration and centre line, each from what the card has, then the events."""
    name, title = side.name, side.name.capitalize()
    yield Derived(
        (Output(f"{name}_duration_events", "valve_duration", f"{title} duration", _first),
         Output(f"{name}_centre_line_events", "centre_line", f"{title} centre line", _second)),
        side.timing,
        {"opening": f"{name}_opening_stated", "closing": f"{name}_closing_stated"})  # fmt: skip
    yield first_of(f"{name}_duration", [f"{name}_duration_stated", f"{name}_duration_events"])
    own = [f"{name}_centre_line_{form}" for form in ("stated", "events", "card")]
    yield first_of(f"{name}_centre_line_own", own)
    yield Derived(
        (Output(f"{name}_centre_line_opposite", "centre_line", f"{title} centre line"),),
        valves.opposite_centre_line,
        {"lobe_separation": "lobe_separation_stated",
         "centre_line": f"{side.other}_centre_line_own"})  # fmt: skip
    yield first_of(
        f"{name}_centre_line", [f"{name}_centre_line_own", f"{name}_centre_line_opposite"]
    )
    yield from _events(side)


def _events(side: _Side) -> Iterator[Rule]:
    """Where the valve opens and closes at the checking lift, and how long from seat to seat."""
    name, title = side.name, side.name.capitalize()
    yield Derived(
        (Output(f"{name}_opening_card", "valve_event",
                f"{title} opens, before {side.opens_at}", _first),
         Output(f"{name}_closing_card", "valve_event",
                f"{title} closes, after {side.closes_at}", _second)),
        side.events,
        {"duration": f"{name}_duration", "centre_line": f"{name}_centre_line"})  # fmt: skip
    for event in ("opening", "closing"):
        yield first_of(f"{name}_{event}", [f"{name}_{event}_stated", f"{name}_{event}_card"])
    yield Derived(
        (Output(f"{name}_seat_duration", "valve_duration",
                f"{title} duration from seat to seat (0.15 mm of lift), estimated"),),
        valves.seat_duration,
        {"duration": f"{name}_duration", "checking_lift": f"{name}_at_lift",
         "lift": f"{name}_lift", "flank": "cam_flank"}, basis="estimated")  # fmt: skip


def _together() -> Iterator[Rule]:
    """What takes both sides, or the piston too."""
    lines = {
        "intake_centre_line": "intake_centre_line",
        "exhaust_centre_line": "exhaust_centre_line",
    }
    yield Derived(
        (Output("lobe_separation_lines", "lobe_separation"),), motion.lobe_separation, lines
    )
    yield first_of("lobe_separation", ["lobe_separation_stated", "lobe_separation_lines"])
    yield Derived((Output("cam_advance_lines", "cam_advance"),), valves.cam_advance, lines)
    yield first_of("cam_advance", ["cam_advance_stated", "cam_advance_lines"])
    yield Derived((Output("valve_overlap", "valve_overlap"),), motion.valve_overlap,
        {"intake_opening": "intake_opening", "exhaust_closing": "exhaust_closing"})  # fmt: skip
    yield Derived(
        (Output("effective_ratio", "compression_ratio",
                "Compression ratio from where the intake closes, at the card's checking lift"),),
        blueprint.effective_compression_ratio,
        {"compression_ratio": "built_ratio", "intake_closing": "intake_closing",
         "stroke": "built_stroke", "rod_length": "built_rod_length"})  # fmt: skip
    yield Derived(
        (Output("boosted_ratio", "compression_ratio",
                "Rough compression ratio with boost, a rule of thumb"),),
        blueprint.boosted_compression_ratio,
        {"compression_ratio": "built_ratio", "boost": "record_boost",
         "air_pressure": "record_air_pressure"}, basis="estimated")  # fmt: skip


def cam_of(build: Build, scope: Scope) -> Cam | None:
    """Collect the card's rows; None where there is no card."""
    written: WrittenCam | None = build.record.cam if build.record else None
    if written is None:
        return None
    overlap = scope["valve_overlap"]
    span = None
    if overlap.present and overlap.scalar > 0:
        span = (-scope["intake_opening"].scalar, scope["exhaust_closing"].scalar)
    curves = (_curve(side, scope) for side in reversed(_SIDES))
    return Cam(
        _lobe(_SIDES[0], scope),
        _lobe(_SIDES[1], scope),
        scope["lobe_separation"],
        scope["cam_advance"],
        overlap,
        span,
        scope["effective_ratio"],
        scope["boosted_ratio"],
        tuple(curve for curve in curves if curve is not None),
    )


def _lobe(side: _Side, scope: Scope) -> LobeRows:
    name, title = side.name, side.name.capitalize()
    opening, closing = scope[f"{name}_opening"], scope[f"{name}_closing"]
    return LobeRows(
        name,
        scope[f"{name}_duration"],
        scope[f"{name}_centre_line"],
        scope[f"{name}_at_lift"],
        scope[f"{name}_lift"],
        scope[f"{name}_lash"],
        Event(f"{title} opens", opening, side.opens_at, "before") if opening.present else None,
        Event(f"{title} closes", closing, side.closes_at, "after") if closing.present else None,
    )


def _curve(side: _Side, scope: Scope) -> LiftCurve | None:
    """Draw one whole lobe; None where the card does not say enough."""
    keys = ("duration", "centre_line", "lift", "opening", "closing", "at_lift")
    rows = tuple(scope[f"{side.name}_{key}"] for key in keys)
    if not all(row.present for row in rows):
        return None
    duration, line, lift, opening, closing, at_lift = (row.scalar for row in rows)
    try:
        whole = float(valves.lobe_duration(duration, at_lift, lift))
    except Unphysical:
        return None
    from_centre = np.linspace(-0.5 * whole, 0.5 * whole, _POINTS)
    heights = np.asarray(valves.valve_lift(from_centre, whole, lift))
    angles = from_centre + (line if side.name == "intake" else -line)
    angles.flags.writeable = heights.flags.writeable = False
    ends = (-opening, pi + closing) if side.name == "intake" else (-pi - opening, closing)
    return LiftCurve(side.name, angles, heights, *ends, at_lift, rows)
