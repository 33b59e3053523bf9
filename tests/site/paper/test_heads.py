"""Every page of paper says whose it is, what of, and which of how many."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.archive.model.build import Archive
from tests.site.conftest import Visit
from tests.site.kinds import KINDS
from tests.site.paper import marking
from tests.site.paper.printing import WIDTH, overprinted, printed

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("poppler")]

#: What stands at the head of a page of paper beside the workshop: the day of its test, else what
#: the page is called.
_HEADS = {
    **dict.fromkeys(("ladder", "figures", "readings", "plan", "card"), "tested 14 May 2025"),
    "planned": "not tested yet",
    "builds": "Builds",
    "glossary": "Words",
    "method": "Method",
}
#: Every kind of page on one paper or the other by turns, and what is printed most on both.
_PRINTS = [(kind, tuple(WIDTH)[at % 2]) for at, kind in enumerate(KINDS) if kind != "not found"]
_PRINTS += [("ladder", "A4"), ("ladder", "Letter"), ("planned", "A4"), ("planned", "Letter")]


@pytest.mark.parametrize(("kind", "size"), sorted(set(_PRINTS)))
def test_every_kind_of_page_on_paper(
    kind: str, size: str, visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """Workshop and build above each page, its number below; no row cut, no word over another."""
    watched = visit()
    paper = marking.printed(watched, KINDS[kind](archive), size, tmp_path)
    for number, text in enumerate(paper.pages, 1):
        assert archive.settings.name.value in text, f"page {number}"
        assert _HEADS.get(kind, "") in text, f"page {number}"
        if kind != "card":
            assert f"{number} of {len(paper.pages)}" in text
    assert paper.cut == {}
    assert overprinted(tmp_path / "sheet.pdf") == []
    assert watched.told() == []


def test_words_over_words_are_seen(visit: Visit, tmp_path: Path) -> None:
    """The measure of print can fail: a line moved onto the one below it."""
    page = visit().open("glossary/")
    page.evaluate("document.querySelector('.sg-words > div').style.transform = 'translateY(2em)'")
    printed(page, tmp_path / "sheet.pdf", "A4")
    assert len(overprinted(tmp_path / "sheet.pdf")) > 3


@pytest.mark.parametrize("scripted", [True, False])
def test_the_record_is_printed_by_itself(
    scripted: bool, visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """Title, facts and record, and nothing of the results; a script is not needed."""
    page = visit(java_script_enabled=scripted).open(KINDS["record"](archive))
    page.get_by_role("link", name="the record alone").click()
    text = "\n".join(printed(page, tmp_path / "record.pdf", "A4"))
    title = archive.builds[KINDS["record"](archive).split("/")[1]].title.value
    assert title in text
    assert "\nThe record\n" in text
    assert "Blueprint" in text
    for other in ("The ladder of setups", "Near its limits", "How it was tested", "Cautions"):
        assert f"\n{other}\n" not in text
    assert archive.settings.name.value in text
