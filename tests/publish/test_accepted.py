"""What somebody answers for stands on the sheet that it is about, and on a page of its own."""

from __future__ import annotations

from pathlib import Path

from specgen.publish.site import Site
from tests.archive.cases import HERE, read_case
from tests.publish.pages import part_of, text_of

HEADING = "Accepted as it is"


def test_a_sheet_repeats_what_was_accepted_in_its_files(tmp_path: Path) -> None:
    """Each finding of the build with its reason, none of a blower's or the settings'."""
    archive = read_case(HERE / "good/accepted", tmp_path)
    items = {it.address: it for it in Site(archive).items()}
    block = part_of(str(items["builds/heron/index.md"].content), HEADING)
    said = text_of(block)
    own = [it for it in archive.findings if it.accepted and it.place.file.startswith("heron/")]
    assert len(own) >= 4
    for finding in own:
        assert f"Accepted: {finding.accepted}." in said
    assert block.count("<li>") == len(own)
    assert "rope and a spring balance" not in said
    assert "/accepted/" in block
    everything = text_of(str(items["accepted/index.md"].content))
    assert all(it.accepted in everything for it in archive.findings if it.accepted)


def test_a_sheet_without_any_says_nothing_of_it(tmp_path: Path) -> None:
    """Nothing accepted, no part."""
    page = {it.address: it for it in Site(read_case(None, tmp_path)).items()}
    assert part_of(str(page["builds/heron/index.md"].content), HEADING) == ""
