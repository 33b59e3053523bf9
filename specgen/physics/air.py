"""Moist air and the standard atmosphere: what the engine is offered to breathe."""

from __future__ import annotations

import numpy as np

from specgen.physics._domain import Real, Unphysical, between, plain, positive

R_AIR = 287.05287
"""Specific gas constant of dry air [J/(kg K)]. Source: ISO 2533:1975, from memory; equals
8314.32 / 28.9644 of the US Standard Atmosphere 1976."""

MOLAR_MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air [1]. Source: ASHRAE Handbook Fundamentals 2017, ch. 1,
RESTATED by psychrolib 2.5.0."""

R_VAPOUR = R_AIR / MOLAR_MASS_RATIO
"""Specific gas constant of water vapour [J/(kg K)], from the two constants above."""

CP_AIR = 1005.0
"""Specific heat of dry air at constant pressure [J/(kg K)], as the textbook examples of blower work
take it. Source: common practice, no source; the true value is 1004 to 1010 from 250 to 380 K."""

KAPPA = 1.4
"""Ratio of the specific heats of air [1]. Source: ISO 2533:1975, from memory."""

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s2]. Source: 3rd CGPM 1901, from memory."""

STANDARD_PRESSURE = 101325.0
"""Pressure of the standard atmosphere at sea level [Pa]. Source: ISO 2533, RESTATED."""

STANDARD_TEMPERATURE = 288.15
"""Temperature of the standard atmosphere at sea level [K]. Source: ISO 2533, RESTATED."""

LAPSE_RATE = 0.0065
"""Fall of temperature with geopotential height in the troposphere [K/m]. Source: ISO 2533, from
memory; 281.65 K at 1000 m is RESTATED."""

ZERO_CELSIUS = 273.15
"""0 degrees Celsius [K]. Source: definition of the degree Celsius, SI brochure, from memory."""

TRIPLE_POINT = 273.16
"""Triple point of water [K]. Source: ITS-90, from memory."""

_PRESSURE_EXPONENT = STANDARD_GRAVITY / (R_AIR * LAPSE_RATE)
_LOWEST, _HIGHEST = -5000.0, 11000.0


def saturation_pressure(temperature: Real) -> Real:
    """Saturation pressure of water vapour, over water, and over ice below the triple point.

    Equation:
        over water: ln p_s = -5800.2206/T + 1.3914993 - 0.048640239 T + 4.1764768e-5 T^2
                             - 1.4452093e-8 T^3 + 6.5459673 ln T
        over ice:   ln p_s = -5674.5359/T + 6.3925247 - 0.009677843 T + 6.2215701e-7 T^2
                             + 2.0747825e-9 T^3 - 9.484024e-13 T^4 + 4.1635019 ln T

    Parameters:
        temperature: air temperature, T [K], 173.15 to 473.15

    Returns:
        saturation pressure, p_s [Pa]

    Raises:
        ValueError: if the temperature is outside 173.15 to 473.15 K

    Example:
        >>> round(saturation_pressure(298.15), 1)
        3169.2

    Source:
        Hyland and Wexler 1983 as in ASHRAE Handbook Fundamentals 2017, ch. 1 (RESTATED by
        psychrolib 2.5.0). Goff 1957 is 0.1 % lower, IAPWS agrees to 4e-4.
    """
    between(173.15, 473.15, temperature=temperature)
    T = np.asarray(temperature, dtype=np.float64)
    over_water = -5.8002206e3 / T + 1.3914993 + 6.5459673 * np.log(T)
    over_water += T * (-4.8640239e-2 + T * (4.1764768e-5 - T * 1.4452093e-8))
    over_ice = -5.6745359e3 / T + 6.3925247 + 4.1635019 * np.log(T)
    over_ice += T * (-9.6778430e-3 + T * (6.2215701e-7 + T * (2.0747825e-9 - T * 9.4840240e-13)))
    return plain(np.exp(np.where(TRIPLE_POINT > T, over_ice, over_water)))


def vapour_pressure(temperature: Real, relative_humidity: Real) -> Real:
    """Partial pressure of the water vapour in the air.

    Equation:
        p_v = phi p_s(T)

    Parameters:
        temperature: air temperature, T [K], 173.15 to 473.15
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        vapour pressure, p_v [Pa]

    Raises:
        ValueError: if the humidity is not a fraction from 0 to 1, or the temperature is outside
            the range of the saturation pressure

    Example:
        >>> round(vapour_pressure(293.15, 0.3961), 1)
        926.4

    Source:
        definition of relative humidity; 40 CFR 1065.645(d) (READ)
    """
    between(0.0, 1.0, relative_humidity=relative_humidity)
    return relative_humidity * saturation_pressure(temperature)


def relative_humidity_from_dew_point(temperature: Real, dew_point: Real) -> Real:
    """Relative humidity of air whose dew point was measured.

    Equation:
        phi = p_s(T_d) / p_s(T)

    Parameters:
        temperature: air temperature, T [K], 173.15 to 473.15
        dew_point: temperature at which dew or frost forms, T_d [K], 173.15 to T

    Returns:
        relative humidity, phi [1]

    Raises:
        ValueError: if the dew point is above the air temperature, or either is out of range

    Example:
        >>> round(relative_humidity_from_dew_point(293.15, 282.65), 4)
        0.5077

    Source:
        40 CFR 1065.645 (READ): dew point 9.5 degC and 20 degC at 50.77 % are the same air
    """
    if np.any(np.asarray(dew_point) > np.asarray(temperature)):
        raise Unphysical("dew point must not be above the air temperature")
    return saturation_pressure(dew_point) / saturation_pressure(temperature)


def dry_pressure(pressure: Real, temperature: Real, relative_humidity: Real) -> Real:
    """Pressure of the air without its water vapour.

    Equation:
        p_d = p - phi p_s(T)

    Parameters:
        pressure: station pressure, p [Pa], 50e3 to 110e3
        temperature: air temperature, T [K], 233 to 373
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        dry pressure, p_d [Pa]

    Raises:
        ValueError: if a value is outside its domain, or the vapour alone exceeds the pressure

    Example:
        >>> round(dry_pressure(101325.0, 293.15, 0.5), 1)
        100155.6

    Source:
        Dalton's law; UN Regulation 85 and SAE J1349 use it so (RESTATED by second sources)
    """
    positive(pressure=pressure)
    dry = pressure - vapour_pressure(temperature, relative_humidity)
    if np.any(np.asarray(dry) <= 0.0):
        raise Unphysical(
            "pressure must be above the vapour pressure of the air at this temperature and humidity"
        )
    return dry


def dry_air_density(pressure: Real, temperature: Real) -> Real:
    """Density of dry air as an ideal gas.

    Equation:
        rho = p / (R T),  R = 287.05287 J/(kg K)

    Parameters:
        pressure: absolute pressure, p [Pa], 1e3 to 500e3
        temperature: temperature, T [K], 200 to 600

    Returns:
        density, rho [kg/m3]

    Raises:
        ValueError: if pressure or temperature is zero or below

    Example:
        >>> round(dry_air_density(101325.0, 288.15), 4)
        1.225

    Source:
        ideal-gas law with the constant of ISO 2533 (from memory); against psychrolib 2.5.0 (RUN)
    """
    positive(pressure=pressure, temperature=temperature)
    return pressure / (R_AIR * temperature)


def humid_air_density(pressure: Real, temperature: Real, relative_humidity: Real) -> Real:
    """Density of moist air as a mixture of two ideal gases.

    Equation:
        rho = p_d / (R_a T) + p_v / (R_v T)

    Parameters:
        pressure: station pressure, p [Pa], 50e3 to 110e3
        temperature: air temperature, T [K], 233 to 373
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        density of the moist air, rho [kg/m3]

    Raises:
        ValueError: if a value is outside its domain, or the vapour alone exceeds the pressure

    Example:
        >>> round(humid_air_density(101325.0, 293.15, 0.5), 4)
        1.1989

    Source:
        Dalton's law; against psychrolib 2.5.0 and CoolProp 8.0.0 (RUN). The real gas is 2e-4 to
        6e-4 denser.
    """
    dry = dry_pressure(pressure, temperature, relative_humidity)
    return dry / (R_AIR * temperature) + (pressure - dry) / (R_VAPOUR * temperature)


def humid_gas_constant(pressure: Real, temperature: Real, relative_humidity: Real) -> Real:
    """Specific gas constant of moist air: it makes the moist density an ideal-gas density.

    Equation:
        R = p / (rho T)

    Parameters:
        pressure: station pressure, p [Pa], 50e3 to 110e3
        temperature: air temperature, T [K], 233 to 373
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        specific gas constant of the moist air, R [J/(kg K)]

    Raises:
        ValueError: if a value is outside its domain, or the vapour alone exceeds the pressure

    Example:
        >>> round(humid_gas_constant(101325.0, 303.15, 0.8), 2)
        290.74

    Source:
        ideal-gas law; follows from the moist density (RUN against psychrolib 2.5.0)
    """
    return pressure / (humid_air_density(pressure, temperature, relative_humidity) * temperature)


def humidity_ratio(pressure: Real, temperature: Real, relative_humidity: Real) -> Real:
    """Mass of water vapour carried by each kilogram of dry air.

    Equation:
        w = 0.621945 p_v / p_d

    Parameters:
        pressure: station pressure, p [Pa], 50e3 to 110e3
        temperature: air temperature, T [K], 233 to 373
        relative_humidity: relative humidity, phi [1], 0 to 1

    Returns:
        humidity ratio, w [1]

    Raises:
        ValueError: if a value is outside its domain, or the vapour alone exceeds the pressure

    Example:
        >>> round(humidity_ratio(101325.0, 293.15, 0.5), 5)
        0.00726

    Source:
        ASHRAE Handbook Fundamentals 2017, ch. 1 (RESTATED by psychrolib 2.5.0)
    """
    dry = dry_pressure(pressure, temperature, relative_humidity)
    return MOLAR_MASS_RATIO * (pressure - dry) / dry


def standard_temperature(height: Real) -> Real:
    """Temperature of the standard atmosphere at a geopotential height.

    Equation:
        T = 288.15 - 0.0065 h

    Parameters:
        height: geopotential height, h [m], -5000 to 11000

    Returns:
        temperature, T [K]

    Raises:
        ValueError: if the height is outside -5000 to 11000 m

    Example:
        >>> standard_temperature(1000.0)
        281.65

    Source:
        US Standard Atmosphere 1976 = ISO 2533 (RESTATED)
    """
    between(_LOWEST, _HIGHEST, height=height)
    return STANDARD_TEMPERATURE - LAPSE_RATE * height


def standard_pressure(height: Real) -> Real:
    """Pressure of the standard atmosphere at a geopotential height.

    Equation:
        p = 101325 (1 - 0.0065 h / 288.15)^(g / (0.0065 R))

    Parameters:
        height: geopotential height, h [m], -5000 to 11000

    Returns:
        pressure, p [Pa]

    Raises:
        ValueError: if the height is outside -5000 to 11000 m

    Example:
        >>> round(standard_pressure(500.0), 1)
        95460.8

    Source:
        US Standard Atmosphere 1976 = ISO 2533 (RESTATED)
    """
    ratio = standard_temperature(height) / STANDARD_TEMPERATURE
    return plain(STANDARD_PRESSURE * ratio**_PRESSURE_EXPONENT)


def station_pressure(sea_level_pressure: Real, elevation: Real) -> Real:
    """Pressure at the station, from a barometer that was reduced to sea level.

    The reduction is the one of an altimeter setting: the two pressures lie as far apart in the
    standard atmosphere as the station lies above the sea. A weather service that reduces with the
    day's own temperature differs by up to about 0.5 % at 500 m.

    Equation:
        p = 101325 ((p_0 / 101325)^(1/n) - 0.0065 z / 288.15)^n,  n = g / (0.0065 R)

    Parameters:
        sea_level_pressure: barometer reading reduced to sea level, p_0 [Pa], 87e3 to 109e3
        elevation: height of the station above the sea, z [m], -500 to 5000

    Returns:
        station pressure, p [Pa]

    Raises:
        ValueError: if the pressure is zero or below, or the elevation is outside -500 to 5000 m

    Example:
        >>> round(station_pressure(101325.0, 500.0), 1)
        95460.8

    Source:
        altimeter setting by the standard atmosphere (from memory); its values on a standard day
        are those of ISO 2533 (RESTATED)
    """
    positive(sea_level_pressure=sea_level_pressure)
    between(-500.0, 5000.0, elevation=elevation)
    ratio = (sea_level_pressure / STANDARD_PRESSURE) ** (1.0 / _PRESSURE_EXPONENT)
    ratio = ratio - LAPSE_RATE * elevation / STANDARD_TEMPERATURE
    return plain(STANDARD_PRESSURE * ratio**_PRESSURE_EXPONENT)


def density_altitude(density: Real) -> Real:
    """Geopotential height at which the standard atmosphere is as dense as this air.

    Equation:
        h = (288.15 / 0.0065) (1 - (rho / rho_0)^(1/(n-1))),  n = g / (0.0065 R)

    Parameters:
        density: density of the air as it is, rho [kg/m3], 0.37 to 1.9

    Returns:
        density altitude, h [m]

    Raises:
        ValueError: if the density is not found between -5000 and 11000 m

    Example:
        >>> round(density_altitude(1.1116))
        1000

    Source:
        US Standard Atmosphere 1976 = ISO 2533 (RESTATED); inverted
    """
    between(0.364, 1.931, density=density)
    ratio = density * R_AIR * STANDARD_TEMPERATURE / STANDARD_PRESSURE
    ratio = ratio ** (1.0 / (_PRESSURE_EXPONENT - 1.0))
    return plain(STANDARD_TEMPERATURE / LAPSE_RATE * (1.0 - ratio))
