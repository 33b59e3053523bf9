"""What a site lacks that its figures do not need is said in the log of a build, and on no page."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.starting.begin import begin
from specgen.cli import main
from specgen.publish.engine import surroundings
from specgen.publish.plugin import build_site
from tests.archive.repository import begun, commit_all

pytestmark = pytest.mark.slow

GIT = ("git", "-c", "user.name=A", "-c", "user.email=a@example.org")


def built(folder: Path, *, strict: bool = False) -> tuple[list[str], str]:
    """Build a site; give the lines of its log, and all that its pages say."""
    said: list[str] = []
    site = build_site(folder / "mkdocs.yml", strict=strict, progress=said.append)
    return said, "".join(page.read_text("utf-8") for page in sorted(site.rglob("*.html")))


def test_an_address_that_nobody_told_is_asked_for(tmp_path: Path) -> None:
    """Without site_url a warning says what to write; strict mode is told and goes on."""
    begin(tmp_path / "a", "Shop", "metric", "none")
    for strict in (False, True):
        said, _ = built(tmp_path / "a", strict=strict)
        assert any("site_url" in line for line in said)
    begin(tmp_path / "b", "Shop", "metric", "none", "https://shop.example/")
    said, pages = built(tmp_path / "b")
    assert not any("site_url" in line for line in said)
    assert "https://shop.example/builds/first-build/" in pages


def test_a_shallow_clone_is_told_in_the_log_alone(tmp_path: Path) -> None:
    """Whoever runs the build learns the cure; a customer reads nothing of it."""
    first = tmp_path / "first"
    begin(first, "Shop", "metric", "none", "https://shop.example/")
    subprocess.run([*GIT, "init", "-q", str(first)], check=True)
    for subject in ("Begin", "Go on"):
        with (first / "builds/first-build/build.yaml").open("a", encoding="utf-8") as file:
            file.write(f"# {subject}\n")
        subprocess.run([*GIT, "-C", str(first), "add", "-A"], check=True)
        subprocess.run([*GIT, "-C", str(first), "commit", "-qm", subject], check=True)
    said, pages = built(first)
    assert not any("history" in line for line in said)
    assert "Begin" in pages
    second = tmp_path / "second"
    subprocess.run([*GIT, "clone", "-q", "--depth", "1", first.as_uri(), str(second)], check=True)
    said, pages = built(second)
    assert [line for line in said if "git fetch --unshallow" in line and "warning" in line]
    sheet = (second / "site/builds/first-build/index.html").read_text("utf-8")
    assert "shallow" not in sheet


def test_a_past_that_takes_long_is_told_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The command says how many earlier states are worked out; the next build knows them."""
    shop = tmp_path / "shop"
    begin(shop, "Shop", "metric", "none", "https://shop.example/")
    begun(shop)
    commit_all(shop, "Begin")
    settings = shop / "builds/archive.yaml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace("correction: none", "correction: iso-1585"), "utf-8")
    commit_all(shop, "Another air")
    monkeypatch.setattr(surroundings, "_FEW", 1)
    monkeypatch.setenv("SPECGEN_CACHE", str(tmp_path / "cache"))
    command = ["site", "--config", str(shop / "mkdocs.yml")]
    first, again = (CliRunner().invoke(main, command, catch_exceptions=False) for _ in range(2))
    assert (first.exit_code, again.exit_code) == (0, 0), first.output
    assert "2 earlier states of builds are worked out" in first.output
    assert "earlier states" not in again.output
    assert "no commit has" not in first.output
    page = (shop / "site/builds/first-build/index.html").read_text("utf-8")
    build = shop / "builds/first-build/build.yaml"
    build.write_text(build.read_text("utf-8").replace("262 kW", "250 kW"), "utf-8")
    third = CliRunner().invoke(main, command, catch_exceptions=False)
    assert third.exit_code == 0
    assert third.output.count("no commit has the files of first-build as they lie here") == 1
    changed = (shop / "site/builds/first-build/index.html").read_text("utf-8")
    assert "250" in changed
    assert _history(changed) == _history(page), "the page tells what git has, and nothing of this"


def _history(page: str) -> str:
    return page.partition('class="sg-history"')[2].partition("</ol>")[0]


def test_places_are_told_from_where_the_build_is_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An editor that runs the build finds the file of each finding."""
    begin(tmp_path / "shop", "Shop", "metric", "none", "https://shop.example/")
    file = tmp_path / "shop/builds/first-build/build.yaml"
    file.write_text(file.read_text("utf-8").replace("84 mm", "84 mmm"), "utf-8")
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    said, _ = built(tmp_path / "shop")
    (first, *_) = [line for line in said if "mmm" in line]
    assert "../shop/builds/first-build/build.yaml:7:" in first
