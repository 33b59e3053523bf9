"""Words, bases, litres and measuring points of a comparison of the demo's pulls."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from specgen.analysis.sheet import Sheet
from tests.site.compare.chosen import TWICE, plain, words
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser


def test_one_setup_on_two_dynos_is_not_called_different(visit: Visit) -> None:
    """At the flywheel and at the wheel hubs: said so, and no difference in power is called."""
    page = visit().open(f"compare/?with={TWICE}")
    said = words(page)
    assert "one and the same setup" in said
    assert "measured at the flywheel (A) and at the wheel hubs (B)" in said
    assert "no difference in power or torque is called" in said
    assert "overlap: the tests do not tell them apart" in said
    assert "power 11" not in said
    for key in ("power", "torque", "specific_power", "mean_pressure"):
        mark = page.locator(f"[data-sg-line='{key}'] .sg-compare-sign")
        assert mark.inner_text() == "†"


def test_pulls_of_one_day_are_told_apart_where_the_tests_can(visit: Visit) -> None:
    """A difference larger than its uncertainty is said to be; a smaller one is said not to be."""
    page = visit().open("compare/?with=lark-hydroplane/p93,lark-hydroplane/p87,lark-hydroplane/p96")
    said = words(page)
    told = r"B \(87.1 mm\) against A \(92.6 mm\): power 1\dkW more, larger than the±\d\.?\d?kW"
    assert re.search(told, plain(said))
    last = plain(said).partition("C (95.5")[2]
    assert "within the±" in last.partition(";")[0]
    assert "The fuel was half petrol, half ethanol (E50) (A and C) and E85 (B)" in said


def test_figures_that_stand_alone_are_named(visit: Visit) -> None:
    """Unknown correction, other fuel, far weather and untested setups are all said."""
    chosen = "narrow-gauge-railcar/first,narrow-gauge-railcar/third,irrigation-pump,ice-sledge"
    said = words(visit().open(f"compare/?with={chosen}"))
    assert "A stands as reported and not corrected to ISO 1585" in said
    assert "correction is unknown" in said or "already corrected is unknown" in said
    assert "C has not been tested" in said
    assert "The fuel was" in said
    told = "no difference in power or torque is called, since the figures do not stand alike"
    assert re.search(rf"B \(.*\) against A \(.*\): {told}", said)
    assert "The air of" in said


def test_words_follow_the_base(visit: Visit) -> None:
    """As observed, weather far apart is said to be set side by side as well."""
    chosen = "with=rescue-launch/p86,saddle-groomer/p107,saddle-three-wheeler"
    page = visit().open(f"compare/?{chosen}&base=observed")
    assert "as observed" in page.locator(".sg-compare-table").inner_text().lower()
    assert "observed figures then set the weather side by side as well" in words(page)
    page.get_by_label("Figures").select_option("sae-j607")
    expect(page.locator("[data-sg-line='standing']")).to_contain_text("corrected, SAE J607")
    assert "takes that out only as far as a standard can" in words(page)


def test_a_figure_at_another_measuring_point_is_a_band(
    visit: Visit, sheets: dict[str, Sheet]
) -> None:
    """At the flywheel, a pull at the wheel hubs has two ends and no line."""
    page = visit().open(f"compare/?with={TWICE}&at=flywheel")
    row = page.locator("tr", has_text="Power at the flywheel").last
    texts = [plain(text) for text in row.locator("td").all_inner_texts()]
    sheet = sheets["saddle-special"]
    flywheel, hub = (
        next(pull.rows["power"] for pull in sheet.pulls if pull.id == name)
        for name in ("2024-04-24-2", "2025-06-07-1")
    )
    shown = flywheel.quantity.text(flywheel.scalar, "metric", flywheel.expanded)
    margin = flywheel.quantity.margin(flywheel.expanded or 0, "metric")
    assert texts[0] == plain(shown.replace("kW", f"±{margin}kW"))
    low, high = (float(it) for it in re.findall(r"\d+", texts[1]))
    spread = hub.expanded or 0.0
    # 0.81 to 0.97 of the flywheel's power arrive at the wheel hubs: as the rows cite.
    assert low == pytest.approx((hub.scalar - spread) / 0.97 / 1e3, abs=5)
    assert high == pytest.approx((hub.scalar + spread) / 0.81 / 1e3, abs=5)
    assert page.locator(".sg-compare-band").count() == 2
    assert page.locator(".sg-compare-line").count() == 2 + 2


def test_per_litre_shows_what_each_litre_made(visit: Visit, sheets: dict[str, Sheet]) -> None:
    """The read-out at the peak then reads as the sheet's power per litre."""
    page = visit().open("compare/?with=lark-hydroplane&per=litre")
    best = sheets["lark-hydroplane"].best
    assert best is not None
    row = best.rows["specific_power"]
    margin = row.quantity.margin(row.expanded or 0, "metric")
    number = row.quantity.number(row.scalar, "metric", row.expanded)
    shown = plain(page.locator("[data-sg-cell='a-power']").inner_text())
    assert shown == f"{number}±{margin}kW/L"
    assert "Brake mean effective pressure" in page.locator(".sg-compare-chart").inner_html()
