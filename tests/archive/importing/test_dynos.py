"""Dynos of the settings: what an import is told once, the next file of the same dyno needs not."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen.archive.archive import read_archive
from specgen.archive.starting.begin import begin
from specgen.cli import main
from specgen.findings import as_text

HEAD = "Test bed,Hall 2\nDate,{day}\n\nRPM,P1 (kW),Torque (Nm),Charge pressure [bar],Aux\n"
ROWS = "2000,80,382,1.52,1\n3000,130,414,1.61,1\n4000,180,430,1.72,1\n"


def run(archive: Path, *arguments: str) -> Result:
    """One import into the build that `init` wrote."""
    options = ["--build", "first-build", "--archive", str(archive), "--yes"]
    return CliRunner().invoke(main, ["import", *arguments, *options])


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """An archive as `init` writes it, with logs of two days and three setups beside it."""
    begin(tmp_path, "My workshop", "metric", "iso-1585")
    for name, day in (
        ("p87 a.csv", "03/05/26"),
        ("p84 b.csv", "04/05/26"),
        ("p84 c.csv", "04/05/26"),
    ):
        (tmp_path / name).write_text(
            HEAD.format(day=day) + ROWS.replace("382", f"38{ord(name[4]) - 96}")
        )
    return tmp_path / "builds"


def test_what_is_told_of_a_dyno_is_told_once(archive: Path, tmp_path: Path) -> None:
    """A new dyno is noted with what the flags tell; the next day's files need none of them."""
    first = run(
        archive, str(tmp_path / "p87 a.csv"), "--dyno", "hall-2", "--kind", "hub", "--measured-at",
        "hub", "--figures", "observed", "--date", "2026-05-03", "--boost", "gauge",
        "--column", "Aux=skip",
    )  # fmt: skip
    assert first.exit_code == 0, first.output
    settings = (archive / "archive.yaml").read_text("utf-8")
    assert settings.endswith(
        "dynos:\n"
        "  - id: hall-2\n"
        "    kind: hub\n"
        "    measured_at: hub\n"
        "    figures: observed\n"
        "    logs:\n"
        "      pressure: gauge\n"
        "      date_order: day-first\n"
        "      columns:\n"
        "        - {head: Aux, column: skip}\n"
    )
    day = [str(tmp_path / name) for name in ("p84 b.csv", "p84 c.csv")]
    second = run(archive, *day)
    assert second.exit_code == 0, second.output
    assert "of the dyno hall-2" in second.output
    assert "not recorded" not in second.output
    assert (archive / "archive.yaml").read_text("utf-8") == settings
    read = read_archive(archive)
    assert not read.findings, as_text(read.findings)
    sessions = read.builds["first-build"].sessions[1:]
    assert [session.day for session in sessions] == ["2026-05-03", "2026-05-04"]
    assert [[pull.setup.value for pull in it.pulls] for it in sessions] == [["p87"], ["p84", "p84"]]
    curves = [pull.curve for session in sessions for pull in session.pulls]
    assert all(curve and "boost" in curve.columns for curve in curves)


def test_what_nobody_tells_is_not_recorded(archive: Path, tmp_path: Path) -> None:
    """Nothing is guessed: each thing that is left open is written so, with a finding."""
    result = run(archive, str(tmp_path / "p87 a.csv"))
    assert result.exit_code == 0, result.output
    text = (archive / "first-build" / "build.yaml").read_text("utf-8")
    assert text.endswith(
        "  - date: not recorded\n"
        "    dyno: {kind: not recorded, measured_at: not recorded}\n"
        "    figures: not recorded\n"
        "    pulls:\n"
        "      - {setup: p87, curve: pulls/undated-1.csv, original: pulls/originals/p87-a.csv}\n"
    )
    read = read_archive(archive)
    assert [item.code for item in read.findings] == ["unclear"] * 3
    assert "first-build" in read.builds
    for words in ('"03/05/26" may be 2026-05-03 or 2026-03-05', "--measured-at", "--figures",
                  "gauge or absolute"):  # fmt: skip
        assert words in result.output


def test_settings_with_faults_are_told(archive: Path, tmp_path: Path) -> None:
    """Nothing is written beside settings that nobody can read."""
    file = archive / "archive.yaml"
    file.write_text(file.read_text("utf-8") + "dynos: [{id: Hall}]\n", "utf-8")
    result = run(archive, str(tmp_path / "p87 a.csv"))
    assert result.exit_code == 2
    assert "mend this first" in result.output
    assert not (archive / "first-build" / "pulls").exists()
