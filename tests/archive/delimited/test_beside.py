"""Tables with a unit beside each figure are read as if the head said it, or told with the cure."""

from __future__ import annotations

import pytest

from specgen.archive.delimited.beside import units_in_head
from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import understood
from specgen.archive.reading.pulls import read_curve

PLAIN = (
    "engine speed [rpm],power [kW],boost [bar]\n2000,80.5,0.31\n3000,130.1,0.42\n4000,180.2,0.5\n"
)
#: The same table as people write it down.
TABLES = [
    "RPM;Leistung;Ladedruck\n2000 rpm;80,5 kW;0,31 bar\n3000 rpm;130,1 kW;0,42 bar\n"
    "4000 rpm;180,2 kW;0,5 bar\n",
    'engine speed [rpm],power [kW],boost [bar]\n2000 rpm,"80,5 kW","0,31"\n'
    '3000,"130,1 kW","0,42"\n4000 rpm,"180,2 kW","0,5 bar"\n',
    "engine speed,power,boost\n2000rpm,80.5kW,0.31bar\n3000rpm,130.1kW,0.42bar\n"
    "4000rpm,180.2kW,0.5bar\n",
    "Speed\tPower\tBoost\nrpm\tkW\tbar\n2000 1/min\t80.5 kW\t0.31 bar\n"
    "3000 1/min\t130.1 kW\t0.42 bar\n4000 1/min\t180.2 kW\t0.5 bar\n",
]  # fmt: skip


@pytest.mark.parametrize("text", TABLES)
def test_a_unit_beside_each_figure_is_read(text: str) -> None:
    """By hand and by import the very figures, without a finding."""
    due, _, _ = read_curve(PLAIN.encode(), "x.csv")
    found, _, findings = read_curve(text.encode(), "x.csv")
    assert findings == ()
    assert due is not None
    assert found is not None
    for key, values in due.columns.items():
        assert found.columns[key].tolist() == values.tolist(), key
    (pull,) = understood(text.encode(), "run.csv", Answers()).pulls
    taken, _, _ = read_curve(pull.text.encode(), "x.csv")
    assert taken is not None
    assert {key: values.tolist() for key, values in taken.columns.items()} == {
        key: values.tolist() for key, values in due.columns.items()
    }


def test_lines_above_the_table_keep_their_units() -> None:
    """The air of the day is no row, however much it looks like one."""
    text = f"Luftdruck;991,3 hPa;Temperatur;21 °C\n{TABLES[0]}"
    assert units_in_head(text).startswith("Luftdruck;991,3 hPa;Temperatur;21 °C\n")
    air = understood(text.encode(), "run.csv", Answers()).facts.air
    assert air["pressure"].text == "991.3 hPa"


@pytest.mark.parametrize("text", [PLAIN, "", "a\n", "1 kW\n2 kW\n3 kW\n", "1 x,2 y\n" * 5])
def test_other_texts_stay_as_they_are(text: str) -> None:
    """What has no units beside its figures, or no head to put them in, is not touched."""
    assert units_in_head(text) == text


@pytest.mark.parametrize(
    ("cells", "head", "words", "hint"),
    [
        (("4.5 psi", "6 psi", "7.4 psi"), "boost [kPa]", '"4.5 psi"', "31.03, which is 4.5 psi in"),
        (("31", "42", "7.4 psi"), "boost [kPa]", '"7.4 psi"', "51.02, which is 7.4 psi in kPa"),
    ],
)
def test_another_unit_than_the_heads_is_told_once(
    cells: tuple[str, ...], head: str, words: str, hint: str
) -> None:
    """Nobody knows which of the two is meant: one finding a column, with the figure to write."""
    rows = "".join(f"{2000 + 500 * at},{80 + at},{cell}\n" for at, cell in enumerate(cells))
    text = f"engine speed [rpm],power [kW],{head}\n{rows}"
    curve, _, (finding,) = read_curve(text.encode(), "x.csv")
    assert curve is None
    assert words in finding.found
    assert hint in finding.hint


def test_a_column_of_two_units_is_told_where_they_differ() -> None:
    """A head without a unit takes none from figures that disagree."""
    text = "RPM,Power\n2000 rpm,80 kW\n3000 rpm,170 hp\n4000 rpm,180 kW\n"
    curve, _, findings = read_curve(text.encode(), "x.csv")
    assert curve is None
    assert len(findings) == 1
