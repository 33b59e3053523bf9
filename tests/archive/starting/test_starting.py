"""Starting an archive: what is written checks at once, and what is there is never overwritten."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from specgen.archive.archive import read_archive
from specgen.archive.reading.source import Tree, load
from specgen.archive.starting.adding import new_blower, new_build, new_session, rename
from specgen.archive.starting.begin import FILES, StartError, begin
from specgen.archive.starting.templates import template, write_schemas
from specgen.findings import as_text

ROOT = Path(__file__).parent.parent.parent.parent
SESSION: dict[str, Tree] = {
    "date": "2026-05-14",
    "dyno": {"kind": "roller", "measured_at": "roller"},
    "figures": "unknown",
    "pulls": [],
}


def started(folder: Path) -> Path:
    """An archive as `init` writes it, checked."""
    begin(folder, "My workshop", "metric", "iso-1585")
    return checked(folder / "builds")


def checked(archive: Path) -> Path:
    """An archive without any finding."""
    read = read_archive(archive)
    assert not read.findings, as_text(read.findings)
    return archive


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    "name", ["Mill: #1", "no", 'The "Shed"', "Überholung & Söhne", "$name", "1"]
)
def test_any_name_makes_an_archive_that_checks(tmp_path: Path, units: str, name: str) -> None:
    """Names that YAML would misread come back as they were typed; nothing is found."""
    begin(tmp_path, name, units, "sae-j1349")
    settings = read_archive(checked(tmp_path / "builds")).settings
    assert (settings.name.value, settings.units.value) == (name, units)
    site = load((tmp_path / "mkdocs.yml").read_bytes(), "").tree
    assert isinstance(site, dict)
    assert site["site_name"] == name


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    """A folder that has one of the files is refused before anything is written."""
    (tmp_path / "mkdocs.yml").write_text("mine", "utf-8")
    with pytest.raises(StartError, match=r"mkdocs\.yml already"):
        begin(tmp_path, "Mine", "metric", "none")
    assert [path.name for path in tmp_path.iterdir()] == ["mkdocs.yml"]


def test_each_file_names_a_schema_that_is_there(tmp_path: Path) -> None:
    """The first line of every YAML file of the archive leads to a schema that was written."""
    archive = started(tmp_path)
    new_blower(archive, "snail", "centrifugal", "")
    new_build(archive, "tug", 4, "84 mm", "90 mm")
    files = [*archive.rglob("*.yaml")]
    assert len(files) == 5
    for file in files:
        line = file.read_text("utf-8").splitlines()[0]
        named = line.partition("$schema=")[2]
        assert (file.parent / named).resolve().is_file(), file


def test_schemas_are_those_of_the_package(tmp_path: Path) -> None:
    """`specgen schema` writes every schema, and those that they refer to, unchanged."""
    files = write_schemas(tmp_path / "new")
    source = ROOT / "specgen" / "archive" / "schemas"
    assert {file.name for file in files} == {file.name for file in source.iterdir()}
    assert all(file.read_text() == (source / file.name).read_text() for file in files)


def test_readme_shows_what_init_writes() -> None:
    """The first build in five minutes is the text of the files, to the letter."""
    text = (ROOT / "README.md").read_text("utf-8")
    section = text.partition("## A first build")[2].partition("\n## ")[0]
    blocks = re.findall(r"   ```yaml\n(.*?)   ```\n", section, re.S)
    shown = ["\n".join(line[3:] for line in block.splitlines()) + "\n" for block in blocks]
    words = {"name": "My workshop", "units": "metric", "correction": "iso-1585"}
    names = [name for name in FILES if name.endswith(".yaml")]
    written = [template(FILES[name], **words).split("\n", 1)[1] for name in names]
    assert shown == written
    assert all(f"`{name}`" in section for name in names)


def test_what_is_added_checks_at_once(tmp_path: Path) -> None:
    """Blowers of each kind, builds with and without, and sessions, without a finding."""
    archive = started(tmp_path)
    for kind in ("lobe", "vane", "screw"):
        new_blower(archive, kind, kind, "1.3 L")
    new_blower(archive, "snail", "centrifugal", "")
    new_build(archive, "tug", 4, "3.5 in", "90 mm", "screw")
    new_build(archive, "ferry", 6, "84 mm", "90 mm")
    file = new_session(archive, "first-build", dict(SESSION))
    new_session(archive, "ferry", dict(SESSION))
    before = template("first-build.yaml")
    assert file.read_text("utf-8") == before + (
        "  - date: 2026-05-14\n"
        "    dyno: {kind: roller, measured_at: roller}\n"
        "    figures: unknown\n"
        "    pulls: []\n"
    )
    assert len(read_archive(checked(archive)).builds["first-build"].sessions) == 2


@pytest.mark.parametrize("name", ["Tug", "assets", "../up", "", "first-build", "old"])
def test_an_id_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    """Capitals, words of the site's own, ways out, ids taken now or before: nothing changes."""
    archive = started(tmp_path)
    new_build(archive, "old", 4, "84 mm", "90 mm")
    rename(archive, "old", "tug")
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(StartError):
        new_build(archive, name, 4, "84 mm", "90 mm")
    with pytest.raises(StartError):
        rename(archive, "tug", name)
    assert sorted(tmp_path.rglob("*")) == before
    checked(archive)


def test_renaming_keeps_the_file_and_its_old_ids(tmp_path: Path) -> None:
    """Every line stays; each old id is noted in its order; other files move along."""
    archive = started(tmp_path)
    (archive / "first-build" / "note.txt").write_text("x", "utf-8")
    lines = (archive / "first-build" / "build.yaml").read_text("utf-8").splitlines()
    rename(archive, "first-build", "second")
    folder = rename(archive, "second", "third")
    now = (folder / "build.yaml").read_text("utf-8").splitlines()
    assert [line for line in now if line not in lines] == ["formerly: [first-build, second]"]
    assert [line for line in now if line in lines] == lines
    assert (folder / "note.txt").is_file()
    assert not (archive / "first-build").exists()
    assert [it.value for it in read_archive(checked(archive)).builds["third"].formerly] == [
        "first-build",
        "second",
    ]


def test_a_file_with_faults_is_not_renamed(tmp_path: Path) -> None:
    """The fault is told with its line, and folder and file stay as they were."""
    archive = started(tmp_path)
    file = archive / "first-build" / "build.yaml"
    file.write_text("title: [x\n", "utf-8")
    with pytest.raises(StartError, match=r"build\.yaml:\d+: mend this first"):
        rename(archive, "first-build", "second")
    assert file.read_text("utf-8") == "title: [x\n"
    assert [path.name for path in file.parent.iterdir()] == ["build.yaml"]
