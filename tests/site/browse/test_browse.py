"""Browsing all builds in a real browser: narrowing, sorting, counting, address, units."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.sheet import Sheet
from specgen.archive.model.build import Archive
from tests.site.conftest import PHONE, Visit

pytestmark = pytest.mark.browser


def shown(page: Page) -> list[str]:
    """Titles of the builds that are left, in the order of the table."""
    return [
        text.strip() for text in page.locator("#sg-builds tbody tr:visible th a").all_inner_texts()
    ]


def test_each_kind_of_filter_leaves_what_it_says(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """Every kind of filter, compared with the archive itself, alone and together."""
    page = visit().open("builds/")
    count = page.locator(".sg-browse-count")

    def expecting(query: str, wanted: Callable[[Sheet], bool]) -> None:
        left = [sheet.build.title.value for sheet in newest_first(sheets) if wanted(sheet)]
        assert 0 < len(left) < len(sheets), f"{query} tells nothing"
        page.evaluate(_GO, query)
        expect(count).to_have_text(f"{len(left)} of {len(sheets)} builds")
        assert shown(page) == left, query

    expecting("cylinders=4", lambda it: it.build.engine.cylinders.value == 4)
    expecting("induction=naturally+aspirated", lambda it: it.build.induction.natural is not None)
    expecting("size=2..3", lambda it: 2e-3 <= it.engine["swept_volume"].scalar <= 3e-3)
    expecting("size=..2.4", lambda it: it.engine["swept_volume"].scalar <= 2.4e-3)
    expecting("fuel=E85", lambda it: "e85" in fuels(it))
    expecting("fuel=E50", lambda it: "e50" in fuels(it) or half_and_half(it))
    expecting("power=200..", lambda it: best(it, "power") >= 200e3)
    expecting("boost=60..90", lambda it: 60e3 <= best(it, "boost") <= 90e3)
    expecting("place=roller", lambda it: place(it) == "roller")
    expecting("date=planned", lambda it: not it.sessions)
    expecting("date=tested", lambda it: bool(it.sessions))
    expecting("date=2025..", lambda it: newest(it) >= 2025)
    expecting("words=hydroplane+lark", lambda it: it.id == "lark-hydroplane")
    expecting("power=150..&cylinders=6&date=tested",
              lambda it: best(it, "power") >= 150e3
              and it.build.engine.cylinders.value == 6)  # fmt: skip


#: Go to another state of the page as the browser's own buttons do.
_GO = """query => {
  history.pushState(null, '', `?${query}`);
  window.dispatchEvent(new PopStateEvent('popstate'));
}"""


def best(sheet: Sheet, key: str) -> float:
    """A figure of the pull with the highest power [SI]; nan, which nothing matches, without one."""
    row = sheet.best.rows[key] if sheet.best else None
    return row.scalar if row is not None and row.present else math.nan


def place(sheet: Sheet) -> str:
    """Where that pull was measured."""
    return sheet.best.session.dyno.measured_at.value if sheet.best else ""


def fuels(sheet: Sheet) -> set[str]:
    """The listed fuels of all setups, tried or planned."""
    stated = (setup.fuel for setup in sheet.build.setups)
    return {fuel.name.value for fuel in stated if fuel and fuel.name}


def half_and_half(sheet: Sheet) -> bool:
    """Whether a setup burns a blend of half petrol and half ethanol that is not called E50."""
    stated = (setup.fuel for setup in sheet.build.setups)
    return any(
        fuel.petrol and fuel.ethanol and (fuel.petrol.value, fuel.ethanol.value) == (0.5, 0.5)
        for fuel in stated
        if fuel
    )


def newest_first(sheets: dict[str, Sheet]) -> list[Sheet]:
    """The order in which the list is delivered: by the last day of testing, untested ones last."""
    return sorted(sheets.values(), key=lambda it: (last_day(it), it.id), reverse=True)


def last_day(sheet: Sheet) -> str:
    """The day of the last session; empty without one."""
    return max((it.session.date.value.isoformat() for it in sheet.sessions), default="")


def newest(sheet: Sheet) -> int:
    """The year of the last session."""
    return max((it.session.date.value.year for it in sheet.sessions), default=0)


def test_filters_are_set_by_hand_and_kept_in_the_address(visit: Visit) -> None:
    """A choice, a range and words narrow the table; the count follows; back undoes a step."""
    page = visit().open("builds/")
    every = len(shown(page))
    expect(page.locator(".sg-browse-count")).to_have_text(f"All {every} builds")
    fold = page.locator(".sg-browse-fold > summary")
    expect(fold).to_have_text("Filters")
    fold.click()
    page.get_by_label("Cylinders").select_option("4")
    four = len(shown(page))
    assert 0 < four < every
    page.get_by_label("Power, at least").fill("150")
    page.get_by_label("Power, at least").press("Enter")
    assert 0 < len(shown(page)) < four
    assert "cylinders=4" in page.url
    assert "power=150.." in page.url
    page.get_by_label("Words").fill("shed")
    assert len(shown(page)) == 1
    expect(fold).to_have_text("Filters (3 on)")
    assert "words=shed" in page.url
    page.reload()
    assert len(shown(page)) == 1
    assert page.get_by_label("Power, at least").input_value() == "150"
    page.locator(".sg-browse").get_by_role("button", name="Clear").click()
    assert len(shown(page)) == every
    assert "cylinders" not in page.url
    page.go_back()
    expect(page.locator(".sg-browse-count")).to_contain_text(f"1 of {every}")


def test_nothing_left_says_what_to_do(visit: Visit) -> None:
    """An empty table is no dead end."""
    page = visit().open("builds/?power=5000..")
    expect(page.locator(".sg-browse-count")).to_contain_text("widen a range or clear the filters")


def test_every_column_sorts_either_way(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """A heading sorts by what its column shows, the other way at the second press."""
    page = visit().open("builds/")
    every = {sheet.build.title.value: sheet for sheet in sheets.values()}
    keys: dict[str, Callable[[Sheet], float]] = {
        "Engine": lambda it: it.build.engine.cylinders.value,
        "Size": lambda it: it.engine["swept_volume"].scalar,
        "Boost": lambda it: best(it, "boost"),
        "Power": lambda it: best(it, "power"),
        "Tested": lambda it: newest(it) or math.nan,
    }
    for heading, key in keys.items():
        button = page.locator("#sg-builds thead th", has_text=heading).first.get_by_role("button")
        for sense in (1, -1):
            button.click()
            found = [key(every[name]) for name in shown(page)]
            known = [value for value in found if not math.isnan(value)]
            assert known == sorted(known, key=lambda value: value * sense), heading
            assert all(math.isnan(value) for value in found[len(known):])  # fmt: skip


def test_sorting_is_kept_in_the_address(visit: Visit) -> None:
    """The address says by what the table is sorted, and a link brings it back."""
    page = visit().open("builds/")
    heading = page.locator("#sg-builds thead th", has_text="Power").first.get_by_role("button")
    heading.click()
    heading.click()
    assert "sort=-power" in page.url
    order = shown(page)
    other = visit().open("builds/?sort=-power")
    expect(other.locator("#sg-builds thead th[aria-sort='descending']")).to_have_count(1)
    assert shown(other) == order


def test_an_order_is_chosen_where_there_are_no_headings(
    visit: Visit, sheets: dict[str, Sheet]
) -> None:
    """A phone has cards: the choice of an order does what headings do, and back undoes it."""
    page = visit(viewport=PHONE).open("builds/")
    delivered = shown(page)
    assert delivered == [sheet.build.title.value for sheet in newest_first(sheets)]
    assert not page.locator("#sg-builds thead").is_visible()
    page.get_by_label("Order").select_option("-power")
    powers = {sheet.build.title.value: best(sheet, "power") for sheet in sheets.values()}
    known = [powers[name] for name in shown(page) if not math.isnan(powers[name])]
    assert known == sorted(known, reverse=True)
    assert "sort=-power" in page.url
    page.go_back()
    expect(page.get_by_label("Order")).to_have_value("-date")
    assert shown(page)[:5] == delivered[:5]


def test_a_phone_shows_the_first_result_at_once(visit: Visit) -> None:
    """Power, boost, fuel and measuring point of the newest build, without scrolling either way."""
    page = visit(viewport=PHONE).open("builds/")
    card = page.locator("#sg-builds tbody tr").first
    parts = {"power": ".sg-first", "boost": "[data-sg-label=Boost]",
             "fuel": ".sg-words-end", "place": "td.sg-spark-cell + td"}  # fmt: skip
    for name, where in parts.items():
        box = card.locator(where).bounding_box()
        assert box is not None, name
        assert box["x"] >= 0, name
        assert box["x"] + box["width"] <= PHONE["width"], name
        assert box["y"] + box["height"] <= PHONE["height"], name


def test_ranges_turn_with_the_units(visit: Visit) -> None:
    """A wish of 150 kW reads as 201 hp after the switch; what is left stays the same."""
    page = visit().open("builds/?power=150..")
    page.locator(".sg-browse-fold > summary").click()
    before = shown(page)
    page.get_by_role("button", name="imperial").click()
    assert page.get_by_label("Power, at least").input_value() == "201.2"
    expect(page.locator("fieldset", has_text="Power").locator("legend")).to_have_text("Power, hp")
    assert shown(page) == before
    page.get_by_label("Power, at most").fill("268.2")
    page.get_by_label("Power, at most").press("Enter")
    found = re.search(r"power=150\.\.([\d.]+)", page.url)
    assert found is not None
    assert float(found.group(1)) == pytest.approx(200, abs=0.05)


def test_ticked_builds_are_compared(visit: Visit) -> None:
    """Boxes in the rows gather builds for one comparison."""
    page = visit().open("builds/")
    names = shown(page)
    for name in (names[4], names[7]):
        page.get_by_label(f"Compare {name}", exact=True).check()
    page.get_by_role("link", name="Compare these 2").click()
    heads = page.locator(".sg-compare-table thead a")
    expect(heads).to_have_text([names[4], names[7]])


def test_table_is_complete_without_script(visit: Visit, archive: Archive) -> None:
    """Without JavaScript every build stands there, and no form that would do nothing."""
    page = visit(java_script_enabled=False).open("builds/")
    assert len(shown(page)) == len(archive.builds)
    assert page.locator(".sg-browse > *").count() == 0
    assert page.locator("#sg-builds input").count() == 0


def test_filters_are_reached_by_keyboard(visit: Visit) -> None:
    """Tab walks through the form, and each part of it shows where it is."""
    page = visit().open("builds/")
    page.locator(".sg-browse-fold > summary").focus()
    page.keyboard.press("Enter")
    seen = []
    for _ in range(18):
        name, outlined = page.evaluate(
            """() => {
              const at = document.activeElement;
              const style = getComputedStyle(at);
              return [at.getAttribute('aria-label') ?? at.getAttribute('name') ?? at.textContent,
                style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0];
            }"""
        )
        seen.append(name)
        assert outlined, name
        page.keyboard.press("Tab")
    assert {"cylinders", "induction", "fuel", "place", "date", "sort"} <= set(seen)
    assert {"Power, at least", "Boost, at most"} <= set(seen)
