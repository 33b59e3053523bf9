"""A seeded simulator of dynos and engines, written apart from the product's physics.

`run(truth, setup, air, rng, bench)` sweeps one engine; `random_truth(rng)` and its sisters draw
engines, setups and air for a synthetic archive. `python -m tests.generator` rewrites the demo
archive's curve files. Nothing here but the tests imports the product.
"""

from tests.generator.draw import random_air, random_bench, random_setups, random_truth
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
    "random_air",
    "random_bench",
    "random_setups",
    "random_truth",
    "run",
]
