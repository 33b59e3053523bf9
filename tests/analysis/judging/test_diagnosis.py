"""What does not fit is named, with what speaks for which cause; what fits is left in peace."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.fit.departures import Trace
from specgen.analysis.judging.causes import pattern_of
from specgen.analysis.judging.diagnosis import Diagnosis
from specgen.analysis.sheet import Sheet, analyse
from specgen.archive.archive import read_archive

pytestmark = pytest.mark.slow

DEMO = Path(__file__).parents[3] / "builds"


@pytest.fixture(scope="module")
def demo() -> dict[str, Sheet]:
    """Sheets of the demo archive."""
    return analyse(read_archive(DEMO))


def test_the_slipping_belt_is_found_and_nobody_else_accused(demo: dict[str, Sheet]) -> None:
    """The generator lets one belt slip, on the smallest pulley of one boat; only that is named."""
    named = [(name, found.pull) for name, sheet in demo.items() for found in sheet.diagnoses]
    assert named == [("plover-sprint", "2025-07-02-4")]
    found = demo["plover-sprint"].diagnoses[0]
    assert found.pattern.words == "short at high speed"
    assert found.causes[0].title == "Belt slip"
    assert found.speed > 5700 / 60


def changed(folder: Path, build: str, change: Callable[[str], str], pull: str = "") -> Sheet:
    """The sheet of a demo build with its file, or one of its pulls, changed."""
    copied = folder / "builds"
    shutil.copytree(DEMO, copied)
    path = copied / build / (f"pulls/{pull}" if pull else "build.yaml")
    text = path.read_text("utf-8")
    assert change(text) != text
    path.write_text(change(text), encoding="utf-8")
    return analyse(read_archive(copied))[build]


def column_changed(text: str, name: str, change: Callable[[float, float], float]) -> str:
    """Change one column of a curve file; the function gets engine speed and value."""
    head, *lines = text.strip().splitlines()
    names = [cell.split(" [")[0] for cell in head.split(",")]
    index = names.index(name)
    rows = [line.split(",") for line in lines]
    for row in rows:
        row[index] = f"{change(float(row[0]), float(row[index])):.2f}"
    return "\n".join([head, *(",".join(row) for row in rows)]) + "\n"


def only(found: tuple[Diagnosis, ...]) -> Diagnosis:
    """The one diagnosis."""
    assert len(found) == 1, found
    return found[0]


def test_a_wrong_pulley_in_the_file_is_named_with_the_right_one(tmp_path: Path) -> None:
    """Boost short by the same ratio everywhere: the file says 81.8, the curve was made on 95.5."""
    sheet = changed(
        tmp_path,
        "lark-hydroplane",
        lambda text: text.replace(
            "title: 95.5 mm, blower_pulley: 95.5 mm",
            "title: x, blower_pulley: 81.8 mm",
        ),
    )
    found = only(sheet.diagnoses)
    assert found.setup.id == "p96"
    assert found.pattern.words == "short everywhere"
    assert "A wrong pulley in the file" in {cause.title for cause in found.causes}
    cause = next(cause for cause in found.causes if cause.title == "A wrong pulley in the file")
    assert "95.5" in cause.evidence[0].words or "92.6" in cause.evidence[0].words


def test_a_measured_blower_speed_proves_slip(tmp_path: Path) -> None:
    """Where blower speed was measured below the drive's, slip is proved, not guessed."""

    def slip(text: str) -> str:
        less = column_changed(text, "boost", lambda n, b: b - max(n - 5000, 0) * 0.022)
        return column_changed(less, "blower speed", lambda n, s: s * (1 - max(n - 5000, 0) * 5e-5))

    sheet = changed(tmp_path, "lark-hydroplane", slip, "2025-05-14-6.csv")
    found = only(sheet.diagnoses)
    assert found.causes[0].title == "Belt slip"
    assert any("slower than its drive" in item.words for item in found.causes[0].evidence)


def test_a_blower_speed_that_holds_speaks_against_slip(tmp_path: Path) -> None:
    """Boost sags, the blower keeps its speed: the inlet is looked at before the belt."""

    def sag(text: str) -> str:
        weak = column_changed(text, "torque", lambda n, t: t * (1 - max(n - 5000, 0) * 7e-5))
        less = column_changed(weak, "boost", lambda n, b: b - max(n - 5000, 0) * 0.022)
        return column_changed(
            less, "inlet pressure drop", lambda n, d: d + max(n - 5000, 0) * 0.006
        )

    sheet = changed(tmp_path, "lark-hydroplane", sag, "2025-05-14-6.csv")
    found = next(item for item in sheet.diagnoses if item.figure == "boost")
    assert found.causes[0].title == "A restriction before the blower"


def test_a_sensor_that_reads_high_is_not_taken_for_boost(tmp_path: Path) -> None:
    """Boost high everywhere while power is as predicted: the sensor is named."""
    sheet = changed(
        tmp_path,
        "lark-hydroplane",
        lambda text: column_changed(text, "boost", lambda _, b: b + 22),
        "2025-05-14-1.csv",
    )
    found = only(sheet.diagnoses)
    assert found.pattern.words == "high everywhere"
    assert found.causes[0].title.startswith("The boost sensor")


@pytest.mark.parametrize(
    ("short", "pattern"),
    [
        ([3, 3, 3, 3, 3, 3], "short everywhere"),
        ([-3, -3, -3, -3, -3, -3], "high everywhere"),
        ([0, 0, 0, 1, 4, 5], "short at high speed"),
        ([5, 4, 1, 0, 0, 0], "short at low speed"),
        ([0, 0, 0, -1, -4, -5], "high at high speed"),
        ([0, 0, 4, 4, 0, 0], "short in places"),
    ],
)
def test_patterns_are_told_apart(short: list[float], pattern: str) -> None:
    """Where over the speed range a pull departs decides what could explain it."""
    speeds = np.linspace(40, 110, len(short))
    trace = Trace("p80", "pull", "boost", speeds, np.array(short, float))
    assert pattern_of(trace).words == pattern
