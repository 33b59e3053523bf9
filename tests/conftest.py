"""What tests in several rooms share: the one browser of a test process."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from specgen.publish.store.places import VARIABLE
from tests import fonts

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

#: Debian's Chromium: its shell without a window first, which does the same for half the work.
CHROMIUM = [Path("/usr/bin/chromium-headless-shell"), Path("/usr/bin/chromium")]


#: Tests of the built site, and samples of the long proofs, which build it many times.
WHOLE_SITE = tuple(Path(__file__).parent / name for name in ("site", "long"))


def chromium() -> Path | None:
    """Where the browser of these tests is, if there is one."""
    return next((path for path in CHROMIUM if path.exists()), None)


def pytest_configure(config: pytest.Config) -> None:
    """Give the tests a store of their own, one for all of a run's processes."""
    if VARIABLE not in os.environ:
        folder = tempfile.TemporaryDirectory(prefix="specgen-tests-", ignore_cleanup_errors=True)
        config.add_cleanup(folder.cleanup)
        os.environ[VARIABLE] = folder.name


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark as quick what needs neither a browser nor the whole site, nor says that it is slow."""
    for item in items:
        whole_site = any(map(item.path.is_relative_to, WHOLE_SITE)) or "listed" in getattr(
            item, "fixturenames", ()
        )
        if (
            not whole_site
            and not any(item.iter_markers("browser"))
            and not any(item.iter_markers("slow"))
        ):
            item.add_marker("quick")


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """What drives browsers; one for the whole process, as it cannot be started twice."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser_with(
    driver: Playwright, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[str], Browser]]:
    """Start Debian's Chromium with one family of fonts, each family once.

    Without a browser or the family's files the test skips, unless the surroundings require them.
    """
    started: dict[str, Browser] = {}

    def start(family: str) -> Browser:
        if family not in started:
            _require(fonts.missing(family))
            written = fonts.configuration(family, tmp_path_factory.mktemp("fonts"))
            started[family] = driver.chromium.launch(
                executable_path=str(_found()),
                args=["--no-sandbox", "--disable-gpu"],
                env={**os.environ, "FONTCONFIG_FILE": str(written)},
            )
        return started[family]

    yield start
    for one in started.values():
        one.close()


@pytest.fixture(scope="session")
def browser(browser_with: Callable[[str], Browser]) -> Browser:
    """The browser that tests measure with: always the same family, whatever the machine has."""
    return browser_with(fonts.USUAL)


def _require(lacking: str) -> None:
    """Skip with the reason, or fail where the surroundings require everything."""
    if lacking and os.environ.get("SITE_TEST_BROWSER_REQUIRED") == "1":
        pytest.fail(f"{lacking}, and SITE_TEST_BROWSER_REQUIRED=1")
    if lacking:
        pytest.skip(lacking)


def _found() -> Path:
    found = chromium()
    if found is None:
        _require(f"no browser at {' or '.join(str(path) for path in CHROMIUM)}")
    assert found is not None
    return found
