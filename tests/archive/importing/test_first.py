"""The shortest way: one export into a build that `init` wrote, checked, and taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen.archive.archive import read_archive
from specgen.archive.starting.begin import begin
from specgen.cli import main
from specgen.findings import as_text

EXPORT = """Messung;Halle 2;;;
Datum;14.05.2025;;;
Luftdruck;991,3;hPa;;

Motordrehzahl;Drehmoment;Leistung;Ladedruck;Öltemp
1/min;Nm;PS;bar;°C
2.000;438,5;124,9;0,38;90
2.500;450,1;160,2;0,42;91
3.000;472,0;201,7;0,52;92
Ende;;;;
"""
OPTIONS = ("--build", "first-build", "--setup", "p87", "--kind", "engine", "--measured-at",
           "flywheel", "--figures", "observed")  # fmt: skip


def run(archive: Path, *arguments: str) -> Result:
    """One import into an archive."""
    return CliRunner().invoke(main, ["import", *arguments, "--archive", str(archive)])


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """An archive as `init` writes it, with an export of a spreadsheet beside it."""
    begin(tmp_path, "My workshop", "metric", "iso-1585")
    (tmp_path / "run 7.csv").write_bytes(EXPORT.encode("cp1252"))
    return tmp_path / "builds"


def files(archive: Path) -> dict[str, bytes]:
    """Every file of an archive that somebody sees."""
    found = [file for file in archive.rglob("*") if file.is_file() and ".imports" not in file.parts]
    return {file.relative_to(archive).as_posix(): file.read_bytes() for file in found}


def test_an_export_becomes_a_pull(archive: Path, tmp_path: Path) -> None:
    """Curve, original and pull are written, the rest of the file stays, and the archive checks."""
    before = files(archive)
    result = run(archive, str(tmp_path / "run 7.csv"), *OPTIONS, "--yes")
    assert result.exit_code == 0, result.output
    now = files(archive)
    assert now["first-build/pulls/originals/run-7.csv"] == EXPORT.encode("cp1252")
    text = now["first-build/build.yaml"]
    assert text.startswith(before["first-build/build.yaml"].rstrip(b"\n"))
    read = read_archive(archive)
    assert not read.findings, as_text(read.findings)
    session = read.builds["first-build"].sessions[-1]
    curve = session.pulls[-1].curve
    assert curve is not None
    assert curve.columns["torque"].tolist() == [438.5, 450.1, 472.0]
    assert curve.columns["boost"].round(6).tolist() == [38e3, 42e3, 52e3]
    assert [(it.name, it.unit, it.values.tolist()) for it in curve.extra] == [
        ("Öltemp", "degC", [90.0, 91.0, 92.0])
    ]
    assert session.air.pressure is not None
    assert session.air.pressure.text == "991.3 hPa"


def test_an_import_is_taken_back(archive: Path, tmp_path: Path) -> None:
    """After `--undo` every byte is as before; a second one says that there is nothing left."""
    before = files(archive)
    run(archive, str(tmp_path / "run 7.csv"), *OPTIONS, "--yes")
    assert files(archive) != before
    assert run(archive, "--undo").exit_code == 0
    assert files(archive) == before
    again = run(archive, "--undo")
    assert again.exit_code == 2
    assert "no import" in again.output


def test_what_was_changed_since_is_not_taken_back(archive: Path, tmp_path: Path) -> None:
    """Somebody's own edit after an import is kept: the undo refuses."""
    run(archive, str(tmp_path / "run 7.csv"), *OPTIONS, "--yes")
    file = archive / "first-build" / "build.yaml"
    file.write_bytes(file.read_bytes() + b"# mine\n")
    edited = files(archive)
    result = run(archive, "--undo")
    assert result.exit_code == 2
    assert "changed since" in result.output
    assert files(archive) == edited


def test_nothing_is_written_unasked(archive: Path, tmp_path: Path) -> None:
    """Without a terminal, without --yes, with --dry-run, or for a bad file: no byte changes."""
    before = files(archive)
    export = str(tmp_path / "run 7.csv")
    assert run(archive, export, *OPTIONS).exit_code == 2
    dry = run(archive, export, *OPTIONS, "--dry-run")
    assert dry.exit_code == 0
    assert "+      - {setup: p87, curve: pulls/2025-05-14-1.csv" in dry.output
    bad = tmp_path / "bad.csv"
    bad.write_bytes(b"\x00\x01PK\x03\x04" * 50)
    result = run(archive, export, str(bad), *OPTIONS, "--yes")
    assert result.exit_code == 2
    assert "bad.csv" in result.output
    assert files(archive) == before


def test_a_file_taken_in_before_is_noticed(archive: Path, tmp_path: Path) -> None:
    """The same bytes under another name are refused, unless told otherwise."""
    run(archive, str(tmp_path / "run 7.csv"), *OPTIONS, "--yes")
    (tmp_path / "copy.csv").write_bytes(EXPORT.encode("cp1252"))
    result = run(archive, str(tmp_path / "copy.csv"), *OPTIONS, "--yes")
    assert result.exit_code == 2
    assert "taken in before" in result.output
    again = run(archive, str(tmp_path / "copy.csv"), *OPTIONS, "--yes", "--again")
    assert again.exit_code == 0, again.output
    pulls = read_archive(archive).builds["first-build"].sessions[-1].pulls
    assert [pull.curve_file.value for pull in pulls if pull.curve_file] == [
        "pulls/2025-05-14-1.csv",
        "pulls/2025-05-14-2.csv",
    ]
