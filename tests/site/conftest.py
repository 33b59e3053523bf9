"""The built demo site, served, and pages that are watched at what they do.

The site is built once in a test run: the first worker that needs it builds it for all. Groups of
pytest-xdist would do that too, but its version 3.8 and pytest 9.2 do not understand each other.
"""

from __future__ import annotations

import contextlib
import functools
import http.server
import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, Page, Request, ViewportSize
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from specgen.analysis.sheet import Sheet
from specgen.archive.archive import read_archive
from specgen.archive.model.build import Archive
from specgen.publish.plugin import build_site
from specgen.publish.store.places import VARIABLE
from tests.site.kinds import analysed

ROOT = Path(__file__).parent.parent.parent
CONFIG = ROOT / "site_src" / "mkdocs.yml"
PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1280, "height": 900}


@pytest.fixture(scope="session")
def archive() -> Archive:
    """The demo archive."""
    return read_archive(ROOT / "builds")


@pytest.fixture(scope="session")
def sheets(archive: Archive) -> dict[str, Sheet]:
    """All sheets of the demo archive."""
    return analysed(archive.root)


@pytest.fixture(scope="session")
def poppler() -> None:
    """The program that reads PDF files; without it a test skips, unless it is required."""
    if shutil.which("pdftotext") is None:
        if os.environ.get("SITE_TEST_BROWSER_REQUIRED") == "1":
            pytest.fail("no pdftotext, and SITE_TEST_BROWSER_REQUIRED=1; install poppler-utils")
        pytest.skip("no pdftotext: install poppler-utils")


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The demo site, built strictly, once for all workers of a test run."""
    own = tmp_path_factory.getbasetemp()
    shared = own if worker_id == "master" else own.parent
    site, done, failed = (shared / name for name in ("site", "site-done", "site-failed"))
    try:
        (shared / "site-begun").mkdir()
    except FileExistsError:
        _wait_for(done, failed)
        return site
    try:
        with FileLock(Path(os.environ[VARIABLE], "being-made")):
            build_site(CONFIG, strict=True, site_dir=site)
    except BaseException:
        failed.touch()
        raise
    done.touch()
    return site


def _wait_for(done: Path, failed: Path) -> None:
    """Wait until the worker that came first has built the site."""
    for _ in range(1200):
        if done.exists():
            return
        if failed.exists():
            pytest.fail("the site could not be built; another worker tells why")
        time.sleep(0.25)
    pytest.fail("the site was not built within five minutes")


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves files and says nothing; knows pictures whatever this machine's list of types says."""

    extensions_map = {  # noqa: RUF012 - as the base class has it
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        ".webp": "image/webp",
    }

    def log_message(self, *_args: Any) -> None:
        """Keep the tests' output to the tests."""


@pytest.fixture(scope="session")
def address(built_site: Path) -> Iterator[str]:
    """Where the built site is served."""
    with served(built_site) as home:
        yield home


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve a folder on this machine; give its address."""
    handler = functools.partial(_Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@dataclass
class Watched:
    """A page of the site and everything it did that it must not."""

    page: Page
    home: str
    faults: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        """Go to a path of the site and wait until it is loaded."""
        self.page.goto(self.home + path)
        return self.page

    def settle(self) -> Page:
        """Wait until the page asks for nothing more, or for five seconds.

        The browser never reports the end of a worker's request that the next page cut off, so that
        after a second page there may be no idle to wait for; what is asked is noted when asked.
        """
        with contextlib.suppress(PlaywrightTimeout):
            self.page.wait_for_load_state("networkidle", timeout=5_000)
        return self.page

    def told(self) -> list[str]:
        """Console errors, blocked contents and requests to other hosts, all so far."""
        self.settle()
        violations = self.page.evaluate("window.sgViolations ?? []")
        return [*self.faults, *(f"policy: {text}" for text in violations)]


#: Blocked contents show as no request; the page itself is told of each.
_LISTEN = """
window.sgViolations = [];
document.addEventListener("securitypolicyviolation", (event) => {
  window.sgViolations.push(`${event.violatedDirective} ${event.blockedURI} ${event.sample}`);
});
"""


Visit = Callable[..., Watched]


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Visit]:
    """Open watched pages: `visit(viewport=PHONE, color_scheme="dark", ...)`."""
    with visitor(browser, address) as opening:
        yield opening


@contextmanager
def visitor(browser: Browser, home: str) -> Iterator[Visit]:
    """Open watched pages of the site that stands at an address, and close them at the end."""
    contexts = []

    def open_context(**options: Any) -> Watched:
        context = browser.new_context(**{"viewport": DESK, **options})
        contexts.append(context)
        if options.get("java_script_enabled", True):
            context.add_init_script(_LISTEN)
        watched = Watched(context.new_page(), home)
        _watch(watched)
        return watched

    yield open_context
    for context in contexts:
        context.close()


def _watch(watched: Watched) -> None:
    """Note what a page says and asks for."""

    def asked(request: Request) -> None:
        if not request.url.startswith((watched.home, "data:", "blob:")):
            watched.faults.append(f"asks another host: {request.url}")

    page = watched.page
    page.on("request", asked)
    page.on("pageerror", lambda problem: watched.faults.append(f"script: {problem}"))
    page.on(
        "console",
        lambda message: (
            watched.faults.append(f"console: {message.text}")
            if message.type in ("error", "warning")
            else None
        ),
    )
