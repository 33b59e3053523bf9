"""What tests in several rooms share: the one browser of a test process."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

#: Debian's Chromium: its shell without a window first, which does the same for half the work.
CHROMIUM = [Path("/usr/bin/chromium-headless-shell"), Path("/usr/bin/chromium")]


def chromium() -> Path | None:
    """Where the browser of these tests is, if there is one."""
    return next((path for path in CHROMIUM if path.exists()), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium; without one the test skips, unless the surroundings require it.

    One for the whole process: the driver cannot be started twice.
    """
    found = chromium()
    if found is None:
        places = " or ".join(str(path) for path in CHROMIUM)
        if os.environ.get("SITE_TEST_BROWSER_REQUIRED") == "1":
            pytest.fail(f"no browser at {places}, and SITE_TEST_BROWSER_REQUIRED=1")
        pytest.skip(f"no browser at {places}")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        started = driver.chromium.launch(
            executable_path=str(found), args=["--no-sandbox", "--disable-gpu"]
        )
        yield started
        started.close()
