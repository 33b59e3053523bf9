"""A sample of the goals sought: repeatable, and near enough that a mistake would show."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.accuracy.choosing import PAIRS, STEP, candidates, choose, summed, text
from tests.accuracy.workshop import draw_case


def test_the_list_has_its_steps_and_the_measured_pulleys_lie_within() -> None:
    """Twelve pulleys 3 % of ratio apart, to a tenth of a millimetre."""
    case = draw_case(20250514, 1)
    sizes = [setup.blower_pulley for setup in candidates(case)]
    assert len(sizes) == PAIRS
    line = 2 * case.truth.belt.line
    steps = [(one + line) / (other + line) for one, other in pairwise(sizes)]
    assert all(abs(step / STEP - 1) < 3e-3 for step in steps)
    measured = [setup.blower_pulley for setup in case.setups[:3]]
    assert sizes[0] > max(measured)
    assert sizes[-1] < min(measured)


@pytest.mark.slow
def test_a_sample_of_goals() -> None:
    """Thirty goals: most are met by the best pulley or its neighbour, nothing broken is safe."""
    found = [choice for number in range(30) if (choice := choose(20250514, number))]
    told = summed(found, 30)
    assert told["goals"] >= 25
    assert told["best_or_neighbour"] >= 0.85
    assert told["broken_called_safe_share"] <= 0.05
    assert "the best pulley itself" in text(told)
    assert choose(20250514, found[0].number) == found[0]
