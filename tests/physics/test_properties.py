"""What must hold for any build: limits, directions, and that arrays and floats agree."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specgen.physics import air, blower, blueprint, compression, correction, engine, fuel, pulley
from specgen.physics.matching import Cooler, Demand, Inlet, Supply, match, match_centrifugal

quick = settings(max_examples=40, deadline=None)

pressures = st.floats(70e3, 108e3)
temperatures = st.floats(263.0, 318.0)
humidities = st.floats(0.0, 1.0)
displacements = st.floats(0.5e-3, 4e-3)
leak_areas = st.floats(1e-6, 2e-4)
rises = st.floats(1e3, 150e3)
rotor_speeds = st.floats(30.0, 300.0)


@quick
@given(displacements, leak_areas, rotor_speeds, st.floats(0.85, 1.0))
def test_leakage_vanishes_as_pressures_meet(
    displacement: float, leak_area: float, speed: float, limit: float
) -> None:
    """The volumetric efficiency goes to its limit as the pressure ratio goes to one."""
    slip = blower.slip_speed(leak_area, displacement, 1e-9, 1.2)
    assert blower.volumetric_efficiency(limit, slip, speed) == pytest.approx(limit, abs=1e-6)


@quick
@given(displacements, leak_areas, rises)
def test_lost_speed_is_the_same_at_every_speed(
    displacement: float, leak_area: float, rise: float
) -> None:
    """n_b (eta_0 - eta_v) does not depend on the speed for one pressure rise."""
    speeds = np.array([40.0, 90.0, 160.0, 290.0])
    slip = blower.slip_speed(leak_area, displacement, rise, 1.15)
    lost = speeds * (0.97 - np.asarray(blower.volumetric_efficiency(0.97, slip, speeds)))
    assert lost == pytest.approx(np.full(4, float(slip)), rel=1e-9)


@quick
@given(displacements, leak_areas, rises)
def test_double_rise_leaks_root_two(displacement: float, leak_area: float, rise: float) -> None:
    """Twice the pressure rise multiplies the slip speed by the root of two."""
    once = blower.slip_speed(leak_area, displacement, rise, 1.15)
    twice = blower.slip_speed(leak_area, displacement, 2.0 * rise, 1.15)
    assert float(twice) == pytest.approx(float(once) * 2.0**0.5, rel=1e-12)


@quick
@given(displacements, leak_areas, rises, rotor_speeds)
def test_efficiency_rises_with_speed_and_falls_with_pressure(
    displacement: float, leak_area: float, rise: float, speed: float
) -> None:
    """More speed, better efficiency; more pressure, worse."""

    def efficiency(dp: float, n: float) -> float:
        slip = blower.slip_speed(leak_area, displacement, dp, 1.15)
        return float(blower.volumetric_efficiency(0.97, slip, n))

    assert efficiency(rise, 1.1 * speed) > efficiency(rise, speed)
    assert efficiency(1.1 * rise, speed) < efficiency(rise, speed)


@quick
@given(st.floats(1.0, 3.5), st.floats(1.0, 2.0))
def test_no_machine_beats_isentropic_work(ratio: float, built_in: float) -> None:
    """A leak-free machine takes at least isentropic work; a matched built-in ratio just that."""
    assert float(compression.displacement_efficiency(ratio, built_in)) <= 1.0 + 1e-9
    matched = ratio ** (1.0 / air.KAPPA)
    assert compression.displacement_efficiency(ratio, matched) == pytest.approx(1.0, abs=1e-6)


@quick
@given(st.floats(1.05, 3.0), st.floats(0.4, 1.0), temperatures)
def test_temperature_efficiency_undoes_discharge_temperature(
    ratio: float, efficiency: float, temperature: float
) -> None:
    """What goes into the discharge temperature comes back out of it."""
    hot = compression.discharge_temperature(temperature, ratio, efficiency)
    found = compression.temperature_efficiency(temperature, hot, ratio)
    assert float(found) == pytest.approx(efficiency, rel=1e-9)


blowers = st.builds(
    Supply,
    displacement=st.floats(0.8e-3, 1.3e-3),  # uncooled, more has no balance below PR 6
    speed_ratio=st.floats(1.4, 2.2),
    limit_efficiency=st.floats(0.9, 1.0),
    leak_area=st.floats(0.0, 1e-4),
    built_in_ratio=st.floats(1.0, 1.4),
    mechanical_efficiency=st.floats(0.8, 1.0),
)
inlets = st.builds(
    Inlet, pressure=pressures, temperature=temperatures, loss_coefficient=st.floats(0.0, 1e5)
)
coolers = st.none() | st.builds(
    Cooler,
    effectiveness=st.floats(0.0, 0.95),
    coolant_temperature=st.floats(280.0, 330.0),
    loss_coefficient=st.floats(0.0, 5e4),
)
SPEEDS = np.linspace(25.0, 110.0, 12)
ENGINE = Demand(3e-3, 0.88)


def more(supply: Supply, **changed: Any) -> Supply:
    """Give the same blower with something changed."""
    values = {name: getattr(supply, name) for name in Supply.__dataclass_fields__}
    return Supply(**{**values, **changed})


@quick
@given(inlets, blowers, coolers)
def test_delivery_equals_demand(inlet: Inlet, supply: Supply, cooler: Cooler | None) -> None:
    """The balance closes: blower flow, engine flow, both losses and the heat, at every speed."""
    found = match(SPEEDS, inlet, ENGINE, supply, cooler)
    assert found.solved.all()
    assert found.reason is None
    gas = inlet.gas_constant
    delivered = (
        supply.displacement * supply.speed_ratio * SPEEDS * found.blower_volumetric_efficiency
    ) * (found.inlet_pressure / (gas * inlet.temperature))
    density = found.manifold_pressure / (gas * found.charge_temperature)
    swallowed = engine.air_mass_flow(0.88, density, 3e-3, SPEEDS)
    assert delivered == pytest.approx(found.mass_flow, rel=1e-10)
    assert np.asarray(swallowed) == pytest.approx(found.mass_flow, rel=1e-10)
    ambient = inlet.pressure / (gas * inlet.temperature)
    lost = inlet.loss_coefficient * found.mass_flow**2 / ambient
    assert found.inlet_pressure + lost == pytest.approx(np.full(12, inlet.pressure), rel=1e-10)
    # The rotors' power, drive losses apart, is all in the air's heat.
    heat = found.mass_flow * inlet.specific_heat * (found.discharge_temperature - inlet.temperature)
    boosted = found.pressure_ratio > 1.0
    rotors = found.drive_power * supply.mechanical_efficiency
    assert rotors[boosted] == pytest.approx(heat[boosted], rel=1e-9, abs=1e-6)


@quick
@given(inlets, blowers, coolers)
def test_boost_rises_with_ratio_and_falls_with_inlet_loss(
    inlet: Inlet, supply: Supply, cooler: Cooler | None
) -> None:
    """A faster blower gives more pressure; a choked inlet or a leak takes some away."""
    base = match(SPEEDS, inlet, ENGINE, supply, cooler)
    faster = match(
        SPEEDS, inlet, ENGINE, more(supply, speed_ratio=1.05 * supply.speed_ratio), cooler
    )
    choked = Inlet(inlet.pressure, inlet.temperature, inlet.loss_coefficient + 2e4)
    throttled = match(SPEEDS, choked, ENGINE, supply, cooler)
    assert (faster.pressure_ratio > base.pressure_ratio).all()
    assert (throttled.manifold_pressure < base.manifold_pressure).all()
    boosted = base.pressure_ratio > 1.001
    leaking = match(SPEEDS, inlet, ENGINE, more(supply, leak_area=supply.leak_area + 2e-5), cooler)
    assert (leaking.pressure_ratio < base.pressure_ratio)[boosted].all()


@quick
@given(inlets, blowers)
def test_pressure_ratio_ignores_the_inlet_loss(inlet: Inlet, supply: Supply) -> None:
    """The blower's own pressure ratio is the same behind any filter; the solver rests on it."""
    free = Inlet(inlet.pressure, inlet.temperature)
    found = match(SPEEDS, inlet, ENGINE, supply).pressure_ratio
    assert found == pytest.approx(match(SPEEDS, free, ENGINE, supply).pressure_ratio, rel=1e-12)


@quick
@given(st.floats(0.6e-3, 3e-3), st.floats(1.2, 2.6), st.floats(0.0, 1.0), temperatures)
def test_closed_form_of_the_leak_free_roots(
    displacement: float, ratio: float, effectiveness: float, temperature: float
) -> None:
    """PR = X (1 - k) / (1 - X k) with k = (R / cp)(1 - effectiveness), where it has a solution."""
    factor = displacement * ratio / (0.88 * 3e-3 / 2.0)
    k = air.R_AIR / air.CP_AIR * (1.0 - effectiveness)
    closed = factor * (1.0 - k) / (1.0 - factor * k) if factor * k < 1.0 else np.inf
    cooler = Cooler(effectiveness, temperature)
    found = match(60.0, Inlet(1e5, temperature), ENGINE, Supply(displacement, ratio), cooler)
    if 0.21 < closed < 5.9:
        assert float(found.pressure_ratio[0]) == pytest.approx(closed, rel=1e-9)
    elif closed > 6.1:
        assert not found.solved.any()
        assert found.reason is not None
        assert "delivers more" in found.reason


def test_a_blower_too_small_gives_less_than_ambient() -> None:
    """A blower that throttles the engine has a ratio below one and is driven by the air."""
    found = match(60.0, Inlet(1e5, 300.0), ENGINE, Supply(0.5e-3, 1.5))
    assert found.solved.all()
    assert float(found.pressure_ratio[0]) < 1.0
    assert float(found.drive_power[0]) < 0.0
    assert float(found.discharge_temperature[0]) < 300.0


def test_far_too_small_a_blower_is_said_so() -> None:
    """Below the lowest pressure ratio there is no balance, and the words say why."""
    found = match(SPEEDS, Inlet(1e5, 300.0), ENGINE, Supply(0.1e-3, 1.0))
    assert not found.solved.any()
    assert np.isnan(found.manifold_pressure).all()
    assert found.reason is not None
    assert "swallows more" in found.reason


def test_speeds_without_a_balance_do_not_spoil_the_others() -> None:
    """Where an engine breathes too badly for the blower, only those speeds are left open."""
    breathing = np.where(SPEEDS < 40.0, 0.15, 0.88)
    found = match(SPEEDS, Inlet(1e5, 300.0), Demand(3e-3, breathing), Supply(1.3e-3, 2.2))
    assert found.solved.tolist() == (SPEEDS >= 40.0).tolist()
    assert np.isfinite(found.mass_flow).tolist() == found.solved.tolist()


def test_one_speed_at_a_time_gives_the_same() -> None:
    """Solving a range and solving its speeds one by one agree."""
    supply, cooler = Supply(1.3e-3, 2.2, 0.97, 6e-5, 1.2, 0.9), Cooler(0.7, 310.0, 2e4)
    inlet = Inlet(99e3, 300.0, 3e4)
    together = match(SPEEDS, inlet, ENGINE, supply, cooler).manifold_pressure
    single = [match(float(n), inlet, ENGINE, supply, cooler).manifold_pressure[0] for n in SPEEDS]
    assert together == pytest.approx(np.array(single), rel=1e-12)


def test_many_cases_at_once_are_the_cases_one_by_one() -> None:
    """Repeated speeds with a parameter for each give what separate calls give."""
    ratios, leaks = np.array([1.6, 2.0, 2.4]), np.array([0.0, 4e-5, 9e-5])
    inlet, cooler = Inlet(np.array([97e3, 99e3, 1e5]), 300.0, 3e4), Cooler(0.7, 310.0, 2e4)
    together = match(
        np.full(3, 80.0), inlet, ENGINE, Supply(1.3e-3, ratios, 0.97, leaks), cooler
    ).manifold_pressure
    for row, pressure in enumerate((97e3, 99e3, 1e5)):
        supply = Supply(1.3e-3, float(ratios[row]), 0.97, float(leaks[row]))
        single = match(80.0, Inlet(pressure, 300.0, 3e4), ENGINE, supply, cooler)
        assert together[row] == pytest.approx(float(single.manifold_pressure[0]), rel=1e-12)


@quick
@given(st.floats(1.2, 2.5), st.floats(0.0, 0.9), st.floats(0.0, 1e5))
def test_centrifugal_boost_rises_with_speed(ratio: float, eps: float, loss: float) -> None:
    """Pressure ratio, flow and drive power rise with speed; mass and heat balance close."""
    inlet, cooler = Inlet(1e5, 298.0, 2e4), Cooler(eps, 300.0, loss)
    found = match_centrifugal(SPEEDS, inlet, ENGINE, ratio, 800.0, 0.72, 8.0, 0.95, cooler)
    for rising in (found.pressure_ratio, found.mass_flow, found.drive_power):
        assert (np.diff(rising) > 0.0).all()
    density = found.manifold_pressure / (inlet.gas_constant * found.charge_temperature)
    swallowed = engine.air_mass_flow(0.88, density, 3e-3, SPEEDS)
    assert np.asarray(swallowed) == pytest.approx(found.mass_flow, rel=1e-10)


@quick
@given(pressures, temperatures, humidities)
def test_humid_air_is_lighter(pressure: float, temperature: float, humidity: float) -> None:
    """Moisture never makes air denser, and dry and vapour pressure add up."""
    dry = float(air.dry_pressure(pressure, temperature, humidity))
    vapour = float(air.vapour_pressure(temperature, humidity))
    assert dry + vapour == pytest.approx(pressure, rel=1e-12)
    moist = float(air.humid_air_density(pressure, temperature, humidity))
    assert moist <= float(air.dry_air_density(pressure, temperature)) * (1.0 + 1e-12)


@quick
@given(pressures, temperatures, humidities)
def test_correction_goes_and_comes_back(
    pressure: float, temperature: float, humidity: float
) -> None:
    """Each standard's correction can be undone, and thinner or hotter air raises its factor."""
    for key in correction.STANDARDS:
        factor = float(correction.correction_factor(key, pressure, temperature, humidity))
        there = correction.corrected(300e3, factor)
        assert correction.observed_from_corrected(there, factor) == pytest.approx(300e3)
        thinner = correction.correction_factor(key, 0.99 * pressure, temperature, humidity)
        hotter = correction.correction_factor(key, pressure, temperature + 1.0, humidity)
        assert float(thinner) > factor
        assert float(hotter) > factor


@quick
@given(st.floats(-400.0, 4000.0), st.floats(95e3, 105e3))
def test_station_pressure_falls_with_height(elevation: float, sea_level: float) -> None:
    """A station lies lower in pressure the higher it stands; at sea level nothing changes."""
    station = float(air.station_pressure(sea_level, elevation))
    assert (station < sea_level) == (elevation > 0.0) or abs(elevation) < 1e-6
    assert float(air.station_pressure(sea_level, 0.0)) == pytest.approx(sea_level, rel=1e-12)


@quick
@given(st.floats(-4000.0, 10000.0))
def test_density_altitude_of_the_standard_atmosphere_is_the_height(height: float) -> None:
    """In standard air the density altitude is where one stands."""
    density = air.dry_air_density(air.standard_pressure(height), air.standard_temperature(height))
    assert float(air.density_altitude(density)) == pytest.approx(height, abs=1e-6)


@quick
@given(st.floats(0.1, 0.25), st.floats(0.045, 0.12), st.floats(40.0, 130.0), st.floats(1.0, 4.0))
def test_wanted_pulley_gives_the_wanted_speed(
    crank: float, small: float, speed: float, internal: float
) -> None:
    """The pulley found for a speed turns the blower at that speed."""
    wanted = pulley.blower_speed(speed, pulley.pitch_ratio(crank, small), internal)
    found = pulley.pulley_for_speed(crank, speed, wanted, internal)
    assert float(found) == pytest.approx(small, rel=1e-9)


@quick
@given(st.floats(5.0, 14.0), st.floats(2e-4, 1e-3))
def test_clearance_and_ratio_go_together(ratio: float, swept: float) -> None:
    """The clearance volume of a ratio gives the ratio back."""
    clearance = blueprint.clearance_volume(swept, ratio)
    assert float(blueprint.compression_ratio(swept, clearance)) == pytest.approx(ratio)


@quick
@given(st.floats(3.0, 6.0), st.floats(1.4, 2.4))
def test_both_forms_of_a_cam_card_agree(duration: float, centre_line: float) -> None:
    """Duration and centre line give events that give them back, for intake and exhaust."""
    card = (duration, centre_line)
    intake = blueprint.intake_timing(*blueprint.intake_events(*card))
    exhaust = blueprint.exhaust_timing(*blueprint.exhaust_events(*card))
    assert tuple(intake) == pytest.approx(card)
    assert tuple(exhaust) == pytest.approx(card)


@quick
@given(st.floats(0.05, 0.12), st.floats(1.3, 2.2))
def test_piston_stays_within_its_stroke(stroke: float, rod_ratio: float) -> None:
    """The piston goes from zero to the stroke and no further; the peak acceleration is its peak."""
    angles = np.linspace(0.0, 2.0 * np.pi, 361)
    rod = rod_ratio * stroke
    way = np.asarray(blueprint.piston_position(angles, stroke, rod))
    assert way.min() >= -1e-12
    assert way[180] == pytest.approx(stroke, rel=1e-9)
    assert way.max() <= stroke * (1.0 + 1e-9)
    force = np.abs(np.asarray(blueprint.piston_acceleration(angles, stroke, rod, 100.0)))
    peak = float(blueprint.peak_piston_acceleration(stroke, rod, 100.0))
    assert force.max() == pytest.approx(peak, rel=1e-9)


@quick
@given(st.floats(0.0, 1.0))
def test_blends_lie_between_their_components(share: float) -> None:
    """Every figure of a blend lies between those of its components."""
    mixed = fuel.blend({"ethanol": share, "petrol": 1.0 - share})
    for figure in ("density", "heating_value", "stoichiometric_ratio", "latent_heat"):
        ends = [getattr(fuel.COMPONENTS[name], figure) for name in ("ethanol", "petrol")]
        assert min(ends) * (1 - 1e-12) <= getattr(mixed, figure) <= max(ends) * (1 + 1e-12)


def test_torque_and_power_undo_each_other() -> None:
    """Power from torque gives the torque back."""
    power = engine.power_from_torque(512.0, 4300 / 60)
    assert float(engine.torque_from_power(power, 4300 / 60)) == pytest.approx(512.0)
