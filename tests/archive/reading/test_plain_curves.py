"""The short way through a curve file gives what the long one gives, whatever is in the file."""

from __future__ import annotations

import random

import pytest

from specgen.archive.delimited.cells import is_plain
from specgen.archive.reading import pulls, table
from specgen.archive.reading.table import lines_of

_HEADS = ("torque [N m]", "boost [kPa]", "power [kW]", "air-fuel ratio", "ignition advance [deg]")
_ODD = ("", "-", "1.2.3", "12-3", "+4.5", ".5", "5.", "nan", "1e3", "1 200", "1'200", "x")


def cell(chance: random.Random, kind: int) -> str:
    """A number as one of three columns has it."""
    if kind == 0:
        return str(chance.randrange(0, 9000))
    if kind == 1:
        return f"{chance.uniform(0, 900):.{chance.choice([1, 2, 3, 3, 3, 4])}f}"
    return f"{chance.uniform(-3, 3):.3f}"


def composed(chance: random.Random) -> str:
    """A small file: usual rows, sometimes with an odd cell, a short row or numbers for a head."""
    width, slips = chance.randrange(1, 4), chance.random() < 0.4
    kinds = [chance.randrange(3) for _ in range(width)]
    lines = ["engine speed [rpm]," + ",".join(chance.sample(_HEADS, width))]
    for number in range(chance.randrange(1, 9)):
        cells = [cell(chance, kind) for kind in kinds]
        cells = [chance.choice(_ODD) if slips and chance.random() < 0.05 else it for it in cells]
        lines.append(",".join([str(1000 + 100 * number), *cells]))
    if chance.random() < 0.1:
        lines[0] = ",".join(["5"] * (1 + width))
    if chance.random() < 0.1:
        lines.insert(chance.randrange(1, len(lines)), "7")
    return chance.choice(["\n", "\r\n"]).join(lines) + "\n"


def read(text: str) -> tuple[object, list[str]]:
    """What a file is read as, as comparable texts."""
    curve, _, findings = pulls.read_curve(text.encode(), "pull.csv")
    columns = curve and {key: values.tolist() for key, values in curve.columns.items()}
    return repr(columns), list(map(str, findings))


def test_the_short_way_reads_what_the_long_one_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of five hundred files those that are called plain are the same values and findings."""
    chance = random.Random(20250514)
    texts = [composed(chance) for _ in range(500)]
    plain = [text for text in texts if is_plain([line for _, line in lines_of(text)])]
    assert 100 < len(plain) < 450
    short = [read(text) for text in plain]
    for module in (table, pulls):
        monkeypatch.setattr(module, "is_plain", lambda _lines: False)
    assert [read(text) for text in plain] == short


@pytest.mark.parametrize(
    "rows",
    [
        ["1000,1.200", "2000,1.300", "3000,1.400"],  # thousands, or three decimals
        ["1000;1,2", "2000;1,3", "3000;1,4"],
        ["1000,12", "2000", "3000,14"],
        ["1000,12", "2000,", "3000,14"],
        ["1000,12", "2000,1.2.3", "3000,14"],
        ["1000,12", "2000,14"],
    ],
)
def test_what_needs_finding_out_is_not_plain(rows: list[str]) -> None:
    """A file that may mean two things, or is faulty, goes the long way."""
    assert not is_plain(["engine speed [rpm],torque [N m]", *rows])
