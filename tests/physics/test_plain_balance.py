"""The vectorised solver against a plain one: the six balances by nested bisection, one speed."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from specgen.physics._balance import first_crossing
from specgen.physics.matching import Cooler, Demand, Inlet, Supply, match


def bisect(function: Callable[[float], float], low: float, high: float) -> float:
    """Find where a function that falls through zero does so."""
    for _ in range(200):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if function(middle) > 0.0 else (low, middle)
    return 0.5 * (low + high)


SWEPT_VOLUME, BREATHING = 3e-3, 0.9
AMBIENT, COLD, INLET_LOSS = 98.6e3, 301.0, 4e4
EFFECTIVENESS, COOLANT, COOLER_LOSS = 0.7, 312.0, 3e4
LIMIT_EFFICIENCY = 0.96
GAS, HEAT = 287.05287, 1005.0


def manifold_pressure(
    speed: float, displacement: float, ratio: float, leak_area: float, built_in: float
) -> float:
    """Give the manifold pressure from the balances as they are written, with no shortcut."""
    swept = displacement * ratio * speed

    def state(outlet: float, flow: float) -> tuple[float, float, float]:
        """Give the flow delivered, the manifold pressure and the charge temperature."""
        p1 = AMBIENT - INLET_LOSS * flow**2 / (AMBIENT / (GAS * COLD))
        rho1 = p1 / (GAS * COLD)
        rise = outlet - p1
        leak = leak_area * math.copysign(math.sqrt(2.0 * abs(rise) / rho1), rise)
        delivered = (LIMIT_EFFICIENCY * swept - leak) * rho1
        work = 3.5 * p1 * (built_in**0.4 - 1.0) + (outlet - p1 * built_in**1.4) / built_in
        hot = COLD + work * swept / (delivered * HEAT)
        cool = hot - EFFECTIVENESS * (hot - COOLANT)
        drop = COOLER_LOSS * delivered**2 / (outlet / (GAS * hot))
        return delivered, outlet - drop, cool

    def flow_at(outlet: float) -> float:
        return bisect(lambda flow: state(outlet, flow)[0] - flow, 0.0, 0.6)

    def surplus(outlet: float) -> float:
        delivered, manifold, cool = state(outlet, flow_at(outlet))
        return delivered - BREATHING * SWEPT_VOLUME * speed / 2.0 * manifold / (GAS * cool)

    outlet = bisect(surplus, 0.5 * AMBIENT, 3.0 * AMBIENT)
    return state(outlet, flow_at(outlet))[1]


@pytest.mark.parametrize("speed", [35.0, 70.0, 108.0])
@pytest.mark.parametrize(
    ("displacement", "ratio", "leak_area", "built_in"),
    [(1.3e-3, 2.2, 6e-5, 1.0), (1.3e-3, 2.2, 6e-5, 1.35), (0.8e-3, 1.5, 3e-5, 1.0)],
    ids=["lobe", "screw", "too small"],
)
def test_same_as_the_plain_solver(
    speed: float, displacement: float, ratio: float, leak_area: float, built_in: float
) -> None:
    """The manifold pressure agrees with nested bisection on the balances as written."""
    plain = manifold_pressure(speed, displacement, ratio, leak_area, built_in)
    found = match(
        speed,
        Inlet(AMBIENT, COLD, INLET_LOSS),
        Demand(SWEPT_VOLUME, BREATHING),
        Supply(displacement, ratio, LIMIT_EFFICIENCY, leak_area, built_in),
        Cooler(EFFECTIVENESS, COOLANT, COOLER_LOSS),
    )
    assert float(found.manifold_pressure[0]) == pytest.approx(plain, rel=1e-9)


def test_first_of_several_crossings() -> None:
    """Where a surplus falls through zero twice, the lower point is found; where never, none."""
    shift = np.array([0.0, 0.2, 9.0])
    found, solved = first_crossing(lambda x: np.cos(5.0 * x) + shift, 0.0, np.full(3, 2.5))
    assert solved.tolist() == [True, True, False]
    expected = np.array([np.pi / 2.0, np.arccos(-0.2)]) / 5.0
    assert found[:2] == pytest.approx(expected, rel=1e-14)


def test_few_steps_are_enough() -> None:
    """Grid and refinement together look at a smooth surplus at most a dozen times."""
    looks = []

    def surplus(x: NDArray[np.float64]) -> NDArray[np.float64]:
        looks.append(x.shape)
        return np.asarray(2.0 - np.exp(x) * x)

    found, _ = first_crossing(surplus, 0.0, np.array([1.5, 2.0, 2.5]))
    assert found == pytest.approx(np.full(3, 0.8526055020137254), rel=1e-14)
    assert len(looks) <= 12
