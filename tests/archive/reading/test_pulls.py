"""Curve files: what is read, and where a faulty cell stands."""

from __future__ import annotations

import numpy as np
import pytest

from specgen.archive.model.build import Curve
from specgen.archive.reading.pulls import COLUMNS, read_curve
from specgen.findings import Finding
from specgen.units import units_of
from specgen.vocabulary import quantity

HEAD = "engine speed [rpm],torque [N m]\n"


def read(text: str) -> tuple[Curve | None, tuple[Finding, ...]]:
    """Read a text as a curve file."""
    curve, _, findings = read_curve(text.encode(), "1.csv")
    return curve, findings


def good(text: str) -> Curve:
    """Read a curve that has no fault."""
    curve, findings = read(text)
    assert findings == ()
    assert curve is not None
    return curve


def test_spaces_quotes_and_blank_lines_do_not_matter() -> None:
    """Cells may have spaces or quotes around them, and blank lines are passed over."""
    plain = good(HEAD + "2000,438\n3000,472\n4000,488\n")
    other = good('"engine speed [rpm]" , torque [N m]\n\n 2000, "438"\n3000 ,472\n4000,488\n  \n')
    for key in ("engine_speed", "torque"):
        np.testing.assert_array_equal(plain.columns[key], other.columns[key])


def test_empty_cells_were_not_recorded() -> None:
    """An empty cell is NaN; the row keeps its other figures."""
    curve = good("engine speed [rpm],torque [N m],lambda\n2000,438,\n3000,472,0.9\n4000,488,\n")
    np.testing.assert_array_equal(curve.columns["lambda"], [np.nan, 0.9, np.nan])


@pytest.mark.parametrize("name", COLUMNS)
def test_every_column_in_every_unit(name: str) -> None:
    """Each column is read in each unit of its kind, as the unit table has it."""
    kind = quantity(COLUMNS[name])
    for unit in units_of(kind.kind):
        number = unit.from_si(sum(kind.plausible) / 2)
        head = f"{name} [{unit.symbol}]" if unit.symbol else name
        rows = "".join(f"{speed},{speed / 10},{number:.9f}\n" for speed in (2000, 3000, 4000))
        if name in ("engine speed", "torque", "power"):
            continue
        curve = good(f"engine speed [rpm],torque [N m],{head}\n{rows}")
        expected = pytest.approx(sum(kind.plausible) / 2, rel=1e-6, abs=1e-9)
        assert curve.columns[COLUMNS[name]][0] == expected, head


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (HEAD + "2000,438\n3000,x\n4000,488\n", (3, 6)),
        (HEAD + "2000,438\n3000,  x\n4000,488\n", (3, 8)),
        (HEAD + "2000,438\n\n3000,472,1\n4000,488\n", (4, 1)),
        ("engine speed [rpm], torgue [N m]\n2000,438\n3000,472\n4000,488\n", (1, 21)),
        (HEAD + "2000,438\n1900,472\n4000,488\n", (3, 1)),
        (HEAD + "2000,438\n3000,-9\n4000,488\n", (3, 6)),
    ],
)
def test_faults_have_the_place_of_the_cell(text: str, place: tuple[int, int]) -> None:
    """A fault stands at the file's own line and the column of the cell's first character."""
    curve, findings = read(text)
    assert curve is None
    assert [(item.place.line, item.place.column) for item in findings] == [place]


def test_torque_and_power_within_rounding_agree() -> None:
    """Whole kilowatts at low load are rounded, not wrong: 21 N m at 2000 rpm is 4.4 kW."""
    head = "engine speed [rpm],torque [N m],power [kW]\n"
    good(head + "2000,21,4\n3000,22,7\n4000,23,10\n")
    _, findings = read(head + "2000,21,4.0\n3000,22,6.9\n4000,23,9.6\n")
    assert [item.code for item in findings] == ["contradiction"]


@pytest.mark.parametrize("symbol", ["PS", "hp"])
def test_power_in_another_unit_than_the_head_says(symbol: str) -> None:
    """A column of PS or hp under a head of kW contradicts torque in every row."""
    factor = {"PS": 0.73549875, "hp": 0.745699872}[symbol]  # NIST SP 811, appendix B
    rows = [
        f"{rpm},{torque},{2 * np.pi * rpm / 60 * torque / 1000 / factor:.1f}"
        for rpm, torque in ((2000, 438), (3000, 472), (4000, 488))
    ]
    _, wrong = read("engine speed [rpm],torque [N m],power [kW]\n" + "\n".join(rows))
    assert [item.code for item in wrong] == ["contradiction"]
    good(f"engine speed [rpm],torque [N m],power [{symbol}]\n" + "\n".join(rows))
