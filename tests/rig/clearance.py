"""What comes back through a blower: turbulent flow in warm narrow gaps, and what lobes carry."""

from __future__ import annotations

import numpy as np

from tests.generator.blower import Gas
from tests.generator.gas import GAS_CONSTANT, Array, orifice_flow
from tests.generator.truth import Displacer

#: Where a gap passes what an orifice of the blower's leak area would: pressures [Pa], gas [K].
_SAME = (100e3, 160e3, 370.0)
#: Share of the gap that closes for each kelvin of the gas behind: common practice, no source.
_CLOSING = 0.0012
#: Share of the swept volume that the lobes carry back full of outlet gas: common practice.
_CARRIED = 0.008


def gap_flow(before: Array, behind: Array, hot: Array) -> Array:
    """Turbulent flow through a long gap, ((p2^2 - p1^2)/(R T))^(4/7) mu^(-1/7), not scaled.

    Blasius' friction, f ~ Re^-1/4, along a compressible isothermal channel (from memory);
    viscosity goes with T^0.7.
    """
    squares = np.maximum(behind**2 - before**2, 0.0) / (GAS_CONSTANT * hot)
    return np.asarray(squares ** (4 / 7) * (hot / 300.0) ** (-0.1))


def carried_back(blower: Displacer, speed: Array, inlet: Gas, outlet: Gas) -> Array:
    """Flow [kg/s] from outlet to inlet: through the gaps, and in the lobes' own pockets."""
    (before, _), (behind, hot) = inlet, outlet
    low, high, warm = (np.array([value]) for value in _SAME)
    same = orifice_flow(blower.leak_area, high, warm, low) / gap_flow(low, high, warm)
    gap = np.clip(1 - _CLOSING * (hot - _SAME[2]), 0.8, 1.15) ** 1.5
    pockets = _CARRIED * blower.displacement * speed * np.maximum(behind - before, 0.0)
    return np.asarray(same * gap * gap_flow(before, behind, hot) + pockets / (GAS_CONSTANT * hot))
