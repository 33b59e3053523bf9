"""Pulls keep their ids when others go or come, and what they were called before leads to them."""

from __future__ import annotations

from pathlib import Path

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Pull
from tests.analysis.small import BUILD, write

HEAD = """sessions:
  - date: 2025-05-14
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    pulls:
"""
LINES = (
    "{setup: p80, curve: pulls/2025-05-14-1.csv}",
    "{setup: p80, curve: pulls/Run 7 (hot).csv}",
    "{setup: p80, peaks: {power: 301 kW}}",
    "{id: evening, formerly: [late], setup: p80, peaks: {power: 302 kW}}",
    "{setup: p80, curve: pulls/2025-05-14-5.csv}",
)
IDS = ("2025-05-14-1", "run-7-hot", "2025-05-14-p80", "evening", "2025-05-14-5")
CURVE = "engine speed [rpm],torque [N m]\n3000,400\n4000,450\n5000,440\n"


def pulls(folder: Path, *lines: str) -> list[Pull]:
    """Read a build with some pulls."""
    archive = write(folder, BUILD + HEAD + "".join(f"      - {line}\n" for line in lines))
    (archive / "test-build/pulls").mkdir(exist_ok=True)
    for name in ("2025-05-14-1", "Run 7 (hot)", "2025-05-14-5"):
        (archive / f"test-build/pulls/{name}.csv").write_text(CURVE, encoding="utf-8")
    (visit,) = read_archive(archive).builds["test-build"].sessions
    return list(visit.pulls)


def test_ids_are_written_or_of_the_curve_or_of_the_setup(tmp_path: Path) -> None:
    """In this order, plain, and no two alike."""
    assert tuple(it.id for it in pulls(tmp_path, *LINES)) == IDS
    twice = pulls(tmp_path, *LINES[2:3] * 3)
    assert [it.id for it in twice] == ["2025-05-14-p80", "2025-05-14-p80-2", "2025-05-14-p80-3"]


def test_no_id_changes_when_another_pull_goes(tmp_path: Path) -> None:
    """Whichever of the pulls is taken out, all others are called what they were called."""
    for gone in range(len(LINES)):
        left = [line for index, line in enumerate(LINES) if index != gone]
        ids = [name for index, name in enumerate(IDS) if index != gone]
        assert [it.id for it in pulls(tmp_path / str(gone), *left)] == ids


def test_earlier_ids_lead_to_the_pull(tmp_path: Path) -> None:
    """The number by which it was counted, a written former id, and the id before it had one."""
    earlier = [it.earlier for it in pulls(tmp_path, *LINES)]
    assert earlier == [
        (),
        ("2025-05-14-2",),
        ("2025-05-14-3",),
        ("late", "2025-05-14-p80-2", "2025-05-14-4"),
        (),
    ]


def test_an_earlier_id_that_another_has_now_leads_there(tmp_path: Path) -> None:
    """Of pulls that swapped their places none answers to the other's name."""
    first, second = pulls(tmp_path, LINES[4], LINES[0])
    assert (first.id, second.id) == ("2025-05-14-5", "2025-05-14-1")
    assert first.earlier == ()
    assert second.earlier == ("2025-05-14-2",)
