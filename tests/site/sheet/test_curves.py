"""The picture that tells a sheet: all setups in one, and a switch for what it shows."""

from __future__ import annotations

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from tests.site.conftest import PHONE, Visit
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser


def test_one_picture_is_shown_and_a_switch_shows_another(visit: Visit, archive: Archive) -> None:
    """Corrected first; boost by a press or by arrow keys, in its place."""
    page = visit().open(KINDS["ladder"](archive))
    figures = page.locator(".sg-choice > figure")
    expect(figures.filter(visible=True)).to_have_count(1)
    first = page.locator(".sg-choice input").first
    expect(first).to_be_checked()
    page.get_by_role("radio", name="Boost").check()
    expect(
        figures.filter(visible=True).locator("svg:visible text", has_text="Boost")
    ).to_have_count(1)
    first.focus()
    page.keyboard.press("ArrowRight")
    expect(figures.nth(1)).to_be_visible()


def test_what_else_was_logged_is_a_press_away(visit: Visit, archive: Archive) -> None:
    """Observed figures and channels take the picture's place, drawn as on their own page."""
    watched = visit()
    page = watched.open(KINDS["ladder"](archive))
    labels = page.locator(".sg-choice > label").all_text_contents()
    assert labels[:3] == ["Power and torque, corrected", "Boost", "As observed"]
    assert len(labels) > 4
    for label in labels:
        page.get_by_role("radio", name=label, exact=True).check()
        shown = page.locator(".sg-choice > figure").filter(visible=True)
        expect(shown.locator("svg.sg-chart:visible")).to_have_count(1)
        expect(shown.locator("figcaption")).not_to_be_empty()
    mixture = shown_words(page)
    page.goto(f"{watched.home}{KINDS['readings'](archive)}")
    there = page.locator("figure svg:visible").last.text_content()
    assert mixture == there
    assert watched.told() == []


def shown_words(page: Page) -> str | None:
    """All that the drawing says which is shown now, but the dots of the read-out."""
    return page.locator(".sg-choice > figure svg:visible").text_content()


def test_a_reader_without_a_script_gets_there_by_links(visit: Visit, archive: Archive) -> None:
    """Each further choice leads to its chart on the page of all readings; no slider stands idle."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    links = page.locator(".sg-choice > a.sg-further")
    assert links.count() > 2
    expect(page.locator(".sg-reading")).to_be_hidden()
    words = links.last.text_content() or ""
    links.last.click()
    expect(page.get_by_role("heading", name=words)).to_be_in_viewport()


def test_curves_are_read_out_by_pointer_and_by_keys(
    visit: Visit, archive: Archive, sheets: dict[str, Sheet]
) -> None:
    """At the speed below the pointer each curve is told with its margin; an arrow adds 50."""
    watched = visit()
    path = KINDS["ladder"](archive)
    page = watched.open(path)
    chart = page.locator(".sg-choice svg:visible").first
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.4, box["y"] + box["height"] * 0.3)
    table = page.locator(".sg-read")
    expect(table).to_be_visible()
    slider = page.get_by_role("slider", name="Read at")
    best = sheets[path.split("/")[1]].best
    assert best is not None
    slider.fill("4000")
    expect(table.locator("thead th").first).to_have_text("At 4\u202f000\u202frpm")
    row = table.locator("tbody tr", has_text=best.setup.title).first
    power = best.rows["power_curve"]
    at = float(np.interp(4000 / 60, best.rows["speed_curve"].curve, power.curve))
    assert power.quantity.number(at, "metric", 1e3) in (row.inner_text() or "")
    assert "±" in row.inner_text()
    slider.press("ArrowRight")
    expect(table.locator("thead th").first).to_have_text("At 4\u202f050\u202frpm")
    assert (slider.get_attribute("aria-valuetext") or "").startswith("4\u202f050\u202frpm: ")
    page.get_by_role("radio", name="Boost").check()
    expect(table.locator("thead th").nth(1)).to_have_text("Boost")
    page.locator("button[data-sg-system=imperial]").click()
    expect(table.locator("tbody tr").first).to_contain_text("psi")
    assert watched.told() == []


def test_all_tested_setups_stand_in_it(visit: Visit, archive: Archive) -> None:
    """Each setup with a curve has its line and its name at the end of it."""
    page = visit().open(KINDS["ladder"](archive))
    build = archive.builds[KINDS["ladder"](archive).split("/")[1]]
    curved = {
        pull.setup.value for session in build.sessions for pull in session.pulls if pull.curve
    }
    titles = {
        it.title.value if it.title else it.id.value for it in build.setups if it.id.value in curved
    }
    words = (
        page.locator(".sg-choice > figure").first.locator("svg.sg-chart-wide").text_content() or ""
    )
    assert len(titles) >= 3
    assert not [title for title in titles if title not in words]


def test_ladder_is_cards_on_a_phone(visit: Visit, archive: Archive) -> None:
    """Nothing of it is cut or scrolls sideways; each figure stands with its word."""
    page = visit(viewport=PHONE).open(KINDS["ladder"](archive))
    frame = page.locator(".sg-scroll:has(> .sg-ladder)")
    assert frame.evaluate("it => it.scrollWidth - it.clientWidth") <= 1
    assert page.locator(".sg-ladder thead").is_hidden()
