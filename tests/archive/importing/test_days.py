"""Whether 03/05/26 is in March or in May: told, or open; never guessed."""

from __future__ import annotations

import datetime

import pytest

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import understood

MAY, MARCH = datetime.date(2026, 5, 3), datetime.date(2026, 3, 5)
TABLE = "RPM,Power [kW]\n2000,80\n3000,130\n4000,180\n"
GERMAN = "Drehzahl [1/min];Leistung [kW]\n2000;80,5\n3000;130,1\n4000;180,2\n"


def days(text: str, answers: Answers | None = None) -> tuple[datetime.date, ...]:
    """The days that a log may mean."""
    return understood(text.encode(), "run.csv", answers or Answers()).facts.dates


@pytest.mark.parametrize(
    "text",
    [
        f"Date,03/05/26\n{TABLE}",
        f"Datum;03/05/26\n{GERMAN}",
        f"Date;03/05/2026\nExported;05/03/2026\n{GERMAN}",
        f"Date,03/05/26\nExported,14/05/2026\nPrinted,05/14/2026\n{TABLE}",
        f"Date,03-05-26\n{TABLE}",
    ],
)
def test_what_nothing_tells_stays_open(text: str) -> None:
    """Neither a language nor decimal commas tell it, nor lines that contradict each other."""
    assert set(days(text)) == {MAY, MARCH}


@pytest.mark.parametrize(
    ("text", "day"),
    [
        (f"Date,03/05/26\nExported,14/05/2026 10:12\n{TABLE}", MAY),
        (f"Exported,05/14/2026\nDate,03/05/26\n{TABLE}", MARCH),
        (f"Date,2026-05-03\n{TABLE}", MAY),
        (f"Date,03.05.2026\n{TABLE}", MAY),
        (f"Date,5 March 2026\n{TABLE}", MARCH),
    ],
)
def test_another_date_of_the_file_or_its_form_tells(text: str, day: datetime.date) -> None:
    """A date that can be read in one way only tells how its program writes them."""
    assert days(text) == (day,)


def test_a_flag_or_a_described_dyno_tells() -> None:
    """Who imports, or the column map of the dyno, has the last word."""
    text = f"Datum;03/05/26\n{GERMAN}"
    assert days(text, Answers(date=MARCH)) == (MARCH,)
    assert days(text, Answers(date_order="day-first")) == (MAY,)
    assert days(text, Answers(date_order="month-first")) == (MARCH,)
