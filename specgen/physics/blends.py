"""Fuels and their blends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isclose

from specgen.physics._domain import Unphysical, not_negative, positive


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
            raise Unphysical(f'component must be one of {", ".join(components)}, but is "{name}"')
        not_negative(**{f"share_of_{name}": share})
    total = sum(volume_fractions.values())
    if not isclose(total, 1.0, abs_tol=1e-6):
        raise Unphysical(f"shares by volume must add up to 1, but add up to {total:g}")
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
        raise Unphysical("highest content must not be below the lowest content")
    richest, leanest = (
        blend({"ethanol": content, "petrol": 1.0 - content}).stoichiometric_ratio
        for content in (highest, lowest)
    )
    return richest, leanest
