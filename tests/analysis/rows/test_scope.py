"""Rules become rows: made once, absent with a reason, uncertain by the roots behind them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.analysis.rows.row import Row, point
from specgen.analysis.rows.scope import Derived, FirstOf, Made, Output, Rule, Scope
from specgen.analysis.rows.scope import given as derived
from specgen.physics import engine
from specgen.vocabulary import quantity


def root(key: str, quantity_key: str, value: float, uncertainty: float) -> Made:
    """A rule that gives one uncertain figure."""

    def rows(scope: Scope) -> dict[str, Row]:
        row = scope.present(key, quantity_key, value, spread={key: uncertainty})
        return {key: row}

    return Made((key,), rows)


def test_uncertainty_of_power_from_torque_and_speed() -> None:
    """Standard uncertainties of 1 % and 0.5 % give 1.118 % on power (computed, GUM first order)."""
    rules: list[Rule] = [
        root("torque", "torque", 500.0, 5.0),
        root("speed", "engine_speed", 100.0, 0.5),
        derived("power", "power", engine.power_from_torque, torque="torque", speed="speed"),
    ]
    row = Scope("test", rules, {})["power"]
    uncertainty = row.uncertainty
    assert isinstance(uncertainty, float)
    assert uncertainty / row.scalar == pytest.approx(0.01118, abs=5e-6)


@settings(max_examples=25, deadline=None)
@given(st.floats(50, 900), st.floats(20, 120), st.floats(0.001, 0.03), st.floats(0.001, 0.03))
def test_first_order_agrees_with_monte_carlo(
    torque: float, speed: float, torque_share: float, speed_share: float
) -> None:
    """Random draws of the inputs spread the result as the propagation says."""
    rules: list[Rule] = [
        root("torque", "torque", torque, torque * torque_share),
        root("speed", "engine_speed", speed, speed * speed_share),
        derived("power", "power", engine.power_from_torque, torque="torque", speed="speed"),
    ]
    row = Scope("test", rules, {})["power"]
    draws = np.random.default_rng(7)
    many = engine.power_from_torque(
        draws.normal(torque, torque * torque_share, 20000),
        draws.normal(speed, speed * speed_share, 20000),
    )
    assert row.uncertainty == pytest.approx(np.std(many), rel=0.03)


def test_two_figures_from_one_reading_stay_correlated() -> None:
    """Torque got back from power and speed has the torque's own uncertainty, not more."""
    rules: list[Rule] = [
        root("torque", "torque", 500.0, 5.0),
        root("speed", "engine_speed", 100.0, 2.0),
        derived("power", "power", engine.power_from_torque, torque="torque", speed="speed"),
        derived("again", "torque", engine.torque_from_power, power="power", speed="speed"),
    ]
    row = Scope("test", rules, {})["again"]
    assert row.uncertainty == pytest.approx(5.0, rel=1e-3)


def test_a_row_is_made_once() -> None:
    """Asking twice gives the same object, and the function ran once."""
    calls: list[float] = []

    def counted(torque: float) -> float:
        """Count.

        Equation:
            T = T

        Source:
            definition
        """
        calls.append(torque)
        return torque

    rules: list[Rule] = [
        Made(("torque",), lambda scope: {"torque": scope.present("torque", "torque", 5.0)}),
        Derived((Output("copy", "torque"),), counted, {"torque": "torque"}),
    ]
    scope = Scope("test", rules, {})
    assert scope["copy"] is scope["copy"]
    assert calls == [5.0]


def test_absence_is_handed_on_with_its_reason() -> None:
    """A figure whose input is missing says so in the input's words."""
    rules: list[Rule] = [
        Made(
            ("torque",), lambda scope: {"torque": scope.absent("torque", "torque", "", "no paper")}
        ),
        root("speed", "engine_speed", 100.0, 0.5),
        derived("power", "power", engine.power_from_torque, torque="torque", speed="speed"),
        FirstOf("shown", ("power", "speed")),
        FirstOf("none", ("power", "torque")),
    ]
    scope = Scope("test", rules, {})
    assert (scope["power"].present, scope["power"].reason) == (False, "no paper")
    assert scope["shown"] is scope["speed"]
    assert scope["none"].reason == "no paper"


def test_an_unphysical_input_gives_an_absent_row() -> None:
    """The physics' own sentence stands as the reason; nothing is raised."""
    rules: list[Rule] = [
        root("torque", "torque", 500.0, 0.0),
        root("volume", "swept_volume", -1.0, 0.0),
        derived(
            "pressure",
            "mean_pressure",
            engine.brake_mean_effective_pressure,
            torque="torque",
            swept_volume="volume",
        ),
    ]
    row = Scope("test", rules, {})["pressure"]
    assert not row.present
    assert "swept volume" in row.reason


def test_an_unknown_key_names_itself() -> None:
    """A rule that asks for a row nobody makes is a fault of the table, told by name."""
    with pytest.raises(KeyError, match="nothing-makes-this"):
        Scope("test", [], {})["nothing-makes-this"]


def test_one_call_over_speed_propagates_as_calls_in_turn_do() -> None:
    """The batched way over a speed range gives the spread of the plain way."""
    speeds = np.linspace(20.0, 110.0, 9)
    rules: list[Rule] = [
        Made(("speed",), lambda scope: {"speed": scope.present("speed", "engine_speed", speeds)}),
        root("torque", "torque", 500.0, 5.0),
        *(
            Derived(
                (Output(name, "power"),),
                engine.power_from_torque,
                {"torque": "torque", "speed": "speed"},
                over_speed=batched,
            )
            for name, batched in (("together", True), ("in turn", False))
        ),
    ]
    scope = Scope("test", rules, {})
    assert scope["together"].curve == pytest.approx(scope["in turn"].curve)
    assert scope["together"].uncertainty == pytest.approx(scope["in turn"].uncertainty)


def test_a_point_of_a_curve_lies_on_it_and_not_beyond() -> None:
    """Between two points the line is straight; beyond the ends there is nothing."""
    scope = Scope("test", [], {})
    speeds = scope.present("speed", "engine_speed", np.array([10.0, 20.0]))
    curve = scope.present(
        "boost", "boost", np.array([1e4, 3e4]), spread={"r": np.array([1e2, 3e2])}
    )
    inside = point(curve, speeds, scope.present("at", "engine_speed", 15.0), "here", "Here")
    assert (inside.scalar, inside.uncertainty) == (2e4, 2e2)
    beyond = point(curve, speeds, scope.present("at", "engine_speed", 25.0), "here", "Here")
    assert (beyond.present, beyond.reason) == (False, "outside the speeds of the curve")


def test_decimals_follow_the_uncertainty() -> None:
    """A figure is never printed finer than its expanded uncertainty supports."""
    power = quantity("power")
    assert power.text(301234.0, "metric", 6000.0) == "301\u202fkW"
    assert power.number(301234.0, "metric", 34000.0) == "300"
    assert power.margin(34000.0, "metric") == "30"
