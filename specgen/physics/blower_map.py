"""Measured maps of blowers: what a bench found at each speed, and what that says in between.

A displacing blower's map holds volumetric and isentropic efficiency over rotor speed and pressure
ratio; both depend little on the air it was measured with. A centrifugal blower's map holds
pressure ratio and isentropic efficiency over impeller speed and air flow, both referred to a stated
inlet air. The isentropic efficiency of a map is the one on temperatures; the one on shaft power,
where it was measured too, is kept apart and serves the drive's power alone.

Between the points every line is straight; outside them there is no value, whatever is asked.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from specgen.physics._domain import (
    Array,
    Real,
    Unphysical,
    efficiency,
    not_negative,
    plain,
    positive,
)
from specgen.physics._speed_lines import SpeedLines, gathered

REFERENCE_PRESSURE, REFERENCE_TEMPERATURE = 100e3, 298.15
"""Inlet air that a centrifugal blower's map is referred to unless it says otherwise [Pa, K].
Source: common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class DisplacementMap:
    """Measured points of a lobe, vane or screw blower, in any order of speeds.

    Attributes:
        speed: rotor speed of each point, n_b [rev/s]; points of one line have one speed
        pressure_ratio: outlet over inlet pressure, PR [1], rising along each speed
        volumetric_efficiency: delivered over swept volume at the inlet's density, eta_v [1]
        isentropic_efficiency: isentropic efficiency on temperatures, eta_s [1]
        shaft_efficiency: isentropic efficiency on shaft power [1], or None
    """

    speed: Array
    pressure_ratio: Array
    volumetric_efficiency: Array
    isentropic_efficiency: Array
    shaft_efficiency: Array | None = None
    lines: SpeedLines = field(init=False, repr=False)

    def __post_init__(self) -> None:
        values = _held(self, "volumetric_efficiency", "isentropic_efficiency")
        if np.any(self.pressure_ratio <= 1.0):
            raise Unphysical("a pressure ratio of a map must be above one")
        lines = gathered(self.speed, self.pressure_ratio, "pressure ratio", values)
        object.__setattr__(self, "lines", lines)

    def least_loaded(self, speed: Real) -> Array:
        """Volumetric efficiency at the lowest pressure ratio [1]; level beyond the speeds."""
        at_lowest = self.lines.values["volumetric_efficiency"][:, 0]
        return np.asarray(np.interp(speed, self.lines.speed, at_lowest))


@dataclass(frozen=True, slots=True, eq=False)
class CentrifugalMap:
    """Measured points of a centrifugal blower, referred to one inlet air.

    Attributes:
        speed: impeller speed of each point, referred to the map's air, n_b [rev/s]
        air_flow: air mass flow, referred to the map's air, m [kg/s], rising along each speed
        pressure_ratio: outlet over inlet pressure, PR [1]
        isentropic_efficiency: isentropic efficiency on temperatures, eta_s [1]
        reference_pressure: inlet pressure that flow is referred to, p_ref [Pa]
        reference_temperature: inlet temperature that flow and speed are referred to, T_ref [K]
        shaft_efficiency: isentropic efficiency on shaft power [1], or None
    """

    speed: Array
    air_flow: Array
    pressure_ratio: Array
    isentropic_efficiency: Array
    reference_pressure: float = REFERENCE_PRESSURE
    reference_temperature: float = REFERENCE_TEMPERATURE
    shaft_efficiency: Array | None = None
    lines: SpeedLines = field(init=False, repr=False)

    def __post_init__(self) -> None:
        values = _held(self, "isentropic_efficiency")
        object.__setattr__(self, "air_flow", np.asarray(self.air_flow, dtype=np.float64))
        positive(
            air_flow_of_a_map=self.air_flow,
            reference_pressure=self.reference_pressure,
            reference_temperature=self.reference_temperature,
        )
        if np.any(self.pressure_ratio <= 1.0):
            raise Unphysical("a pressure ratio of a map must be above one")
        values["pressure_ratio"] = self.pressure_ratio
        lines = gathered(self.speed, self.air_flow, "air flow", values)
        object.__setattr__(self, "lines", lines)

    def middle_ratio(self, speed: Real) -> Array:
        """Mean pressure ratio of the points at a speed [1]; level beyond the speeds."""
        means = [self.pressure_ratio[self.speed == line].mean() for line in self.lines.speed]
        return np.asarray(np.interp(speed, self.lines.speed, means))


BlowerMap = DisplacementMap | CentrifugalMap


@dataclass(frozen=True, slots=True, eq=False)
class MapPoint:
    """What a map says at given points; not a number outside it, or where it has no such column.

    Attributes:
        pressure_ratio: outlet over inlet pressure [1]
        volumetric_efficiency: delivered over swept volume [1]
        isentropic_efficiency: isentropic efficiency on temperatures [1]
        shaft_efficiency: isentropic efficiency on shaft power [1]
    """

    pressure_ratio: Array
    volumetric_efficiency: Array
    isentropic_efficiency: Array
    shaft_efficiency: Array


def displacement_map_point(
    blower_map: DisplacementMap, speed: Real, pressure_ratio: Real
) -> MapPoint:
    """Efficiencies of a displacing blower at a speed and pressure ratio, out of its map.

    Equation:
        eta = (1 - w) eta_a(PR_a) + w eta_b(PR_b),  w = (n_b - n_a) / (n_b' - n_a),
        at the same share of both lines between their lowest and highest pressure ratio

    Parameters:
        blower_map: the measured points [DisplacementMap]
        speed: rotor speed, n_b [rev/s], within the map
        pressure_ratio: outlet over inlet pressure, PR [1], within the map

    Returns:
        efficiencies at each point, not a number outside the map [MapPoint]

    Raises:
        ValueError: if a speed or pressure ratio is zero or below

    Example:
        >>> lobe = DisplacementMap([100, 100, 200, 200], [1.2, 2.0, 1.2, 2.0],
        ...                        [0.86, 0.70, 0.92, 0.84], [0.60, 0.52, 0.64, 0.58])
        >>> float(round(displacement_map_point(lobe, 150.0, 1.6).volumetric_efficiency[0], 4))
        0.83

    Source:
        straight lines between measured points; scipy 1.17.1 (RUN)
    """
    positive(speed=speed, pressure_ratio=pressure_ratio)
    n, wanted = np.broadcast_arrays(np.atleast_1d(speed), np.atleast_1d(pressure_ratio))
    columns = blower_map.lines.at(np.asarray(n, dtype=np.float64))
    share = columns.share_of(np.asarray(wanted, dtype=np.float64))
    volumetric, isentropic, shaft = (
        columns.look_up(share, name)[0] if name in columns.values else np.full(n.shape, np.nan)
        for name in ("volumetric_efficiency", "isentropic_efficiency", "shaft_efficiency")
    )
    ratio = np.where(np.isnan(share), np.nan, wanted)
    return MapPoint(ratio, volumetric, isentropic, shaft)


def centrifugal_map_point(blower_map: CentrifugalMap, speed: Real, air_flow: Real) -> MapPoint:
    """Pressure ratio and efficiency of a centrifugal blower at a speed and flow, out of its map.

    Equation:
        PR = (1 - w) PR_a(m_a) + w PR_b(m_b),  w = (n_b - n_a) / (n_b' - n_a),
        at the same share of both lines between their smallest and largest flow

    Parameters:
        blower_map: the measured points [CentrifugalMap]
        speed: impeller speed, referred to the map's air, n_b [rev/s], within the map
        air_flow: air mass flow, referred to the map's air, m [kg/s], within the map

    Returns:
        pressure ratio and efficiency at each point, not a number outside the map [MapPoint]

    Raises:
        ValueError: if a speed is zero or below, or a flow below zero

    Example:
        >>> wheel = CentrifugalMap([800, 800, 1000, 1000], [0.1, 0.2, 0.14, 0.28],
        ...                        [1.6, 1.4, 2.1, 1.7], [0.74, 0.66, 0.72, 0.62])
        >>> float(round(centrifugal_map_point(wheel, 900.0, 0.18).pressure_ratio[0], 4))
        1.7

    Source:
        straight lines between measured points; scipy 1.17.1 (RUN)
    """
    positive(speed=speed)
    not_negative(air_flow=air_flow)
    n, wanted = np.broadcast_arrays(np.atleast_1d(speed), np.atleast_1d(air_flow))
    columns = blower_map.lines.at(np.asarray(n, dtype=np.float64))
    share = columns.share_of(np.asarray(wanted, dtype=np.float64))
    ratio, isentropic = columns.look_up(share, "pressure_ratio", "isentropic_efficiency")
    none = np.full(n.shape, np.nan)
    known = "shaft_efficiency" in columns.values
    shaft = columns.look_up(share, "shaft_efficiency")[0] if known else none
    return MapPoint(ratio, none, isentropic, shaft)


def corrected_flow(
    mass_flow: Real,
    pressure: Real,
    temperature: Real,
    reference_pressure: Real = REFERENCE_PRESSURE,
    reference_temperature: Real = REFERENCE_TEMPERATURE,
) -> Real:
    """Air flow referred to another inlet air, at which a centrifugal blower works alike.

    Equation:
        m_ref = m (T / T_ref)^0.5 / (p / p_ref)

    Parameters:
        mass_flow: air mass flow as it is, m [kg/s], 0 to 3
        pressure: pressure at the blower's inlet, p [Pa], 30e3 to 110e3
        temperature: temperature at the blower's inlet, T [K], 233 to 373
        reference_pressure: inlet pressure to refer to, p_ref [Pa], 80e3 to 110e3
        reference_temperature: inlet temperature to refer to, T_ref [K], 273 to 310

    Returns:
        corrected air mass flow, m_ref [kg/s]

    Raises:
        ValueError: if the flow is below zero, or another value zero or below

    Example:
        >>> round(corrected_flow(0.2, 90e3, 310.0), 5)
        0.2266

    Source:
        similarity of flow at one Mach number, gas and machine unchanged (computed)
    """
    not_negative(mass_flow=mass_flow)
    positive(
        pressure=pressure,
        temperature=temperature,
        reference_pressure=reference_pressure,
        reference_temperature=reference_temperature,
    )
    warmth = np.sqrt(np.asarray(temperature) / reference_temperature)
    return plain(mass_flow * warmth * reference_pressure / pressure)


def corrected_speed(
    speed: Real, temperature: Real, reference_temperature: Real = REFERENCE_TEMPERATURE
) -> Real:
    """Impeller speed referred to another inlet temperature, at the same Mach number.

    Equation:
        n_ref = n / (T / T_ref)^0.5

    Parameters:
        speed: impeller speed as it is, n [rev/s], 0 to 4000
        temperature: temperature at the blower's inlet, T [K], 233 to 373
        reference_temperature: inlet temperature to refer to, T_ref [K], 273 to 310

    Returns:
        corrected impeller speed, n_ref [rev/s]

    Raises:
        ValueError: if the speed is below zero, or a temperature zero or below

    Example:
        >>> round(corrected_speed(1000.0, 310.0), 2)
        980.7

    Source:
        similarity of flow at one Mach number, gas and machine unchanged (computed)
    """
    not_negative(speed=speed)
    positive(temperature=temperature, reference_temperature=reference_temperature)
    return plain(speed / np.sqrt(np.asarray(temperature) / reference_temperature))


def _held(blower_map: DisplacementMap | CentrifugalMap, *needed: str) -> dict[str, Array]:
    """Turn a map's columns into arrays, refuse what cannot be, and give the efficiencies."""
    names = [*needed, *(["shaft_efficiency"] if blower_map.shaft_efficiency is not None else [])]
    for name in ("speed", "pressure_ratio", *names):
        column = np.asarray(getattr(blower_map, name), dtype=np.float64)
        object.__setattr__(blower_map, name, column)
        if column.shape != blower_map.speed.shape or column.ndim != 1:
            raise Unphysical(f"{name.replace('_', ' ')} must have one value for each point")
    positive(speed_of_a_map=blower_map.speed)
    values = {name: getattr(blower_map, name) for name in names}
    efficiency(**values)
    return values
