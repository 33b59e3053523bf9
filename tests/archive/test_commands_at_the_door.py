"""Commands that change an archive read it through the same door as a check does."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.importing.benches import benches_of
from specgen.archive.importing.plan import planned, setups_of, taken_before
from specgen.archive.importing.understanding import CannotImport
from specgen.archive.importing.writing import NOTES, undone
from specgen.archive.starting.adding import new_session, rename
from specgen.archive.starting.begin import StartError
from specgen.archive.starting.migrating import migrate
from specgen.cli import main
from specgen.past.editions import edition_on_disk
from specgen.past.kept import FILE, read_kept
from tests.archive.cases import lay_out
from tests.archive.stopwatch import within

SECRET = "title: secret\nsetups: [{id: secret}]\ndynos: []\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The base archive, with a file beside it that nobody is to see."""
    (tmp_path / "secret.yaml").write_text(SECRET)
    return lay_out(None, tmp_path)


def _link(path: Path) -> None:
    path.symlink_to(
        next(it for it in path.parents if (it / "secret.yaml").is_file()) / "secret.yaml"
    )


def _large(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(3_000_000_000)


WAYS: dict[str, Callable[[Path], None]] = {"link": _link, "large": _large}
BUILD, SETTINGS = "heron/build.yaml", "archive.yaml"
#: Commands by name: the file that is not what it should be, what is called, and its error.
COMMANDS: dict[str, tuple[str, Callable[[Path], object], type[Exception]]] = {
    "new session": (BUILD, lambda root: new_session(root, "heron", {}), StartError),
    "rename": (BUILD, lambda root: rename(root, "heron", "bittern"), StartError),
    "import": (BUILD, lambda root: planned(root / "heron", ()), CannotImport),
    "setups": (BUILD, lambda root: setups_of(root / "heron"), CannotImport),
    "dynos": (SETTINGS, benches_of, CannotImport),
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_refuses_what_a_check_refuses(root: Path, command: str, way: str) -> None:
    """One sentence, at once, with what to do; nothing foreign is read, nothing written."""
    name, call, error = COMMANDS[command]
    (root / name).unlink()
    WAYS[way](root / name)
    with within(), pytest.raises(error, match=r"is not read: found .* expected") as told:
        call(root)
    assert "secret" not in str(told.value)
    assert (root.parent / "secret.yaml").read_text() == SECRET
    assert not (root / "bittern").exists()
    assert not list((root / "heron").glob(".*"))


def test_a_rename_passes_over_other_builds_that_are_not_read(root: Path) -> None:
    """A pipe in another build keeps nobody waiting."""
    (root / "odd").mkdir()
    os.mkfifo(root / "odd" / "build.yaml")
    with within():
        assert rename(root, "heron", "bittern").is_dir()


def test_an_older_file_that_is_too_large_is_not_rewritten(root: Path) -> None:
    """A sparse file of gigabytes is refused before it is read."""
    (root / BUILD).unlink()
    _large(root / BUILD)
    with within(), pytest.raises(StartError, match=r"a file of 3000\.0 MB"):
        migrate(root)


def test_an_original_that_leads_out_was_not_taken_in(root: Path) -> None:
    """A link to a foreign file of the same bytes tells nobody that they are the same."""
    (root / "heron" / "originals").mkdir()
    _link(root / "heron" / "originals" / "log.csv")
    assert taken_before(root, SECRET.encode()) is None


@pytest.mark.parametrize("name", ["../secret.yaml", "heron/../../secret.yaml", "/etc/hostname"])
def test_a_foreign_note_takes_nothing_back_outside(root: Path, name: str) -> None:
    """A note of an import that came with a folder changes no file but the archive's own."""
    (root / NOTES).mkdir()
    after = hashlib.sha256(SECRET.encode()).hexdigest()
    told = {"format": 1, "files": [{"file": name, "before": None, "after": after}]}
    (root / NOTES / "1.json").write_text(json.dumps(told))
    with pytest.raises(CannotImport):
        undone(root)
    assert (root.parent / "secret.yaml").read_text() == SECRET


@pytest.mark.parametrize("note", ["", "[]", "{}", '{"files": [1]}', '{"files": [{"file": "a"}]}'])
def test_a_note_that_is_none_is_told(root: Path, note: str) -> None:
    """What cannot be read as a note is named, with what to do."""
    (root / NOTES).mkdir()
    (root / NOTES / "1.json").write_text(note)
    with pytest.raises(CannotImport, match="is no note of an import; delete it"):
        undone(root)


def test_a_device_is_no_log(root: Path) -> None:
    """An endless device is refused in a sentence."""
    with within():
        result = CliRunner().invoke(
            main, ["import", "/dev/zero", "--build", "heron", "--archive", str(root), "--yes"]
        )
    assert result.exit_code == 2
    assert "a device where a file is due" in result.output


def test_figures_kept_elsewhere_are_not_read(root: Path, tmp_path: Path) -> None:
    """A link out of the archive in the place of kept figures is as if there were none."""
    (tmp_path / "kept.json").write_text('{"format": 1, "kept": []}')
    (root / FILE).symlink_to(tmp_path / "kept.json")
    assert read_kept(root) == {}


def test_an_archive_on_disk_is_what_can_be_read(root: Path) -> None:
    """What no check lets in is in no comparison of two editions."""
    before = edition_on_disk(root).files
    _large(root / "heron" / "large.csv")
    with within():
        assert edition_on_disk(root).files == before
