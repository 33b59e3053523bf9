"""Each cause is tried on all figures of a departing pull; what explains most comes first."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from specgen.analysis.fit.departures import Departure, departed
from specgen.analysis.fit.residuals import TURNING, Label
from specgen.analysis.judging.hypotheses import (
    CLUTCH,
    PULLEY,
    SENSOR,
    SLIP,
    TUNE,
    Pulled,
    explained,
)

_SPEED = np.linspace(40.0, 110.0, 9)
#: What the others say: boost [Pa], power [W], charge temperature [K]; and what a point is off by.
_DUE = {
    "boost": np.linspace(45e3, 80e3, 9),
    "power": np.linspace(100e3, 300e3, 9),
    "charge_temperature": np.linspace(310.0, 330.0, 9),
}
_SIZES = {"boost": 1.2e3, "power": 3e3, "charge_temperature": 3.0}
#: How each figure goes with a hundredth more of the blower's speed.
_TURNS = {"boost": 1.8e3, "power": 2.5e3, "charge_temperature": 0.8}


def pulled(**read: np.ndarray) -> Pulled:
    """A pull with these figures as they were read, the others as the model has them."""
    labels, ahead, turning = [], [], []
    for figure, due in _DUE.items():
        size = np.full(9, _SIZES[figure]) * (due / due.mean() if figure == "power" else 1.0)
        got = read.get(figure, due)
        if figure == "power":
            size = size * got.mean() / due.mean()
        ahead.append((due - got) / size)
        turning.append(_TURNS[figure] / size)
        labels += [
            Label("p80", "pull", figure, float(speed), float(value), float(one))
            for speed, value, one in zip(_SPEED, got, size, strict=True)
        ]
    shared = np.zeros((27, 3))
    for index in range(3):
        shared[9 * index : 9 * index + 9, index] = 1.5
    (found,) = departed(
        labels, np.concatenate(ahead), shared, np.eye(3), [], {TURNING: np.concatenate(turning)}
    )
    return Pulled(found, {"boost": "boost [kPa]", "power": "torque [N m]"}, 99e3, None)


def slower(share: Callable[[np.ndarray], np.ndarray]) -> dict[str, np.ndarray]:
    """All figures with the blower slower by so many per cent at each speed."""
    return {figure: due - _TURNS[figure] * share(_SPEED) for figure, due in _DUE.items()}


@pytest.mark.parametrize(
    ("read", "title"),
    [
        ({"boost": _DUE["boost"] / 6.894757}, "A wrong unit of boost"),
        ({"boost": _DUE["boost"] * 10}, "A wrong unit of boost"),
        ({"power": _DUE["power"] / 1.3558179}, "A wrong unit of torque or power"),
        ({"boost": _DUE["boost"] + 99e3}, "Absolute pressure in the place of boost"),
        (
            {"charge_temperature": (_DUE["charge_temperature"] - 273.15) * 1.8 + 32 + 273.15},
            "A wrong unit of temperature",
        ),
        ({"boost": _DUE["boost"] - 14e3}, SENSOR),
        ({"power": _DUE["power"] * 0.90}, TUNE),
        (slower(lambda speed: 6.0 + 0 * speed), PULLEY),
        (slower(lambda speed: np.maximum(speed - 85, 0) / 4), SLIP),
        (
            {"power": np.minimum(_DUE["power"] / _SPEED, 2.6e3) * _SPEED},
            CLUTCH,
        ),
    ],
    ids=["psi", "tenfold", "lb ft", "absolute", "Fahrenheit", "sensor", "spark", "pulley", "slip",
         "clutch"],
)  # fmt: skip
def test_the_true_cause_explains_most(read: dict[str, np.ndarray], title: str) -> None:
    """Of all causes the one that was made comes first, and leaves next to nothing."""
    nothing, found = explained(pulled(**read))
    assert found[0].title == title
    assert found[0].left < nothing / 3


def test_nothing_wrong_is_explained_by_nothing() -> None:
    """A pull as predicted has no cause at all."""
    assert explained(pulled())[1] == ()


def test_a_size_beyond_what_is_usual_has_its_price() -> None:
    """A spark that costs a third of the power fits as well as a unit, and is less likely."""
    pull = pulled(power=_DUE["power"] / 1.3558179)
    left = {item.title: item.left for item in explained(pull)[1]}
    assert left[TUNE] > left["A wrong unit of torque or power"] + 5


def test_directions_are_taken_out_by_their_own_size() -> None:
    """A blower four per cent slower is found as four per cent."""
    departure: Departure = pulled(**slower(lambda speed: 4.0 + 0 * speed)).departure
    _, (share,) = departure.misfit(departure.ahead, [departure.directions[TURNING]], [100.0])
    assert share == pytest.approx(4.0, rel=0.02)
