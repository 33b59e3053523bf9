"""Where boost comes from when the blower's map was measured.

The same balance as in `matching`, with the blower's side read off its map. The unknown is the
share of the speed line that the blower works at: the balance is only ever looked for between the
line's two ends, so that nothing is extrapolated. Where it lies outside, the result says on which
side.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from specgen.physics._balance import first_crossing
from specgen.physics._domain import Array, Real, efficiency, positive
from specgen.physics._sides import Sides, inlet_pressure, speeds
from specgen.physics._speed_lines import Columns
from specgen.physics.air import KAPPA
from specgen.physics.blower_map import CentrifugalMap as CentrifugalMap
from specgen.physics.blower_map import DisplacementMap as DisplacementMap
from specgen.physics.blower_map import corrected_speed
from specgen.physics.stations import Cooler as Cooler
from specgen.physics.stations import Demand as Demand
from specgen.physics.stations import Inlet as Inlet
from specgen.physics.stations import Match as Match

OUTSIDE = (
    "",
    "the blower turns more slowly than the map's lowest speed",
    "the blower turns faster than the map's highest speed",
    "the pressure ratio would lie below the map's lowest",
    "the pressure ratio would lie above the map's highest",
    "the engine swallows less than the map's smallest flow, towards surge",
    "the engine swallows more than the map's largest flow, towards choke",
)
"""Why a balance lies outside a map: the words for each value of `Match.outside`."""

_TOO_SLOW, _TOO_FAST, _BELOW, _ABOVE, _SURGE, _CHOKE = range(1, 7)
_EXPONENT = (KAPPA - 1.0) / KAPPA


@dataclass(frozen=True, slots=True, eq=False)
class MappedSupply:
    """A positive-displacement blower with its measured map, and its drive.

    Attributes:
        blower_map: the measured points [DisplacementMap]
        displacement: displacement per rotor revolution, D [m3]
        speed_ratio: rotor revolutions per crank revolution, i [1]
        volumetric_factor: volumetric efficiency against the map's, f_v [1]
        efficiency_factor: isentropic efficiency against the map's, f_s [1]
        mechanical_efficiency: mechanical efficiency of blower and drive, eta_m [1]; not used where
            the map has the efficiency on shaft power
    """

    blower_map: DisplacementMap
    displacement: Real
    speed_ratio: Real
    volumetric_factor: Real = 1.0
    efficiency_factor: Real = 1.0
    mechanical_efficiency: Real = 1.0

    def __post_init__(self) -> None:
        positive(
            displacement=self.displacement,
            speed_ratio=self.speed_ratio,
            volumetric_factor=self.volumetric_factor,
            efficiency_factor=self.efficiency_factor,
        )
        efficiency(mechanical_efficiency=self.mechanical_efficiency)


@dataclass(frozen=True, slots=True, eq=False)
class MappedImpeller:
    """A centrifugal blower with its measured map, and its drive.

    Attributes:
        blower_map: the measured points [CentrifugalMap]
        speed_ratio: impeller revolutions per crank revolution, i [1]
        head_factor: isentropic head against the map's, f_h [1]
        efficiency_factor: isentropic efficiency against the map's, f_s [1]
        mechanical_efficiency: mechanical efficiency of blower and drive, eta_m [1]; not used where
            the map has the efficiency on shaft power
    """

    blower_map: CentrifugalMap
    speed_ratio: Real
    head_factor: Real = 1.0
    efficiency_factor: Real = 1.0
    mechanical_efficiency: Real = 1.0

    def __post_init__(self) -> None:
        positive(
            speed_ratio=self.speed_ratio,
            head_factor=self.head_factor,
            efficiency_factor=self.efficiency_factor,
        )
        efficiency(mechanical_efficiency=self.mechanical_efficiency)


def match_map(
    speed: Real, inlet: Inlet, demand: Demand, supply: MappedSupply, cooler: Cooler | None = None
) -> Match:
    """Balance of a displacing blower with an engine, the blower read off its measured map.

    Equation:
        D n_b eta_v rho_1 = eta_e V_d n rho_3 / 2,  n_b = i n,  eta_e as in match
        eta_v = f_v eta_v,map(n_b, PR),  eta_s = f_s eta_s,map(n_b, PR), at most 1
        T_2 = T_1 [1 + (PR^((k-1)/k) - 1) / eta_s],  T_3 = T_2 - eps (T_2 - T_c)
        p_1 = p_0 - k m^2 / rho_0,  p_3 = PR p_1 - k_c m^2 / rho_2
        P_b = m c_p (T_2 - T_1) / eta_m, or with the map's efficiency on shaft power in place of
        eta_s and eta_m

    Parameters:
        speed: engine speed, n [rev/s], 5 to 250
        inlet: the air before filter and throttle [Inlet]
        demand: the engine [Demand]
        supply: the blower, its map and its drive [MappedSupply]
        cooler: the charge cooler, or None [Cooler]

    Returns:
        the balance at each speed, all of it arrays; none outside the map [Match]

    Raises:
        ValueError: if a speed is zero or below, or a parameter has neither one value nor one for
            each speed

    Example:
        >>> lobe = DisplacementMap([50, 50, 200, 200], [1.2, 3.0, 1.2, 3.0],
        ...                        [1.0, 1.0, 1.0, 1.0], [0.7, 0.7, 0.7, 0.7])
        >>> inlet, perfect = Inlet(101325.0, 298.15), Cooler(1.0, 298.15)
        >>> found = match_map(50.0, inlet, Demand(5e-3, 0.9), MappedSupply(lobe, 1.9e-3, 2.0),
        ...                   perfect)
        >>> round(float(found.pressure_ratio[0]), 4)
        1.6889

    Source:
        mass and energy balance with measured efficiencies; closed forms in the tests (computed)
    """
    n = speeds(speed, inlet, demand, supply, cooler)
    turning = np.asarray(supply.speed_ratio * n)
    columns = supply.blower_map.lines.at(turning)
    swept = np.asarray(supply.displacement * turning)
    swallowed = np.asarray(0.5 * demand.volumetric_efficiency * demand.swept_volume * n)
    side = _Displacing(inlet, demand, cooler, swept, swallowed, supply, columns)
    share, crossed = first_crossing(side.surplus, 0.0, np.ones_like(n))
    starved = side.surplus(np.zeros_like(n)) <= 0.0
    outside = _outside(columns, crossed, starved, _BELOW, _ABOVE)
    found = side.result(n, turning, share, outside == 0, side.drive(share))
    return replace(found, reason=_reason(outside), outside=outside)


class _Displacing(Sides):
    """A displacing blower's side by its map; the unknown is the share of the speed line."""

    def __init__(
        self,
        inlet: Inlet,
        demand: Demand,
        cooler: Cooler | None,
        swept: Array,
        swallowed: Array,
        supply: MappedSupply,
        columns: Columns,
    ) -> None:
        super().__init__(inlet, demand, cooler, swept, swallowed)
        self.supply, self.columns = supply, columns

    def state(self, point: Array) -> tuple[Array, Array, Array]:
        """Give pressure ratio, volumetric efficiency and heat."""
        ratio = self.columns.along(point)
        volumetric, isentropic = self.columns.look_up(
            point, "volumetric_efficiency", "isentropic_efficiency"
        )
        eta_v = self.supply.volumetric_factor * volumetric
        warmth = _warmth(ratio, self.supply.efficiency_factor * isentropic)
        return ratio, eta_v, self.inlet.temperature * warmth * eta_v

    def drive(self, share: Array) -> Callable[[Array, Array, Array, Array], Array]:
        """Give how the drive's power follows at these shares."""
        drive = _Drive(self.inlet, self.columns, share, self.supply.mechanical_efficiency)
        return drive.power


def match_centrifugal_map(
    speed: Real,
    inlet: Inlet,
    demand: Demand,
    impeller: MappedImpeller,
    cooler: Cooler | None = None,
) -> Match:
    """Balance of a centrifugal blower with an engine, the blower read off its measured map.

    Equation:
        m = eta_e V_d n rho_3 / 2,  eta_e as in match
        PR^((k-1)/k) - 1 = f_h [PR_map(n_ref, m_ref)^((k-1)/k) - 1]
        n_ref = i n / (T_1 / T_ref)^0.5,  m_ref = m (T_1 / T_ref)^0.5 / (p_1 / p_ref)
        T_2 = T_1 [1 + (PR^((k-1)/k) - 1) / eta_s],  eta_s = f_s eta_s,map, at most 1
        T_3 = T_2 - eps (T_2 - T_c),  p_1 = p_0 - k m^2 / rho_0,  p_3 = PR p_1 - k_c m^2 / rho_2
        P_b = m c_p (T_2 - T_1) / eta_m, or by the map's efficiency on shaft power

    Parameters:
        speed: engine speed, n [rev/s], 5 to 250
        inlet: the air before filter and throttle [Inlet]
        demand: the engine [Demand]
        impeller: the blower, its map and its drive [MappedImpeller]
        cooler: the charge cooler, or None [Cooler]

    Returns:
        the balance at each speed, all of it arrays; none outside the map [Match]

    Raises:
        ValueError: if a speed is zero or below, or a parameter has neither one value nor one for
            each speed

    Example:
        >>> flat = CentrifugalMap([500, 500, 800, 800], [0.05, 0.40, 0.05, 0.40],
        ...                       [1.3, 1.3, 1.5, 1.5], [0.7, 0.7, 0.7, 0.7])
        >>> inlet, engine = Inlet(101325.0, 298.15), Demand(3e-3, 0.9)
        >>> found = match_centrifugal_map(80.0, inlet, engine, MappedImpeller(flat, 8.125))
        >>> round(float(found.pressure_ratio[0]), 4)
        1.4

    Source:
        mass and energy balance with measured efficiencies; closed forms in the tests (computed)
    """
    n = speeds(speed, inlet, demand, impeller, cooler)
    turning = np.asarray(impeller.speed_ratio * n)
    blower_map = impeller.blower_map
    referred = corrected_speed(turning, inlet.temperature, blower_map.reference_temperature)
    columns = blower_map.lines.at(np.asarray(referred))
    side = _Turning(n, inlet, demand, cooler or Cooler(0.0, inlet.temperature), impeller, columns)
    share, crossed = first_crossing(side.want, 0.0, np.ones_like(n))
    full = side.want(np.zeros_like(n)) <= 0.0
    outside = _outside(columns, crossed, full, _SURGE, _CHOKE)
    found = side.result(np.where(outside == 0, share, np.nan), turning)
    return replace(found, reason=_reason(outside), outside=outside)


class _Turning:
    """A centrifugal blower's side by its map; the unknown is the share of the speed line.

    All flows are over the inlet's pressure, m / p_1, which makes the inlet's loss a closed form.
    """

    def __init__(
        self,
        speed: Array,
        inlet: Inlet,
        demand: Demand,
        cooler: Cooler,
        impeller: MappedImpeller,
        columns: Columns,
    ) -> None:
        self.speed, self.inlet, self.demand, self.cooler = speed, inlet, demand, cooler
        self.impeller, self.columns = impeller, columns
        blower_map = impeller.blower_map
        warmth = np.sqrt(inlet.temperature / blower_map.reference_temperature)
        self.flow_scale = 1.0 / (warmth * blower_map.reference_pressure)
        swept = 0.5 * demand.volumetric_efficiency * demand.swept_volume * speed
        self.swallowed = np.asarray(swept / inlet.gas_constant)

    def stations(self, share: Array) -> tuple[Array, Array, Array, Array, Array]:
        """Give PR, m / p_1, T_2, T_3 and p_3 / p_1 at these shares."""
        mapped, isentropic = self.columns.look_up(share, "pressure_ratio", "isentropic_efficiency")
        head = self.impeller.head_factor * (mapped**_EXPONENT - 1.0)
        ratio = (1.0 + head) ** (1.0 / _EXPONENT)
        flow = self.columns.along(share) * self.flow_scale
        hot = self.inlet.temperature * _warmth(ratio, self.impeller.efficiency_factor * isentropic)
        charge = hot - self.cooler.effectiveness * (hot - self.cooler.coolant_temperature)
        loss = self.cooler.loss_coefficient * self.inlet.gas_constant * flow**2 * hot / ratio
        return ratio, flow, hot, np.asarray(charge), ratio - loss

    def want(self, share: Array) -> Array:
        """Give what the engine would swallow beyond what the blower passes on, over p_1."""
        _, flow, _, charge, manifold = self.stations(share)
        outside = manifold * inlet_pressure(self.inlet, flow) / self.inlet.pressure
        warmth = self.demand.warmth(charge, self.inlet.temperature)
        response = self.demand.response(outside, warmth)
        return np.asarray(self.swallowed * manifold * response / charge - flow)

    def result(self, share: Array, turning: Array) -> Match:
        """Fill in every station."""
        ratio, flow_ratio, hot, charge, manifold = self.stations(share)
        pressure = inlet_pressure(self.inlet, flow_ratio)
        solved = np.isfinite(share)
        flow = flow_ratio * pressure
        drive = _Drive(self.inlet, self.columns, share, self.impeller.mechanical_efficiency)
        return Match(
            speed=self.speed,
            inlet_pressure=pressure,
            inlet_temperature=np.where(solved, self.inlet.temperature, np.nan),
            pressure_ratio=ratio,
            discharge_pressure=ratio * pressure,
            discharge_temperature=hot,
            manifold_pressure=manifold * pressure,
            charge_temperature=charge,
            mass_flow=flow,
            blower_speed=turning,
            blower_volumetric_efficiency=np.full_like(self.speed, np.nan),
            drive_power=drive.power(ratio, pressure, flow, hot),
            solved=solved,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Drive:
    """Power from the crank: by the shaft efficiency where it was measured, else by the heat."""

    inlet: Inlet
    columns: Columns
    share: Array
    mechanical_efficiency: Real

    def power(self, ratio: Array, _pressure: Array, flow: Array, hot: Array) -> Array:
        """Give the power from PR, p_1, m and T_2."""
        cold, heat = self.inlet.temperature, self.inlet.specific_heat
        if "shaft_efficiency" in self.columns.values:
            (shaft,) = self.columns.look_up(self.share, "shaft_efficiency")
            return np.asarray(flow * heat * cold * (ratio**_EXPONENT - 1.0) / shaft)
        return np.asarray(flow * heat * (hot - cold) / self.mechanical_efficiency)


def _warmth(ratio: Array, isentropic: Array) -> Array:
    """Give T_2 / T_1; no factor makes a machine better than isentropic."""
    return np.asarray(1.0 + (ratio**_EXPONENT - 1.0) / np.minimum(isentropic, 1.0))


def _outside(
    columns: Columns, crossed: NDArray[np.bool_], short: NDArray[np.bool_], low: int, high: int
) -> NDArray[np.int8]:
    """Say for each speed where its balance lies: 0 on the map, else the index of the words."""
    found = np.where(crossed, 0, np.where(short, low, high))
    found = np.where(columns.too_slow, _TOO_SLOW, found)
    return np.asarray(np.where(columns.too_fast, _TOO_FAST, found), dtype=np.int8)


def _reason(outside: NDArray[np.int8]) -> str | None:
    """Say why some speeds have no balance."""
    causes = [OUTSIDE[index] for index in np.unique(outside) if index]
    return f"outside the measured map: {'; '.join(causes)}" if causes else None
