"""Older files in a newer format: every word that is not the format's stays."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.editing.edits import insert_key
from specgen.archive.format.schema import SchemaName
from specgen.archive.starting.begin import StartError
from specgen.archive.starting.migrating import NEWEST, STEPS, migrate
from specgen.cli import main

ROOT = Path(__file__).parents[3]


def to_two(kind: SchemaName, data: bytes, name: str) -> bytes:
    """A made-up format 2, in which each build says that it is one."""
    return insert_key(data, (), "kind", "engine", "format", name) if kind == "build" else data


def files(folder: Path) -> dict[str, str]:
    """All YAML of an archive."""
    return {p.relative_to(folder).as_posix(): p.read_text("utf-8") for p in folder.rglob("*.yaml")}


def test_there_is_a_step_from_every_older_format() -> None:
    """A newer format cannot be released without the way to it."""
    assert set(STEPS) == set(range(1, NEWEST))


def test_the_demo_is_of_the_newest_format(tmp_path: Path) -> None:
    """Nothing is rewritten, and the command says so."""
    shutil.copytree(ROOT / "builds", tmp_path / "builds")
    before = files(tmp_path / "builds")
    result = CliRunner().invoke(main, ["migrate", "--archive", str(tmp_path / "builds")])
    assert result.output == "Every file is of format 1, the newest.\n"
    assert files(tmp_path / "builds") == before


def test_only_what_a_step_means_changes(tmp_path: Path) -> None:
    """Comments, order and quotes of every file of the demo stay; the number at the head rises."""
    folder = tmp_path / "builds"
    shutil.copytree(ROOT / "builds", folder)
    before = files(folder)
    rewritten = migrate(folder, {1: to_two}, 2)
    after = files(folder)
    assert len(rewritten) == len(before) == len(after)
    for name, text in before.items():
        head = "format: 2\nkind: engine\n" if name.endswith("build.yaml") else "format: 2\n"
        assert after[name] == text.replace("format: 1\n", head, 1), name


def test_a_file_that_cannot_be_leaves_all_as_they_are(tmp_path: Path) -> None:
    """One file with a fault of syntax: it is named, and nothing is written."""
    folder = tmp_path / "builds"
    shutil.copytree(ROOT / "builds", folder)
    odd = folder / "mail-boat" / "build.yaml"
    odd.write_text(odd.read_text("utf-8") + "title: [\n", "utf-8")
    before = files(folder)
    with pytest.raises(StartError, match=r"mail-boat/build\.yaml"):
        migrate(folder, {1: to_two}, 2)
    assert files(folder) == before


@pytest.mark.parametrize("head", ["format: 7", "format: one", "title: none"])
def test_a_format_that_nobody_knows_is_told(tmp_path: Path, head: str) -> None:
    """A number beyond the newest, or none."""
    (tmp_path / "archive.yaml").write_text(f"{head}\n", "utf-8")
    result = CliRunner().invoke(main, ["migrate", "--archive", str(tmp_path)])
    assert result.exit_code == 2
    assert "no format from 1 to 1" in result.output
