"""What a four-stroke engine breathes: air flow and volumetric efficiency."""

from __future__ import annotations

from specgen.physics._domain import Real, above, not_negative, plain, positive
from specgen.physics.air import KAPPA


def air_mass_flow(
    volumetric_efficiency: Real, density: Real, swept_volume: Real, speed: Real
) -> Real:
    """Air swallowed by a four-stroke engine: its swept volume once in two revolutions.

    Equation:
        m = eta_v rho V_d n / 2

    Parameters:
        volumetric_efficiency: volumetric efficiency at this density, eta_v [1], 0.3 to 1.3
        density: density that the efficiency refers to, rho [kg/m3], 0.3 to 5
        swept_volume: swept volume of the engine, V_d [m3], above 0
        speed: engine speed, n [rev/s], 0 to 250

    Returns:
        air mass flow, m [kg/s]

    Raises:
        ValueError: if the speed is below zero or another value is zero or below

    Example:
        >>> round(air_mass_flow(0.9, 1.2, 3e-3, 100.0), 4)
        0.162

    Source:
        definition of volumetric efficiency; Rajput Ex 16.5 (RESTATED)
    """
    positive(
        volumetric_efficiency=volumetric_efficiency, density=density, swept_volume=swept_volume
    )
    not_negative(speed=speed)
    return volumetric_efficiency * density * swept_volume * speed / 2.0


def volumetric_efficiency(
    air_mass_flow: Real, density: Real, swept_volume: Real, speed: Real
) -> Real:
    """Air swallowed by a four-stroke engine over what its swept volume could hold.

    Equation:
        eta_v = 2 m / (rho V_d n)

    Parameters:
        air_mass_flow: air mass flow, m [kg/s], 0 to 3
        density: density that the efficiency shall refer to, rho [kg/m3], 0.3 to 5
        swept_volume: swept volume of the engine, V_d [m3], above 0
        speed: engine speed, n [rev/s], above 0

    Returns:
        volumetric efficiency, eta_v [1]

    Raises:
        ValueError: if the air flow is below zero or another value is zero or below

    Example:
        >>> round(volumetric_efficiency(0.162, 1.2, 3e-3, 100.0), 3)
        0.9

    Source:
        definition of volumetric efficiency; Rajput Ex 16.5 (RESTATED)
    """
    positive(density=density, swept_volume=swept_volume, speed=speed)
    not_negative(air_mass_flow=air_mass_flow)
    return 2.0 * air_mass_flow / (density * swept_volume * speed)


def boosted_volumetric_efficiency(
    volumetric_efficiency: Real,
    compression_ratio: Real,
    intake_pressure_before: Real,
    intake_pressure_after: Real,
    exhaust_pressure: Real,
    temperature_before: Real,
    temperature_after: Real,
    isentropic_exponent: Real = KAPPA,
) -> Real:
    """Volumetric efficiency after boosting: residual gas is compressed, heat pick-up is less.

    Equation:
        eta_2 = eta_1 [r - (p_e/p_2)^(1/k)] / [r - (p_e/p_1)^(1/k)] (T_2/T_1)^0.5

    Parameters:
        volumetric_efficiency: volumetric efficiency before, at its intake, eta_1 [1], 0.3 to 1.3
        compression_ratio: compression ratio, r [1], 5 to 16
        intake_pressure_before: intake pressure before, p_1 [Pa], 20e3 to 400e3
        intake_pressure_after: intake pressure after, p_2 [Pa], 20e3 to 400e3
        exhaust_pressure: pressure in the exhaust, p_e [Pa], 80e3 to 400e3
        temperature_before: intake temperature before, T_1 [K], 233 to 450
        temperature_after: intake temperature after, T_2 [K], 233 to 450
        isentropic_exponent: ratio of specific heats, k [1], 1.3 to 1.4

    Returns:
        volumetric efficiency after boosting, at the new intake density, eta_2 [1]

    Raises:
        ValueError: if a value is zero or below, the compression ratio or exponent at most one, or
            the residual gas would fill the cylinder

    Example:
        >>> round(boosted_volumetric_efficiency(0.81, 7.5, 101e3, 138e3, 101e3, 300.0, 321.0), 4)
        0.8636

    Source:
        Rajput, Internal Combustion Engines, Ex 7.9 (RESTATED)
    """
    positive(
        volumetric_efficiency=volumetric_efficiency,
        intake_pressure_before=intake_pressure_before,
        intake_pressure_after=intake_pressure_after,
        exhaust_pressure=exhaust_pressure,
        temperature_before=temperature_before,
        temperature_after=temperature_after,
    )
    above(1.0, "one", compression_ratio=compression_ratio, isentropic_exponent=isentropic_exponent)
    residual_before = (exhaust_pressure / intake_pressure_before) ** (1.0 / isentropic_exponent)
    residual_after = (exhaust_pressure / intake_pressure_after) ** (1.0 / isentropic_exponent)
    fresh_before = compression_ratio - residual_before
    fresh_after = compression_ratio - residual_after
    positive(room_for_fresh_charge_before=fresh_before, room_for_fresh_charge_after=fresh_after)
    heat_pick_up = (temperature_after / temperature_before) ** 0.5
    return plain(volumetric_efficiency * fresh_after / fresh_before * heat_pick_up)
