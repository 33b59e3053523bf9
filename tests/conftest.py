"""What tests in several rooms share: the one browser of a test process."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHROMIUM = Path("/usr/bin/chromium")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium; without one the test skips, unless the surroundings require it.

    One for the whole process: the driver cannot be started twice.
    """
    if not CHROMIUM.exists():
        if os.environ.get("SITE_TEST_BROWSER_REQUIRED") == "1":
            pytest.fail(f"no browser at {CHROMIUM}, and SITE_TEST_BROWSER_REQUIRED=1")
        pytest.skip(f"no browser at {CHROMIUM}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        started = driver.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"]
        )
        yield started
        started.close()
