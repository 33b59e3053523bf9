"""The laws by which a simulator breathes, leaks, cools and knocks; another simulator has others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.generator.blower import Leakage, leak_as_orifice
from tests.generator.charge import cool
from tests.generator.engine import filling, knock_retard, late_burning
from tests.generator.gas import Array
from tests.generator.truth import Cooler, Engine, Setup


@dataclass(frozen=True, slots=True)
class Laws:
    """What may differ between two simulators; everything else is the balance that they share.

    `filling` gives volumetric efficiency on the manifold's density from pressure and temperature
    there and the exhaust's pressure, `cool` pressure and temperature behind the cooler, `knock`
    the degrees of spark taken off, `late` the share of work that such a spark leaves.
    """

    filling: Callable[[Engine, Setup, Array, tuple[Array, Array, Array]], Array] = filling
    leakage: Leakage = leak_as_orifice
    cool: Callable[[Cooler | None, Array, Array, Array], tuple[Array, Array]] = cool
    knock: Callable[[Engine, Setup, Array, Array, Array], Array] = knock_retard
    late: Callable[[Array], Array] = late_burning


#: The laws of this package's own modules.
PLAIN = Laws()
