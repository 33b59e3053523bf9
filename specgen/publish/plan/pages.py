"""The pages of a build that choose its drive: the plan, and the card for the day at the dyno."""

from __future__ import annotations

from collections.abc import Iterator

from specgen.analysis.sheet import Sheet
from specgen.publish import addresses
from specgen.publish.plan.page import plan_page
from specgen.vocabulary import System


def plan_pages(sheet: Sheet, units: System, folders: bool) -> Iterator[tuple[str, str, str]]:
    """Address, text and title of each page; none where there is nothing to choose."""
    title = sheet.build.title.value
    if sheet.plan.pairs and not sheet.build.withdrawn:
        text = plan_page(sheet.plan, units, folders)
        yield addresses.plan(sheet.id), text, f"Choosing the drive: {title}"
