"""Worked examples of textbooks and regulations that take several functions in a row.

The textbooks were seen through open companions that restate inputs and answers; each answer was
recomputed. They take air as 287 J/(kg K), 1005 J/(kg K) and an exponent of 1.4.
"""

from __future__ import annotations

from math import pi

import pytest

from specgen.physics import air, belt, blends, blower, charge, compression, correction, engine
from specgen.physics.matching import Demand, Inlet, Supply, match

BOOK_GAS_CONSTANT = 287.0


def unboosted_and_boosted_gain(
    swept: float,
    speed: float,
    work_per_free_air: float,
    ambient_temperature: float,
    ratio: float,
) -> tuple[float, float, float, float]:
    """Follow the books' method; give discharge temperature, air flow, drive power and net gain."""
    ambient = 1.013e5
    swept_rate = swept * speed / 2.0
    hot = float(compression.discharge_temperature(ambient_temperature, ratio, 0.75))
    free_air = swept_rate * ratio * ambient_temperature / hot
    indicated = work_per_free_air * 60.0 * (free_air - 0.80 * swept_rate)
    pumping = float(engine.power_from_mean_pressure(ambient * (ratio - 1.0), swept, speed))
    density = ratio * ambient / (BOOK_GAS_CONSTANT * hot)
    flow = float(engine.air_mass_flow(1.0, density, swept, speed))
    drive = flow * air.CP_AIR * (hot - ambient_temperature) / 0.80
    return hot, flow, drive, 0.80 * (indicated + pumping) - drive


def test_ramalingam_engine_with_blower() -> None:
    """3.3 L at 3500 rpm, ratio 1.75: Ramalingam, Thermal Engineering, Ex 28 (RESTATED)."""
    hot, flow, drive, gain = unboosted_and_boosted_gain(3.3e-3, 3500 / 60, 13e3, 298.0, 1.75)
    assert hot == pytest.approx(366.89, abs=0.005)
    assert flow == pytest.approx(0.1620, abs=5e-5)
    assert drive == pytest.approx(14.024e3, abs=0.6)
    assert gain == pytest.approx(29.15e3, abs=6.0)


def test_mathur_engine_with_blower() -> None:
    """3.0 L at 3500 rpm, ratio 1.7: Mathur and Sharma, Ex 17.1 (RESTATED; the book rounds T2)."""
    hot, _, drive, gain = unboosted_and_boosted_gain(3.0e-3, 3500 / 60, 14e3, 300.0, 1.7)
    assert hot == pytest.approx(365.48, abs=0.005)
    assert drive == pytest.approx(11.817e3, abs=0.6)
    assert gain == pytest.approx(28.16e3, abs=6.0)


def test_rajput_power_after_boosting() -> None:
    """75 kW becomes 102.11 kW: Rajput, Internal Combustion Engines, Ex 7.9 (RESTATED)."""
    breathing = float(
        engine.boosted_volumetric_efficiency(0.81, 7.5, 1.01e5, 1.38e5, 1.01e5, 300.0, 321.0)
    )
    before = 0.81 * float(air.dry_air_density(1.01e5, 300.0))
    after = breathing * float(air.dry_air_density(1.38e5, 321.0))
    assert 75.0 * after / before == pytest.approx(102.11, abs=0.005)


def test_rajput_charge_cooler() -> None:
    """The blower's drive is the engine's whole output: Rajput, Ex 16.5 (RESTATED).

    The engine drives only the blower, so the work on the air is the brake power; part of the air
    is drawn off and the cooler rejects 1210 kJ/min.
    """
    swept, speed = float(engine.swept_volume(0.1, 0.11, 6)), 2000 / 60
    brake_pressure = float(engine.brake_mean_effective_pressure(150.0, swept))
    assert brake_pressure / 0.80 == pytest.approx(4.5455e5, abs=5.0)
    density = 1.75e5 / (BOOK_GAS_CONSTANT * 338.0)
    swallowed = float(engine.air_mass_flow(0.72, density, swept, speed))
    assert swallowed * 60.0 == pytest.approx(6.733, abs=6e-4)
    power = float(engine.power_from_torque(150.0, speed))
    # Heating by the drive less cooling brings the air from 298 to 338 K.
    flow = (power - 1210e3 / 60.0) / (air.CP_AIR * (338.0 - 298.0))
    assert flow * 60.0 == pytest.approx(16.790, abs=6e-4)
    hot = 298.0 + power / (flow * air.CP_AIR)
    assert hot == pytest.approx(409.71, abs=0.006)
    assert float(charge.heat_to_reject(flow, hot, 338.0)) == pytest.approx(1210e3 / 60.0, rel=1e-9)
    assert float(charge.cooler_effectiveness(hot, 338.0, 298.0)) == pytest.approx(0.6419, abs=5e-5)


def test_nag_roots_and_vane() -> None:
    """1.5195 and 1.3480 kJ a revolution: Nag Ex 19.14, Rajput Ex 20.35 (RESTATED)."""
    inlet, outlet, volume = 1.013e5, 1.5 * 1.013e5, 0.03
    ratio_to_mean = 1.25 ** (1.0 / air.KAPPA)
    roots = float(compression.compression_work(inlet, outlet)) * volume
    vane = float(compression.compression_work(inlet, outlet, ratio_to_mean)) * volume
    assert roots == pytest.approx(1519.5, abs=0.05)
    assert vane == pytest.approx(1348.0, abs=0.05)


def test_nag_volume_reduced_first() -> None:
    """1 kg/s at 343 K: 99.47 and 77.92 kW: Nag Ex 19.15 (RESTATED)."""
    flow = 290.0 * 343.0 / 1e5
    roots = blower.drive_power(compression.compression_work(1e5, 2e5), flow, 1.0)
    reduced = blower.drive_power(compression.compression_work(1e5, 2e5, 1.0 / 0.7), flow, 1.0)
    assert float(roots) == pytest.approx(99.47e3, abs=5.0)
    assert float(reduced) == pytest.approx(77.92e3, abs=5.0)


def test_onkar_roots_power() -> None:
    """50 kW at an isentropic efficiency of 0.76655: Onkar Singh, ch. 16 Ex 15 (RESTATED)."""
    power = blower.drive_power(compression.compression_work(1e5, 2e5), 0.5, 1.0)
    least = float(compression.isentropic_work(1e5, 2e5)) * 0.5
    assert float(power) == pytest.approx(50e3, rel=1e-12)
    assert least / float(power) == pytest.approx(0.76655, abs=5e-6)


def test_rajput_roots_efficiency() -> None:
    """4000 J and 0.8598 for 0.08 m3: Rajput Ex 20.36 (RESTATED)."""
    work = float(compression.compression_work(1e5, 1.5e5)) * 0.08
    assert work == pytest.approx(4000.0, rel=1e-12)
    least = float(compression.isentropic_work(1e5, 1.5e5)) * 0.08
    assert least / work == pytest.approx(0.8598, abs=5e-5)


def test_naca_delayed_discharge() -> None:
    """Back to sea level from 20 000 ft is a ratio of 2.176 and saves about 26 %.

    Schey and Wilson, NACA (26 % READ in the abstract; ratio and 25.97 % of the model computed).
    """
    ratio = air.STANDARD_PRESSURE / float(air.standard_pressure(20000 * 0.3048))
    assert ratio == pytest.approx(2.176, abs=5e-4)
    saving = 1.0 - float(compression.displacement_efficiency(ratio))
    assert saving == pytest.approx(0.2597, abs=1e-4)
    assert saving == pytest.approx(0.26, abs=5e-3)


def test_same_air_by_dew_point_and_by_humidity() -> None:
    """Both give 0.011868 mol/mol at 99.980 kPa: 40 CFR 1065.645 (b) and (c) (READ).

    Goff's equation lies 0.1 % below the one used here, hence the tolerance.
    """
    by_dew_point = float(air.saturation_pressure(282.65)) / 99980.0
    by_humidity = float(air.vapour_pressure(293.15, 0.5077)) / 99980.0
    assert by_dew_point == pytest.approx(0.011868, rel=1.2e-3)
    assert by_humidity == pytest.approx(0.011868, rel=1.2e-3)
    assert by_dew_point == pytest.approx(by_humidity, rel=1e-4)


def test_a_reduced_barometer_spoils_the_factor() -> None:
    """Used as the station's at 500 m, it makes the factor 6.9 % low (computed)."""
    station = float(air.station_pressure(101325.0, 500.0))
    right = float(correction.correction_factor("iso-1585", station, 298.15, 0.0))
    wrong = float(correction.correction_factor("iso-1585", 101325.0, 298.15, 0.0))
    assert 1.0 - wrong / right == pytest.approx(0.069, abs=5e-4)


def test_mixing_ways_of_writing_298_kelvin_spoils_the_factor() -> None:
    """T = t + 273.15 over a literal 298 would give 1.00030 at the reference (computed)."""
    assert float(correction.iso_1585(99e3, 298.15)) == 1.0
    assert pytest.approx(1.00030, abs=5e-6) == (298.15 / 298.0) ** 0.6


def test_ratio_of_the_two_sae_standards_is_no_constant() -> None:
    """J607 over J1349 is 1.055 on a freezing day and 1.000 at 77 kPa, not 4 % (computed)."""

    def ratio(dry_pressure: float, temperature: float) -> float:
        older = float(correction.sae_j607(dry_pressure, temperature))
        return older / float(correction.sae_j1349(dry_pressure, temperature))

    assert ratio(101325.0, 273.15) == pytest.approx(1.055, abs=2e-3)
    assert ratio(77e3, 298.15) == pytest.approx(1.000, abs=2e-3)


def test_khurmi_flat_belt() -> None:
    """Length 7.3303 m, wrap 173.12 degrees, 1780.1 and 719.1 N: Khurmi, Ex 11.15 (RESTATED)."""
    wrap = belt.wrap_angle(0.6, 0.24, 3.0)
    pulls = belt.tensions(4000.0, pi * 0.24 * 5.0, belt.tension_ratio(0.3, wrap))
    assert float(wrap) * 180.0 / pi == pytest.approx(173.12, abs=5e-3)
    assert float(pulls.tight) == pytest.approx(1780.1, abs=0.05)
    assert float(pulls.slack) == pytest.approx(719.1, abs=0.05)


def test_khurmi_v_belts() -> None:
    """4750.4 and 1107.0 N, 171.69 kW for two belts: Khurmi, Ex 11.17 (RESTATED)."""
    speed = pi * 0.3 * 25.0
    mass_pull = float(belt.centrifugal_tension(750e-6 * 1200.0, speed))
    ratio = float(belt.tension_ratio(0.12, pi, 30.0 * pi / 180.0))
    tight = 7e6 * 750e-6 - mass_pull
    assert tight == pytest.approx(4750.4, abs=0.05)
    assert tight / ratio == pytest.approx(1107.0, abs=0.05)
    power = 2.0 * float(belt.slip_limit_power(7e6 * 750e-6, speed, ratio, mass_pull))
    assert power == pytest.approx(171.69e3, abs=5.0)


def test_air_need_follows_from_composition() -> None:
    """Air-fuel ratios of the pure alcohols: 9.003 and 6.472 (chemicals 1.5.2, Cantera 3.2.0; RUN).

    Air with 20.946 % oxygen and 28.9647 g/mol (from memory); 1e-3 covers how its rest is counted.
    """
    air_per_oxygen = 28.9647 / 0.20946
    for name, carbon, hydrogen, mass in (("ethanol", 2, 6, 46.0684), ("methanol", 1, 4, 32.0419)):
        oxygen = carbon + hydrogen / 4.0 - 0.5
        need = oxygen * air_per_oxygen / mass
        assert blends.COMPONENTS[name].stoichiometric_ratio == pytest.approx(need, rel=1e-3)


def test_five_litre_engine_with_and_without_cooler() -> None:
    """PR 2.33089 uncooled by the closed form X (1 - k) / (1 - X k) (computed)."""
    gas_constant = 287.05
    factor, heating = 1.9 * 2.0 / (0.9 * 2.5), gas_constant / 1005.0
    closed = factor * (1.0 - heating) / (1.0 - factor * heating)
    assert closed == pytest.approx(2.33089, abs=6e-6)
    inlet = Inlet(101325.0, 298.15, gas_constant=gas_constant)
    found = match(50.0, inlet, Demand(5e-3, 0.9), Supply(1.9e-3, 2.0))
    assert float(found.pressure_ratio[0]) == pytest.approx(closed, rel=1e-12)
    from_work = blower.discharge_temperature_from_work(
        298.15, 101325.0, 101325.0 * (closed - 1.0), 1.0, gas_constant
    )
    assert float(found.discharge_temperature[0]) == pytest.approx(float(from_work), rel=1e-12)


def test_constants_that_stand_in_no_formula() -> None:
    """E85 is 51 to 83 % ethanol (AFDC, READ); ISO 1585 permits these ranges (from memory)."""
    assert blends.PUMP_E85_ETHANOL == (0.51, 0.83)
    permitted = correction.STANDARDS["iso-1585"]
    assert permitted.factor_range == (0.93, 1.07)
    assert permitted.temperature_range == (288.15, 308.15)
    assert permitted.pressure_range == (80e3, 110e3)
    assert permitted.permitted == (
        "inlet air of 15 to 35 °C, a dry pressure of 80 to 110 kPa and a factor of 0.93 to 1.07 "
        "(from memory)"
    )
    american = correction.STANDARDS["sae-j1349"]
    assert american.factor_range is None
    assert american.pressure_range == (90e3, 105e3)
    assert correction.STANDARDS["din-70020"].permitted is None


def test_names_of_fuels() -> None:
    """One component keeps its name; a blend says its shares by volume."""
    assert blends.blend({"petrol": 0.0, "ethanol": 1.0}).name == "ethanol"
    e85 = blends.blend({"petrol": 0.15, "ethanol": 0.85})
    assert e85.name == "15 % petrol, 85 % ethanol"
    assert "petrol: " in e85.source
    assert "ethanol: " in e85.source
