"""A sample of each long proof, in seconds; `python -m tests.long NAME` runs them whole."""

from __future__ import annotations

import random

import pytest

from tests.long.__main__ import PROOFS


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("alike", 1),
        ("editions", 1),
        ("full", 1),
        ("fuzz", 400),
        ("fuzz-imports", 60),
        ("kills", 2),
        ("pairs", 1),
        ("slips", 6),
        ("targets", 2),
        ("typos", 4),
    ],
)
def test_a_sample_holds(name: str, count: int) -> None:
    """Few tries with a fixed seed: nothing is untrue."""
    told: list[str] = []
    assert PROOFS[name][2](count, random.Random(2), told.append) == []
    assert told or name == "typos"
