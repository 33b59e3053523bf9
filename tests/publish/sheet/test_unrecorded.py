"""A visit of which day, dyno and figures were not recorded: its sheet says so, and stands."""

from __future__ import annotations

from pathlib import Path

from specgen.publish.site import Site
from tests.archive.cases import HERE, read_case


def test_a_sheet_says_what_was_not_recorded(tmp_path: Path) -> None:
    """In words, and nowhere as a day that was made up."""
    archive = read_case(HERE / "bad" / "not-recorded", tmp_path)
    items = {item.address: item.content for item in Site(archive).items()}
    sheet = str(items["builds/heron/index.md"])
    assert "On a day that is not recorded" in sheet
    assert "at a point that is not recorded" in sheet
    texts = [str(content) for content in items.values() if isinstance(content, str)]
    assert not any("0001-01-01" in text or "1 January 1<" in text for text in texts)
