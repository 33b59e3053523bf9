"""Failure is told well: one sentence with what it was about, exit code 3, and a way to see more."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen import failure
from specgen.analysis import sheet as analysis_sheet
from specgen.archive.reading import pulls
from specgen.cli import main
from specgen.publish import bug_report
from tests.analysis.small import BUILD, SESSION, write

WORDS = "the square root of a pulley"


@pytest.fixture
def builds(tmp_path: Path) -> Path:
    """An archive of one build."""
    return write(tmp_path, BUILD + SESSION)


def run(*arguments: str) -> Result:
    """Run a command; an error that reaches its caller is a failure of the test."""
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False)


def broken(*_given: object, **_named: object) -> object:
    """Fail as a mistake of ours would."""
    raise ArithmeticError(WORDS)


def test_an_unexpected_error_is_one_sentence(builds: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The build's id, what it was, two commands to go on with; exit code 3 and no traceback."""
    name = next(builds.glob("*/build.yaml")).parent.name
    monkeypatch.setattr(analysis_sheet, "assemble", broken)
    told = run("show", name, "--archive", str(builds))
    assert told.exit_code == 3
    assert told.stderr.splitlines() == [
        f'specgen could not go on with "{name}": ArithmeticError: {WORDS}',
        f"Where in the program: specgen show {name} --archive {builds} --traceback",
        f"For a bug report: specgen report {name}",
    ]


@pytest.mark.parametrize("place", ["first", "last"])
def test_traceback_tells_where(builds: Path, monkeypatch: pytest.MonkeyPatch, place: str) -> None:
    """Before the command or behind it."""
    name = next(builds.glob("*/build.yaml")).parent.name
    monkeypatch.setattr(analysis_sheet, "assemble", broken)
    words = ["show", name, "--archive", str(builds)]
    words = ["--traceback", *words] if place == "first" else [*words, "--traceback"]
    told = run(*words)
    assert told.exit_code == 3
    assert "Traceback" in told.stderr
    assert "in broken" in told.stderr


def test_while_reading_the_file_is_named(builds: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the build is not known yet, its file is."""
    monkeypatch.setattr("specgen.archive.archive.structured", broken)
    told = run("check", str(builds))
    assert told.exit_code == 3
    assert 'with "archive.yaml"' in told.stderr
    assert "Traceback" not in told.stderr


def test_the_innermost_word_stays_with_the_error() -> None:
    """Also with one that came of it, and says nothing itself."""

    def worked() -> None:
        with failure.about("heron"), failure.about("heron/pulls/1.csv"):
            broken()

    with pytest.raises(ArithmeticError) as caught:
        worked()
    later = ValueError("of no use")
    later.__cause__ = caught.value
    assert failure.subject_of(caught.value) == "heron/pulls/1.csv"
    assert failure.subject_of(later) == "heron/pulls/1.csv"
    assert failure.subject_of(ValueError()) == ""


def test_a_system_error_says_what_the_system_said(tmp_path: Path) -> None:
    """A disk that is full is no mistake of the program."""
    problem = OSError(28, "No space left on device", str(tmp_path / "site"))
    assert failure.sentence(problem).startswith("specgen could not go on: No space left on device")


def test_a_report_is_a_pack_without_what_is_private(
    builds: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Files, findings, versions and the failure; no private field, no place on this machine."""
    file = next(builds.glob("*/build.yaml"))
    name = file.parent.name
    secret = "parts:\n  - {item: sump plug, serial: {text: ZZTOP99, publish: no}}\n"
    file.write_text(file.read_text().replace("setups:", f"{secret}setups:"))
    monkeypatch.setattr(bug_report, "sheet_json", broken)
    output = tmp_path / "report.zip"
    told = run("report", name, "--archive", str(builds), "--output", str(output))
    assert told.exit_code == 0, told.output
    with zipfile.ZipFile(io.BytesIO(output.read_bytes())) as pack:
        texts = {entry: pack.read(entry).decode() for entry in pack.namelist()}
    assert {"report.txt", "builds/archive.yaml", f"builds/{name}/build.yaml"} <= set(texts)
    assert any(entry.startswith("builds/blowers/") for entry in texts)
    assert WORDS in texts["report.txt"]
    assert "specgen/publish/bug_report.py:" in texts["report.txt"]
    assert "jinja2 " in texts["report.txt"]
    for entry, text in texts.items():
        assert "ZZTOP99" not in text, entry
        assert str(tmp_path) not in text, entry
        assert str(Path(__file__).parent.parent) not in text, entry


def test_a_faulty_build_can_be_reported_too(builds: Path, tmp_path: Path) -> None:
    """A build that is left out is packed with its findings; one that is not there is refused."""
    file = next(builds.glob("*/build.yaml"))
    file.write_text(file.read_text().replace("84 mm", "84 furlongs"))
    output = tmp_path / "report.zip"
    told = run("report", file.parent.name, "--archive", str(builds), "--output", str(output))
    assert told.exit_code == 0, told.output
    with zipfile.ZipFile(output) as pack:
        assert "furlongs" in pack.read("report.txt").decode()
    assert run("report", "nothing", "--archive", str(builds)).exit_code == 2


def test_reading_a_curve_names_it(builds: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The readers of files are held by the same words."""
    monkeypatch.setattr(pulls, "read_curve", broken)
    file = next(builds.glob("*/build.yaml"))
    (file.parent / "pulls").mkdir()
    (file.parent / "pulls" / "1.csv").write_text("x\n")
    file.write_text("format: 1\n")
    told = run("check", str(builds))
    assert told.exit_code == 3
    assert f'with "{file.parent.name}/build.yaml"' in told.stderr
