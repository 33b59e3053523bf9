"""Building the site: the same bytes each time, inside any MkDocs site, and stopping with words."""

from __future__ import annotations

import hashlib
import html
import logging
import os
import re
import shutil
import subprocess
import sys
import warnings
from pathlib import Path

import pytest

from specgen.publish.export import export
from specgen.publish.plugin import SiteError, build_site
from tests.site.conftest import CONFIG, ROOT

#: Builds of the demo archive that together have all kinds of pages; enough for a small site.
FEW = ("harbour-ferry", "ice-resurfacer")
#: The file of the blower that the second has.
BLOWER = ("wagtail-10.yaml",)


def digests(folder: Path) -> dict[str, str]:
    """The hash of every file of a site by its path."""
    return {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A site of somebody else: a page of their own, and an archive beside it."""
    docs = tmp_path / "docs"
    docs.mkdir()
    (docs / "index.md").write_text("# Ours\n\n<!-- specgen: newest -->\n", encoding="utf-8")
    archive = tmp_path / "builds"
    archive.mkdir()
    shutil.copy(ROOT / "builds" / "archive.yaml", archive)
    (archive / "blowers").mkdir()
    for file in BLOWER:
        shutil.copy(ROOT / "builds" / "blowers" / file, archive / "blowers")
    for name in FEW:
        shutil.copytree(ROOT / "builds" / name, archive / name)
    return tmp_path


def configured(folder: Path, theme: str = "mkdocs", *more: str) -> Path:
    """Write the other site's mkdocs.yml with the two lines that ask for the plugin."""
    lines = ["site_name: Ours", f"theme: {theme}", "plugins:", "  - specgen", *more]
    file = folder / "mkdocs.yml"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def test_the_command_of_mkdocs_builds_the_same_bytes(built_site: Path, tmp_path: Path) -> None:
    """`mkdocs build --strict` an hour later and `specgen site` differ in no byte."""
    environment = {key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"}
    again = tmp_path / "again"
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "-q"]
    result = subprocess.run(
        [*command, "-f", str(CONFIG.relative_to(ROOT)), "-d", str(again)],
        cwd=ROOT,
        env={**environment, "NO_MKDOCS_2_WARNING": "1", "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, result.stdout + result.stderr
    ours, theirs = digests(built_site), digests(again)
    assert {name for name in ours.keys() | theirs if ours.get(name) != theirs.get(name)} == set()


@pytest.mark.parametrize("theme", ["mkdocs", "readthedocs", "material"])
def test_two_lines_bring_the_sheets_into_another_site(small: Path, theme: str) -> None:
    """With any theme the sheets are there, sealed, with their styles and the marker filled."""
    site = build_site(configured(small, theme), strict=True)
    for name in FEW:
        page = (site / "builds" / name / "index.html").read_text("utf-8")
        assert 'class="sg sg-metric"' in page
        assert 'http-equiv="Content-Security-Policy"' in page
        assert re.search(r"\.\./\.\./assets/specgen/specgen\.[0-9a-f]{10}\.css", page)
    home = (site / "index.html").read_text("utf-8")
    assert "<h1" in home
    assert "Ours" in home
    assert 'href="builds/harbour-ferry/"' in home
    assert "<!-- specgen" not in home


def test_pages_as_files_instead_of_folders(small: Path) -> None:
    """A site for the file system gets links to files."""
    site = build_site(configured(small, "mkdocs", "use_directory_urls: false"), strict=True)
    page = (site / "builds" / "harbour-ferry" / "index.html").read_text("utf-8")
    assert 'href="../../method/index.html' in page
    assert 'href="../ice-resurfacer/index.html"' in page


def test_policy_can_be_left_to_the_owner(small: Path) -> None:
    """A site that loads from elsewhere can keep its own policy."""
    config = configured(small)
    config.write_text(
        "site_name: Ours\ntheme: mkdocs\nplugins:\n  - specgen:\n"
        "      content_security_policy: false\n",
        encoding="utf-8",
    )
    page = (build_site(config) / "builds" / "harbour-ferry" / "index.html").read_text("utf-8")
    assert "Content-Security-Policy" not in page


def test_owner_s_own_page_stands(small: Path) -> None:
    """A page that the owner has written is not replaced by ours of the same address."""
    own = small / "docs" / "builds"
    own.mkdir()
    (own / "index.md").write_text("# My own list\n\n<!-- specgen: builds -->\n", encoding="utf-8")
    page = (build_site(configured(small), strict=True) / "builds" / "index.html").read_text("utf-8")
    assert "My own list" in page
    assert 'href="harbour-ferry/"' in page


def test_edit_link_leads_to_the_yaml(small: Path) -> None:
    """The way from the pages to the archive is the way at the forge."""
    config = configured(small, "material", "edit_uri: https://forge.test/shed/edit/main/docs/")
    page = (build_site(config) / "builds" / "harbour-ferry" / "index.html").read_text("utf-8")
    links = html.unescape(page)
    assert 'href="https://forge.test/shed/edit/main/builds/harbour-ferry/build.yaml"' in links


def test_unknown_marker_is_a_warning_with_a_suggestion(small: Path) -> None:
    """A slip in a marker is named, and stops a strict build."""
    (small / "docs" / "index.md").write_text("# Ours\n\n<!-- specgen: newst -->\n", "utf-8")
    told: list[str] = []
    with pytest.raises(SiteError):
        build_site(configured(small), strict=True, progress=told.append)
    assert any('unknown marker "newst"; did you mean "newest"?' in line for line in told)


def test_every_error_of_the_archive_is_told_at_once(small: Path) -> None:
    """A faulty build stops a strict build with place and remedy of each fault, not a traceback."""
    file = small / "builds" / "harbour-ferry" / "build.yaml"
    text = file.read_text("utf-8").replace("bore: 92 mm", "bore: 92").replace("cylinders: 4", "")
    file.write_text(text, "utf-8")
    told: list[str] = []
    with pytest.raises(SiteError, match="not built"):
        build_site(configured(small), progress=told.append, strict=True)
    findings = [line for line in told if "harbour-ferry/build.yaml:" in line]
    assert len(findings) >= 2
    assert all("; write " in line for line in findings)
    assert not any("Traceback" in line for line in told)


def test_missing_archive_says_what_to_write(small: Path) -> None:
    """Where there is no archive the remedy can be typed."""
    shutil.rmtree(small / "builds")
    told: list[str] = []
    with pytest.raises(SiteError):
        build_site(configured(small), progress=told.append)
    assert any("archive: ../builds" in line for line in told)


def test_a_build_leaves_the_surroundings_as_they_were(small: Path) -> None:
    """Neither the date for reproducible builds nor the logger is left changed."""
    before = (os.environ.get("SOURCE_DATE_EPOCH"), list(logging.getLogger("mkdocs").handlers))
    build_site(configured(small), strict=True)
    after = (os.environ.get("SOURCE_DATE_EPOCH"), list(logging.getLogger("mkdocs").handlers))
    assert after == before


@pytest.fixture
def exported(small: Path) -> Path:
    """The small archive as Markdown, for any engine."""
    from specgen.archive.archive import read_archive

    target = small / "exported"
    told: list[str] = []
    count = export(read_archive(small / "builds"), target, told.append)
    files = [file for file in target.rglob("*") if file.is_file()]
    assert count == sum(1 for file in files if not file.name.startswith("."))
    assert told == [f"builds/{name}/index.md" for name in sorted(FEW)]
    return target


def test_exported_pages_build_without_the_plugin(exported: Path, small: Path) -> None:
    """Plain MkDocs, strictly, makes the same content from the export as the plugin does."""
    from mkdocs.commands.build import build
    from mkdocs.config import load_config

    with warnings.catch_warnings():
        config = load_config(str(exported / "mkdocs.yml"), strict=True)
        build(config)
    plain = Path(config.site_dir)
    (small / "docs" / "index.md").unlink()
    ours = build_site(configured(small, "material"), strict=True)
    for name in FEW:
        address = f"builds/{name}/index.html"
        hashless = re.sub(r"\.[0-9a-f]{10}(?=\.(?:css|js)\b)", "", content(ours / address))
        assert content(plain / address) == hashless


def content(file: Path) -> str:
    """What stands between the first and the last of our blocks, without the theme around it."""
    text = file.read_text("utf-8")
    start, end = text.index('<div class="sg '), text.rindex("sg-neighbours")
    assert end - start > 10_000
    return text[start:end]
