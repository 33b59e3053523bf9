"""At a terminal: what a file leaves open is asked, and what is answered is written."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.archive import read_archive
from specgen.archive.starting.begin import begin
from specgen.cli import main
from specgen.cli.files import importing

LOG = """Date,03/05/26
RPM,Wheel power [kW],Engine power [kW],MAP press [bar],Coolant temp
2000,80,90,0.38,85
3000,130,146,1.41,85
4000,180,202,1.72,86
"""


def test_what_is_open_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Which column, unit, setup, day, dyno and figures: each once, then it is confirmed."""
    monkeypatch.setattr(importing, "_terminal", lambda: True)
    begin(tmp_path, "My workshop", "metric", "iso-1585")
    (tmp_path / "run.csv").write_text(LOG)
    answers = ["Wheel power [kW]", "degC", "gauge", "hub", "hub", "2026-05-03", "observed", "p84",
               "y"]  # fmt: skip
    command = ["import", str(tmp_path / "run.csv"), "--build", "first-build"]
    result = CliRunner().invoke(
        main, [*command, "--archive", str(tmp_path / "builds")], "\n".join(answers) + "\n"
    )
    assert result.exit_code == 0, result.output
    session = read_archive(tmp_path / "builds").builds["first-build"].sessions[-1]
    assert (session.day, session.dyno.kind.value, session.figures.state) == (
        "2026-05-03", "hub", "observed"
    )  # fmt: skip
    (pull,) = session.pulls
    assert pull.setup.value == "p84"
    assert pull.curve is not None
    assert pull.curve.columns["power"].tolist() == [80e3, 130e3, 180e3]
    assert pull.curve.columns["coolant_temperature"].round(2).tolist() == [358.15, 358.15, 359.15]
    assert "boost" in pull.curve.columns


def test_no_leaves_all_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who answers the last question with no has changed nothing."""
    monkeypatch.setattr(importing, "_terminal", lambda: True)
    begin(tmp_path, "My workshop", "metric", "iso-1585")
    (tmp_path / "p84.csv").write_text(
        "Date,2026-05-03\nRPM,Power [kW]\n2000,80\n3000,130\n4000,180\n"
    )
    before = sorted(tmp_path.rglob("*"))
    result = CliRunner().invoke(
        main,
        ["import", str(tmp_path / "p84.csv"), "--build", "first-build", "--kind", "hub",
         "--measured-at", "hub", "--figures", "observed", "--archive", str(tmp_path / "builds")],
        "n\n",
    )  # fmt: skip
    assert result.exit_code == 1
    assert sorted(tmp_path.rglob("*")) == before
