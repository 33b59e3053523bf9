"""The table of rows that belong to one pull: what was read, what it becomes, what follows.

Three states of a figure are kept apart everywhere: as reported on the dyno's paper, observed
(what the dyno had already corrected is undone), and corrected to the archive's standard.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from specgen.analysis.rows.row import Row, Spread, State
from specgen.analysis.rows.scope import Derived, Made, Output, Rule, Scope, given, row_of
from specgen.analysis.tables.boost_control import leads_observed
from specgen.analysis.tables.cooler import MEASURED_COOLING
from specgen.analysis.tables.defaults import instrument
from specgen.analysis.tables.session import factor_key
from specgen.archive.model.build import Curve, Given, Pull
from specgen.physics import charge, correction, engine
from specgen.physics.correction import STANDARDS
from specgen.vocabulary import quantity

#: Columns a curve may have beside speed, torque and power: key, instrument that read it.
_CHANNELS = {
    "boost": "boost",
    "manifold_pressure": "boost",
    "air_fuel_ratio": None,
    "lambda": None,
    "intake_temperature": "temperature",
    "discharge_temperature": "temperature",
    "charge_temperature": "temperature",
    "coolant_temperature": "temperature",
    "blower_speed": "engine_speed",
    "inlet_pressure_drop": "boost",
    "fuel_mass_flow": None,
    "air_mass_flow": None,
    "ignition_advance": None,
}


def _pull(scope: Scope) -> Pull:
    pull = scope.subjects.pull
    assert pull is not None
    return pull


def _measured(scope: Scope, key: str, column: str, reads: str | None) -> Row:
    """A column of the curve file as a row; one root for the whole column: a dyno reads as one."""
    pull = _pull(scope)
    title = quantity(column).title
    curve = pull.curve
    if curve is None or column not in curve.columns:
        reason = f"{title.lower()} was not recorded over speed"
        return scope.absent(key, column, title, reason)
    values = curve.columns[column]
    spread, source = _spread(scope, pull, curve, column, reads)
    return Row(key, scope.name, title, quantity(column), "measured", values, spread,
               place=curve.place, text=curve.headers[column], source=source)  # fmt: skip


def _spread(
    scope: Scope, pull: Pull, curve: Curve, column: str, reads: str | None
) -> tuple[Spread, str]:
    if reads is None:
        return {}, ""
    values = curve.columns[column]
    largest = float(np.nanmax(np.abs(values))) if np.isfinite(values).any() else 0.0
    size, source = instrument(reads)(scope, largest)
    proportional = reads in ("power", "torque", "engine_speed") and largest > 0
    share = np.abs(values) / largest if proportional else 1.0
    return {f"{pull.id} {column}": np.asarray(size * share * np.ones_like(values))}, source


def _column(key: str, column: str, reads: str | None) -> Made:
    return Made((key,), lambda scope: {key: _measured(scope, key, column, reads)})


def _boost_curve(scope: Scope) -> Mapping[str, Row]:
    """Boost over speed: the column, or a recorded manifold pressure less the barometer.

    A recorded one has the air's own uncertainty in it too.
    """
    key = "boost_curve"
    column, whole = _measured(scope, key, "boost", "boost"), scope["manifold_pressure_curve"]
    if column.present or not whole.present:
        return {key: column}
    if not scope["station_pressure"].present:
        reason = (
            "manifold pressure was recorded, but the air pressure at the station was not: "
            f"{scope['station_pressure'].reason}"
        )
        return {key: scope.absent(key, "boost", column.title, reason)}
    return Derived(
        (Output(key, "boost", "Boost, by the manifold pressure and the barometer"),),
        charge.boost,
        {"manifold_pressure": "manifold_pressure_curve", "station_pressure": "station_pressure"},
        basis="measured",
    ).rows(scope)


def _identity(key: str, other: str, quantity_key: str, function: Callable[..., object]) -> Made:
    """Torque or power over speed: the column, or the other column through engine speed."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        column = _measured(scope, key, quantity_key, quantity_key)
        if column.present:
            return {key: column}
        source = _measured(scope, f"{other}_column", other, other)
        if not source.present:
            return {key: column}
        rule = Derived((Output(key, quantity_key),), function,
                       {other: f"{other}_column", "speed": "speed_curve"})  # fmt: skip
        return rule.rows(scope)

    return Made((key,), rows)


def _peak(key: str, curve: str, quantity_key: str, title: str) -> Made:
    """The largest value of a curve with its speed, or the peak that was written down."""

    def rows(scope: Scope) -> Mapping[str, Row]:
        whole = scope[curve]
        if whole.present and np.isfinite(whole.curve).any():
            return {key: _largest(scope, key, title, whole)}
        peaks = _pull(scope).peaks
        written = getattr(peaks, quantity_key, None)
        if isinstance(written, Given):
            row = row_of(scope, key, quantity_key, title, written, "measured")
            size, source = instrument(_READS[quantity_key])(scope, row.scalar)
            spread = {f"{_pull(scope).id} {quantity_key}": size}
            return {key: replace(row, spread=spread, source=source)}
        reason = f"{quantity(quantity_key).title.lower()} was not recorded"
        return {key: scope.absent(key, quantity_key, title, reason)}

    return Made((key,), rows)


_READS = {"power": "power", "torque": "torque", "boost": "boost",
          "charge_temperature": "temperature"}  # fmt: skip


def _largest(scope: Scope, key: str, title: str, whole: Row) -> Row:
    index = int(np.nanargmax(whole.curve))
    speeds = scope["speed_curve"]
    at = _taken(speeds, index, f"{key}_speed", f"{title}: engine speed")
    return replace(_taken(whole, index, key, title), at=at)


def _taken(whole: Row, index: int, key: str, title: str) -> Row:
    """One point of a curve, with the curve's spread there."""
    spread = {
        root: float(np.broadcast_to(part, whole.curve.shape)[index])
        for root, part in whole.spread.items()
    }
    return replace(whole, key=key, title=title, value=float(whole.curve[index]), spread=spread)


# ------------------------------------------------------------ reported, observed, corrected


def _reported_factor(scope: Scope) -> Mapping[str, Row]:
    """The factor that the figures on the paper already include."""
    key, title = "reported_factor", "Factor already in the reported figures"
    session = scope.subjects.session
    assert session is not None
    figures = session.figures
    row = Row(key, scope.name, title, quantity("correction_factor"), "stated", place=figures.place)
    if figures.state == "unknown":
        reason = "whether the reported figures were already corrected is unknown"
        return {key: scope.absent(key, "correction_factor", title, reason)}
    if figures.state == "observed" or figures.standard is None:
        return {key: replace(row, value=1.0, source="the figures are as observed")}
    if figures.factor is not None:
        printed = figures.factor
        return {key: replace(row, value=printed.value, text=printed.text, place=printed.place,
                             source="as the dyno printed it")}  # fmt: skip
    computed = scope[factor_key(figures.standard.value)]
    if not computed.present:
        reason = f"the dyno's factor is not recorded and cannot be recomputed: {computed.reason}"
        return {key: scope.absent(key, "correction_factor", title, reason)}
    return {key: replace(computed, key=key, scope=scope.name, title=title)}


def _observed(kind: str, suffix: str = "") -> Made:
    """What was read, the dyno's own correction undone."""
    key = f"observed_{kind}{suffix}"
    rule = Derived(
        (Output(key, kind, f"{quantity(kind).title}, observed"),),
        correction.observed_from_corrected,
        {"value": f"reported_{kind}{suffix}", "factor": "reported_factor"},
    )

    def rows(scope: Scope) -> Mapping[str, Row]:
        row = rule.rows(scope)[key]
        at = scope[f"reported_{kind}{suffix}"].at
        return {key: _standing(scope, row, "observed", at)}

    return Made((key,), rows)


def _corrected(kind: str, suffix: str = "") -> Made:
    """In the archive's standard air; a figure reported in that very standard stays as it is."""
    key = f"corrected_{kind}{suffix}"

    def rows(scope: Scope) -> Mapping[str, Row]:
        title = f"{quantity(kind).title}, corrected"
        session, settings = scope.subjects.session, scope.subjects.settings
        assert session is not None
        assert settings is not None
        standard = session.figures.standard
        if standard is not None and standard.value == settings.correction.value:
            reported = scope[f"reported_{kind}{suffix}"]
            return {key: replace(reported, key=key, title=title) if reported.present else reported}
        rule = Derived(
            (Output(key, kind, title),),
            correction.corrected,
            {"value": f"observed_{kind}{suffix}", "factor": "correction_factor"},
        )
        return rule.rows(scope)

    return Made((key,), rows)


def _shown(kind: str, suffix: str = "") -> Made:
    """The figure a page leads with: corrected, else observed, else as reported; and which.

    Where a control holds an absolute pressure a correction may count twice: observed leads.
    """
    key = f"{kind}{suffix}"

    def rows(scope: Scope) -> Mapping[str, Row]:
        reported = scope[f"reported_{kind}{suffix}"]
        for state in _OBSERVED_FIRST if leads_observed(scope) else _CORRECTED_FIRST:
            row = scope[f"{state}_{kind}{suffix}"]
            if row.present:
                return {key: _standing(scope, row, state, reported.at)}
        return {key: reported}

    return Made((key,), rows)


#: Which of a pull's figures a page leads with, if it is there.
_CORRECTED_FIRST: tuple[State, ...] = ("corrected", "observed", "reported")
_OBSERVED_FIRST: tuple[State, ...] = ("observed", "corrected", "reported")


def _standing(scope: Scope, row: Row, state: State, at: Row | None) -> Row:
    """A row that says how it stands, with the speed of what was reported."""
    return replace(row, state=state, standing=standing(scope, state), at=at)


def standing(scope: Scope, state: State) -> str:
    """What a figure is, in the words that stand beneath it."""
    session, settings = scope.subjects.session, scope.subjects.settings
    assert session is not None
    assert settings is not None
    if state == "corrected":
        return f"corrected, {STANDARDS[settings.correction.value].title}"
    if state == "observed":
        return "observed"
    figures = session.figures
    if figures.standard is not None:
        return f"as reported, corrected to {STANDARDS[figures.standard.value].title} by the dyno"
    return "as reported, correction unknown"


PULL: tuple[Rule, ...] = (
    _column("speed_curve", "engine_speed", "engine_speed"),
    _column("torque_column", "torque", "torque"),
    _column("power_column", "power", "power"),
    _identity("reported_power_curve", "torque", "power", engine.power_from_torque),
    _identity("reported_torque_curve", "power", "torque", engine.torque_from_power),
    _peak("reported_power", "reported_power_curve", "power", "Power, as reported"),
    _peak("reported_torque", "reported_torque_curve", "torque", "Torque, as reported"),
    Made(("reported_factor",), _reported_factor),
    *(
        rule
        for kind in ("power", "torque")
        for suffix in ("_curve", "")
        for rule in (_observed(kind, suffix), _corrected(kind, suffix), _shown(kind, suffix))
    ),
    *(_column(f"{key}_curve", key, reads) for key, reads in _CHANNELS.items() if key != "boost"),
    Made(("boost_curve",), _boost_curve),
    _peak("boost", "boost_curve", "boost", "Boost, highest"),
    _peak(
        "charge_temperature",
        "charge_temperature_curve",
        "charge_temperature",
        "Charge temperature, highest",
    ),
    _peak("blower_speed", "blower_speed_curve", "blower_speed", "Blower speed, highest measured"),
    given(
        "mean_pressure",
        "mean_pressure",
        engine.brake_mean_effective_pressure,
        torque="torque",
        swept_volume="swept_volume",
    ),
    given(
        "specific_power",
        "specific_power",
        engine.specific_power,
        power="power",
        swept_volume="swept_volume",
    ),
    Made(("power_speed",), lambda scope: {"power_speed": _at(scope, "power")}),
    *MEASURED_COOLING,
    Derived(
        (Output("piston_speed_at_power", "piston_speed", "Mean piston speed at peak power"),),
        engine.mean_piston_speed,
        {"stroke": "stroke", "speed": "power_speed"},
    ),
    Made(("fuel_flow_at_power",), lambda scope: {"fuel_flow_at_power": _fuel_at_power(scope)}),
    given(
        "fuel_consumption",
        "fuel_consumption",
        engine.brake_specific_fuel_consumption,
        fuel_mass_flow="fuel_flow_at_power",
        power="observed_power",
    ),
    given(
        "thermal_efficiency",
        "thermal_efficiency",
        engine.brake_thermal_efficiency,
        power="observed_power",
        fuel_mass_flow="fuel_flow_at_power",
        heating_value="heating_value",
    ),
)


def _at(scope: Scope, kind: str) -> Row:
    row = scope[kind]
    title = f"Engine speed at peak {kind}"
    if row.at is None:
        reason = row.reason or f"the speed of the {kind} peak was not recorded"
        return scope.absent(f"{kind}_speed", "engine_speed", title, reason)
    return replace(row.at, key=f"{kind}_speed", title=title)


def _fuel_at_power(scope: Scope) -> Row:
    flow, power = scope["fuel_mass_flow_curve"], scope["power_curve"]
    title = "Fuel mass flow at peak power"
    if not (flow.present and power.present):
        return scope.absent("fuel_flow_at_power", "fuel_mass_flow", title, flow.reason)
    index = int(np.nanargmax(power.curve))
    return _taken(flow, index, "fuel_flow_at_power", title)
