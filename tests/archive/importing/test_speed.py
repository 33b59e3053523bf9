"""A long log is taken in while somebody waits."""

from __future__ import annotations

import csv
import gc
import io
import math
import time
from collections.abc import Callable

import pytest

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import understood

pytestmark = pytest.mark.slow

ROWS = 200_000
#: How often the time of plainly reading every cell as a number it may take; measured: 2.7 times,
#: one to two seconds by the machine.
TIMES = 4


def test_two_hundred_thousand_rows() -> None:
    """In a few times what reading every cell takes, to some tens of points on the curve."""
    lines = ["Zeit [s];Drehzahl [1/min];Drehmoment [Nm];Ladedruck rel. [bar];Lambda;T_Öl [°C]"]
    for row in range(ROWS):
        n = 2000 + 4000 * row / ROWS + row % 7
        torque = 400 + 50 * math.sin(n / 900)
        lines.append(f"{row / 100:.2f};{n:.1f};{torque:.1f};{n / 8000:.3f};0.87;{90 + row % 3}")
    data = "\r\n".join(lines).replace(".", ",").encode("cp1252")
    gc.collect()
    gc.freeze()  # what earlier tests of this process hold is not looked through again and again
    plainly = _seconds(lambda: _read(data))
    began = time.process_time()
    found = understood(data, "long.csv", Answers())
    took = time.process_time() - began
    gc.unfreeze()
    print(f"{took:.2f} s, {took / plainly:.1f} times plain reading")
    assert took < TIMES * plainly, f"{took:.2f} s, {plainly:.2f} s to read it plainly"
    (pull,) = found.pulls
    assert 60 < pull.points <= 150
    assert len(found.choice.taken) == 5


def _read(data: bytes) -> None:
    """Read every cell as a number, knowing all about the file."""
    _, *lines = csv.reader(io.StringIO(data.decode("cp1252"), newline=""), delimiter=";")
    for line in lines:
        for cell in line:
            float(cell.replace(",", "."))


def _seconds(do: Callable[[], None]) -> float:
    """Processor time of doing something."""
    began = time.process_time()
    do()
    return time.process_time() - began
