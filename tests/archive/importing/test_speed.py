"""A long log is taken in while somebody waits."""

from __future__ import annotations

import math
import time

import pytest

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import understood

pytestmark = pytest.mark.slow

ROWS, SECONDS = 200_000, 3.0


def test_two_hundred_thousand_rows() -> None:
    """In under three seconds of processor time, to some tens of points on the curve."""
    lines = ["Zeit [s];Drehzahl [1/min];Drehmoment [Nm];Ladedruck rel. [bar];Lambda;T_Öl [°C]"]
    for row in range(ROWS):
        n = 2000 + 4000 * row / ROWS + row % 7
        torque = 400 + 50 * math.sin(n / 900)
        lines.append(f"{row / 100:.2f};{n:.1f};{torque:.1f};{n / 8000:.3f};0.87;{90 + row % 3}")
    data = "\r\n".join(lines).replace(".", ",").encode("cp1252")
    began = time.process_time()
    found = understood(data, "long.csv", Answers())
    took = time.process_time() - began
    assert took < SECONDS, f"{took:.2f} s"
    (pull,) = found.pulls
    assert 60 < pull.points <= 150
    assert len(found.choice.taken) == 5
