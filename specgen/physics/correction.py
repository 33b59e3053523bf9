"""Power correction: what an engine's power would have been in a standard's air.

All factors here are written with T = t + 273.15 over the reference temperature plus 273.15. The
standards print 273 and 298, or 273 and 293; mixing the two ways makes the factor at the reference
air itself differ from one, so one way is kept everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from specgen.physics._domain import Real, Unphysical, plain, positive
from specgen.physics.air import ZERO_CELSIUS, dry_pressure

DRY_REFERENCE_PRESSURE = 99e3
"""Dry reference pressure of ISO 1585, UN Regulation 85 and SAE J1349 [Pa]. Source: RESTATED;
Regulation (EU) 134/2014, Annex X App. 2.2 has the same 99 kPa (READ)."""

REFERENCE_TEMPERATURE = ZERO_CELSIUS + 25.0
"""Reference temperature of the same standards [K]. Source: as above."""

J607_PRESSURE = 29.92 * 3386.389
"""Dry reference pressure of SAE J607 [Pa]: 29.92 inches of mercury at 0 degC. Source: RESTATED; the
inch at 60 degF would be 0.28 % smaller."""

J607_TEMPERATURE = (60.0 + 459.67) / 1.8
"""Reference temperature of SAE J607 [K]: 60 degF. Source: RESTATED."""

DIN_PRESSURE = 101.3e3
"""Reference pressure of DIN 70020, total [Pa]: 1013 hPa. Source: RESTATED."""

DIN_TEMPERATURE = ZERO_CELSIUS + 20.0
"""Reference temperature of DIN 70020 [K]. Source: RESTATED."""

J1349_SLOPE, J1349_OFFSET = 1.18, 0.18
"""Constants of the 1990 form of SAE J1349 [1]: the offset is the engine's own friction at a
mechanical efficiency of 0.85, not a loss in the drive line. Source: RESTATED by two sources."""


def iso_1585(dry_pressure: Real, temperature: Real) -> Real:
    """Correction factor of ISO 1585 and UN Regulation 85 for spark-ignition engines.

    Equation:
        f = (99 kPa / p_d)^1.2 (T / 298.15 K)^0.6

    Parameters:
        dry_pressure: dry pressure of the inlet air, p_d [Pa], 80e3 to 110e3
        temperature: inlet air temperature, T [K], 273 to 323

    Returns:
        factor that takes observed power to the standard's air, f [1]

    Raises:
        ValueError: if pressure or temperature is zero or below

    Example:
        >>> round(iso_1585(100155.6, 293.15), 4)
        0.9762

    Source:
        80/1269/EEC as amended by 88/195/EEC (RESTATED); that ISO 1585 and UN R85 are the same is
        from memory
    """
    positive(dry_pressure=dry_pressure, temperature=temperature)
    pressure_term = (DRY_REFERENCE_PRESSURE / dry_pressure) ** 1.2
    return plain(pressure_term * (temperature / REFERENCE_TEMPERATURE) ** 0.6)


def sae_j1349(dry_pressure: Real, temperature: Real) -> Real:
    """Correction factor of SAE J1349 (form of June 1990) for spark-ignition engines.

    Equation:
        f = 1.18 (99 kPa / p_d) (T / 298.15 K)^0.5 - 0.18

    Parameters:
        dry_pressure: dry pressure of the inlet air, p_d [Pa], 80e3 to 110e3
        temperature: inlet air temperature, T [K], 273 to 323

    Returns:
        factor that takes observed power to the standard's air, f [1]

    Raises:
        ValueError: if pressure or temperature is zero or below

    Example:
        >>> round(sae_j1349(100155.6, 293.15), 4)
        0.9766

    Source:
        SAE J1349, June 1990 (RESTATED by two second sources)
    """
    positive(dry_pressure=dry_pressure, temperature=temperature)
    air_term = DRY_REFERENCE_PRESSURE / dry_pressure * (temperature / REFERENCE_TEMPERATURE) ** 0.5
    return plain(J1349_SLOPE * air_term - J1349_OFFSET)


def sae_j607(dry_pressure: Real, temperature: Real) -> Real:
    """Correction factor of the older SAE J607, often printed as "standard".

    Equation:
        f = (29.92 inHg / p_d) (T / 288.71 K)^0.5

    Parameters:
        dry_pressure: dry pressure of the inlet air, p_d [Pa], 80e3 to 110e3
        temperature: inlet air temperature, T [K], 273 to 323

    Returns:
        factor that takes observed power to the standard's air, f [1]

    Raises:
        ValueError: if pressure or temperature is zero or below

    Example:
        >>> round(sae_j607(99000.0, 298.15), 5)
        1.04005

    Source:
        formula RESTATED by second sources; that its name is J607 is from memory
    """
    positive(dry_pressure=dry_pressure, temperature=temperature)
    return plain(J607_PRESSURE / dry_pressure * (temperature / J607_TEMPERATURE) ** 0.5)


def din_70020(pressure: Real, temperature: Real) -> Real:
    """Correction factor of DIN 70020, which takes the total pressure and ignores humidity.

    Equation:
        f = (1013 hPa / p) (T / 293.15 K)^0.5

    Parameters:
        pressure: station pressure, p [Pa], 80e3 to 110e3
        temperature: inlet air temperature, T [K], 273 to 323

    Returns:
        factor that takes observed power to the standard's air, f [1]

    Raises:
        ValueError: if pressure or temperature is zero or below

    Example:
        >>> round(din_70020(100000.0, 298.15), 4)
        1.0216

    Source:
        DIN 70020 (RESTATED by two second sources)
    """
    positive(pressure=pressure, temperature=temperature)
    return plain(DIN_PRESSURE / pressure * (temperature / DIN_TEMPERATURE) ** 0.5)


@dataclass(frozen=True, slots=True)
class Standard:
    """A named standard's air and how power is taken to it.

    Attributes:
        key: the standard's key in `STANDARDS` [text]
        title: how a page names it [text]
        formula: correction factor from pressure [Pa] and temperature [K] of the inlet air
        reference: the standard's own air, in words [text]
        dry: whether the pressure is that of the dry air, or the total [yes or no]
        factor_range: lowest and highest permitted factor [1], or None; from memory
        temperature_range: lowest and highest permitted inlet temperature [K], or None; from memory
        pressure_range: lowest and highest permitted pressure [Pa], of the dry air where the
            formula takes that, or None; from memory
    """

    key: str
    title: str
    formula: Callable[[Real, Real], Real]
    reference: str
    dry: bool = True
    factor_range: tuple[float, float] | None = None
    temperature_range: tuple[float, float] | None = None
    pressure_range: tuple[float, float] | None = None

    @property
    def permitted(self) -> str | None:
        """Where the standard allows its use, in words; None where nothing is known of it."""
        told = []
        if self.temperature_range is not None:
            cold, hot = (end - ZERO_CELSIUS for end in self.temperature_range)
            told.append(f"inlet air of {cold:g} to {hot:g} °C")
        if self.pressure_range is not None:
            thin, dense = (end / 1e3 for end in self.pressure_range)
            told.append(
                f"{'a dry' if self.dry else 'an air'} pressure of {thin:g} to {dense:g} kPa"
            )
        if self.factor_range is not None:
            told.append("a factor of {:g} to {:g}".format(*self.factor_range))
        if not told:
            return None
        listed = f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]
        return f"{listed} (from memory)"

    def factor(self, pressure: Real, temperature: Real, relative_humidity: Real) -> Real:
        """Correction factor from the air as it was recorded; see `correction_factor`."""
        dry = dry_pressure(pressure, temperature, relative_humidity)
        return self.formula(dry if self.dry else pressure, temperature)


STANDARDS: dict[str, Standard] = {
    standard.key: standard
    for standard in (
        Standard(
            "iso-1585",
            "ISO 1585",
            iso_1585,
            "99 kPa dry, 25 °C",
            factor_range=(0.93, 1.07),
            temperature_range=(ZERO_CELSIUS + 15.0, ZERO_CELSIUS + 35.0),
            pressure_range=(80e3, 110e3),
        ),
        Standard(  # the factor that it permits differs between its editions: none is claimed
            "sae-j1349",
            "SAE J1349 (1990)",
            sae_j1349,
            "99 kPa dry, 25 °C",
            temperature_range=(ZERO_CELSIUS + 15.0, ZERO_CELSIUS + 35.0),
            pressure_range=(90e3, 105e3),
        ),
        Standard("sae-j607", "SAE J607", sae_j607, "29.92 inHg dry, 60 °F (15.6 °C)"),
        Standard("din-70020", "DIN 70020", din_70020, "1013 hPa total, 20 °C", dry=False),
    )
}


def correction_factor(
    standard_key: str, pressure: Real, temperature: Real, relative_humidity: Real
) -> Real:
    """Correction factor of a named standard for the air as it was recorded.

    Equation:
        f = f_standard(p - phi p_s(T), T), on total pressure p for DIN 70020

    Parameters:
        standard_key: which standard [text], a key of STANDARDS
        pressure: station pressure, p [Pa], 80e3 to 110e3
        temperature: inlet air temperature, T [K], 273 to 323
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        factor that takes observed power to the standard's air, f [1]

    Raises:
        ValueError: if no standard has this key, or the air is outside its domain

    Example:
        >>> round(correction_factor("iso-1585", 101325.0, 293.15, 0.5), 5)
        0.97621

    Source:
        that of the standard's own formula
    """
    if standard_key not in STANDARDS:
        known = ", ".join(STANDARDS)
        raise Unphysical(f'standard key must be one of {known}, but is "{standard_key}"')
    return STANDARDS[standard_key].factor(pressure, temperature, relative_humidity)


def corrected(value: Real, factor: Real) -> Real:
    """Power or torque in a standard's air, from what was observed.

    Equation:
        P_c = f P

    Parameters:
        value: observed power or torque, P [W or N m], any
        factor: correction factor, f [1], above 0

    Returns:
        corrected power or torque, P_c [W or N m]

    Raises:
        ValueError: if the factor is zero or below

    Example:
        >>> corrected(200e3, 0.98)
        196000.0

    Source:
        definition of the factor in the standards named here
    """
    positive(factor=factor)
    return value * factor


def observed_from_corrected(value: Real, factor: Real) -> Real:
    """Power or torque as it was observed, from a figure that was already corrected.

    Equation:
        P = P_c / f

    Parameters:
        value: corrected power or torque, P_c [W or N m], any
        factor: correction factor that was applied, f [1], above 0

    Returns:
        observed power or torque, P [W or N m]

    Raises:
        ValueError: if the factor is zero or below

    Example:
        >>> observed_from_corrected(196e3, 0.98)
        200000.0

    Source:
        definition of the factor in the standards named here
    """
    positive(factor=factor)
    return value / factor
