"""What a reader does with the site: search, switch units, sort, open figures, without a mouse."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from specgen.archive.model.build import Archive
from tests.site.conftest import Visit
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser


def shown_power(page: Page) -> str:
    """The first headline figure as a reader sees it."""
    return page.locator(".sg-large").first.inner_text()


def test_search_finds_a_build(visit: Visit, archive: Archive) -> None:
    """A word of a build's title leads to its sheet."""
    build = next(iter(archive.builds.values()))
    word = max(re.findall(r"\w+", build.title.value), key=len)
    page = visit().open("")
    page.get_by_role("textbox", name="Search").click()
    page.get_by_role("textbox", name="Search").press_sequentially(word)
    result = page.locator(f".md-search-result__link[href*='builds/{build.id}/']").first
    expect(result).to_be_visible(timeout=10_000)


def test_units_switch_in_place_and_are_remembered(visit: Visit, archive: Archive) -> None:
    """One press turns every figure; the next page, and the next visit, keep the choice."""
    watched = visit()
    page = watched.open(KINDS["ladder"](archive))
    assert "kW" in shown_power(page)
    page.get_by_role("button", name="imperial").click()
    assert "hp" in shown_power(page)
    assert "kW" not in shown_power(page)
    assert page.locator(".sg-i").first.is_visible()
    watched.open("builds/")
    pressed = page.get_by_role("button", name="imperial").get_attribute("aria-pressed")
    assert pressed == "true"
    assert watched.told() == []


def test_no_figure_shows_both_unit_systems_or_none(visit: Visit, archive: Archive) -> None:
    """Each figure with two texts shows exactly one of them, in either system."""
    page = visit().open(KINDS["ladder"](archive))
    for system in ("metric", "imperial"):
        page.get_by_role("button", name=system).click()
        counts = page.evaluate(
            """() => [...document.querySelectorAll('.sg-fig, .sg-row')]
              .filter(it => it.children.length > 1).filter(it => it.querySelector(':scope > .sg-m'))
              .map(it => [...it.children].filter(part =>
                getComputedStyle(part).display !== 'none').length)"""
        )
        assert len(counts) > 50
        assert set(counts) == {1}


def test_units_of_the_archive_show_without_script(visit: Visit, archive: Archive) -> None:
    """Without JavaScript the archive's own units stand, and no switch that would do nothing."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    assert "kW" in shown_power(page)
    assert page.get_by_role("button", name="imperial").count() == 0


def test_a_figure_leads_to_where_it_comes_from_without_script(
    visit: Visit, archive: Archive
) -> None:
    """One click on a figure opens its line on the page of figures: formula, inputs, source."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    page.locator(".sg-large a.sg-row").first.click()
    target = page.locator(".sg-prov-body:target")
    expect(target).to_be_visible()
    expect(target.locator(".sg-equation")).to_be_visible()
    expect(target).to_contain_text("Source of the formula")
    assert target.locator("xpath=..").get_attribute("open") is not None


def test_details_open_by_keyboard_without_script(visit: Visit, archive: Archive) -> None:
    """A line of the page of figures opens with the keyboard alone."""
    page = visit(java_script_enabled=False).open(KINDS["figures"](archive))
    body = page.locator(".sg-prov-body").first
    around = body.locator("xpath=ancestor::details")
    for index in range(around.count()):
        around.nth(index).locator("> summary").focus()
        page.keyboard.press("Enter")
    expect(body).to_be_visible()


def test_everything_is_reached_by_tab_with_visible_focus(visit: Visit, archive: Archive) -> None:
    """Tab walks through the switch, figures, frames and lines, and shows where it is."""
    page = visit().open(KINDS["ladder"](archive))
    seen: set[str] = set()
    unseen: list[str] = []
    for _ in range(90):
        page.keyboard.press("Tab")
        kind, outlined = page.evaluate(
            """() => {
              const at = document.activeElement;
              if (!at.closest('.sg')) return ['theme', true];
              const style = getComputedStyle(at);
              const kind = at.matches('.sg-units button') ? 'switch'
                : at.matches('a.sg-row') ? 'figure'
                : at.matches('summary') ? 'line'
                : at.matches('.sg-scroll') ? 'frame' : at.tagName;
              return [kind, style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0];
            }"""
        )
        seen.add(kind)
        unseen += [] if outlined else [kind]
    assert {"switch", "figure", "line", "frame"} <= seen
    assert unseen == []


def test_index_sorts_and_filters(visit: Visit, archive: Archive) -> None:
    """The table of builds runs by any column, either way, and narrows to words."""
    page = visit().open("builds/")
    heading = page.locator("thead th", has_text="Power").first
    for sense in ("ascending", "descending"):
        heading.get_by_role("button").click()
        assert heading.get_attribute("aria-sort") == sense
        column = heading.evaluate("it => it.cellIndex")
        keys = page.evaluate(
            "at => [...document.querySelectorAll('#sg-builds tbody tr')]"
            ".map(row => row.cells[at].dataset.sgKey)",
            column,
        )
        known = [float(key) for key in keys if key]
        assert known == sorted(known, reverse=sense == "descending")
        assert keys[len(known) :] == [""] * (len(keys) - len(known)), "what has no power is last"
    build = next(iter(archive.builds.values()))
    page.locator(".sg-browse-fold > summary").click()
    page.get_by_label("Words").fill(build.title.value)
    visible = page.locator("#sg-builds tbody tr:visible")
    assert visible.count() == 1
    assert visible.locator("th").inner_text().strip() == build.title.value


def test_script_survives_a_browser_that_refuses_storage(visit: Visit, archive: Archive) -> None:
    """Where storage is forbidden the switch still works for the page."""
    watched = visit()
    watched.page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused'); } });"
    )
    page = watched.page
    page.goto(watched.home + KINDS["natural"](archive))
    page.get_by_role("button", name="imperial").click()
    assert "hp" in shown_power(page)


def test_figures_of_a_table_are_one_stop(visit: Visit, archive: Archive) -> None:
    """The tabulator stops once a table; arrows move along and across its lines, Enter opens one."""
    page = visit().open(KINDS["ladder"](archive))
    ladder = page.locator("table.sg-ladder")
    links = ladder.locator("a.sg-row")
    stops = ladder.locator("a.sg-row[tabindex='0']")
    expect(stops).to_have_count(1)
    assert links.count() > 8
    links.first.focus()
    page.keyboard.press("ArrowRight")
    expect(links.nth(1)).to_be_focused()
    page.keyboard.press("ArrowDown")
    below = ladder.locator("tbody tr").nth(1).locator("a.sg-row").nth(1)
    expect(below).to_be_focused()
    expect(stops).to_have_count(1)
    page.keyboard.press("End")
    expect(links.last).to_be_focused()
    target = links.last.get_attribute("href") or ""
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: url.endswith(target.rpartition("#")[2]))


def test_figures_are_plain_links_without_a_script(visit: Visit, archive: Archive) -> None:
    """Where nothing runs each figure is a stop of its own."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    assert page.locator("a.sg-row[tabindex]").count() == 0
    assert page.locator("table.sg-ladder a.sg-row").count() > 8
