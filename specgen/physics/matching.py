"""Where boost comes from: the blower's delivery against what the engine swallows.

The whole speed range is solved at once. One idea makes it quick: leakage, heating and the cooler's
loss depend on the blower's pressure ratio alone, whatever the pressure at its inlet, so the balance
has one unknown at each speed, and the inlet's loss follows afterwards in closed form.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from specgen.physics._balance import first_crossing
from specgen.physics._domain import Array, Real, efficiency, positive
from specgen.physics._sides import Sides, inlet_pressure, speeds
from specgen.physics.blower import drive_power
from specgen.physics.compression import (
    centrifugal_pressure_ratio,
    discharge_temperature,
    work_over_inlet_pressure,
)
from specgen.physics.stations import Cooler as Cooler
from specgen.physics.stations import Demand as Demand
from specgen.physics.stations import Inlet as Inlet
from specgen.physics.stations import Match as Match
from specgen.physics.stations import Supply as Supply

LOWEST_PRESSURE_RATIO, HIGHEST_PRESSURE_RATIO = 0.2, 6.0
"""Where a balance is looked for [1]: from a blower that throttles the engine badly to more than any
single-stage blower reaches. Source: common practice, no source."""

HOTTEST = 933.473
"""Air leaving a blower that no balance is looked for beyond [K]: there aluminium melts, and what
little the law of the leakage still delivers says nothing of a machine. Source: freezing point of
aluminium, 660.323 °C, a fixed point of the International Temperature Scale of 1990."""

STARVED = (
    "the engine swallows more than the blower delivers even at a pressure ratio of "
    f"{LOWEST_PRESSURE_RATIO:g}: the blower is far too small or too slow for it"
)
OVERFED = (
    "the blower delivers more than the engine swallows at every pressure ratio up to "
    f"{HIGHEST_PRESSURE_RATIO:g}, or to where what leaks back melts aluminium: "
    "the blower is far too large or too fast for it"
)
"""Why a displacing blower and an engine have no balance, in words."""

OVERDRIVEN = (
    f"its pressure ratio passes {HIGHEST_PRESSURE_RATIO:g}, which no single stage reaches: "
    "the blower is far too fast for it"
)
"""Why a centrifugal blower has no balance, in words."""

#: Rounds between breathing and losses; each one takes a tenth or less of the error along.
_ROUNDS = 14


def match(
    speed: Real, inlet: Inlet, demand: Demand, supply: Supply, cooler: Cooler | None = None
) -> Match:
    """Balance of a positive-displacement blower with an engine over a range of speeds.

    Equation:
        D n_b eta_v rho_1 = eta_e V_d n rho_3 / 2,  n_b = i n
        eta_e = eta_stated [r - (p_0/p_3)^(1/k)] / (r - 1) (T_3/T_ref)^m where r is given
        eta_v = eta_0 - (A / D) (2 (PR - 1) R T_1)^0.5 / n_b
        T_2 = T_1 + w / (rho_1 eta_v c_p),  T_3 = T_2 - eps (T_2 - T_c)
        p_1 = p_0 - k m^2 / rho_0,  p_3 = PR p_1 - k_c m^2 / rho_2

    Parameters:
        speed: engine speed, n [rev/s], 5 to 250
        inlet: the air before filter and throttle [Inlet]
        demand: the engine [Demand]
        supply: the blower and its drive [Supply]
        cooler: the charge cooler, or None [Cooler]

    Returns:
        the balance at each speed, all of it arrays; none at a pressure ratio outside 0.2 to 6, nor
            where the air that leaves is hotter than 933 K [Match]

    Raises:
        ValueError: if a speed is zero or below, or a parameter has neither one value nor one for
            each speed

    Example:
        >>> inlet, engine = Inlet(101325.0, 298.15), Demand(5e-3, 0.9)
        >>> found = match(50.0, inlet, engine, Supply(1.9e-3, 2.0))
        >>> round(float(found.pressure_ratio[0]), 3)
        2.331

    Source:
        mass and energy balance; closed forms in the tests (computed). Leakage as in
        blower.slip_speed: unfitted, carry 5 points on eta_v. Breathing under boost as in
        breathing.boosted_volumetric_efficiency, Rajput Ex 7.9 (RESTATED).
    """
    n = speeds(speed, inlet, demand, supply, cooler)
    swept = supply.displacement * supply.speed_ratio * n
    swallowed = 0.5 * demand.volumetric_efficiency * demand.swept_volume * n
    law = _Law(inlet, supply, cooler, swept, swallowed, demand)
    root, crossed = first_crossing(law.surplus, -np.sqrt(1.0 - LOWEST_PRESSURE_RATIO), law.end)
    solved = crossed & law.is_bearable(root)
    found = law.result(n, supply.speed_ratio * n, root, solved, law.drive)
    return replace(found, reason=law.reason(solved))


class _Law(Sides):
    """The blower's side by its leakage area and built-in ratio.

    The unknown s is the signed root of the pressure ratio less one, PR = 1 + s |s|: the leakage is
    linear in it, so nothing has a steep foot at PR = 1.
    """

    def __init__(
        self,
        inlet: Inlet,
        supply: Supply,
        cooler: Cooler | None,
        swept: Array,
        swallowed: Array,
        demand: Demand,
    ) -> None:
        super().__init__(inlet, demand, cooler, swept, swallowed)
        self.supply = supply
        self.slope = (
            supply.leak_area * (2.0 * inlet.gas_constant * inlet.temperature) ** 0.5 / swept
        )
        self.heating = inlet.temperature * inlet.gas_constant / inlet.specific_heat
        widest = (HIGHEST_PRESSURE_RATIO - 1.0) ** 0.5
        self.end = supply.limit_efficiency / np.maximum(
            self.slope, supply.limit_efficiency / widest
        )
        # The work is linear in the pressure ratio: two numbers stand for it.
        self.work_slope = 1.0 / supply.built_in_ratio
        self.work_at_one = np.asarray(work_over_inlet_pressure(1.0, supply.built_in_ratio))

    def state(self, point: Array) -> tuple[Array, Array, Array]:
        """Give pressure ratio, volumetric efficiency and heat."""
        rise = point * np.abs(point)
        eta_v = self.supply.limit_efficiency - self.slope * point
        work = self.work_at_one + self.work_slope * rise
        return 1.0 + rise, eta_v, self.inlet.temperature * eta_v + self.heating * work

    def is_bearable(self, point: Array) -> NDArray[np.bool_]:
        """Say where the air that leaves is no hotter than a machine can be."""
        _, eta_v, heat = self.state(point)
        return heat <= HOTTEST * eta_v

    def drive(self, ratio: Array, pressure: Array, _flow: Array, _hot: Array) -> Array:
        """Give the drive's power from the work on all that is swept."""
        work = np.asarray(work_over_inlet_pressure(ratio, self.supply.built_in_ratio)) * pressure
        return np.asarray(drive_power(work, self.swept, self.supply.mechanical_efficiency))

    def reason(self, solved: NDArray[np.bool_]) -> str | None:
        """Say why some speeds have no balance."""
        if np.all(solved):
            return None
        lowest = np.full_like(self.swept, -((1.0 - LOWEST_PRESSURE_RATIO) ** 0.5))
        short = self.surplus(lowest) <= 0.0
        starved, fed = np.any(~solved & short), np.any(~solved & ~short)
        if starved and fed:
            return f"{STARVED}; {OVERFED}"
        return STARVED if starved else OVERFED


def match_centrifugal(
    speed: Real,
    inlet: Inlet,
    demand: Demand,
    reference_ratio: Real,
    reference_speed: Real,
    isentropic_efficiency: Real,
    speed_ratio: Real,
    mechanical_efficiency: Real = 1.0,
    cooler: Cooler | None = None,
    reference_temperature: Real | None = None,
) -> Match:
    """Balance of a crank-driven centrifugal blower with an engine over a range of speeds.

    Equation:
        PR = [1 + (PR_0^((k-1)/k) - 1) (n_b / n_0)^2 T_r / T_1]^(k/(k-1)),  n_b = i n
        T_2 = T_1 [1 + (PR^((k-1)/k) - 1) / eta_s],  T_3 = T_2 - eps (T_2 - T_c)
        m = eta_e V_d n rho_3 / 2,  eta_e as in match
        p_1 = p_0 - k m^2 / rho_0,  p_3 = PR p_1 - k_c m^2 / rho_2

    Parameters:
        speed: engine speed, n [rev/s], 5 to 250
        inlet: the air before filter and throttle [Inlet]
        demand: the engine [Demand]
        reference_ratio: pressure ratio at the reference speed, PR_0 [1], 1 to 4
        reference_speed: impeller speed of the reference ratio, n_0 [rev/s], above 0
        isentropic_efficiency: isentropic efficiency on temperatures, eta_s [1], 0.5 to 0.85
        speed_ratio: impeller revolutions per crank revolution, i [1], 3 to 15
        mechanical_efficiency: mechanical efficiency of blower and drive, eta_m [1], 0.7 to 1
        cooler: the charge cooler, or None [Cooler]
        reference_temperature: inlet temperature of that ratio, T_r, or None for the air's own [K]

    Returns:
        the balance at each speed, all of it arrays; none where the pressure ratio passes 6 [Match]

    Raises:
        ValueError: if a speed or ratio is zero or below, an efficiency is not above zero and at
            most one, or a parameter has neither one value nor one for each speed

    Example:
        >>> inlet, engine = Inlet(101325.0, 298.15), Demand(3e-3, 0.9)
        >>> found = match_centrifugal(80.0, inlet, engine, 1.5, 800.0, 0.7, 8.0)
        >>> round(float(found.pressure_ratio[0]), 4)
        1.3032

    Source:
        similarity of flow (computed), mass and energy balance; the law holds near the best point
    """
    positive(speed_ratio=speed_ratio)
    efficiency(mechanical_efficiency=mechanical_efficiency)
    n = speeds(speed, inlet, demand, cooler)
    stated = inlet.temperature if reference_temperature is None else reference_temperature
    warmth = np.asarray(inlet.temperature / stated)
    ratio = np.asarray(
        centrifugal_pressure_ratio(reference_ratio, speed_ratio * n, reference_speed, warmth=warmth)
    )
    hot = np.asarray(discharge_temperature(inlet.temperature, ratio, isentropic_efficiency))
    ratio = np.where(ratio <= HIGHEST_PRESSURE_RATIO, ratio, np.nan)
    found = _known_ratio(n, inlet, demand, ratio, hot, cooler, speed_ratio, mechanical_efficiency)
    return replace(found, reason=None if np.all(found.solved) else OVERDRIVEN)


def match_without_blower(speed: Real, inlet: Inlet, demand: Demand) -> Match:
    """Air of a naturally aspirated engine, in the same form as with a blower.

    Equation:
        m = eta_e V_d n rho_1 / 2,  eta_e as in match,  p_1 = p_0 - k m^2 / rho_0

    Parameters:
        speed: engine speed, n [rev/s], 5 to 250
        inlet: the air before filter and throttle [Inlet]
        demand: the engine [Demand]

    Returns:
        the balance at each speed, all of it arrays; pressure ratio 1, no drive power [Match]

    Raises:
        ValueError: if a speed is zero or below, or a parameter has neither one value nor one for
            each speed

    Example:
        >>> found = match_without_blower(100.0, Inlet(101325.0, 288.15), Demand(3e-3, 0.9))
        >>> round(float(found.mass_flow[0]), 4)
        0.1654

    Source:
        definition of volumetric efficiency
    """
    n = speeds(speed, inlet, demand)
    ambient = np.full_like(n, inlet.temperature)
    return _known_ratio(n, inlet, demand, np.ones_like(n), ambient, None, np.nan, 1.0)


def _known_ratio(
    n: Array,
    inlet: Inlet,
    demand: Demand,
    ratio: Array,
    hot: Array,
    cooler: Cooler | None,
    speed_ratio: Real,
    mechanical_efficiency: Real,
) -> Match:
    """Fill in the rest where the pressure ratio does not depend on the flow."""
    cooler = cooler or Cooler(0.0, inlet.temperature)
    hot = np.where(np.isfinite(ratio), hot, np.nan)
    charge = hot - cooler.effectiveness * (hot - cooler.coolant_temperature)
    R = inlet.gas_constant
    swept = 0.5 * demand.volumetric_efficiency * demand.swept_volume * n / (R * charge)
    # Breathing goes with the manifold's pressure, which the losses at this flow decide.
    manifold, before = ratio, np.asarray(inlet.pressure)
    for _ in range(_ROUNDS if demand.compression_ratio is not None else 1):
        outside = manifold * before / inlet.pressure
        swallowed = swept * demand.response(outside, demand.warmth(charge, inlet.temperature))
        # z = p_3/p_1 solves z + C z^2 = PR with C PR as below.
        curvature = cooler.loss_coefficient * swallowed**2 * R * hot
        manifold = 2.0 * ratio / (1.0 + np.sqrt(1.0 + 4.0 * curvature))
        before = inlet_pressure(inlet, swallowed * manifold)
    flow = swallowed * manifold * before
    return Match(
        speed=n,
        inlet_pressure=before,
        inlet_temperature=np.full_like(n, inlet.temperature),
        pressure_ratio=ratio,
        discharge_pressure=ratio * before,
        discharge_temperature=hot,
        manifold_pressure=manifold * before,
        charge_temperature=charge,
        mass_flow=flow,
        blower_speed=speed_ratio * n,
        blower_volumetric_efficiency=np.full_like(n, np.nan),
        drive_power=flow * inlet.specific_heat * (hot - inlet.temperature) / mechanical_efficiency,
        solved=np.isfinite(ratio),
    )
