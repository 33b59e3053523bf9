"""What is no plain file of the archive is a finding, at once, and nothing of it is told or read."""

from __future__ import annotations

import os
import resource
from collections.abc import Callable
from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.archive.reading import door
from specgen.findings import as_annotations, as_json, as_text
from tests.archive.cases import lay_out
from tests.archive.stopwatch import within

SECRET = "root:secret:0:0"
BUILD, BLOWER = "heron/build.yaml", "blowers/tern-13.yaml"
CURVE = "heron/pulls/2025-05-14-1.csv"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """The base archive, with a file outside it that nobody is to see."""
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "secret").write_text(f"{SECRET}\n{SECRET}\n")
    (tmp_path / "outside" / "build.yaml").write_text(f"format: 1\ntitle: {SECRET}\n")
    return lay_out(None, tmp_path)


def read(root: Path) -> Archive:
    """Read an archive in a second; no layout of its findings tells what is not its own."""
    with within():
        archive = read_archive(root)
    for layout in (as_text, as_json, as_annotations):
        assert SECRET not in layout(archive.findings)
    assert not any(SECRET in text for text in archive.sources.values())
    return archive


def found(archive: Archive, file: str) -> list[str]:
    """What was found about a file."""
    return [item.found for item in archive.findings if item.place.file == file]


def instead(root: Path, name: str) -> Path:
    """Make room for something else in a file's place."""
    path = root / name
    path.parent.mkdir(exist_ok=True)
    path.unlink(missing_ok=True)
    return path


def out(path: Path) -> None:
    """A link out of the archive."""
    home = next(it for it in path.parents if (it / "outside").is_dir())
    path.symlink_to(home / "outside" / "secret")


def nowhere(path: Path) -> None:
    """A link to nothing."""
    path.symlink_to(path.with_name("gone"))


def round_about(path: Path) -> None:
    """A link to itself."""
    path.symlink_to(path)


def device(path: Path) -> None:
    """A link to what never ends."""
    path.symlink_to("/dev/zero")


def pipe(path: Path) -> None:
    """A pipe that nobody writes to."""
    os.mkfifo(path)


def folder(path: Path) -> None:
    """A folder under a file's name."""
    path.mkdir()


def sparse(path: Path) -> None:
    """Three gigabytes that take no room."""
    with path.open("wb") as file:
        file.truncate(3_000_000_000)


STRANGE: dict[Callable[[Path], None], str] = {
    out: "a link that leads out of the archive",
    nowhere: "a link that leads to nothing",
    round_about: "a link that leads to nothing",
    device: "a link that leads out of the archive",
    pipe: "a pipe where a file is due",
    folder: "a folder where a file is due",
    sparse: "a file of 3000.0 MB",
}


@pytest.mark.parametrize("name", [BUILD, BLOWER, "archive.yaml"])
@pytest.mark.parametrize("strange", STRANGE, ids=lambda it: it.__name__)
def test_what_is_no_plain_file(root: Path, name: str, strange: Callable[[Path], None]) -> None:
    """In the place of each kind of file: a finding there, and everything else is read."""
    strange(instead(root, name))
    archive = read(root)
    assert found(archive, name) == [STRANGE[strange]]
    assert ("heron" in archive.builds) == (name == "archive.yaml")
    assert ("tern-13" in archive.blowers) == (name != BLOWER)


@pytest.mark.parametrize("strange", STRANGE, ids=lambda it: it.__name__)
def test_a_curve_beside_a_faulty_build(root: Path, strange: Callable[[Path], None]) -> None:
    """Curves of a build that cannot be read are looked at too, and through the same door."""
    (root / BUILD).write_text("format: 1\ntitle: [\n")
    strange(instead(root, CURVE))
    assert found(read(root), CURVE) == [STRANGE[strange]]


@pytest.mark.parametrize("strange", STRANGE, ids=lambda it: it.__name__)
def test_a_curve_that_a_build_names(root: Path, strange: Callable[[Path], None]) -> None:
    """A named curve that is no plain file of the build keeps the build out, and says why."""
    strange(instead(root, CURVE))
    archive = read(root)
    assert any(CURVE[6:] in item.found or item.place.file == CURVE for item in archive.findings)
    assert "heron" not in archive.builds


@pytest.mark.parametrize("strange", [out, nowhere, round_about], ids=lambda it: it.__name__)
def test_a_folder_that_is_a_link(root: Path, strange: Callable[[Path], None]) -> None:
    """A build's folder outside the archive is not read; a link inside it is a folder like any."""
    where = root / "linked"
    if strange is out:
        where.symlink_to(root.parent / "outside")
    else:
        strange(where)
    (root / "again").symlink_to(root / "heron")
    archive = read(root)
    assert found(archive, "linked") == [STRANGE[strange]]
    assert set(archive.builds) == {"again", "heron"}


def test_a_hidden_file_of_the_same_folder(root: Path) -> None:
    """What git and others keep hidden beside the builds is not the archive's."""
    (root / ".git").mkdir()
    (root / ".git" / "config").write_text(SECRET)
    instead(root, BLOWER).symlink_to(root / ".git" / "config")
    assert found(read(root), BLOWER) == ["a link to a hidden file"]


def test_a_folder_that_may_not_be_listed(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system does not let a folder be listed, it says so, and the others are read."""
    usual = Path.iterdir
    (root / "shut").mkdir()

    def listed(folder: Path) -> object:
        if folder.name == "shut":
            raise PermissionError(13, "Permission denied")
        return usual(folder)

    monkeypatch.setattr(Path, "iterdir", listed)
    archive = read(root)
    assert found(archive, "shut") == ["a folder that cannot be opened (Permission denied)"]
    assert set(archive.builds) == {"heron"}


@pytest.mark.parametrize(
    "name",
    [
        "n" * 300,
        "con.csv",
        "NUL",
        "a\x1b[31m.csv",
        "a\u202efsc.csv",
        "a?.csv",
        ".hidden.csv",
        "a. ",
    ],
)
def test_names_that_not_every_system_can_keep(root: Path, name: str) -> None:
    """A finding with a name to take instead, which is a plain one."""
    assert door.name_fault(name)
    assert door.name_fault(door.plain_name(name)) == ""
    quoted = name.encode("unicode_escape").decode()
    text = (root / BUILD).read_text().replace(CURVE[6:], f'"pulls/{quoted}"')
    (root / BUILD).write_text(text)
    assert "heron" not in read(root).builds


@pytest.mark.parametrize("name", ["2025-05-14-1.csv", "Öl – Mai (2).csv", "曲線.csv", "con-1.csv"])
def test_usual_names_are_plain(name: str) -> None:
    """Letters of any language, spaces and the usual signs."""
    assert door.name_fault(name) == ""


def test_nothing_of_a_large_file_is_kept(root: Path) -> None:
    """A sparse file of gigabytes costs no memory."""
    sparse(instead(root, CURVE))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(door.Refused):
        door.read(root, root / CURVE, 2_000_000)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 50_000


def test_a_file_that_grows_is_cut_off(tmp_path: Path) -> None:
    """What the system makes while it is read says of itself that it is empty."""
    with pytest.raises(door.Refused, match="MB"):
        door.read_plain(Path("/proc/self/maps"), 10)
    (tmp_path / "plain").write_bytes(b"12345")
    assert door.read(tmp_path, tmp_path / "plain", 5) == b"12345"
