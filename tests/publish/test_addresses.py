"""Relative links between pages, for sites of folders and sites of files."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.publish.addresses import PAGES, Links, served


@pytest.mark.parametrize(
    ("page", "target", "folders", "link"),
    [
        ("index.md", "builds/index.md", True, "builds/"),
        ("index.md", "builds/index.md", False, "builds/index.html"),
        ("builds/a/index.md", "builds/b/index.md", True, "../b/"),
        ("builds/a/index.md", "builds/b/index.md", False, "../b/index.html"),
        ("builds/a/index.md", "index.md", True, "../../"),
        ("builds/a/index.md", "index.md", False, "../../index.html"),
        ("builds/a/index.md", "builds/a/sheet.json", True, "sheet.json"),
        ("guide.md", "method/index.md", True, "../method/"),
        ("guide.md", "method/index.md", False, "method/index.html"),
        ("builds/a/index.md", "builds/a/index.md", True, "#"),
    ],
)
def test_link_is_the_final_relative_address(
    page: str, target: str, folders: bool, link: str
) -> None:
    """No engine rewrites links in finished HTML, so they are final."""
    assert Links(page, folders).to(target) == link


def test_anchor_stands_behind_the_address() -> None:
    """An anchor on another page and on this one."""
    links = Links("builds/a/index.md")
    assert links.to("method/index.md", "engine-power") == "../../method/#engine-power"
    assert links.to("builds/a/index.md", "row-x") == "#row-x"


def test_served_paths() -> None:
    """Markdown becomes a folder or an HTML file; other files keep their path."""
    assert served("index.md") == ""
    assert served("a/b.md") == "a/b/"
    assert served("a/b.md", folders=False) == "a/b.html"
    assert served("assets/x.css") == "assets/x.css"


def test_the_readme_names_every_page() -> None:
    """Who opens the project first learns of each page that a site has, by its title."""
    readme = Path(__file__).parents[2] / "README.md"
    part = readme.read_text("utf-8").partition("## The pages of a site")[2].partition("\n## ")[0]
    assert [title for title in PAGES.values() if title not in part] == []
