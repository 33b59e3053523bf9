"""The picture that tells a sheet: all setups in one, and a switch for what it shows."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from specgen.archive.model.build import Archive
from tests.site.conftest import PHONE, Visit
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser


def test_one_picture_is_shown_and_a_switch_shows_another(visit: Visit, archive: Archive) -> None:
    """Corrected first; observed and boost each by a press or by arrow keys, in its place."""
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
