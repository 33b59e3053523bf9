"""Shapes of logs that the composer does not make: each is taken in right, or asked about."""

from __future__ import annotations

import pytest

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.understanding import CannotImport, understood
from specgen.archive.reading.pulls import read_curve

SPEEDS = range(2000, 6001, 500)


def torque(n: float) -> float:
    """A full-load curve [N m]."""
    return 400 - ((n - 4000) / 100) ** 2 * 0.1


def rows(form: str, mark: str = ".") -> str:
    """A line for each speed: n its speed, t torque, p power [kW]."""
    lines = (form.format(n=n, k=n / 1000, t=torque(n), p=torque(n) * n * 1.047198e-4)
             for n in SPEEDS)  # fmt: skip
    return "".join(f"{line}\n" for line in lines).replace(".", mark)


STEPS = "".join(
    f"{at};{n + at % 3 - 1};{torque(n):.1f}\n"
    for at, n in enumerate(n for n in SPEEDS for _ in range(40))
)
TAKEN = {
    "names above units": "N\tMD\nEngine speed\tTorque\nrpm\tNm\n" + rows("{n}\t{t:.1f}"),
    "spaces": "RPM Torque Power\nrpm Nm kW\n" + rows("{n} {t:.1f} {p:.1f}"),
    "a head over two lines of a cell": '"Engine\nspeed [rpm]","Torque\n[Nm]"\n'
    + rows("{n},{t:.1f}"),
    "thousands of revolutions": "Engine speed [1000 rpm],Torque [Nm]\n" + rows("{k:.2f},{t:.1f}"),
    "a column of words": "State;Drehzahl [1/min];Md [Nm]\n" + rows("ok;{n};{t:.1f}", ","),
    "steps that are held": "t;n;M\ns;min-1;Nm\n" + STEPS,
    "strokes at both ends": "| RPM | Torque [Nm] |\n" + rows("| {n} | {t:.1f} |"),
    "twice the same": "RPM,Torque [Nm],RPM\n" + rows("{n},{t:.1f},{n}"),
}


@pytest.mark.parametrize("about", TAKEN)
def test_a_shape_is_taken_in_right(about: str) -> None:
    """Speed and torque are what the file says, at each of its speeds."""
    found = understood(TAKEN[about].encode(), "x.csv", Answers())
    (pull,) = found.pulls
    curve, _, _ = read_curve(pull.text.encode(), "x.csv")
    assert curve is not None
    assert (curve.engine_speed * 60).round(0).tolist() == list(SPEEDS)
    assert curve.columns["torque"].round(1).tolist() == [round(torque(n), 1) for n in SPEEDS]
    assert found.questions == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("RPM,Torque (Nm)\n" + rows("{n},{t:.1f}", ","), "which cells belong together"),
        ("RPM,Torque Nm,RPM,Torque Nm\n" + rows("{n},{t:.1f},{n}3,9{t:.1f}"), "which of"),
        ("Speed [mph],Power [hp]\n" + rows("{k},{p:.1f}"), "which column is the engine speed"),
        ("RPM;Radleistung [PS];Motorleistung [PS]\n" + rows("{n};{p:.1f};1{p:.1f}"), "which of"),
        ("Engine speed [rev/s];Torque [Nm]\n" + rows("{n};{t:.1f}"), "in which unit the engine"),
        ("RPM;Torque [Nm];Power [kW]\n" + rows("{n};{t:.1f};2{p:.1f}"), "which of"),
    ],
)
def test_what_is_open_is_asked(text: str, words: str) -> None:
    """Nothing is taken in before somebody has told."""
    found = understood(text.encode(), "x.csv", Answers())
    assert found.blocked
    assert found.questions[0].words.startswith(words)
    assert not found.pulls


@pytest.mark.parametrize(
    "data",
    [b"", b"\n\n", b"PK\x03\x04\x00\x00\x14\x00" * 40, b"no table here\n" * 9, b"RPM\n1\n2\n3\n"],
)
def test_what_is_no_table_is_told(data: bytes) -> None:
    """What was found, what was expected, and what to do."""
    with pytest.raises(CannotImport, match=r"found .* expected .*export"):
        understood(data, "x.csv", Answers())
