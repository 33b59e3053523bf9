"""What a sheet tells of its visits to a dyno beside the figures: correction, and repeated pulls."""

from __future__ import annotations

from specgen.publish.making.item import Item
from specgen.publish.sheet.sessions import SAYS
from specgen.publish.site import Site
from tests.publish.pages import part, sheets_of, text_of


def told(items: dict[str, Item], build: str) -> str:
    """The part of a sheet on its tests, as a reader sees it; in metric units first."""
    return " ".join(text_of(part(items, build, "How it was tested")).split())


def test_every_tested_sheet_says_what_correction_means(items: dict[str, Item], site: Site) -> None:
    """The case by how boost is set stands once; what only one visit has stands with that visit."""
    for sheet in sheets_of(site).values():
        if not sheet.sessions:
            continue
        words = told(items, sheet.id)
        for case in sheet.correction_words:
            assert words.count(case.replace("\u202f", " ")) == 1, sheet.id
        for session in sheet.sessions:
            for sentence in sheet.correction_words_of(session):
                assert sentence.replace("\u202f", " ") in words, sheet.id


def test_repeats_are_told_with_their_figures(items: dict[str, Item], site: Site) -> None:
    """Each setup that was pulled again says how far its pulls lie apart, each figure explained."""
    repeated = [sheet for sheet in sheets_of(site).values() if sheet.repeats]
    assert repeated
    for sheet in repeated:
        shown = part(items, sheet.id, "How it was tested")
        for repeat in sheet.repeats:
            assert f"Pulled {len(repeat.pulls)} times: {repeat.setup.title}" in text_of(shown)
            for spread in filter(None, (repeat.power, repeat.boost)):
                assert f"{spread.figure.capitalize()} scatters by" in text_of(shown)
                assert SAYS[spread.verdict] in text_of(shown)
            for row in repeat.rows:
                assert f'href="figures/#{row.anchor}' in shown
    assert "Pulled" not in told(items, "teal-hydroplane")
