"""What axe finds on a page; its script goes in once, however often the page is looked at."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.base import AxeResults  # type: ignore[import-untyped]
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Page, expect

_AXE = Axe()
#: `preload: False`: axe would fetch style sheets once more.
_USUAL = {"preload": False, "resultTypes": ["violations"]}
#: The rules that a colour scheme can break.
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}


def violations(page: Page, *include: str, **options: Any) -> str:
    """What axe has against the parts of a page, in words; empty if there is nothing."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(_AXE.axe_script)
    found = AxeResults(
        page.evaluate(
            "([context, options]) => axe.run(context, options)",
            [{"include": [[part] for part in include]}, {**_USUAL, **options}],
        )
    )
    return str(found.generate_report()) if found.violations_count else ""


def darken(page: Page) -> None:
    """Turn an open page to the dark scheme, as a system at nightfall does, and let it settle."""
    page.emulate_media(color_scheme="dark")
    expect(page.locator("body")).to_have_attribute("data-md-color-scheme", "slate")
    page.evaluate("() => Promise.all(document.getAnimations().map(it => it.finished))")
