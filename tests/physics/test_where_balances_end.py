"""A balance of blower and engine ends where no machine is: in air that melts it, at any ratio."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.physics.matching import (
    HOTTEST,
    OVERDRIVEN,
    OVERFED,
    Demand,
    Inlet,
    Supply,
    match,
    match_centrifugal,
)

INLET = Inlet(101325.0, 298.15)
#: Aluminium's freezing point, a fixed point of the International Temperature Scale of 1990 [°C].
ALUMINIUM = 660.323


def test_the_hottest_air_is_where_aluminium_melts() -> None:
    """660.323 °C by the International Temperature Scale of 1990 (Preston-Thomas, table 1)."""
    assert pytest.approx(ALUMINIUM + 273.15, abs=1e-6) == HOTTEST


def test_a_blower_that_only_churns_its_own_air_has_no_balance() -> None:
    """Seven litres on a sixth of a litre: all but a trickle leaks back, and the reason says so."""
    found = match(60.0, INLET, Demand(0.16e-3, 0.9), Supply(7e-3, 0.6, leak_area=2e-3))
    assert not found.solved[0]
    assert found.reason == OVERFED
    assert np.isnan(found.discharge_temperature[0])


@settings(max_examples=60, deadline=None)
@given(
    displacement=st.floats(0.1e-3, 10e-3),
    engine=st.floats(0.1e-3, 8e-3),
    leak=st.floats(0.0, 4e-4),
    ratio=st.floats(0.3, 5.0),
)
def test_no_balance_is_hotter(
    displacement: float, engine: float, leak: float, ratio: float
) -> None:
    """Whatever the sizes, a solved speed has air that a machine can bear; others say why."""
    supply = Supply(displacement, ratio, leak_area=leak)
    found = match(np.linspace(20.0, 120.0, 8), INLET, Demand(engine, 0.9), supply)
    assert np.all(found.discharge_temperature[found.solved] <= HOTTEST * (1 + 1e-12))
    assert np.all(np.isnan(found.discharge_temperature[~found.solved]))
    assert (found.reason is None) == bool(np.all(found.solved))


def test_an_impeller_driven_far_too_fast_has_no_balance() -> None:
    """At twice the speed of a ratio of 2.5 one stage would pass 6: refused there, solved below."""
    found = match_centrifugal(
        np.array([40.0, 120.0]), INLET, Demand(3e-3, 0.9), 2.5, 600.0, 0.7, 10.0
    )
    assert list(found.solved) == [True, False]
    assert found.reason == OVERDRIVEN
    for figures in (found.pressure_ratio, found.manifold_pressure, found.mass_flow):
        assert np.isfinite(figures[0])
        assert np.isnan(figures[1])
