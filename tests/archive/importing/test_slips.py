"""What a log may hold by accident is told or passed over, never raised about."""

from __future__ import annotations

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import understood


def test_a_speed_below_zero_says_nothing() -> None:
    """A sensor's slip at standstill, where units follow from power and torque together."""
    rows = [f"{speed},{400 + speed / 100},{(400 + speed / 100) * speed / 9549.3:.2f}"
            for speed in range(2000, 6000, 100)]  # fmt: skip
    text = "\n".join(["RPM,Torque,Power", "-24.8,1,0", *rows, "-3,0,0"])
    found = understood(text.encode(), "run.csv", Answers())
    assert found.pulls or found.questions
