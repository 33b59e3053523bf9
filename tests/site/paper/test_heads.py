"""Every page of paper says whose it is, what of, and which of how many."""

from __future__ import annotations

from pathlib import Path

import pytest

from specgen.archive.model.build import Archive
from tests.site.conftest import Visit
from tests.site.kinds import KINDS
from tests.site.paper.printing import WIDTH, printed

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("poppler")]

#: Kinds of pages that somebody prints, and what stands at the head of each beside the workshop.
_HEADS = {
    "ladder": "tested 14 May 2025",
    "figures": "tested 14 May 2025",
    "readings": "tested 14 May 2025",
    "plan": "tested 14 May 2025",
    "card": "tested 14 May 2025",
    "planned": "not tested yet",
    "builds": "Builds",
    "glossary": "Words",
    "blower": "",
    "method": "Method",
}


@pytest.mark.parametrize("kind", _HEADS)
def test_each_page_of_paper_is_headed(
    kind: str, visit: Visit, archive: Archive, tmp_path: Path
) -> None:
    """Workshop, build and day above, number of the page below, on A4 and Letter alike."""
    watched = visit()
    page = watched.open(KINDS[kind](archive))
    for paper in WIDTH:
        pages = printed(page, tmp_path / "sheet.pdf", paper)
        for number, text in enumerate(pages, 1):
            assert archive.settings.name.value in text, f"{paper}, page {number}"
            assert _HEADS[kind] in text, f"{paper}, page {number}"
            if kind != "card":
                assert f"{number} of {len(pages)}" in text
    assert watched.told() == []


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
