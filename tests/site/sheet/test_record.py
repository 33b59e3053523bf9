"""The build record in a browser: pictures that open large, light pages, keys that search finds."""

from __future__ import annotations

import gzip

import pytest
from playwright.sync_api import Locator, Page, Response, expect

from specgen.archive.model.build import Archive
from tests.site.accessibility import violations
from tests.site.conftest import PHONE, Visit
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser


#: What a sheet with six pictures may weigh before one is seen: page, styles and scripts, gzipped.
_MOST = 150_000


def shots(page: Page) -> list[str]:
    """The addresses of the large pictures of a page."""
    found: list[str] = page.locator(".sg-shot a").evaluate_all("all => all.map(it => it.href)")
    return found


def opened(page: Page) -> Page:
    """Open the record, as a reader does."""
    page.locator(".sg-record-part summary").first.click()
    return page


def width(image: Locator) -> int:
    """How wide a picture is in itself, once it has come."""
    return int(image.evaluate("it => it.decode().then(() => it.naturalWidth)"))


def focused(page: Page) -> str:
    """The address of the link that has the focus; empty for anything else."""
    return str(page.evaluate("document.activeElement.href ?? ''"))


def test_a_sheet_with_six_pictures_is_light(visit: Visit, archive: Archive) -> None:
    """Page, styles, scripts and drawings weigh little, and no picture comes before it is near."""
    watched = visit()
    answers: list[Response] = []
    watched.page.on("response", lambda answer: answers.append(answer))
    watched.open(KINDS["pictures"](archive))
    page = watched.settle()
    assert len(shots(page)) == 6
    kinds = ("document", "stylesheet", "script")
    weights = {
        answer.url: len(gzip.compress(answer.body(), 6))
        for answer in answers
        if answer.request.resource_type in kinds
    }
    assert len(weights) > 4
    assert sum(weights.values()) < _MOST, weights
    assert not [answer.url for answer in answers if answer.url.endswith(".webp")]


def test_pictures_come_when_they_are_near_and_move_nothing(visit: Visit, archive: Archive) -> None:
    """Each picture's room is kept from the start; a phone gets the narrow rendition."""
    page = opened(visit(viewport=PHONE).open(KINDS["pictures"](archive)))
    boxes = """() => [...document.querySelectorAll('.sg-shot img')].map(
      it => [it.complete && it.naturalWidth > 0, it.clientHeight])"""
    before = page.evaluate(boxes)
    assert not any(loaded for loaded, _ in before)
    assert min(height for _, height in before) > 100
    for index in range(6):
        page.locator(".sg-shot").nth(index).scroll_into_view_if_needed()
        assert width(page.locator(".sg-shot img").nth(index)) > 0
    assert [height for _, height in page.evaluate(boxes)] == [height for _, height in before]
    names = page.locator(".sg-shot img").evaluate_all("all => all.map(it => it.currentSrc)")
    assert all(name.endswith("-480.webp") for name in names)


def test_pictures_open_large_by_keyboard(visit: Visit, archive: Archive) -> None:
    """Enter opens, arrows walk and stop at the ends, Escape closes and gives the focus back."""
    watched = visit()
    page = opened(watched.open(KINDS["pictures"](archive)))
    large = shots(page)
    page.locator(".sg-shot a").nth(1).focus()
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog", name="Picture 2 of 6")
    expect(dialog).to_be_visible()
    image = dialog.locator("img")
    assert image.get_attribute("src") == large[1]
    assert image.get_attribute("alt") == page.locator(".sg-shot img").nth(1).get_attribute("alt")
    assert width(image) > 1000
    for key, place in (("ArrowRight", 3), ("End", 6), ("ArrowRight", 6), ("ArrowLeft", 5),
                       ("Home", 1), ("ArrowLeft", 1)):  # fmt: skip
        page.keyboard.press(key)
        expect(page.get_by_role("dialog", name=f"Picture {place} of 6")).to_be_visible()
        assert page.locator("dialog img").get_attribute("src") == large[place - 1]
    page.keyboard.press("Escape")
    expect(page.locator("dialog")).to_be_hidden()
    assert focused(page) == large[1]
    assert watched.told() == []


def test_pictures_open_large_by_pointer(visit: Visit, archive: Archive) -> None:
    """A click opens, the buttons walk and close; the picture stays inside the window."""
    page = opened(visit(viewport=PHONE).open(KINDS["pictures"](archive)))
    page.locator(".sg-shot a").first.click()
    dialog = page.get_by_role("dialog")
    assert width(dialog.locator("img")) > 0
    box = dialog.locator("img").bounding_box()
    assert box is not None
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]
    assert box["y"] + box["height"] <= PHONE["height"]
    dialog.get_by_role("button", name="Next picture").click()
    expect(page.get_by_role("dialog", name="Picture 2 of 6")).to_be_visible()
    assert not violations(page, "dialog")
    dialog.get_by_role("button", name="Close").click()
    expect(page.locator("dialog")).to_be_hidden()
    assert page.url.endswith("/"), "the page was left"


def test_a_picture_is_a_plain_link_without_script(visit: Visit, archive: Archive) -> None:
    """Without JavaScript the link leads to the largest rendition."""
    page = opened(visit(java_script_enabled=False).open(KINDS["pictures"](archive)))
    link = page.locator(".sg-shot a").first
    address = link.get_attribute("href") or ""
    link.click()
    page.wait_for_url(f"**/{address}")
    assert page.locator("img").count() == 1


def tops(page: Page) -> dict[str, float]:
    """Where the headings of a sheet stand, from the top."""
    found: dict[str, float] = page.evaluate(
        """() => Object.fromEntries(['power-and-torque', 'the-record', 'how-it-was-tested'].map(
          id => [id, document.getElementById(id).getBoundingClientRect().top]))"""
    )
    return found


@pytest.mark.parametrize("scripted", [True, False])
def test_the_record_comes_first_on_paper_if_the_reader_wants(
    scripted: bool, visit: Visit, archive: Archive
) -> None:
    """The result leads unless the other order was asked for; the screen keeps its order."""
    page = visit(java_script_enabled=scripted).open(KINDS["record"](archive))
    page.get_by_role("link", name="record first").click()
    places = tops(page)
    assert places["power-and-torque"] < places["the-record"], "the screen was turned round"
    page.emulate_media(media="print")
    places = tops(page)
    assert places["the-record"] < places["power-and-torque"] < places["how-it-was-tested"]
    page.emulate_media(media="screen")
    page.get_by_role("link", name="all of it").click()
    page.emulate_media(media="print")
    places = tops(page)
    assert places["power-and-torque"] < places["the-record"] < places["how-it-was-tested"]


def test_the_order_on_paper_is_remembered_and_told(visit: Visit, archive: Archive) -> None:
    """The next sheet prints the same way, and the link that holds says so."""
    watched = visit()
    path = KINDS["record"](archive)
    page = watched.open(path)
    assert page.locator("a[data-sg-order='alone']").get_attribute("aria-current") == "true"
    link = page.get_by_role("link", name="record first")
    link.scroll_into_view_if_needed()
    place = page.evaluate("scrollY")
    link.click()
    assert page.evaluate("scrollY") == place, "the page moved"
    page.goto("about:blank")
    page = watched.open(path)
    assert page.locator("a[data-sg-order='record']").get_attribute("aria-current") == "true"
    page.emulate_media(media="print")
    assert tops(page)["the-record"] < tops(page)["power-and-torque"]
    assert watched.told() == []


def test_a_named_reading_leads_to_its_line(visit: Visit, archive: Archive) -> None:
    """From the summary to the line of the table, which is then in sight, without a script."""
    page = opened(visit(java_script_enabled=False).open(KINDS["record"](archive)))
    page.locator("section:has(> #record-clearances) p a[href^='#record-clearance-']").first.click()
    expect(page.locator(".sg-clearances tr:target")).to_be_in_viewport()


@pytest.mark.parametrize("key", ["compression_height", "barometer", "blower_pulley"])
def test_search_finds_a_key(key: str, visit: Visit) -> None:
    """Who looks for a key of the files finds the reference of fields."""
    page = visit().open("write/")
    page.get_by_role("textbox", name="Search").click()
    page.get_by_role("textbox", name="Search").press_sequentially(key)
    result = page.locator(".md-search-result__link[href*='fields/']").first
    expect(result).to_be_visible(timeout=10_000)


def test_the_reference_is_linked_from_where_writing_starts(visit: Visit) -> None:
    """The page on the first build leads to every key."""
    page = visit().open("write/")
    page.locator(".md-content a", has_text="fields").click()
    expect(page.get_by_role("heading", name="Fields", exact=True)).to_be_visible()
