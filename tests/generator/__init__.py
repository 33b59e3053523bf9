"""A seeded simulator of dynos and engines, written apart from the product's physics.

`run(truth, setup, air, rng, bench)` sweeps one engine.
`python -m tests.generator` rewrites the demo archive's curve files from it. Nothing here imports
the product.
"""

from tests.generator.dyno import Bench, Noise, Sweep, run
from tests.generator.truth import FUELS, Air, Fuel, Setup, Truth

__all__ = [
    "FUELS",
    "Air",
    "Bench",
    "Fuel",
    "Noise",
    "Setup",
    "Sweep",
    "Truth",
    "run",
]
