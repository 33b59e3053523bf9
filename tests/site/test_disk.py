"""The site opened from a disk, without a server: index, sheets, comparison, ways between them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from specgen.archive.model.build import Archive
from tests.site.conftest import Watched, visitor
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser

#: The theme's own search asks for a file that only its own way of building for a disk makes.
_SEARCH = "search/search_index.js"


@pytest.fixture
def disk(browser: Browser, built_site: Path) -> Iterator[Watched]:
    """A watched page of a browser that opens the built site's files."""
    with visitor(browser, built_site.as_uri() + "/") as visit:
        yield visit()


def told(disk: Watched) -> list[str]:
    """What went wrong, the theme's missing search left aside."""
    return [
        it
        for it in disk.told()
        if _SEARCH not in it and it != "console: Failed to load resource: net::ERR_FILE_NOT_FOUND"
    ]


def state(page: Page) -> dict[str, list[str]]:
    """What the address of a page holds."""
    return parse_qs(urlsplit(page.url).query)


@pytest.mark.parametrize("kind", ["builds", "ladder", "planned", "peaks only", "compare", "find"])
def test_pages_from_a_disk_are_quiet(kind: str, disk: Watched, archive: Archive) -> None:
    """No script fails, nothing is blocked by the policy, and nothing outside the disk is asked."""
    path, _, asked = KINDS[kind](archive).partition("?")
    disk.open(f"{path}index.html" + (f"?{asked}" if asked else ""))
    expect(disk.page.locator(".md-content h1")).to_be_visible()
    assert told(disk) == []


def arrived(page: Page, title: str) -> None:
    """Wait for a page and its script, which is what makes links lead on from a disk."""
    expect(page.locator("h1")).to_have_text(title)
    page.wait_for_load_state("load")


def test_links_lead_to_pages_and_back(disk: Watched, archive: Archive) -> None:
    """From the index to a sheet by pointer, back to the index by keyboard, on to any part."""
    page = disk.open("builds/index.html")
    build = next(iter(archive.builds.values()))
    page.locator("#sg-builds").get_by_role("link", name=build.title.value).click()
    arrived(page, build.title.value)
    assert page.url.endswith(f"builds/{build.id}/index.html")
    page.locator(".md-content").get_by_role("link", name="Builds", exact=True).focus()
    page.keyboard.press("Enter")
    arrived(page, "Builds")
    page.go_back()
    arrived(page, build.title.value)
    page.get_by_role("link", name="Compare it", exact=True).click()
    expect(page.locator(".sg-compare-table thead a")).to_have_text([build.title.value])
    page.locator(".sg-compare-table thead a").click()
    arrived(page, build.title.value)
    page.locator(".sg-large a.sg-row").first.click()
    expect(page.locator(".sg-prov-body:target")).to_be_visible()
    page.locator(".md-tabs").get_by_role("link", name="Home").click()
    expect(page.locator(".sg-newest, .sg-index").first).to_be_visible()
    assert page.url.endswith("/site/index.html")
    assert told(disk) == []


def test_a_link_copied_or_opened_beside_names_its_page(disk: Watched) -> None:
    """The browser's own menu and middle button get the page, too; the files stay as they are."""
    page = disk.open("builds/index.html")
    link = page.locator("#sg-builds tbody th a").first
    assert (link.get_attribute("href") or "").endswith("/")
    link.dispatch_event("contextmenu")
    assert (link.get_attribute("href") or "").endswith("/index.html")


def test_table_of_builds_works_from_a_disk(disk: Watched, archive: Archive) -> None:
    """Narrowing, sorting, reload, back and forward need no server."""
    page = disk.open("builds/index.html")
    count = page.locator(".sg-browse-count")
    expect(count).to_have_text(f"All {len(archive.builds)} builds")
    page.locator(".sg-browse-fold > summary").click()
    page.get_by_label("Cylinders").select_option("4")
    assert state(page) == {"cylinders": ["4"]}
    left = count.inner_text()
    page.reload()
    expect(count).to_have_text(left)
    page.go_back()
    expect(count).to_have_text(f"All {len(archive.builds)} builds")
    page.go_forward()
    expect(count).to_have_text(left)
    page.get_by_label(f"Compare {archive.builds['saddle-special'].title.value}").check()
    page.get_by_role("link", name="Compare it with others").click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(1)
    assert told(disk) == []


def test_sheets_work_from_a_disk(disk: Watched) -> None:
    """A sheet shows, switches units, remembers them and opens its figures."""
    page = disk.open("builds/lark-hydroplane/index.html")
    page.get_by_role("button", name="imperial").click()
    expect(page.locator(".sg-large").first).to_contain_text("hp")
    assert page.locator(".sg-chart-wide").first.is_visible()
    page.reload()
    expect(page.locator(".sg-large").first).to_contain_text("hp")
    disk.open("builds/lark-hydroplane/index.html?units=metric")
    expect(page.locator(".sg-large").first).to_contain_text("kW")
    assert told(disk) == []


@pytest.mark.parametrize("mark", ["?", "#?"])
def test_comparison_works_from_a_disk(mark: str, disk: Watched) -> None:
    """Data files are scripts, so that it loads them; its state goes with a link, either way."""
    page = disk.open(f"compare/index.html{mark}with=lark-hydroplane")
    rows = page.locator(".sg-compare-legend tbody tr")
    expect(rows).to_have_count(1)
    page.get_by_label("Add a build").fill("special")
    page.keyboard.press("Enter")
    expect(rows).to_have_count(2)
    assert state(page) == {"with": ["lark-hydroplane,saddle-special"]}
    page.reload()
    expect(rows).to_have_count(2)
    page.go_back()
    expect(rows).to_have_count(1)
    page.go_forward()
    expect(rows).to_have_count(2)
    assert told(disk) == []


def test_finding_works_from_a_disk(disk: Watched) -> None:
    """The form finds the nearest combos, and a link brings the wish back."""
    page = disk.open("find/index.html")
    page.get_by_label("Engine size").fill("3")
    page.get_by_label("Engine size").press("Enter")
    expect(page.locator(".sg-find tbody tr")).to_have_count(8)
    assert state(page) == {"litres": ["3"]}
    page.reload()
    expect(page.get_by_label("Engine size")).to_have_value("3")
    expect(page.locator(".sg-find tbody tr")).to_have_count(8)
