"""An archive whose texts try to become markup, built and opened: index, finder and comparison."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Dialog, Page, expect

from specgen.publish.plugin import build_site
from tests.publish import hostile
from tests.site.conftest import Visit, Watched, served, visitor

pytestmark = pytest.mark.browser

#: Two attacks, each as long as a title may be; `hit` is a name that a script would set.
EVIL = "<img src=x onerror=hit=1>" + hostile.EVIL
EVIL_FUEL = "<svg onload=hit=1>" + hostile.EVIL
CONFIG = """
site_name: Shed
theme: {name: material, font: false}
plugins: [specgen]
extra: {generator: false}
"""
_COLUMNS = ("Cylinders", "Induction", "Fuel", "Measured at", "Tested")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The hostile archive, one build of it twice, built strictly with the theme and served."""
    folder = tmp_path_factory.mktemp("hostile")
    files = {
        "mkdocs.yml": CONFIG,
        "docs/index.md": "# Shed\n",
        "builds/archive.yaml": hostile.ARCHIVE,
        "builds/blowers/evil.yaml": hostile.BLOWER,
        "builds/evil-build/build.yaml": hostile.BUILD,
        "builds/other-build/build.yaml": hostile.BUILD.replace("formerly: [old-name]", ""),
    }
    for name, text in files.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        worse = text.replace(hostile.TEXT, json.dumps(EVIL))
        worse = worse.replace(
            "fuel: e85", f"fuel: {{title: {json.dumps(EVIL_FUEL)}, petrol: 15 %, ethanol: 85 %}}"
        )
        file.write_text(worse, encoding="utf-8")
    site = build_site(folder / "mkdocs.yml", strict=True)
    with served(site) as address:
        yield address


@pytest.fixture
def watched(browser: Browser, home: str) -> Iterator[Watched]:
    """A watched page of the hostile site; a dialog would be a script that ran."""
    with visitor(browser, home) as visit:
        opened = visit()

        def noted(dialog: Dialog) -> None:
            opened.faults.append(f"a script ran: {dialog.message}")
            dialog.dismiss()

        opened.page.on("dialog", noted)
        yield opened


def harmless(watched: Watched) -> None:
    """Nothing ran, nothing was blocked because nothing tried, and no element came in."""
    assert watched.told() == []
    assert watched.page.evaluate("window.hit ?? null") is None
    assert watched.page.locator(".md-content img, .md-content [onload]").count() == 0


def shows(page: Page, where: str) -> None:
    """The text stands there as it was written."""
    expect(page.locator(where).first).to_contain_text(EVIL.partition("*x*")[0].rstrip())


def test_browsing_shows_the_text(watched: Watched) -> None:
    """In the table, in the boxes' names, and after every kind of filter."""
    page = watched.open("builds/")
    shows(page, "#sg-builds tbody th")
    page.locator(".sg-browse-fold > summary").click()
    options = page.get_by_label("Fuel").locator("option")
    named = " ".join(options.all_inner_texts())
    assert "E85" in named, "a blend is named by its shares, whatever it was called"
    assert "onload" not in named
    page.get_by_label("Fuel").select_option(index=1)
    expect(page.locator(".sg-browse-count")).to_contain_text("2 builds")
    page.get_by_label("Words").fill("<img")
    page.locator("#sg-builds tbody input").first.check()
    page.get_by_role("button", name="metric").click()
    for name in ("Power", "Fuel"):
        page.locator("#sg-builds thead").get_by_role("button", name=name).click()
    harmless(watched)


def test_finding_shows_the_text(watched: Watched) -> None:
    """In the choices, in the list of the nearest, and in their reasons."""
    page = watched.open("find/?litres=2.3&cylinders=4")
    shows(page, ".sg-find tbody th")
    page.get_by_label("Fuel").select_option(index=1)
    expect(page.locator(".sg-find tbody tr")).to_have_count(2)
    harmless(watched)


def test_comparing_shows_the_text(watched: Watched) -> None:
    """In both tables, in the words, in the choices, in what is offered, and in the title."""
    page = watched.open("compare/?with=evil-build,other-build,<img src=x onerror=alert(1)>")
    shows(page, ".sg-compare-table thead a")
    shows(page, ".sg-compare-legend tbody a")
    shows(page, ".sg-compare-name select")
    assert "<img" in page.title()
    page.get_by_label("Add a build").fill("<img")
    shows(page, "#sg-found [role=option]")
    page.keyboard.press("Enter")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(3)
    harmless(watched)


def test_an_address_never_becomes_markup(watched: Watched) -> None:
    """Ids, pulls and bases of an address that are elements are named or left out as text."""
    evil = "<img/src=x/onerror=alert(1)>"
    page = watched.open(f"compare/?with=evil-build/{evil},gone-{evil},evil-build&base={evil}")
    expect(page.locator(".sg-compare-table")).to_be_visible()
    watched.open(f"builds/?fuel={evil}&words={evil}&power={evil}&sort={evil}&units={evil}")
    expect(page.locator(".sg-browse-count")).to_contain_text("0 of 2")
    watched.open(f"find/?fuel={evil}&litres={evil}&fed={evil}")
    expect(page.locator(".sg-compare form")).to_be_visible()
    harmless(watched)


def test_a_text_taken_for_markup_would_be_seen(visit: Visit) -> None:
    """The checks above can fail: a page that takes a text for markup is seen to do so."""
    watched = visit()
    page = watched.open("compare/")
    page.evaluate("evil => { document.querySelector('.sg-compare').innerHTML = evil; }", EVIL)
    assert watched.page.locator(".md-content img").count() == 1
    assert any("script-src" in it or "img" in it for it in watched.told())
