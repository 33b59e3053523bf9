"""Sheets and comparisons on paper: nothing cut, everything opened, black on white."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from specgen.archive.model.build import Archive
from specgen.publish.share import sharing as share
from tests.site.compare.chosen import LADDER
from tests.site.conftest import Visit
from tests.site.kinds import KINDS
from tests.site.paper.printing import CUT, WIDTH, printed, sheets_of_paper

pytestmark = pytest.mark.browser


#: Builds of the comparison that is printed.
_COMPARED = ("lark-hydroplane", "saddle-special", "sidecar-outfit")
#: The colour of a text, and whether the ground below it is the paper's own.
_INK = """where => [getComputedStyle(document.querySelector(where)).color,
  ['rgba(0, 0, 0, 0)', 'rgb(255, 255, 255)'].includes(
    getComputedStyle(document.body).backgroundColor)]"""
_BLACK_ON_WHITE = ["rgb(0, 0, 0)", True]
#: All of a sheet, its record too, fits in so many pages, as does where its figures come from; a
#: full record with a ladder of five setups has most.
_MOST_PAGES = {
    "ladder": 12,
    "natural": 6,
    "peaks only": 5,
    "builds": 3,
    "figures": 30,
}


@pytest.mark.parametrize("kind", _MOST_PAGES)
def test_all_of_it_prints_on_a_sane_number_of_pages(
    kind: str, visit: Visit, archive: Archive
) -> None:
    """The PDF has pages, and not a pad of them."""
    page = visit().open(f"{KINDS[kind](archive)}#result-first")
    pages = sheets_of_paper(page.pdf(format="A4", prefer_css_page_size=True))
    assert 1 <= pages <= _MOST_PAGES[kind], f"{pages} pages"


@pytest.mark.parametrize(
    "kind", ["ladder", "natural", "peaks only", "planned", "figures", "builds", "compare", "find"]
)
def test_nothing_is_cut_on_paper(kind: str, visit: Visit, archive: Archive) -> None:
    """In print no frame scrolls and nothing reaches beyond the paper, A4 or Letter."""
    watched = visit(viewport={"width": WIDTH["A4"], "height": 1000})
    watched.open(f"{KINDS[kind](archive)}#result-first")
    page = watched.settle()
    page.emulate_media(media="print")
    for width in WIDTH.values():
        page.set_viewport_size({"width": width, "height": 1000})
        assert page.evaluate(CUT, width) == []


#: What a result says wherever a sheet has it.
_RESULTS = ("power-and-torque", "the-ladder-of-setups", "near-its-limits", "cautions")
#: What is printed only where it is asked for.
_REST = (
    "the-way-of-the-air", "the-record", "how-it-was-tested", "how-we-know",
    "what-changed-in-its-figures",
)  # fmt: skip


@pytest.mark.usefixtures("poppler")
def test_a_result_prints_on_two_pages(visit: Visit, archive: Archive, tmp_path: Path) -> None:
    """Headline, code, curves, ladder, limits and cautions of every sheet, and nothing else."""
    watched = visit()
    wrong = []
    for build in archive.builds.values():
        page = watched.open(f"builds/{build.id}/")
        code = share.code(f"https://shed.test/a-long-way/builds/{build.id}/")
        lead = f'<div class="sg-paper sg-code">{code}</div>'
        page.evaluate("it => document.querySelector('.sg-summary').insertAdjacentHTML"
                      "('beforebegin', it)", lead)  # fmt: skip
        heads = dict(page.evaluate(_HEADINGS))
        for paper in WIDTH:
            pages = printed(page, tmp_path / "sheet.pdf", paper)
            whole = "\n".join(pages)
            wrong += [f"{build.id}, {paper}: {len(pages)} pages"] if len(pages) > 2 else []
            wrong += [f"{build.id}: no {it}" for it in _RESULTS
                      if it in heads and f"\n{heads[it]}\n" not in whole]  # fmt: skip
            wrong += [f"{build.id}: {it}" for it in _REST
                      if it in heads and f"\n{heads[it]}\n" in whole]  # fmt: skip
    assert wrong == []


_HEADINGS = """() => [...document.querySelectorAll('h2[id]')].map(
  it => [it.id, it.firstChild.textContent.trim()])"""


@pytest.mark.parametrize("scripted", [True, False])
def test_the_rest_is_printed_where_it_is_asked_for(
    scripted: bool, visit: Visit, archive: Archive
) -> None:
    """One click puts everything on paper, folds opened; another takes it off."""
    page = visit(java_script_enabled=scripted).open(KINDS["ladder"](archive))
    for link, shown in (("", False), ("all of it", True), ("the result", False)):
        page.emulate_media(media="screen")
        if link:
            page.get_by_role("link", name=link, exact=True).click()
        page.emulate_media(media="print")
        for part in _REST:
            assert page.locator(f"#{part}").is_visible() == shown, part
        assert page.locator(".sg-parts, .sg-record .sg-facts").first.is_visible() == shown
        assert page.locator("#near-its-limits").is_visible()


@pytest.mark.usefixtures("poppler")
@pytest.mark.parametrize("paper", WIDTH)
def test_a_comparison_prints_whole(
    paper: str, visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """On a few pages: every build and row, its address, and none of the tools."""
    chosen = f"{LADDER},saddle-special,sidecar-outfit"
    page = visit(color_scheme="dark").open(f"compare/?with={chosen}")
    rows = page.locator(".sg-compare-table tbody th")
    expect(rows.first).to_be_visible()
    names = [*rows.all_inner_texts(), *(archive.builds[it].title.value for it in _COMPARED)]
    pages = printed(page, tmp_path / "comparison.pdf", paper)
    assert len(pages) <= 4
    whole = " ".join(" ".join(pages).split())
    missing = [name for name in names if " ".join(name.split()) not in whole]
    assert missing == []
    assert chosen in whole.replace(" ", ""), "its address is not on the paper"
    for number, text in enumerate(pages, 1):
        assert f"{number} of {len(pages)}" in text
    page.emulate_media(media="print", color_scheme="dark")
    for tool in (".sg-compare-tools", ".sg-compare-slider", ".sg-compare-away", ".sg-units"):
        assert page.locator(tool).filter(visible=True).count() == 0, tool
    assert page.evaluate(_INK, ".sg-compare-table td") == _BLACK_ON_WHITE


def test_details_are_open_on_paper(visit: Visit, archive: Archive) -> None:
    """What stands behind each figure is printed, though the line was closed on the screen."""
    page = visit(java_script_enabled=False).open(KINDS["figures"](archive))
    page.emulate_media(media="print")
    heights = page.locator(".sg-prov-body").evaluate_all(
        "all => all.map(it => it.getBoundingClientRect().height)"
    )
    assert heights
    assert min(heights) > 0


def test_paper_is_black_on_white(visit: Visit, archive: Archive) -> None:
    """Even for a reader in the dark scheme, ink is dark and the ground is white."""
    page = visit(color_scheme="dark").open(KINDS["natural"](archive))
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(_INK, ".sg-large") == _BLACK_ON_WHITE


def test_tools_are_left_off_the_paper(visit: Visit, archive: Archive) -> None:
    """Switch, filter and links to other builds are of no use on paper."""
    for kind in ("ladder", "builds"):
        page = visit().open(f"{KINDS[kind](archive)}#result-first")
        page.emulate_media(media="print")
        for tool in (".sg-units", ".sg-filter", ".sg-neighbours"):
            assert page.locator(tool).filter(visible=True).count() == 0, tool
