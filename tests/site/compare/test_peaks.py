"""A comparison leads with what counts: peaks, gains, and words that name what is compared."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from specgen.analysis.sheet import Sheet
from tests.site.compare.chosen import LADDER, TWICE, plain, words
from tests.site.conftest import PHONE, Visit

pytestmark = pytest.mark.browser


def test_peaks_come_first_and_gains_are_told(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """Each setup's power is its sheet's, and the gain over the first is their difference."""
    page = visit().open(f"compare/?with={LADDER}")
    headings = page.locator(".sg-compare h2").all_inner_texts()
    assert headings[:2] == ["Peaks", "Curves"]
    shown = [plain(it) for it in page.locator("[data-sg-peak='power']").all_inner_texts()]
    sheet = sheets["lark-hydroplane"]
    best = {setup.id: setup.best for setup in sheet.setups if setup.best}
    peaks = [best[name].rows["power"] for name in ("p96", "p90", "p87")]
    for text, row in zip(shown, peaks, strict=True):
        assert text.startswith(row.quantity.number(row.scalar, "metric", row.expanded))
        assert "at 6" in text
    gains = page.locator("[data-sg-gain]").all_inner_texts()
    assert gains[0] == "–"
    for text, row in zip(gains[1:], peaks[1:], strict=True):
        found = re.match(r"\+([\d.]+)±([\d.]+)kW \+([\d.]+) %", plain(text))
        assert found is not None, text
        apart = (row.scalar - peaks[0].scalar) / 1e3
        assert float(found[1]) == pytest.approx(apart, abs=0.51)
        assert float(found[3]) == pytest.approx(100e3 * apart / peaks[0].scalar, abs=0.051)
    assert "Power, gain over A" in page.locator(".sg-compare-chart").inner_html()
    said = page.locator(".sg-compare-chart").get_attribute("aria-label") or ""
    assert re.search(r"power over A: B, [^,]+, up to", said), said


def test_no_gain_is_called_where_figures_do_not_compare(visit: Visit) -> None:
    """At the wheel hubs against the flywheel: the cell says so, and no curve of a gain is drawn."""
    page = visit().open(f"compare/?with={TWICE}")
    expect(page.locator("[data-sg-gain='B']")).to_have_text("does not compare")
    assert "gain over" not in page.locator(".sg-compare-chart").inner_html()


def test_title_and_words_name_what_is_compared(visit: Visit) -> None:
    """Setups of one build by their own names, builds by theirs; in the tab and on the page."""
    page = visit().open(f"compare/?with={LADDER}")
    heading = page.locator(".sg-compare-title")
    expect(heading).to_have_text(re.compile(r"^Lark, three-litre hydroplane: .* compared$"))
    assert page.title().startswith("Lark, three-litre hydroplane: ")
    assert re.search(r"B \([^)]+\) against A \([^)]+\)", words(page))
    page = visit().open("compare/?with=lark-hydroplane,teal-hydroplane")
    names = "Lark, three-litre hydroplane and Teal, two-litre hydroplane compared"
    expect(page.locator(".sg-compare-title")).to_have_text(names)
    page.get_by_role("button", name="Remove B").click()
    page.get_by_role("button", name="Remove A").click()
    expect(page.locator(".sg-compare-title")).to_have_text("")


def test_a_speed_outside_a_curve_is_said_to_be(visit: Visit) -> None:
    """Where one curve has ended its cell says where; a speed that none reaches is told."""
    page = visit().open("compare/?with=lark-hydroplane,saddle-special&speed=7200")
    expect(page.locator("[data-sg-cell='a-power']")).to_contain_text("ends at 6")
    page = visit().open("compare/?with=lark-hydroplane,saddle-special&speed=12000")
    expect(page.locator(".sg-compare-drawing")).to_contain_text("No curve reaches 12")


def test_a_row_that_one_side_lacks_is_not_said_to_differ(visit: Visit) -> None:
    """A mark stands only where two sides have data."""
    page = visit().open("compare/?with=lark-hydroplane,irrigation-pump")
    marked = page.locator("[data-sg-line]:has(.sg-compare-sign)")
    lacking = marked.filter(has=page.locator("td .sg-absent"))
    assert marked.count() > 3
    assert lacking.count() == 0


def test_the_link_is_copied(visit: Visit) -> None:
    """One press puts the address where it can be pasted; without permission it stands there."""
    watched = visit(permissions=["clipboard-read", "clipboard-write"])
    page = watched.open(f"compare/?with={LADDER}")
    page.get_by_role("button", name="Copy link").click()
    expect(page.get_by_role("button", name="Link copied")).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == page.url


def test_a_phone_has_cards_and_nothing_scrolls_sideways(visit: Visit) -> None:
    """Peaks, read-out and the lines side by side stand as cards, each figure with its words."""
    page = visit(viewport=PHONE).open(f"compare/?with={LADDER}")
    for table in (".sg-compare-legend", ".sg-compare-read", ".sg-compare-table"):
        frame = page.locator(f".sg-scroll:has(> {table})")
        assert frame.evaluate("it => it.scrollWidth - it.clientWidth") <= 1, table
