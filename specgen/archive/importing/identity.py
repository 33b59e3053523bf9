"""Power is 2 pi times speed times torque: what units two columns can have only together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from specgen.physics.engine import power_from_torque
from specgen.units import Unit

Floats = NDArray[np.float64]

#: Power and torque belong together within this share.
IDENTITY = 0.01


def pairs_of_units(
    n: Floats, T: Floats, P: Floats, options: Mapping[str, Sequence[Unit]]
) -> list[dict[str, Unit]]:
    """Give each pair of units in which power is 2 pi times speed times torque under load."""
    turning = np.where(n > 0, n, np.nan)  # a log's slip below zero says nothing
    with np.errstate(invalid="ignore", divide="ignore"):
        ratio = P / np.asarray(power_from_torque(T, turning))
    loaded = np.isfinite(ratio) & (np.nan_to_num(T) > 0.3 * np.nanmax(T))
    if not loaded.any():
        return []
    middle = float(np.median(ratio[loaded]))
    return [
        {"torque": torque, "power": power}
        for torque in options["torque"]
        for power in options["power"]
        if abs(middle * power.factor / torque.factor - 1) <= IDENTITY
    ]
