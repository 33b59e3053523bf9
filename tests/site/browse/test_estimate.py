"""The estimate on a reader's engine in a real browser: form, address, wishes, refusals, keys."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from specgen.analysis.method import method
from tests.site.conftest import Visit

pytestmark = pytest.mark.browser

PAGE = "on-your-engine/"
OWN = "size=2&cylinders=4&ratio=9&speed=6500&valves=4&fuel=e85&on=grebe-11"
PAIRS = "[aria-label='Every pair of pulleys, estimated'] tbody tr"


def opened(visit: Visit, query: str = OWN) -> Page:
    """The page for an engine, once its pairs stand there."""
    page = visit().open(f"{PAGE}?{query}")
    expect(page.locator(PAIRS).first).to_be_visible()
    return page


def test_every_pair_is_estimated_and_the_address_holds_the_engine(visit: Visit) -> None:
    """All pairs of the blower's file come; a link opens the same figures."""
    page = opened(visit)
    expect(page.locator(PAIRS)).to_have_count(12)
    assert "cylinders=4" in page.url
    assert re.search(r"made=\d+\.[0-9a-f]{6}", page.url)
    again = visit().open(PAGE + "?" + page.url.partition("?")[2])
    expect(again.locator(PAIRS)).to_have_count(12)
    assert again.locator(PAIRS).all_inner_texts() == page.locator(PAIRS).all_inner_texts()
    expect(again.locator(".sg-compare-notice")).to_have_count(0)


def test_a_link_of_another_method_or_file_says_so(visit: Visit) -> None:
    """What changed is named; the first change by the reader makes it his own."""
    page = opened(visit, f"{OWN}&made=0.abcdef")
    expect(page.locator(".sg-compare-notice")).to_contain_text("method")
    page = opened(visit, f"{OWN}&made={method().number}.abcdef")
    expect(page.locator(".sg-compare-notice")).to_contain_text("file")
    page.fill("[name=ratio]", "9.5")
    expect(page.locator(".sg-compare-notice")).to_have_count(0)


def test_a_wish_names_a_pair_within_its_limits(visit: Visit) -> None:
    """More power is wished for, and another pair is shown."""
    page = opened(visit)
    page.select_option("[name=want]", "boost")
    page.fill("[name=wish]", "60")
    expect(page.locator("strong", has_text=" to ").first).to_be_visible()
    assert "wish=60" in page.url


def test_what_lies_beyond_the_model_is_refused_in_words(visit: Visit) -> None:
    """A bore that no engine has, and nothing of an estimate beside it."""
    page = opened(visit)
    page.fill("[name=ratio]", "90")
    expect(page.locator("li", has_text="lies beyond what the model knows")).to_be_visible()
    expect(page.locator(PAIRS)).to_have_count(0)
    page.fill("[name=speed]", "")
    expect(page.locator("li", has_text="please fill it in")).to_be_visible()


def test_units_change_the_fields_and_not_the_engine(visit: Visit) -> None:
    """The size is shown in cubic inches; the address keeps it as it was."""
    page = opened(visit)
    before = page.url
    page.get_by_role("button", name="imperial").click()
    assert float(page.input_value("[name=size]")) == pytest.approx(122.05, abs=0.05)
    assert re.sub("&?units=imperial", "", page.url) == before


def test_a_pair_is_chosen_by_keys(visit: Visit) -> None:
    """A press on a pair's name shows it, and the keys stay where they were."""
    page = opened(visit)
    pick = page.locator(".sg-estimate-pick").nth(2)
    pick.focus()
    page.keyboard.press("Enter")
    name = pick.inner_text()
    expect(page.locator("h2", has_text=name)).to_be_visible()
    focused = page.evaluate("document.activeElement.textContent")
    assert focused == name


def test_without_script_it_says_what_to_ask(visit: Visit) -> None:
    """A table of sizes on the blower's own page, and what to tell the workshop."""
    page = visit(java_script_enabled=False).open("blowers/grebe-11/")
    expect(page.locator("[aria-label='Estimates by engine size'] tbody tr")).to_have_count(4)
    expect(page.locator("noscript p").last).to_contain_text("Ask us with")
