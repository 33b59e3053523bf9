"""The pages of trust in a browser: groups that open by a link, folds, sorting, ways there."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from specgen.archive.model.build import Archive
from tests.site.accessibility import COLOURS, darken, violations
from tests.site.conftest import PHONE, Visit
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser


def opened(page: Page) -> list[bool]:
    """Whether the line that was asked for, and the group it stands in, are open."""
    target = page.locator(".sg-prov-body:target")
    expect(target).to_be_visible()
    around = target.locator("xpath=ancestor::details")
    return [around.nth(index).get_attribute("open") is not None for index in range(around.count())]


@pytest.mark.parametrize(
    "figure",
    [
        ".sg-large a.sg-row",
        ".sg-ladder .sg-planned a.sg-row",
        ".sg-limits a.sg-row",
        "[aria-label='Stations of the air'] a.sg-row",
    ],
    ids=["headline", "planned", "limit", "air"],
)
def test_one_click_opens_group_and_line_without_script(
    figure: str, visit: Visit, archive: Archive
) -> None:
    """From any part of the sheet a figure leads to its line inside its closed group."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    for summary in page.locator(".sg-part > summary").all():
        summary.click()
    page.locator(figure).first.click()
    assert page.url.partition("#")[0].endswith(KINDS["figures"](archive))
    assert opened(page) == [True, True]
    others = page.locator(".sg-scope[open]")
    assert others.count() == 1


def test_an_old_address_leads_to_the_line(visit: Visit, archive: Archive) -> None:
    """A link from when figures were told of on the sheet finds the line; others stay there."""
    watched = visit()
    path = KINDS["ladder"](archive)
    page = watched.open(path)
    href = page.locator(".sg-large a.sg-row").first.get_attribute("href") or ""
    anchor = href.partition("#")[2]
    for old in (anchor, "what-was-fitted", "where-the-figures-come-from"):
        watched.open("builds/")
        watched.open(f"{path}#{old}")
        page.wait_for_url(f"**/{path}figures/#{old}")
        expect(page.locator(f"[id='{old}']")).to_be_visible()
    watched.open(f"{path}#cautions")
    assert page.url.endswith(f"{path}#cautions")
    assert watched.told() == []


def test_a_fitted_figure_leads_on_to_its_prior_without_script(
    visit: Visit, archive: Archive
) -> None:
    """Sheet, fitted unknown, prior: each is one click from the one before."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    page.locator("a.sg-known").first.click()
    page.locator(".sg-fitted td:nth-child(4) a.sg-row").first.click()
    first = page.url
    page.locator(".sg-prov-body:target li a").first.click()
    assert page.url != first
    assert opened(page) == [True, True]
    expect(page.locator(".sg-prov-body:target")).to_contain_text("common practice")


def test_the_long_part_is_short_until_it_is_opened(visit: Visit, archive: Archive) -> None:
    """Where the figures come from takes less than two screens, though it explains hundreds."""
    page = visit().open(KINDS["figures"](archive))
    assert page.locator(".sg-prov-body").count() > 200
    heights = page.locator(".sg-prov").evaluate_all(
        "all => all.map(it => it.getBoundingClientRect().height)"
    )
    assert sum(heights) < 1800
    assert page.locator(".sg-prov-body").filter(visible=True).count() == 0


def test_each_setup_opens_at_the_highest_speed(visit: Visit, archive: Archive) -> None:
    """A setup's line opens by keyboard, without a script, to its table."""
    page = visit(java_script_enabled=False).open(KINDS["ladder"](archive))
    page.get_by_role("link", name="Every setup at the highest engine speed").click()
    fold = page.locator(".sg-tops details.sg-fold").first
    expect(fold.locator("table")).to_be_hidden()
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(fold.locator("table")).to_be_visible()
    expect(fold.locator("tbody")).to_contain_text("Injector duty")


def test_a_misfit_is_one_click_from_the_ladder_and_from_the_accuracy_page(
    visit: Visit, archive: Archive
) -> None:
    """Both links lead to the part that says what could explain it."""
    path = KINDS["misfit"](archive)
    watched = visit(java_script_enabled=False)
    for start in (path, "accuracy/"):
        page = watched.open(start)
        page.get_by_role("link", name="disagrees with the others").first.click()
        assert page.url == f"{watched.home}{path}#what-disagrees-with-the-others"
        expect(page.get_by_role("heading", name="What could explain it").first).to_be_visible()


def test_accuracy_is_reached_from_home_method_and_navigation(visit: Visit) -> None:
    """Three ways lead to each of the two pages."""
    watched = visit()
    for path, name in (("accuracy/", "Accuracy"), ("validation/", "Validation")):
        for start in ("", "method/"):
            page = watched.open(start)
            link = page.locator(f".md-content a[href$='{path}']").first
            link.click()
            expect(page.locator("h1")).to_have_text(name)
    page = watched.open("")
    page.locator(".md-tabs").get_by_role("link", name="Check").click()
    expect(page.locator("h1")).to_have_text("Accuracy")


def test_misses_sort_by_size(visit: Visit) -> None:
    """The largest miss comes first when asked for, whatever its sign; unknown ones stay last."""
    page = visit().open("accuracy/")
    heading = page.locator("thead th", has_text="Power missed by")
    heading.get_by_role("button").click()
    heading.get_by_role("button").click()
    column = heading.evaluate("it => it.cellIndex")
    sizes = page.evaluate(
        "at => [...document.querySelectorAll('.sg-accuracy tbody tr')]"
        ".map(row => row.cells[at].dataset.sgKey)",
        column,
    )
    known = [float(size) for size in sizes if size]
    assert known == sorted(known, reverse=True)
    assert len(known) > 20


def test_a_formula_s_figures_open_on_the_method_page(visit: Visit) -> None:
    """Under a formula, its published figures open without a script."""
    page = visit(java_script_enabled=False).open("method/")
    fold = page.locator(".sg-formula details.sg-fold").first
    fold.locator("summary").click()
    expect(fold.locator("td.sg-asked").first).to_be_visible()


@pytest.mark.parametrize("kind", ["validation", "misfit"])
def test_opened_folds_are_accessible(kind: str, visit: Visit, archive: Archive) -> None:
    """Axe finds nothing in what the first folds hold, nor in what disagrees, light or dark."""
    page = visit().open(KINDS[kind](archive))
    page.evaluate(
        """() => {
          for (const group of document.querySelectorAll('.sg-prov')) group.remove();
          const folds = [...document.querySelectorAll('details.sg-fold')];
          for (const fold of folds.slice(0, 4)) fold.open = true;
        }"""
    )
    include = ["details.sg-fold[open]", *([".sg-causes"] if kind == "misfit" else [])]
    assert not violations(page, *include)
    darken(page)
    assert not violations(page, *include, **COLOURS)


@pytest.mark.parametrize("kind", ["validation", "ladder", "misfit", "accuracy"])
def test_opened_folds_fit_a_phone(kind: str, visit: Visit, archive: Archive) -> None:
    """With everything open, wide tables scroll in their own frames and the page does not."""
    page = visit(viewport=PHONE).open(KINDS[kind](archive))
    page.evaluate(
        "document.querySelectorAll('details.sg-fold:not(.sg-scope)')"
        ".forEach(it => { it.open = true; })"
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_folds_are_open_on_paper_without_script(visit: Visit) -> None:
    """What a fold holds is printed though it was closed on the screen."""
    page = visit(java_script_enabled=False).open("validation/")
    page.emulate_media(media="print")
    heights = page.locator("td.sg-asked").evaluate_all(
        "all => all.map(it => it.getBoundingClientRect().height)"
    )
    assert len(heights) > 300
    assert min(heights) > 0


def test_search_finds_the_words_and_not_the_tables(built_site: Path) -> None:
    """The index has what each page is for; the sources of hundreds of figures stay out of it."""
    index = json.loads((built_site / "search" / "search_index.json").read_text("utf-8"))
    texts = " ".join(entry["text"] for entry in index["docs"])
    assert "The published figures that every formula is held to" in texts
    assert "How well predictions met measurements" in texts
    assert "GetSatVapPres" not in texts
    assert "Boost missed by" not in texts
