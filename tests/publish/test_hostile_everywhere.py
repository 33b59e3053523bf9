"""An attack in every free text of every file, and in a file's name: nothing of it takes effect."""

from __future__ import annotations

import getpass
import json
import re
import socket
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import markdown
import pytest

from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.findings import as_text
from specgen.publish.site import Site
from specgen.publish.typesetting.finished import finished
from tests.publish.hostile_everywhere import CURVE, WORSE, written

pytestmark = pytest.mark.slow

#: What a link of ours may begin with, where it leads outside.
OUTSIDE = ("https", "mailto")
#: Elements of our pages that load or run something, and where they may have it from.
LOADING = {"script": "src", "img": "src", "link": "href", "form": "action", "source": "src"}
NEVER = {"iframe", "object", "embed", "base", "meta", "style", "svg:script", "foreignobject"}


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Archive:
    """The archive as it was read, without an error."""
    read = read_archive(written(tmp_path_factory.mktemp("everywhere")))
    assert not [item for item in read.findings if item.severity == "error"], as_text(read.findings)
    assert "heron" in read.builds
    return read


@pytest.fixture(scope="module")
def items(archive: Archive) -> dict[str, bytes]:
    """Every file of the site."""
    return {
        item.address: item.content if isinstance(item.content, bytes) else item.content.encode()
        for item in Site(archive, site_url="https://shed.test/").items()
    }


class Attributes(HTMLParser):
    """Every element with its attributes."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Collect an element."""
        self.found.append((tag, {name: value or "" for name, value in attrs}))


def elements(items: dict[str, bytes]) -> list[tuple[str, str, dict[str, str]]]:
    """Page, element and attributes of everything on the pages."""
    out = []
    for address, data in items.items():
        if address.endswith((".md", ".html")):
            text = data.decode()
            body = _as_served(text) if address.endswith(".md") else text
            out += [(address, tag, given) for tag, given in Attributes(body).found]
    return out


def _as_served(text: str) -> str:
    """A page's HTML, its headings as a Markdown engine makes them."""
    page = finished(text)
    return page.with_headings([markdown.markdown(heading) for heading in page.headings])


def test_the_attack_stands_everywhere(items: dict[str, bytes]) -> None:
    """On many pages, as text: the checks below look at something."""
    shown = sum(b"window.hit" in data for data in items.values())
    assert shown > 8


def test_nothing_runs_by_itself(items: dict[str, bytes]) -> None:
    """No handler, no element that loads from elsewhere, none that has no business here."""
    for page, tag, given in elements(items):
        assert not [name for name in given if name.startswith("on")], (page, tag)
        assert tag not in NEVER or (tag == "meta" and page.endswith(".html")), (page, tag)
        assert "style" not in given, (page, tag)
        if wanted := LOADING.get(tag):
            assert not urlsplit(given.get(wanted, "")).scheme, (page, tag, given)


def test_links_lead_nowhere_else(items: dict[str, bytes]) -> None:
    """Within the site by their path; outside by https or mailto only, and marked as such."""
    for page, tag, given in elements(items):
        href = given.get("href", "") if tag == "a" else ""
        parts = urlsplit(href)
        assert parts.scheme in ("", *OUTSIDE), (page, href)
        assert parts.scheme or not parts.netloc, (page, href)
        if parts.scheme and parts.netloc != "shed.test":
            assert "external" in given.get("rel", ""), (page, href)


def test_data_holds_texts_as_texts(items: dict[str, bytes]) -> None:
    """What is JSON is JSON; what a page loads as data calls one function of ours with JSON."""
    called = re.compile(r"specgen\.[\w.]+\((.*)\);\n", re.DOTALL)
    for address, data in items.items():
        if address.endswith(".json"):
            json.loads(data)
        if address.endswith(("builds.js", "compare.js", "combos.js")) and "assets" not in address:
            found = called.fullmatch(data.decode())
            assert found, address
            json.loads(f"[{found.group(1)}]")


def test_no_place_or_person_of_this_machine(items: dict[str, bytes], archive: Archive) -> None:
    """No local path, user or host in any published byte."""
    own = [archive.root, str(Path(__file__).parents[2]), str(Path.home())]
    own += [name for name in (getpass.getuser(), socket.gethostname()) if len(name) > 5]
    for address, data in items.items():
        assert not [name for name in own if name != "/" and name.encode() in data], address


def test_a_file_s_name_is_quoted(items: dict[str, bytes]) -> None:
    """The curve with a name of signs is published, and each link to it leads there."""
    assert f"builds/heron/{CURVE}" in items
    sheet = items["builds/heron/index.md"].decode()
    hrefs = [unquote(href) for href in re.findall(r'href="([^"]*)"', sheet)]
    assert any(href.replace("&#39;", "'").replace("&amp;", "&") == CURVE for href in hrefs)


def test_the_attack_is_one() -> None:
    """It has what would run where a text is taken for markup."""
    assert {tag for tag, _ in Attributes(WORSE).found} >= {"img", "svg", "script"}
