"""An archive whose every text tries to become markup: none of it does, anywhere on the site."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import markdown
import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import as_text
from specgen.publish.site import Site
from tests.publish.hostile import ARCHIVE, BLOWER, BUILD, EVIL

pytestmark = pytest.mark.slow


@pytest.fixture
def hostile(tmp_path: Path) -> Archive:
    """The archive as it was read, without a finding."""
    files = {"archive.yaml": ARCHIVE, "blowers/evil.yaml": BLOWER, "evil-build/build.yaml": BUILD}
    for name, text in files.items():
        file = tmp_path / name
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    read = read_archive(tmp_path)
    assert not [item for item in read.findings if item.severity == "error"], as_text(read.findings)
    return read


class Elements(HTMLParser):
    """Names and attributes of all elements, comments, and the text between them."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.handlers: list[str] = []
        self.comments: list[str] = []
        self.text = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Collect an element; a script of our own is a file."""
        if tag != "script" or not dict(attrs).get("src", "").startswith("../"):  # type: ignore[union-attr]
            self.tags.add(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        self.handlers += [value for _, value in attrs if value and value.startswith("javascript:")]

    def handle_comment(self, data: str) -> None:
        """Collect a comment: nothing of ours has one."""
        self.comments.append(data)

    def handle_data(self, data: str) -> None:
        """Collect text."""
        self.text += data


def pages(archive: Archive) -> dict[str, str]:
    """Every Markdown page and HTML file of the archive's site."""
    return {
        item.address: str(item.content)
        for item in Site(archive).items()
        if item.address.endswith((".md", ".html"))
    }


def test_no_text_becomes_markup(hostile: Archive) -> None:
    """After Markdown with its usual extensions no page has a script, handler or comment."""
    extensions = ["attr_list", "md_in_html", "tables", "toc", "def_list"]
    for address, page in pages(hostile).items():
        body = re.sub(r"\A---\n.*?\n---\n", "", page, flags=re.DOTALL)
        if address.endswith(".md"):
            body = markdown.markdown(body, extensions=extensions)
        found = Elements(body)
        assert not found.tags & {"script", "img", "em", "iframe"}, address
        assert found.handlers == [], address
        assert found.comments == [], address


def test_hostile_text_is_shown_as_written(hostile: Archive) -> None:
    """The reader sees the very characters of the file."""
    sheet = pages(hostile)["builds/evil-build/index.md"]
    assert Elements(markdown.markdown(sheet)).text.count(" ".join(EVIL.split())) > 8


def test_front_matter_is_safe_where_themes_print_it_raw(hostile: Archive) -> None:
    """Themes put title and description into HTML as they stand."""
    for address, page in pages(hostile).items():
        if address.endswith(".md"):
            head = page.split("---")[1]
            assert "<" not in head, address
            assert "{{" not in head, address


def test_no_marker_or_snippet_survives(hostile: Archive) -> None:
    """Nothing is left that another plugin would take for its own."""
    for address, page in pages(hostile).items():
        for token in ("{{", "{%", "--8<--", "<!--"):
            assert token not in page, f"{address}: {token}"
