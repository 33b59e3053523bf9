"""Fuels and their blends, and what tank, pump and injectors have to deliver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isclose

from specgen.physics._domain import Real, efficiency, not_negative, plain, positive


@dataclass(frozen=True, slots=True)
class Component:
    """One pure fuel that blends are made of.

    Attributes:
        name: what it is called [text]
        density: liquid density near 15 to 20 degC [kg/m3]
        heating_value: lower heating value [J/kg]
        stoichiometric_ratio: stoichiometric air-fuel ratio by mass [1]
        latent_heat: heat of vaporisation [J/kg]
        source: where the figures come from [text]
    """

    name: str
    density: float
    heating_value: float
    stoichiometric_ratio: float
    latent_heat: float
    source: str

    def __post_init__(self) -> None:
        positive(
            density=self.density,
            heating_value=self.heating_value,
            stoichiometric_ratio=self.stoichiometric_ratio,
            latent_heat=self.latent_heat,
        )


@dataclass(frozen=True, slots=True)
class Fuel(Component):
    """A fuel as it is burned: one component or a blend of several, with the same figures."""


COMPONENTS: dict[str, Component] = {
    "petrol": Component(
        "petrol",
        745.0,
        43.440e6,
        14.7,
        349e3,
        "US DOE AFDC fuel-property table (RESTATED); density within the 720 to 775 of EN 228 "
        "(RESTATED), pump petrol differs by 3 %",
    ),
    "ethanol": Component(
        "ethanol",
        789.4,
        26.947e6,
        9.003,
        921e3,
        "US DOE AFDC fuel-property table (RESTATED); density at 20 °C by CoolProp 8.0.0 (RUN), "
        "AFDC prints 792.1 at 60 °F; air-fuel ratio from composition",
    ),
    "methanol": Component(
        "methanol",
        794.4,
        20.090e6,
        6.472,
        1177e3,
        "US DOE AFDC fuel-property table (RESTATED); air-fuel ratio from composition",
    ),
}

PUMP_E85_ETHANOL = (0.51, 0.83)
"""Lowest and highest ethanol content by volume of what a pump sells as E85 [1].
Source: ASTM D5798 as tabled by AFDC, READ."""


def mass_fractions(
    volume_fractions: Mapping[str, float], components: Mapping[str, Component] = COMPONENTS
) -> dict[str, float]:
    """Shares by mass of a blend that is given by volume.

    Equation:
        w_i = x_i rho_i / sum(x_j rho_j)

    Parameters:
        volume_fractions: share by volume of each component, x_i [1], adding up to 1
        components: figures of the components by name [Component]

    Returns:
        share by mass of each component, w_i [1]

    Raises:
        ValueError: if a component is unknown, a share is below zero, or they do not add up to 1

    Example:
        >>> round(mass_fractions({"petrol": 0.9, "ethanol": 0.1})["ethanol"], 4)
        0.1053

    Source:
        ideal volumes; the volume change of mixing alcohol with petrol is below 1 % (from memory)
    """
    for name, share in volume_fractions.items():
        if name not in components:
            raise ValueError(f'component must be one of {", ".join(components)}, but is "{name}"')
        not_negative(**{f"share_of_{name}": share})
    total = sum(volume_fractions.values())
    if not isclose(total, 1.0, abs_tol=1e-6):
        raise ValueError(f"shares by volume must add up to 1, but add up to {total:g}")
    masses = {name: share * components[name].density for name, share in volume_fractions.items()}
    return {name: mass / sum(masses.values()) for name, mass in masses.items()}


def blend(
    volume_fractions: Mapping[str, float], components: Mapping[str, Component] = COMPONENTS
) -> Fuel:
    """Figures of a blend that is given by volume: all but the density go by mass.

    Equation:
        H = sum(w_i H_i), and so for air-fuel ratio and latent heat; rho = sum(x_i rho_i)

    Parameters:
        volume_fractions: share by volume of each component, x_i [1], adding up to 1
        components: figures of the components by name [Component]

    Returns:
        the blend [Fuel]

    Raises:
        ValueError: if a component is unknown, a share is below zero, or they do not add up to 1

    Example:
        >>> round(blend({"petrol": 0.15, "ethanol": 0.85}).stoichiometric_ratio, 3)
        9.816

    Source:
        mass balance; E10 and E85 figures computed from the components
    """
    shares = mass_fractions(volume_fractions, components)
    used = [(shares[name], components[name]) for name in shares if shares[name] > 0.0]
    parts = [f"{100.0 * volume_fractions[name]:g} % {components[name].name}" for name in shares]
    return Fuel(
        name=used[0][1].name if len(used) == 1 else ", ".join(parts),
        density=sum(volume_fractions[name] * components[name].density for name in shares),
        heating_value=sum(share * part.heating_value for share, part in used),
        stoichiometric_ratio=sum(share * part.stoichiometric_ratio for share, part in used),
        latent_heat=sum(share * part.latent_heat for share, part in used),
        source="; ".join(f"{part.name}: {part.source}" for _, part in used),
    )


def stoichiometric_spread(
    lowest: float = PUMP_E85_ETHANOL[0], highest: float = PUMP_E85_ETHANOL[1]
) -> tuple[float, float]:
    """Stoichiometric air-fuel ratios that an untested petrol and ethanol blend may have.

    Equation:
        AFR = w_e AFR_e + (1 - w_e) AFR_p at the lowest and the highest ethanol content

    Parameters:
        lowest: lowest ethanol content by volume, x_min [1], 0 to 1
        highest: highest ethanol content by volume, x_max [1], 0 to 1

    Returns:
        smallest and largest stoichiometric air-fuel ratio, AFR [1]

    Raises:
        ValueError: if a content is not a fraction, or the highest is below the lowest

    Example:
        >>> [round(ratio, 2) for ratio in stoichiometric_spread()]
        [9.93, 11.71]

    Source:
        ASTM D5798 as tabled by AFDC (READ); ratios computed from the components
    """
    if highest < lowest:
        raise ValueError("highest content must not be below the lowest content")
    richest, leanest = (
        blend({"ethanol": content, "petrol": 1.0 - content}).stoichiometric_ratio
        for content in (highest, lowest)
    )
    return richest, leanest


def excess_air_ratio(air_fuel_ratio: Real, stoichiometric_ratio: Real) -> Real:
    """Air supplied over air needed; what a lambda sensor reads.

    Equation:
        lambda = AFR / AFR_st

    Parameters:
        air_fuel_ratio: air-fuel ratio by mass, AFR [1], 3 to 25
        stoichiometric_ratio: stoichiometric air-fuel ratio of the fuel, AFR_st [1], 1 to 16

    Returns:
        excess-air ratio, lambda [1]

    Raises:
        ValueError: if a ratio is zero or below

    Example:
        >>> round(excess_air_ratio(11.76, 14.7), 3)
        0.8

    Source:
        definition
    """
    positive(air_fuel_ratio=air_fuel_ratio, stoichiometric_ratio=stoichiometric_ratio)
    return air_fuel_ratio / stoichiometric_ratio


def fuel_mass_flow(air_mass_flow: Real, air_fuel_ratio: Real) -> Real:
    """Fuel that goes with the air.

    Equation:
        m_f = m / AFR

    Parameters:
        air_mass_flow: air mass flow, m [kg/s], 0 to 3
        air_fuel_ratio: air-fuel ratio by mass, AFR [1], 3 to 25

    Returns:
        fuel mass flow, m_f [kg/s]

    Raises:
        ValueError: if the air flow is below zero, or the ratio zero or below

    Example:
        >>> fuel_mass_flow(0.3, 12.0)
        0.025

    Source:
        definition of the air-fuel ratio
    """
    not_negative(air_mass_flow=air_mass_flow)
    positive(air_fuel_ratio=air_fuel_ratio)
    return air_mass_flow / air_fuel_ratio


def pressure_across_injector(rail_pressure: Real, manifold_pressure: Real) -> Real:
    """Pressure that drives the fuel through a port injector.

    Equation:
        dp = p_rail - p_manifold

    Parameters:
        rail_pressure: pressure in the rail, absolute, p_rail [Pa], 200e3 to 1e6
        manifold_pressure: pressure in the manifold, absolute, p_manifold [Pa], 20e3 to 400e3

    Returns:
        pressure across the injector, dp [Pa]

    Raises:
        ValueError: if the rail is not above the manifold, or a pressure is zero or below

    Example:
        >>> pressure_across_injector(400e3, 170e3)
        230000.0

    Source:
        definition; both pressures absolute, or both gauge against the same air
    """
    positive(rail_pressure=rail_pressure, manifold_pressure=manifold_pressure)
    across = rail_pressure - manifold_pressure
    positive(pressure_across_the_injector=across)
    return across


def injector_flow(rated_flow: Real, rated_pressure: Real, pressure_across: Real) -> Real:
    """Flow of a fully open injector at another pressure than it was rated at.

    Equation:
        q = q_0 (dp / dp_0)^0.5

    Parameters:
        rated_flow: volume flow at the rated pressure, q_0 [m3/s], 1e-6 to 5e-5
        rated_pressure: pressure across the injector when rated, dp_0 [Pa], 200e3 to 500e3
        pressure_across: pressure across the injector now, dp [Pa], 100e3 to 700e3

    Returns:
        volume flow, q [m3/s]

    Raises:
        ValueError: if a value is zero or below

    Example:
        >>> round(injector_flow(387.48, 300e3, 400e3), 1)
        447.4

    Source:
        orifice flow: m = C_d A (2 rho dp)^0.5; computed example in the tests
    """
    positive(rated_flow=rated_flow, rated_pressure=rated_pressure, pressure_across=pressure_across)
    return plain(rated_flow * (pressure_across / rated_pressure) ** 0.5)


def injector_duty(fuel_mass_flow: Real, density: Real, count: Real, injector_flow: Real) -> Real:
    """Share of the time that the injectors have to stand open.

    Equation:
        d = m_f / (rho z q)

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        count: number of injectors, z [1], 1 to 32
        injector_flow: flow of one open injector at the working pressure, q [m3/s], above 0

    Returns:
        duty, d [1]; above 1 the injectors are too small

    Raises:
        ValueError: if the fuel flow is below zero, or another value is zero or below

    Example:
        >>> round(injector_duty(0.037778, 745.0, 8, 447.43e-6 / 60), 3)
        0.85

    Source:
        mass balance; opening and closing times left out
    """
    not_negative(fuel_mass_flow=fuel_mass_flow)
    positive(density=density, count=count, injector_flow=injector_flow)
    return fuel_mass_flow / (density * count * injector_flow)


def injector_flow_needed(fuel_mass_flow: Real, density: Real, count: Real, duty: Real) -> Real:
    """Flow that each open injector must have for a wanted duty.

    Equation:
        q = m_f / (rho z d)

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        count: number of injectors, z [1], 1 to 32
        duty: share of the time that they may stand open, d [1], 0.1 to 1

    Returns:
        volume flow of one open injector at the working pressure, q [m3/s]

    Raises:
        ValueError: if the fuel flow is below zero, density or count is zero or below, or the duty
            is not above zero and at most one

    Example:
        >>> round(injector_flow_needed(400 * 0.34 / 3600, 745.0, 8, 0.85) * 60e6, 2)
        447.43

    Source:
        mass balance; computed example in the tests
    """
    not_negative(fuel_mass_flow=fuel_mass_flow)
    positive(density=density, count=count)
    efficiency(duty=duty)
    return fuel_mass_flow / (density * count * duty)


def pump_flow(fuel_mass_flow: Real, density: Real, reserve: Real = 0.0) -> Real:
    """Volume flow that the fuel pump has to deliver at the working pressure.

    Equation:
        q = (1 + s) m_f / rho

    Parameters:
        fuel_mass_flow: fuel mass flow of the engine, m_f [kg/s], 0 to 0.5
        density: density of the fuel, rho [kg/m3], 700 to 820
        reserve: what shall flow back or be kept in hand, over the need, s [1], 0 to 1

    Returns:
        volume flow, q [m3/s]

    Raises:
        ValueError: if the fuel flow or the reserve is below zero, or the density zero or below

    Example:
        >>> round(pump_flow(400 * 0.34 / 3600, 745.0) * 3.6e6, 1)
        182.6

    Source:
        mass balance
    """
    not_negative(fuel_mass_flow=fuel_mass_flow, reserve=reserve)
    positive(density=density)
    return (1.0 + reserve) * fuel_mass_flow / density
