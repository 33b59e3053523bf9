"""What is compared: choosing by keyboard, its address, the way back, lost and renamed ids."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import expect

from specgen.archive.model.build import Archive
from specgen.units import NARROW_SPACE
from tests.site.compare.chosen import LADDER, TWICE, everything, read_out, words
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


def test_builds_are_added_by_keyboard_alone(visit: Visit) -> None:
    """Type, arrow, Enter: the build stands there, the focus stays, the address has it."""
    watched = visit()
    page = watched.open("compare/")
    field = page.get_by_label("Add a build")
    field.focus()
    page.keyboard.type("hydroplane")
    options = page.locator("#sg-found [role=option]")
    expect(options).to_have_count(2)
    page.keyboard.press("ArrowDown")
    assert options.nth(1).get_attribute("aria-selected") == "true"
    page.keyboard.press("Enter")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(1)
    assert "with=teal-hydroplane" in page.url
    assert page.evaluate("document.activeElement.id") == "sg-picker"
    page.keyboard.type("lark")
    page.keyboard.press("Enter")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(2)
    page.keyboard.type("zzz")
    expect(page.locator("#sg-found")).to_contain_text("No build has all these words.")
    page.keyboard.press("Escape")
    expect(page.locator("#sg-found")).to_be_hidden()
    assert watched.told() == []


def test_any_pull_of_a_setup_can_be_chosen(visit: Visit) -> None:
    """The row's choice leads from the best pull to any other, and to a planned setup."""
    page = visit().open("compare/?with=lark-hydroplane/p90,lark-hydroplane/p87")
    choice = page.get_by_label("Setup and pull of A")
    before = page.locator("[data-sg-line='power'] td").first.inner_text()
    choice.select_option("p90/2025-05-14-4")
    expect(page.locator("[data-sg-line='power'] td").first).not_to_have_text(before)
    assert "with=lark-hydroplane/p90/2025-05-14-4,lark-hydroplane/p87" in page.url
    page.get_by_label("Setup and pull of A").select_option("p84/")
    expect(page.locator("[data-sg-line='power'] td").first).to_have_text("–")
    expect(page.locator("[data-sg-line='estimated_boost'] td").first).to_contain_text("kPa")


def test_five_at_most(visit: Visit) -> None:
    """A sixth is left out with a notice; the field says why it takes no more."""
    chosen = ",".join(f"lark-hydroplane/{it}" for it in ("p96", "p93", "p90", "p87", "p84"))
    page = visit().open(f"compare/?with={chosen},saddle-special")
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(5)
    expect(page.get_by_role("status")).to_contain_text("Only the first 5 of 6")
    assert "saddle-special" not in page.url
    expect(page.get_by_label("Add a build – five at most")).to_be_disabled()
    page.get_by_role("button", name="Remove C").click()
    expect(page.locator(".sg-compare-legend tbody tr")).to_have_count(4)
    expect(page.get_by_label("Add a build")).to_be_enabled()


def test_a_link_restores_everything(visit: Visit) -> None:
    """What one reader set up, another gets from the address, to the letter."""
    page = visit().open("compare/?with=lark-hydroplane/p93,saddle-special/p81,teal-hydroplane")
    page.get_by_label("Figures").select_option("din-70020")
    page.locator("[data-sg-key='place']").select_option("hub")
    page.get_by_label("per litre").check()
    page.get_by_label("Curve of C").uncheck()
    page.get_by_label("Average from, rpm").fill("3500")
    page.get_by_label("Average from, rpm").press("Enter")
    page.get_by_label("Only what differs").check()
    slider = page.get_by_label("Engine speed of the read-out")
    slider.focus()
    page.keyboard.press("ArrowLeft")
    shown = everything(page)
    address = urlsplit(page.url)
    query = parse_qs(address.query)
    assert query["base"] == ["din-70020"]
    assert query["at"] == ["hub"]
    assert query["per"] == ["litre"]
    assert query["hide"] == ["c"]
    assert query["rows"] == ["differing"]
    assert set(query) == {"with", "base", "at", "per", "hide", "rows", "range", "speed"}
    other = visit().open(f"compare/?{address.query}")
    assert everything(other) == shown


def test_back_and_forward_work(visit: Visit) -> None:
    """Each change is a step that the browser's own buttons undo and redo."""
    page = visit().open("compare/?with=lark-hydroplane")
    first = everything(page)
    page.get_by_label("Figures").select_option("observed")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")
    page.get_by_label("per litre").check()
    expect(page.locator(".sg-compare-legend thead")).to_contain_text("Power per litre")
    page.go_back()
    expect(page.locator(".sg-compare-legend thead")).not_to_contain_text("per litre")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")
    page.go_back()
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("ISO 1585")
    assert everything(page) == first
    page.go_forward()
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("observed")


def test_old_names_work_and_lost_ones_are_told(visit: Visit, archive: Archive) -> None:
    """A former id leads to the build; what has gone is named, and the rest still shows."""
    build = next(it for it in archive.builds.values() if it.formerly)
    former = build.formerly[0].value
    page = visit().open(f"compare/?with={former},gone-for-good,lark-hydroplane/p99,saddle-special")
    heads = page.locator(".sg-compare-table thead a")
    expect(heads).to_have_count(3)
    assert heads.first.inner_text() == build.title.value
    told = page.get_by_role("status").inner_text()
    assert "“gone-for-good” is no build of this archive any more" in told
    assert "The setup “p99” of “Lark, three-litre hydroplane” is gone" in told
    assert f"with={build.id},lark-hydroplane/p87,saddle-special" in page.url


def test_only_what_differs_is_shown_on_demand(visit: Visit) -> None:
    """Rows that are the same all through go; those that differ stay, with their mark."""
    page = visit().open(f"compare/?with={LADDER}")
    rows = page.locator("[data-sg-line]")
    every = rows.count()
    same = page.locator("[data-sg-line].sg-compare-same").count()
    assert 5 < same < every
    page.get_by_label("Only what differs").check()
    expect(rows).to_have_count(every - same)
    assert page.locator("[data-sg-line] .sg-compare-sign").count() == every - same
    assert page.locator("[data-sg-line='bore']").count() == 0


def test_units_switch_in_table_read_out_and_curves(visit: Visit) -> None:
    """One press turns every figure of the comparison, its axes and its words."""
    page = visit().open(f"compare/?with={TWICE}")
    page.get_by_role("button", name="imperial").click()
    assert "hp" in read_out(page)
    for part in (".sg-compare-legend", ".sg-compare-words >> nth=1", ".sg-compare-table"):
        assert "kW" not in page.locator(part).inner_text(), part
    shown = page.locator(".sg-compare-chart .sg-i").first
    assert shown.evaluate("it => getComputedStyle(it).display") != "none"
    hidden = page.locator(".sg-compare-chart .sg-m").first
    assert hidden.evaluate("it => getComputedStyle(it).display") == "none"
    assert " hp" in words(page).replace(NARROW_SPACE, " ")


def test_units_of_the_address_win_over_memory(visit: Visit) -> None:
    """A link that asks for units gets them; a press then changes both page and address."""
    watched = visit()
    page = watched.open("compare/?with=lark-hydroplane")
    page.get_by_role("button", name="metric").click()
    watched.open("compare/?with=lark-hydroplane&units=imperial")
    assert "hp" in read_out(page)
    page.get_by_label("per litre").check()
    expect(page.locator("[data-sg-cell='a-power']")).to_contain_text("hp/L")
    assert "units=imperial" in page.url
    page.get_by_role("button", name="metric").click()
    assert "units=metric" in page.url
    assert "kW/L" in read_out(page)
    watched.open("builds/lark-hydroplane/?units=imperial")
    assert "hp" in page.locator(".sg-large").first.inner_text()


def test_sheet_charts_follow_the_units(visit: Visit) -> None:
    """On a sheet, too, the axis of the other system goes."""
    page = visit().open("builds/lark-hydroplane/?units=imperial")
    axes = page.locator(".sg-chart-wide .sg-c-axis-metric")
    assert axes.count() > 3
    assert axes.filter(visible=True).count() == 0
    assert page.locator(".sg-chart-wide .sg-c-axis-imperial").filter(visible=True).count() > 3


def test_a_build_that_does_not_load_is_told(visit: Visit) -> None:
    """One missing file costs one column and a notice, not the page."""
    watched = visit()
    watched.page.route("**/builds/lark-hydroplane/compare.js", lambda route: route.abort())
    page = watched.open("compare/?with=lark-hydroplane,saddle-special")
    expect(page.get_by_role("status")).to_contain_text("“lark-hydroplane” could not be loaded")
    expect(page.locator(".sg-compare-table thead a")).to_have_count(1)


def test_sheets_lead_to_their_comparison(visit: Visit) -> None:
    """From a sheet: the build, its setups side by side, and builds like it."""
    page = visit().open("builds/teal-hydroplane/")
    page.get_by_role("link", name="Compare its setups").click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(2)
    page.go_back()
    page.get_by_role("link", name="Compare it", exact=True).click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(1)
    page.go_back()
    page.get_by_role("link", name="Builds like it").click()
    expect(page.locator(".sg-find tbody th a").first).to_have_text("Teal, two-litre hydroplane")


def test_the_page_says_what_it_needs_without_script(visit: Visit) -> None:
    """Without JavaScript the page leads to the table that needs none."""
    page = visit(java_script_enabled=False).open("compare/")
    expect(page.locator(".sg-compare")).to_contain_text("This needs JavaScript")
    page.locator(".sg-compare").get_by_role("link", name="all builds").click()
    expect(page.locator("#sg-builds tbody tr").nth(10)).to_be_attached()
