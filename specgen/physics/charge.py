"""The charge's way: cooling it, the heat that leaves it, and what restrictions cost."""

from __future__ import annotations

from specgen.physics._domain import Real, between, efficiency, not_negative, plain, positive
from specgen.physics.air import CP_AIR


def boost(manifold_pressure: Real, station_pressure: Real) -> Real:
    """Pressure in the manifold over the air outside.

    Equation:
        p_g = p_m - p_0

    Parameters:
        manifold_pressure: absolute pressure in the manifold, p_m [Pa], 20e3 to 500e3
        station_pressure: air pressure at the station, p_0 [Pa], 50e3 to 110e3

    Returns:
        boost, p_g [Pa]; below zero where the manifold is throttled

    Raises:
        ValueError: if a pressure is zero or below

    Example:
        >>> boost(170e3, 99.1e3)
        70900.0

    Source:
        definition of gauge pressure
    """
    positive(manifold_pressure=manifold_pressure, station_pressure=station_pressure)
    return manifold_pressure - station_pressure


def cooler_outlet_temperature(
    inlet_temperature: Real, coolant_temperature: Real, effectiveness: Real
) -> Real:
    """Temperature of the charge behind its cooler.

    Equation:
        T_3 = T_2 - eps (T_2 - T_c)

    Parameters:
        inlet_temperature: charge temperature before the cooler, T_2 [K], 250 to 550
        coolant_temperature: temperature of coolant or cooling air at its inlet, T_c [K], 233 to 400
        effectiveness: effectiveness of the cooler, eps [1], 0 to 1

    Returns:
        charge temperature behind the cooler, T_3 [K]

    Raises:
        ValueError: if a temperature is zero or below, or the effectiveness is not from 0 to 1

    Example:
        >>> round(cooler_outlet_temperature(409.71, 298.0, 0.6419), 1)
        338.0

    Source:
        definition of effectiveness; Rajput, Internal Combustion Engines, Ex 16.5 (RESTATED)
    """
    positive(inlet_temperature=inlet_temperature, coolant_temperature=coolant_temperature)
    between(0.0, 1.0, effectiveness=effectiveness)
    return inlet_temperature - effectiveness * (inlet_temperature - coolant_temperature)


def cooler_effectiveness(
    inlet_temperature: Real, outlet_temperature: Real, coolant_temperature: Real
) -> Real:
    """Cooling reached over the cooling possible, from measured temperatures.

    Equation:
        eps = (T_2 - T_3) / (T_2 - T_c)

    Parameters:
        inlet_temperature: charge temperature before the cooler, T_2 [K], above T_c
        outlet_temperature: charge temperature behind the cooler, T_3 [K], 233 to 550
        coolant_temperature: temperature of coolant or cooling air at its inlet, T_c [K], 233 to 400

    Returns:
        effectiveness of the cooler, eps [1]; outside 0 to 1 the temperatures contradict each other

    Raises:
        ValueError: if a temperature is zero or below, or the charge comes in no warmer than the
            coolant

    Example:
        >>> round(cooler_effectiveness(409.71, 338.0, 298.0), 4)
        0.6419

    Source:
        definition of effectiveness; Rajput, Internal Combustion Engines, Ex 16.5 (RESTATED)
    """
    positive(outlet_temperature=outlet_temperature, coolant_temperature=coolant_temperature)
    positive(charge_temperature_above_the_coolant=inlet_temperature - coolant_temperature)
    return (inlet_temperature - outlet_temperature) / (inlet_temperature - coolant_temperature)


def effectiveness_at_flow(effectiveness: Real, flow_ratio: Real, exponent: Real) -> Real:
    """Effectiveness of a cooler at another flow than the one at which it was stated.

    More charge has less time in the cooler; its better heat transfer makes up for a part.

    Equation:
        eps = 1 - exp(-N),  N = -ln(1 - eps_0) (m / m_0)^(-x)

    Parameters:
        effectiveness: effectiveness at the flow where it was stated, eps_0 [1], 0 to 1
        flow_ratio: flow over that flow, m / m_0 [1], 0.05 to 5
        exponent: how transfer units fall with flow, x [1], 0 to 1

    Returns:
        effectiveness at this flow, eps [1]

    Raises:
        ValueError: if the effectiveness is not from 0 to 1 or the flow ratio zero or below

    Example:
        >>> round(effectiveness_at_flow(0.6419, 2.0, 0.4), 4)
        0.5408

    Source:
        transfer units of a cooler whose coolant hardly warms (from memory); x is 0.2 where the
        charge's side alone resists with turbulent flow (Dittus and Boelter, from memory), 1 where
        heat transfer does not change with flow
    """
    between(0.0, 1.0, effectiveness=effectiveness)
    positive(flow_ratio=flow_ratio)
    return 1.0 - (1.0 - effectiveness) ** (flow_ratio**-exponent)


def heat_to_reject(
    mass_flow: Real,
    inlet_temperature: Real,
    outlet_temperature: Real,
    specific_heat: Real = CP_AIR,
) -> Real:
    """Heat that the cooler takes out of the charge.

    Equation:
        Q = m c_p (T_2 - T_3)

    Parameters:
        mass_flow: charge mass flow, m [kg/s], 0 to 3
        inlet_temperature: charge temperature before the cooler, T_2 [K], 250 to 550
        outlet_temperature: charge temperature behind the cooler, T_3 [K], 233 to 550
        specific_heat: specific heat at constant pressure, c_p [J/(kg K)], 1000 to 1040

    Returns:
        heat flow, Q [W]

    Raises:
        ValueError: if the flow is below zero, or another value is zero or below

    Example:
        >>> round(heat_to_reject(16.790 / 60, 409.71, 338.0) * 60e-3)
        1210

    Source:
        energy balance; Rajput, Internal Combustion Engines, Ex 16.5 (RESTATED)
    """
    not_negative(mass_flow=mass_flow)
    positive(
        inlet_temperature=inlet_temperature,
        outlet_temperature=outlet_temperature,
        specific_heat=specific_heat,
    )
    return mass_flow * specific_heat * (inlet_temperature - outlet_temperature)


def coolant_mass_flow(volume_flow: Real, density: Real) -> Real:
    """Mass flow of the coolant, from the volume flow that its pump is known by.

    Equation:
        m_c = rho V

    Parameters:
        volume_flow: volume flow of the coolant, V [m3/s], 0 to 0.05
        density: density of the coolant, rho [kg/m3], above 0

    Returns:
        coolant mass flow, m_c [kg/s]

    Raises:
        ValueError: if the flow is below zero, or the density zero or below

    Example:
        >>> round(coolant_mass_flow(20e-3 / 60, 997.0), 4)
        0.3323

    Source:
        definition of density
    """
    not_negative(volume_flow=volume_flow)
    positive(density=density)
    return volume_flow * density


def coolant_temperature_rise(heat: Real, coolant_flow: Real, specific_heat: Real) -> Real:
    """Rise of the coolant's temperature through the cooler.

    Equation:
        dT = Q / (m_c c)

    Parameters:
        heat: heat flow taken up, Q [W], 0 to 300e3
        coolant_flow: coolant mass flow, m_c [kg/s], above 0
        specific_heat: specific heat of the coolant, c [J/(kg K)], 1000 to 4200

    Returns:
        temperature rise, dT [K]

    Raises:
        ValueError: if the flow or the specific heat is zero or below

    Example:
        >>> coolant_temperature_rise(20e3, 0.5, 4000.0)
        10.0

    Source:
        energy balance
    """
    positive(coolant_flow=coolant_flow, specific_heat=specific_heat)
    return heat / (coolant_flow * specific_heat)


def pressure_drop(
    reference_drop: Real,
    reference_flow: Real,
    flow: Real,
    reference_density: Real = 1.0,
    density: Real = 1.0,
) -> Real:
    """Pressure lost in a cooler, filter or throttle, from one measured point.

    Equation:
        dp = dp_0 (m / m_0)^2 (rho_0 / rho)

    Parameters:
        reference_drop: pressure drop at the measured point, dp_0 [Pa], 0 to 50e3
        reference_flow: mass flow at the measured point, m_0 [kg/s], above 0
        flow: mass flow, m [kg/s], 0 to 3
        reference_density: density at the measured point, rho_0 [kg/m3], 0.3 to 5
        density: density before the restriction, rho [kg/m3], 0.3 to 5

    Returns:
        pressure drop, dp [Pa]

    Raises:
        ValueError: if the drop or the flow is below zero, or another value zero or below

    Example:
        >>> pressure_drop(2000.0, 0.2, 0.4)
        8000.0

    Source:
        quadratic law of turbulent flow, as fluids 1.3.1 has it (RUN); both densities left out means
        equal ones
    """
    not_negative(reference_drop=reference_drop, flow=flow)
    positive(reference_flow=reference_flow, reference_density=reference_density, density=density)
    return reference_drop * (flow / reference_flow) ** 2 * (reference_density / density)


def loss_coefficient(drop: Real, flow: Real, density: Real) -> Real:
    """Coefficient of a restriction's quadratic law, from one measured point.

    Equation:
        k = dp rho / m^2

    Parameters:
        drop: pressure drop at the measured point, dp [Pa], 0 to 50e3
        flow: mass flow at the measured point, m [kg/s], above 0
        density: density before the restriction, rho [kg/m3], 0.3 to 5

    Returns:
        loss coefficient, k [1/m4]

    Raises:
        ValueError: if the drop is below zero, or flow or density is zero or below

    Example:
        >>> round(loss_coefficient(2000.0, 0.2, 1.2))
        60000

    Source:
        quadratic law of turbulent flow, as fluids 1.3.1 has it (RUN)
    """
    not_negative(drop=drop)
    positive(flow=flow, density=density)
    return drop * density / flow**2


def opening_loss_coefficient(area: Real, discharge_coefficient: Real) -> Real:
    """Coefficient of the quadratic law for an open throttle or filter of known area.

    Equation:
        k = 1 / (2 (C_d A)^2)

    Parameters:
        area: free area of the opening, A [m2], 1e-4 to 0.1
        discharge_coefficient: discharge coefficient, C_d [1], 0.5 to 1

    Returns:
        loss coefficient, k [1/m4]

    Raises:
        ValueError: if the area is zero or below, or the coefficient is not above zero and at most
            one

    Example:
        >>> round(opening_loss_coefficient(0.005, 0.8))
        31250

    Source:
        Bernoulli's equation with a discharge coefficient; no pressure is won back behind the
        opening; for drops below a tenth of the pressure before it
    """
    positive(area=area)
    efficiency(discharge_coefficient=discharge_coefficient)
    return plain(0.5 / (discharge_coefficient * area) ** 2)
