"""A float in gives a float out, an array gives an array of the same values."""

from __future__ import annotations

import inspect
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import specgen.physics
from specgen.analysis.validation import decoded
from tests.physics.public_functions import find, public_functions

FOLDER = Path(specgen.physics.__file__).parent / "published"


def real_functions() -> dict[str, dict[str, Any]]:
    """Every function that only takes and gives real numbers, with arguments of one figure."""
    by_home = {function: name for name, function in public_functions().items()}
    found: dict[str, dict[str, Any]] = {}
    for path in sorted(FOLDER.glob("*.json")):
        for figure in json.loads(path.read_text("utf-8")):
            function = find(figure["function"])
            kinds = inspect.signature(function)
            names = figure["arguments"]
            real = kinds.return_annotation == "Real"
            if real and all(kinds.parameters[name].annotation == "Real" for name in names):
                room = figure["function"].partition(".")[0]
                found.setdefault(by_home[function], decoded(names, room))
    return found


REAL = real_functions()


def test_most_functions_are_covered() -> None:
    """The test below finds the functions it is for."""
    assert len(REAL) >= 60


@pytest.mark.parametrize("name", REAL)
def test_float_and_array_agree(name: str) -> None:
    """Three rows of an array give what three floats give, and the kind in is the kind out."""
    function = find(name)
    scales = (1.0, 1.0 - 1e-4, 1.0 - 3e-3)
    rows = [{key: scale * float(value) for key, value in REAL[name].items()} for scale in scales]
    singles = [function(**row) for row in rows]
    together = function(**{key: np.array([row[key] for row in rows]) for key in REAL[name]})
    assert all(type(single) is float for single in singles)
    assert isinstance(together, np.ndarray)
    assert together.dtype == np.float64
    assert together == pytest.approx(np.array(singles), rel=1e-13)
