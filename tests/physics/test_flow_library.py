"""Air through pipes, bends and openings against the general-purpose library `fluids`."""

from __future__ import annotations

from math import pi
from typing import Any

import fluids
import pytest
from fluids import flow_meter
from fluids.fittings import bend_rounded
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.physics import flow

quick = settings(max_examples=60, deadline=None)
bores = st.floats(0.03, 0.15)
flows = st.floats(0.02, 1.0)
densities = st.floats(0.8, 3.0)


@quick
@given(st.floats(230.0, 450.0))
def test_viscosity(temperature: float) -> None:
    """Viscosity of air is that of the library's atmosphere of 1976."""
    expected = fluids.atmosphere.ATMOSPHERE_1976.viscosity(temperature)
    assert flow.air_viscosity(temperature) == pytest.approx(expected, rel=1e-12)


@quick
@given(st.floats(4e3, 3e6), bores, st.floats(0.0, 2e-4))
def test_friction_factor(reynolds: float, bore: float, roughness: float) -> None:
    """Haaland's equation is the library's; Colebrook's lies within the 2.5 % that both differ."""
    found = flow.friction_factor(reynolds, roughness, bore)
    share = roughness / bore
    assert found == pytest.approx(fluids.friction.Haaland(reynolds, share), rel=1e-12)
    assert found == pytest.approx(fluids.friction.Colebrook(reynolds, share), rel=0.025)


@quick
@given(st.floats(100.0, 2299.0), bores)
def test_laminar_friction_factor(reynolds: float, bore: float) -> None:
    """Slow flow has the laminar factor, whatever the wall."""
    expected = fluids.friction.friction_laminar(reynolds)
    assert flow.friction_factor(reynolds, 1e-4, bore) == pytest.approx(expected, rel=1e-12)


@quick
@given(bores, st.floats(0.8, 6.0), st.floats(0.01, 0.04), st.integers(1, 5))
def test_bends(bore: float, tightness: float, friction: float, count: int) -> None:
    """Bends lose what the library's rounded bend does beyond friction along its middle."""
    radius = tightness * bore
    whole = bend_rounded(Di=bore, angle=90, fd=friction, rc=radius, method="Rennels")
    expected = count * (whole - friction * pi / 2 * tightness)
    found = flow.bend_loss_coefficient(radius, bore, friction, count)
    assert found == pytest.approx(expected, rel=1e-9)


@quick
@given(flows, densities, bores, st.floats(0.05, 3.0), st.floats(0.0, 2.0))
def test_pipe_from_flow_to_drop(
    mass_flow: float, density: float, bore: float, length: float, loss: float
) -> None:
    """The whole chain of a pipe is the library's one-phase drop, within Haaland's 2.5 %."""
    viscosity, roughness = 1.85e-5, 1.5e-6
    reynolds = flow.reynolds_number(mass_flow, bore, viscosity)
    friction = flow.friction_factor(reynolds, roughness, bore)
    found = flow.pipe_pressure_drop(mass_flow, density, bore, length, friction, loss)
    velocity = mass_flow / density / (pi / 4 * bore**2)
    library = fluids.one_phase_dP(mass_flow, density, viscosity, bore, roughness, length)
    library += fluids.dP_from_K(loss, density, velocity)
    assert found == pytest.approx(library, rel=0.025)


@quick
@given(st.floats(0.03, 0.1), st.floats(200.0, 3000.0), st.floats(0.7, 0.98))
def test_openings_are_nozzles_while_drops_are_small(
    bore: float, drop: float, coefficient: float
) -> None:
    """Up to 3 kPa an ISO 5167 nozzle with expansion of the gas lies within 4 % of it."""
    library: Any = flow_meter  # which is only typed in part
    pressure, density = 98e3, 1.17
    expansion = library.nozzle_expansibility(D=9.0, Do=bore, P1=pressure, P2=pressure - drop, k=1.4)
    mass_flow = library.flow_meter_discharge(
        D=9.0, Do=bore, P1=pressure, P2=pressure - drop, rho=density, C=coefficient,
        expansibility=expansion,
    )  # fmt: skip
    area = flow.bore_area(bore, 1.0)
    found = flow.opening_pressure_drop(mass_flow, density, area, coefficient)
    assert found == pytest.approx(drop, rel=0.04)
    assert found < drop
