"""Home, and a page that is not there: one way in for each reader, and the mark."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.site.conftest import PHONE, Visit

pytestmark = pytest.mark.browser

WAYS = ["Find one like mine", "On your engine", "All builds", "Blowers", "How we test"]


@pytest.mark.parametrize("path", ["", "404.html"])
def test_each_reader_has_a_way_in(path: str, visit: Visit) -> None:
    """Five ways, each to a page that is there; a page that is not there has the same."""
    watched = visit(viewport=PHONE)
    page = watched.open(path)
    links = page.locator(".sg-ways a")
    expect(links).to_have_text(WAYS)
    for at in range(len(WAYS)):
        target = links.nth(at).evaluate("it => it.href")
        answer = page.request.get(target)
        assert answer.status == 200, target
    assert watched.told() == []


def test_newest_results_have_pictures(visit: Visit) -> None:
    """Four results, each with a picture or its cylinders drawn, and what it made."""
    page = visit().open("")
    cards = page.locator(".sg-newest > li")
    expect(cards).to_have_count(4)
    for at in range(4):
        assert cards.nth(at).locator(".sg-newest-picture :is(img, svg)").count() == 1
        assert "kW" in cards.nth(at).inner_text()


def test_the_mark_is_the_workshop_s_own(built_site: Path, visit: Visit) -> None:
    """At the head and in the tab stands the mark, and no icon of the theme's."""
    page = visit().open("")
    assert page.locator(".md-header__button.md-logo img").get_attribute("src") == (
        "assets/specgen/mark.svg"
    )
    icon = page.locator("link[rel='icon']").get_attribute("href")
    assert icon == "assets/specgen/mark.svg"
    assert "<text" in (built_site / "assets/specgen/mark.svg").read_text("utf-8")
