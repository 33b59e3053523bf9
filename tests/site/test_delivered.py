"""A site in its place: what is refused, what stays on a failure, and what other commands find."""

from __future__ import annotations

import html
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.archive import read_archive
from specgen.cli import main
from specgen.findings import Finding
from specgen.publish.delivery.manifest import faults, files_in
from specgen.publish.delivery.targets import Refused
from specgen.publish.export import export
from specgen.publish.plugin import SiteError, build_site
from tests.analysis.small import write


@pytest.fixture
def settings(tmp_path: Path) -> Path:
    """The settings of a small site with a page of its own."""
    write(tmp_path / "builds")
    pages = tmp_path / "source" / "pages"
    pages.mkdir(parents=True)
    (pages / "index.md").write_text("# Ours\n", encoding="utf-8")
    return configured(tmp_path / "source" / "mkdocs.yml")


def configured(file: Path, site_dir: str = "../site", *more: str) -> Path:
    """Write the site's settings."""
    lines = ["site_name: Ours", "theme: mkdocs", "docs_dir: pages", f"site_dir: {site_dir}",
             "plugins:", "  - specgen:", "      keep: [downloads]", *more]  # fmt: skip
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its path."""
    return {name: (folder / name).read_bytes() for name in files_in(folder)}


@pytest.mark.parametrize(
    ("site_dir", "words"),
    [
        ("../builds", "is the archive"),
        ("..", "docs_dir"),
        ("../builds/test-build/site", "lies in the archive"),
        ("../photographs", "was not published from here"),
        (".", "docs_dir"),
    ],
)
def test_a_wrong_folder_is_refused_and_nothing_is_deleted(
    settings: Path, site_dir: str, words: str
) -> None:
    """Five slips in site_dir: each says what is wrong; two the engine itself refuses."""
    root = settings.parents[1]
    (root / "photographs").mkdir()
    (root / "photographs" / "1.jpg").write_text("mine")
    configured(settings, site_dir)
    before = contents(root)
    told: list[str] = []
    with pytest.raises(SiteError):
        build_site(settings, progress=told.append)
    assert words in "\n".join(told)
    assert "site_dir" in "\n".join(told)
    assert contents(root) == before


def test_a_failure_leaves_the_old_site(settings: Path) -> None:
    """A broken page, or a warning under strict: the site of before, and nothing beside it."""
    root = settings.parents[1]
    site = build_site(settings)
    assert faults(site) == []
    before = contents(site)
    (settings.parent / "pages" / "more.md").write_text("[x](nowhere.md)", encoding="utf-8")
    with pytest.raises(SiteError):
        build_site(settings, strict=True)
    (root / "builds" / "archive.yaml").write_text("format: 3\n")
    with pytest.raises(SiteError):
        build_site(settings)
    assert contents(site) == before
    assert sorted(path.name for path in root.iterdir()) == ["builds", "site", "source"]


def test_other_files_stay_and_the_folder_is_no_link(settings: Path) -> None:
    """What the settings name, and what a host needs, is there after each build."""
    site = build_site(settings)
    for name in ("downloads/a.zip", "CNAME"):
        (site / name).parent.mkdir(exist_ok=True)
        (site / name).write_text("mine")
    (settings.parent / "pages" / "index.md").write_text("# Anew\n", encoding="utf-8")
    site = build_site(settings)
    assert not site.is_symlink()
    assert (site / "downloads" / "a.zip").read_text() == "mine"
    assert (site / "CNAME").read_text() == "mine"
    assert "Anew" in (site / "index.html").read_text("utf-8")
    assert faults(site, ("downloads",)) == []


def test_a_command_after_the_build_finds_the_site(settings: Path) -> None:
    """`mkdocs gh-deploy` publishes what `site_dir` names after the build: the site."""
    root = settings.parents[1]
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "GIT_CONFIG_GLOBAL": os.devnull}

    def git(*words: str) -> str:
        identity = ("-c", "user.name=Nobody", "-c", "user.email=nobody@example.org")
        command = ["git", *identity, *words]
        done = subprocess.run(command, cwd=root, check=True, capture_output=True, text=True)
        return done.stdout

    if shutil.which("git") is None:
        pytest.skip("no git")
    git("init", "-q", "-b", "main")
    git("commit", "-q", "--allow-empty", "-m", "Begin")
    git("config", "user.name", "Nobody")
    git("config", "user.email", "nobody@example.org")
    git("init", "-q", "--bare", "remote.git")
    git("remote", "add", "origin", str(root / "remote.git"))
    command = [sys.executable, "-m", "mkdocs", "gh-deploy", "-q", "-f", "source/mkdocs.yml"]
    done = subprocess.run(
        command, cwd=root, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    published = git("ls-tree", "-r", "--name-only", "gh-pages").splitlines()
    assert set(files_in(root / "site")) <= set(published)


def test_an_export_never_overwrites_somebody_elses_settings(tmp_path: Path) -> None:
    """A folder with an mkdocs.yml of its own is refused; an earlier export is replaced."""
    archive = read_archive(write(tmp_path / "builds"))
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "mkdocs.yml").write_text("site_name: Mine\n")
    with pytest.raises(Refused, match=r"mkdocs\.yml"):
        export(archive, tmp_path / "mine")
    assert (tmp_path / "mine" / "mkdocs.yml").read_text() == "site_name: Mine\n"
    count = export(archive, tmp_path / "pages")
    (tmp_path / "pages" / "site").mkdir()
    (tmp_path / "pages" / "site" / "index.html").write_text("built")
    assert export(archive, tmp_path / "pages") == count
    assert (tmp_path / "pages" / "site" / "index.html").read_text() == "built"
    assert faults(tmp_path / "pages", ("site",)) == []


def broken(root: Path) -> None:
    """Add a build with an error of its own to an archive, and one whose figures contradict."""
    text = (root / "test-build" / "build.yaml").read_text("utf-8")
    for name, old, new in (("faulty", "84 mm", "84 mmm"), ("odd", "blower: test", "blower: tiny")):
        (root / name).mkdir()
        (root / name / "build.yaml").write_text(text.replace(old, new), encoding="utf-8")
    blower = (root / "blowers" / "test-blower.yaml").read_text("utf-8")
    tiny = blower.replace("0.9 L", "0.09 L")
    (root / "blowers" / "tiny-blower.yaml").write_text(tiny, encoding="utf-8")


def test_one_build_takes_no_other_down(settings: Path) -> None:
    """A faulty build has a page that says what to mend; the others are there; strict stops."""
    broken(settings.parents[1] / "builds")
    found: list[Finding] = []
    told: list[str] = []
    site = build_site(settings, faults=found.extend, progress=told.append)
    assert "class" in (site / "builds" / "test-build" / "index.html").read_text("utf-8")
    page = html.unescape((site / "builds" / "faulty" / "index.html").read_text("utf-8"))
    assert "This build is left out" in page
    assert "faulty/build.yaml:5" in page
    assert {item.place.file for item in found} == {
        "faulty/build.yaml", "blowers/tiny-blower.yaml"
    }  # fmt: skip
    assert "[unknown-unit]" in "\n".join(told)
    odd = html.unescape((site / "builds" / "odd" / "index.html").read_text("utf-8"))
    assert "cannot be worked out" in odd
    assert "blowers/tiny-blower.yaml:4" in odd
    with pytest.raises(SiteError):
        build_site(settings, strict=True)


def test_commands_tell_by_their_exit_code(settings: Path) -> None:
    """Site, export and show of what is published in part end with exit code 1, and finish."""
    root = settings.parents[1]
    broken(root / "builds")
    run = CliRunner()
    for arguments in (
        ("site", "--config", str(settings)),
        ("export", str(root / "out"), "--archive", str(root / "builds")),
        ("show", "odd", "--archive", str(root / "builds")),
    ):
        result = run.invoke(main, list(arguments), catch_exceptions=False)
        assert result.exit_code == 1, arguments
        assert "contradict" in result.output or "error" in result.output
    assert (root / "out" / "pages" / "builds" / "faulty" / "index.md").is_file()
    assert (root / "out" / "pages" / "builds" / "test-build" / "index.md").is_file()
