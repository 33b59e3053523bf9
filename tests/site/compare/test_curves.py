"""A comparison's curves: read by keyboard, pointer and touch, switched, averaged, told apart."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from specgen.units import NARROW_SPACE
from tests.site.compare.chosen import LADDER, read_out
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


def test_curves_are_read_by_keyboard(visit: Visit) -> None:
    """The slider takes arrows; table, dots and spoken text follow; the address keeps the speed."""
    page = visit().open(f"compare/?with={LADDER}&speed=4000")
    slider = page.get_by_label("Engine speed of the read-out")
    before = read_out(page)
    slider.focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    assert page.locator(".sg-compare-speed").inner_text() == f"4{NARROW_SPACE}200{NARROW_SPACE}rpm"
    assert read_out(page) != before
    spoken = slider.get_attribute("aria-valuetext") or ""
    assert spoken.startswith(f"4{NARROW_SPACE}200")
    assert "A " in spoken
    assert "C " in spoken
    assert "speed=4200" in page.url
    page.keyboard.press("End")
    assert page.locator(".sg-compare-speed").inner_text() == f"6{NARROW_SPACE}800{NARROW_SPACE}rpm"


def test_curves_are_read_by_pointer(visit: Visit) -> None:
    """Pointing at the chart reads it there, from one end to the other."""
    page = visit().open(f"compare/?with={LADDER}")
    chart = page.locator(".sg-compare-chart")
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    speeds = []
    for share in (0.2, 0.5, 0.9):
        page.mouse.move(box["x"] + share * box["width"], box["y"] + 60)
        text = page.locator(".sg-compare-speed").inner_text()
        speeds.append(int(re.sub(r"\D", "", text)))
    assert speeds == sorted(speeds)
    assert speeds[0] < 3500
    assert speeds[2] > 6000


def test_curves_are_read_by_touch(visit: Visit) -> None:
    """A tap on the chart of a phone reads it there."""
    page = visit(viewport={"width": 390, "height": 844}, has_touch=True).open(
        f"compare/?with={LADDER}"
    )
    chart = page.locator(".sg-compare-chart")
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + 80)
    speed = int(re.sub(r"\D", "", page.locator(".sg-compare-speed").inner_text()))
    assert 3500 < speed < 5500


def test_a_curve_is_switched_off_in_its_row(visit: Visit) -> None:
    """Its box takes the curve out of the drawing, keeps the focus, and goes into the address."""
    page = visit().open(f"compare/?with={LADDER}")
    assert page.locator(".sg-compare-line").count() == 9 + 2  # and what B and C gain over A
    box = page.get_by_label("Curve of B")
    box.focus()
    page.keyboard.press("Space")
    expect(page.locator(".sg-compare-line")).to_have_count(6 + 1)
    assert "hide=b" in page.url
    assert page.evaluate("document.activeElement.dataset.sgKey") == "show-b"


def test_average_power_over_a_range_of_the_readers(visit: Visit) -> None:
    """Another range gives another average; a curve that does not cover it says so."""
    page = visit().open("compare/?with=lark-hydroplane,saddle-special&range=4000-6000")
    cells = page.locator("[data-sg-cell$='-average']")
    first = cells.first.inner_text()
    assert "kW" in first
    page.get_by_label("Average from, rpm").fill("5000")
    page.get_by_label("Average from, rpm").press("Enter")
    expect(cells.first).not_to_have_text(first)
    assert "range=5000-6000" in page.url
    page.get_by_label("Average to, rpm").fill("7400")
    page.get_by_label("Average to, rpm").press("Enter")
    expect(cells.first).to_have_text("not over all of it")
    expect(cells.nth(1)).to_contain_text("kW")


def test_columns_are_told_apart_by_more_than_colour(visit: Visit) -> None:
    """Five curves have five letters and marks; a figure of other standing is dashed."""
    chosen = f"{LADDER},saddle-special,narrow-gauge-railcar/first"
    page = visit().open(f"compare/?with={chosen}")
    letters = page.locator(".sg-compare-letter").all_text_contents()
    assert set(letters) == set("ABCDE")
    forms = page.locator(".sg-compare-legend .sg-compare-mark path").evaluate_all(
        "all => all.map(it => it.getAttribute('d'))"
    )
    assert len(set(forms)) == 5
    dashed = page.locator(".sg-compare-line[stroke-dasharray]").evaluate_all(
        "all => all.map(it => it.getAttribute('class').split(' ')[0])"
    )
    assert set(dashed) == {"sg-s5"}
