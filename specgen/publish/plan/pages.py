"""The pages of a build that choose its drive: the plan, and the card for the day at the dyno."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.analysis.planning.card import card_of
from specgen.analysis.sheet import Sheet
from specgen.publish import addresses
from specgen.publish.plan.card import card_page
from specgen.publish.plan.page import plan_page
from specgen.vocabulary import System


def plan_pages(sheet: Sheet, units: System, folders: bool) -> Iterator[tuple[str, str, str]]:
    """Address, text and title of each page; none where there is nothing to choose."""
    title = sheet.build.title.value
    if not sheet.plan.pairs or sheet.build.withdrawn:
        return
    card = card_of(sheet, sheet.plan)
    text = plan_page(sheet.plan, units, folders, card=bool(card.steps))
    yield addresses.plan(sheet.id), text, f"Choosing the drive: {title}"
    if card.steps:
        text = card_page(card, units, folders)
        yield addresses.card(sheet.id), text, f"Test-day card: {title}"
