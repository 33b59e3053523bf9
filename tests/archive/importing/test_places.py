"""An import edits a build's file in place: every line of every demo file stays, in its order."""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path

import pytest

from specgen.archive.importing.answers import Answers
from specgen.archive.importing.plan import Intake, Visit, planned
from specgen.archive.importing.understanding import understood

ROOT = Path(__file__).parent.parent.parent.parent
FILES = sorted([*(ROOT / "builds").glob("*/build.yaml"),
                *(ROOT / "tests" / "archive" / "good").glob("*/*/build.yaml")])  # fmt: skip
LOG = b"RPM,Torque [Nm],Power [kW]\n2000,438,91.7\n3000,472,148.3\n4000,488,204.4\n"


@pytest.mark.parametrize("file", FILES, ids=lambda file: "/".join(file.parts[-3:-1]))
def test_lines_that_nobody_touched_stay(file: Path, tmp_path: Path) -> None:
    """Comments, quotes, order and line ends of the file are found again around what is new."""
    shutil.copytree(file.parent, tmp_path / "build")
    dyno = {"kind": "engine", "measured_at": "flywheel"}
    visit = Visit(datetime.date(2031, 1, 2), dict(dyno), "observed")
    found = understood(LOG, "a log: no. 1.txt", Answers())
    changes = planned(tmp_path / "build", [Intake(found, "p1", visit), Intake(found, "p1", visit)])
    before, after = (
        [line.strip(b"\r") for line in data.split(b"\n")]
        for data in (file.read_bytes(), changes[-1].after)
    )
    kept = iter(after)
    flow = b"sessions: [" in file.read_bytes() or b"sessions: []" in file.read_bytes()
    assert flow or all(line in kept for line in before if line.strip())
    new = [change.file.name for change in changes if change.before is None]
    assert new == ["a-log-no.-1.txt", "2031-01-02-1.csv", "a-log-no.-1-2.txt", "2031-01-02-2.csv"]
