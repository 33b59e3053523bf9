"""What the tests of the comparison share: which pulls they look at, and how they read the page."""

from __future__ import annotations

import re

from playwright.sync_api import Page

from specgen.units import NARROW_SPACE

#: One setup, tested on an engine dyno and at the wheel hubs.
TWICE = "saddle-special/p81/2024-04-24-2,saddle-special/p81/2025-06-07-1"
LADDER = "lark-hydroplane/p96,lark-hydroplane/p90,lark-hydroplane/p87"


def words(page: Page) -> str:
    """What the page says about how far its figures compare, in the units shown."""
    return " ".join(page.locator(".sg-compare-words li").all_inner_texts())


def plain(text: str) -> str:
    """A text with its spaces made alike, for comparing what two pages print."""
    return re.sub(r"\s+", " ", text.replace(NARROW_SPACE, "")).strip().replace(" ±", "±")


def read_out(page: Page) -> str:
    """The read-out's power of the first setup."""
    return page.locator("[data-sg-cell='a-power']").inner_text()


def everything(page: Page) -> str:
    """All that the comparison shows, as text."""
    return page.locator(".sg-compare").inner_text()
