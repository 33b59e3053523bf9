"""What is outside the physical domain is refused in a sentence that names it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from specgen.analysis.validation import decoded
from specgen.physics.air import saturation_pressure, standard_pressure
from tests.physics.public_functions import find, public_functions

REFUSED: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "refused.json").read_text("utf-8")
)


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: f"{case['function']}: {case['says']}")
def test_refused(case: dict[str, Any]) -> None:
    """A value outside the domain gives a ValueError that says which and what was expected."""
    room = case["function"].partition(".")[0]
    with pytest.raises(ValueError, match=re.escape(case["says"])):
        find(case["function"])(**decoded(case["arguments"], room))


def test_every_function_refuses_something() -> None:
    """No public function takes just anything."""
    assert sorted(set(public_functions()) - {case["function"] for case in REFUSED}) == []


def test_one_bad_value_in_an_array_is_named() -> None:
    """The first bad value of an array stands in the sentence."""
    with pytest.raises(ValueError, match="but is 20000"):
        standard_pressure(np.array([0.0, 20000.0, 30000.0]))


def test_a_gap_stays_a_gap() -> None:
    """Not a number stands for a gap in a curve: it passes through and harms no neighbour."""
    found = np.asarray(saturation_pressure(np.array([293.15, np.nan, 303.15])))
    assert np.isnan(found).tolist() == [False, True, False]
