"""Finding builds like one's own in a real browser: order, reasons, spans, address, units."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.sheet import Sheet
from specgen.publish.find.combos import combos_of, combos_script
from specgen.units import NARROW_SPACE
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


#: The table of the nearest, a build a line.
NEAREST = "[aria-label='The nearest combos']"
OWN = "litres=2&cylinders=4&rpm=7400&fuel=E85&fed=lobe+blower&power=240"


def combos(**changes: list[Any]) -> dict[str, Any]:
    """Three invented combos of one kind, by columns, with some columns changed."""
    usual: dict[str, list[Any]] = {
        "build": [0, 1, 2], "setup": ["a", "b", "c"], "title": [0, 0, 0],
        "cylinders": [4, 4, 4], "litres": [2.0, 2.0, 2.0], "rpm": [7000, 7000, 7000],
        "fed": [1, 1, 1], "fuel": [2, 2, 2], "alcohol": [0.67, 0.67, 0.67],
        "place": [3, 3, 3], "standing": [4, 4, 4], "power": ["200", "220", "180"],
        "specific": ["100", "110", "90"], "boost": ["", "", ""], "year": [2024, 2024, 2024],
        "words": ["80 mm", "lobe blower", "E85", "flywheel", "corrected, ISO 1585", "hub",
                  "as reported, correction unknown", "naturally aspirated", "petrol",
                  "screw blower"],
    }  # fmt: skip
    return {**usual, **changes}


WISH = {"litres": 2, "cylinders": 4, "rpm": 7000, "fuel": "E85", "fed": "lobe blower", "power": 0}


@pytest.fixture
def page(visit: Visit) -> Page:
    """The page before anything was said."""
    return visit().open("find/")


def nearest(page: Page, data: dict[str, Any], own: dict[str, Any]) -> list[dict[str, Any]]:
    """What the script says of these combos, nearest first."""
    found: list[dict[str, Any]] = page.evaluate(
        "([all, own]) => specgen.find.nearest(all, own)", [data, own]
    )
    return found


def test_steps_are_counted_as_the_page_says(page: Page) -> None:
    """20 % of size, 15 % of speed, two cylinders and 40 points of alcohol are a step each."""
    data = combos(
        litres=[2.4, 2.0, 2.0], cylinders=[4, 6, 4], rpm=[7000, 7000, 8050],
    )  # fmt: skip
    assert [it["away"] for it in nearest(page, data, WISH)] == pytest.approx([1.0, 1.0, 1.0])
    fuels = combos(fuel=[8, 2, 2], alcohol=[0.0, 0.67, 0.67], fed=[1, 9, 7])
    away = {it["at"]: it["away"] for it in nearest(page, fuels, WISH)}
    assert away[0] == pytest.approx(0.25 + 0.67 / 0.4)
    assert away[1] == pytest.approx(0.75)
    assert away[2] == pytest.approx(3)
    wish = {**WISH, "power": 200 * 1.2}
    near = nearest(page, combos(), wish)
    assert [it["at"] for it in near] == [1, 0, 2]
    assert near[1]["away"] == pytest.approx(0.5)


def test_reasons_are_told_on_the_right_side(page: Page) -> None:
    """What is alike stands under near, what is not under far, with the size of it."""
    (first, *_) = nearest(page, combos(litres=[1.0, 9.0, 9.0]), WISH)
    assert "size 50 % smaller" in first["far"]
    assert first["near"] == [
        "as many cylinders", "highest speed the same", "the same fuel", "lobe blower"
    ]  # fmt: skip


def test_spans_keep_measuring_points_apart_and_leave_the_unknown_out(page: Page) -> None:
    """Least and most by the litre, scaled; a hub has its own line; unknown corrections none."""
    data = combos(place=[3, 5, 3], standing=[4, 4, 6])
    found = page.evaluate(
        """([all, own]) => specgen.find.spans(all, specgen.find.nearest(all, own), own)""",
        [data, {**WISH, "litres": 3, "cylinders": 0, "fuel": "", "fed": "", "rpm": 0}],
    )
    assert found == []  # half as large again is more than two steps of 20 %
    found = page.evaluate(
        """([all, own]) => specgen.find.spans(all, specgen.find.nearest(all, own), own)""",
        [data, {**WISH, "litres": 2.4}],
    )
    spans = {it["place"]: (it["count"], it["low"], it["high"]) for it in found}
    assert spans["flywheel"] == (1, pytest.approx(240), pytest.approx(240))
    assert spans["hub"] == (1, pytest.approx(264), pytest.approx(264))
    assert set(spans) == {"flywheel", "hub"}


def test_nearest_combos_of_of_the_demo(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """Asked for what a demo build is, that build comes first, with its sheet's own figure."""
    watched = visit()
    page = watched.open(f"find/?{OWN}")
    rows = page.locator(NEAREST).locator("tbody tr")
    expect(rows).to_have_count(8)
    names = rows.locator("th a").all_inner_texts()
    assert len(set(names)) == len(names), "a build stands in one line, its setups together"
    scaled = rows.first.locator("[data-sg-label='For your engine']").inner_text()
    assert "by the litre, times 2.00" in scaled
    assert "also " in " ".join(rows.all_inner_texts())
    assert rows.first.locator("a").inner_text() == "Saddle special, in-line four"
    best = sheets["saddle-special"].best
    assert best is not None
    power = best.rows["power"]
    text = rows.first.locator("td").first.inner_text().replace(NARROW_SPACE, "")
    assert text.startswith(power.quantity.number(power.scalar, "metric", power.expanded))
    assert "at the flywheel, corrected, ISO 1585" in text
    away = page.evaluate(
        """async () => specgen.find.nearest(await specgen.data.load('combos'),
             specgen.find.parse(new URLSearchParams(location.search))).map(it => it.away)"""
    )
    assert away == sorted(away)
    assert watched.told() == []


def test_span_of_the_demo_is_that_of_its_combos(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """The page's span at the flywheel is the least and most by the litre of the like combos."""
    page = visit().open(f"find/?{OWN}")
    script = combos_script(map(combos_of, sheets.values()))
    data = json.loads(script[script.index("{") : -3])
    words = data["words"]
    alike = []
    for at, litres in enumerate(data["litres"]):
        blower, fuel = words[data["fed"][at]], words[data["fuel"][at]]
        if "unknown" in words[data["standing"][at]] or words[data["place"][at]] != "flywheel":
            continue
        steps = [
            abs(math.log(litres / 2)) / math.log(1.2),
            min(abs(data["cylinders"][at] - 4) / 2, 2),
            abs(math.log(data["rpm"][at] / 7400)) / math.log(1.15),
            0 if fuel == "E85" else 0.25 + abs(data["alcohol"][at] - 0.67) / 0.4,
            0 if blower == "lobe blower" else 0.75 if "blower" in blower else 1.5,
        ]
        if blower == "naturally aspirated":
            steps[-1] = 3
        if sum(steps) <= 2:
            alike.append(float(data["specific"][at].split("|")[0]))
    row = page.locator("tbody tr", has_text="at the flywheel").first
    cells = [text.replace(NARROW_SPACE, "") for text in row.locator("td").all_inner_texts()]
    assert cells[0] == str(len(alike))
    assert cells[1] == f"{min(alike):.0f} to {max(alike):.0f}kW/L"
    assert cells[2] == f"{2 * min(alike):.0f} to {2 * max(alike):.0f}kW"
    assert "% above the most" in cells[3]
    note = page.locator(".sg-compare .sg-note").first.inner_text()
    assert "Figures of different measuring points do not compare" in note
    assert "correction unknown, and are left out" in note


def test_form_keeps_its_state_in_the_address(visit: Visit) -> None:
    """What is typed goes into the address; back undoes it; a link restores it."""
    page = visit().open("find/")
    expect(page.locator(".sg-compare")).to_contain_text("Say what you have, and what you wish")
    offered = page.get_by_label("Fuel").locator("option").all_inner_texts()
    assert not [it for it in offered if "recorded" in it or not it]
    assert len(set(offered)) == len(offered)
    page.get_by_label("Engine size").fill("3")
    page.get_by_label("Engine size").press("Enter")
    page.get_by_label("Fuel").select_option("E85")
    page.get_by_label("Induction").select_option("blower of any kind")
    assert "litres=3" in page.url
    assert "fuel=E85" in page.url
    first = page.locator(f"{NEAREST} tbody th").first.inner_text()
    assert first.startswith("Lark, three-litre hydroplane")
    page.go_back()
    expect(page.get_by_label("Induction")).to_have_value("")
    page.go_forward()
    expect(page.get_by_label("Induction")).to_have_value("blower of any kind")
    other = visit().open("find/?" + page.url.partition("?")[2])
    assert other.locator(f"{NEAREST} tbody th").first.inner_text() == first


def test_units_turn_fields_and_figures(visit: Visit) -> None:
    """The same wish in cubic inches and horsepower finds the same combos."""
    page = visit().open(f"find/?{OWN}")
    before = page.locator(f"{NEAREST} tbody th a").all_inner_texts()
    page.get_by_role("button", name="imperial").click()
    assert page.get_by_label("Wished power, hp").input_value() == "321.8"
    assert page.get_by_label("Engine size, in³").input_value() == "122"
    assert page.locator(f"{NEAREST} tbody th a").all_inner_texts() == before
    assert "hp" in page.locator(f"{NEAREST} tbody td").first.inner_text()


def test_far_off_gets_no_span(visit: Visit) -> None:
    """For an engine that nothing is like, the page gives no range and says so."""
    page = visit().open("find/?litres=20&cylinders=12")
    expect(page.locator(".sg-compare")).to_contain_text("No tested combo of this archive is near")
    expect(page.locator(NEAREST).locator("tbody tr")).to_have_count(8)


def test_nearest_are_compared(visit: Visit) -> None:
    """One link sets the nearest five side by side."""
    page = visit().open(f"find/?{OWN}")
    page.get_by_role("link", name="Compare the nearest 5").click()
    expect(page.locator(".sg-compare-table thead a")).to_have_count(5)
