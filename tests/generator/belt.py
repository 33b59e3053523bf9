"""The blower belt: how much torque it carries before it slips."""

from __future__ import annotations

import numpy as np

from tests.generator.gas import Array
from tests.generator.truth import Belt, Setup


def speed_ratio(belt: Belt, setup: Setup) -> float:
    """Pulley ratio on pitch diameters: the belt's cord runs outside the effective diameter."""
    crank = setup.crank_pulley + 2 * belt.line
    return crank / (setup.blower_pulley + 2 * belt.line)


def torque_capacity(belt: Belt, setup: Setup, engine_speed: Array, grip: Array) -> Array:
    """Torque [N m] at the blower's pulley at which the belt begins to slip.

    Euler and Eytelwein: T1/T2 = exp(grip * wrap), with the mean run tension kept and the
    centrifugal tension m v^2 taken off; the belt's grip is friction over the sine of half the
    groove. A belt that slips warms and loses grip in proportion (common practice, no source).
    `grip` is blower speed over what the pulleys ask for.
    """
    crank = setup.crank_pulley + 2 * belt.line
    velocity = np.pi * crank * engine_speed
    held = np.maximum(belt.tension - belt.mass * velocity**2, 0.05 * belt.tension)
    wedge = np.exp(belt.grip * belt.wrap)
    slip = np.maximum(1 - belt.creep - grip, 0.0)
    pull = np.maximum(1 - belt.fade * slip, 0.3) * 2 * held * (wedge - 1) / (wedge + 1)
    return np.asarray(pull * (setup.blower_pulley + 2 * belt.line) / 2)
