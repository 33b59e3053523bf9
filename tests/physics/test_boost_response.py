"""How breathing goes with boost inside the balance."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.physics._domain import Real
from specgen.physics.breathing import air_mass_flow, boosted_volumetric_efficiency
from specgen.physics.matching import (
    Cooler,
    Demand,
    Inlet,
    Match,
    Supply,
    match,
    match_centrifugal,
    match_without_blower,
)

SPEEDS = np.linspace(30.0, 110.0, 9)
INLET = Inlet(100e3, 298.15)
LOSSY = Inlet(100e3, 298.15, 6e4)
COOLER = Cooler(0.7, 300.0, 4e4)


def published_flow(found: Match) -> Real:
    """Give the flow that Rajput's Ex 7.9 form gives at the balance's own pressure and heat."""
    breathing = boosted_volumetric_efficiency(
        0.9, 9.0, 100e3, found.manifold_pressure, 100e3, 298.15, found.charge_temperature
    )
    density = found.manifold_pressure / (INLET.gas_constant * found.charge_temperature)
    return air_mass_flow(breathing, density, 3e-3, SPEEDS)


@pytest.mark.parametrize("inlet", [INLET, LOSSY], ids=["free", "lossy"])
@pytest.mark.parametrize("cooler", [None, COOLER], ids=["uncooled", "cooled"])
def test_losses_count_in_breathing(inlet: Inlet, cooler: Cooler | None) -> None:
    """Behind a lossy inlet and cooler it is the manifold's own pressure that counts."""
    engine = Demand(3e-3, 0.9, compression_ratio=9.0)
    displacing = match(SPEEDS, inlet, engine, Supply(1.2e-3, 1.9, 0.95, 6e-5), cooler)
    assert displacing.solved.all()
    assert displacing.mass_flow == pytest.approx(published_flow(displacing), rel=1e-10)
    turning = match_centrifugal(SPEEDS, inlet, engine, 1.8, 900.0, 0.7, 8.0, 0.9, cooler)
    assert turning.mass_flow == pytest.approx(published_flow(turning), rel=1e-10)
    natural = match_without_blower(SPEEDS, inlet, engine)
    assert natural.mass_flow == pytest.approx(published_flow(natural), rel=1e-10)


def test_the_balance_breathes_as_the_published_formula_says() -> None:
    """Flow out of the balance is what Rajput's Ex 7.9 form gives at its own pressure and heat."""
    engine = Demand(3e-3, 0.9, compression_ratio=9.0)
    found = match(SPEEDS, INLET, engine, Supply(1.6e-3, 1.9, 0.95, 6e-5), Cooler(0.7, 300.0))
    breathing = boosted_volumetric_efficiency(
        0.9, 9.0, 100e3, found.manifold_pressure, 100e3, 298.15, found.charge_temperature
    )
    density = found.manifold_pressure / (INLET.gas_constant * found.charge_temperature)
    assert found.mass_flow == pytest.approx(air_mass_flow(breathing, density, 3e-3, SPEEDS))


def test_the_centrifugal_balance_breathes_the_same_way() -> None:
    """The same, where the pressure ratio comes from the blower's speed alone."""
    engine = Demand(3e-3, 0.9, compression_ratio=9.0)
    found = match_centrifugal(SPEEDS, INLET, engine, 1.8, 900.0, 0.7, 8.0)
    breathing = boosted_volumetric_efficiency(
        0.9, 9.0, 100e3, found.manifold_pressure, 100e3, 298.15, found.charge_temperature
    )
    density = found.manifold_pressure / (INLET.gas_constant * found.charge_temperature)
    assert found.mass_flow == pytest.approx(air_mass_flow(breathing, density, 3e-3, SPEEDS))


def test_boost_is_lower_where_breathing_gains_from_it() -> None:
    """An engine that breathes better under boost swallows more, so that boost rises less."""
    blower = Supply(1.6e-3, 1.9, 0.95, 6e-5)
    without = match(SPEEDS, INLET, Demand(3e-3, 0.9), blower)
    with_it = match(SPEEDS, INLET, Demand(3e-3, 0.9, 9.0), blower)
    assert (with_it.manifold_pressure < without.manifold_pressure).all()
    assert (with_it.mass_flow > without.mass_flow).all()


def test_without_a_compression_ratio_nothing_changes() -> None:
    """The response is one; below a ratio of one there is no engine."""
    assert Demand(3e-3, 0.9).response(np.array([2.0]), np.array([1.2])) == 1.0
    with pytest.raises(ValueError, match="compression ratio"):
        Demand(3e-3, 0.9, compression_ratio=1.0)


def test_a_charge_that_picks_up_heat_all_the_same_leaves_the_residual_gas_alone() -> None:
    """With an exponent of nothing only Rajput's part for the residual gas is left; 0.5 is his."""
    pressure, temperature = np.array([1.4, 2.0]), np.array([1.1, 1.3])
    alone = Demand(3e-3, 0.9, 9.0, 0.0).response(pressure, temperature)
    published = [
        boosted_volumetric_efficiency(1.0, 9.0, 100e3, 100e3 * p, 100e3, 300.0, 300.0)
        for p in pressure
    ]
    assert alone == pytest.approx(published)
    usual = Demand(3e-3, 0.9, 9.0).response(pressure, temperature)
    assert usual == pytest.approx(published * np.sqrt(temperature))
