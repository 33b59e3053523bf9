"""A blower's measured map as it was written: its columns in SI, and the air they refer to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from specgen.archive.model.given import Number
from specgen.findings import Place


@dataclass(frozen=True, slots=True)
class PerformanceAir:
    """The inlet air that flow and speed of a centrifugal blower's map are referred to."""

    pressure: Number
    temperature: Number


@dataclass(frozen=True, slots=True)
class BlowerMap:
    """A map file: one array per quantity, SI, one value a point, in the order of the file."""

    place: Place
    columns: Mapping[str, NDArray[np.float64]]
    headers: Mapping[str, str]

    @property
    def points(self) -> int:
        """How many points were measured."""
        return len(self.columns["blower_speed"])

    @property
    def speeds(self) -> int:
        """How many speeds they were measured at."""
        return len(np.unique(self.columns["blower_speed"]))
