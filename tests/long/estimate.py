"""Estimates in a browser: against the package's own over thousands of engines, and how fast."""

from __future__ import annotations

import os
import random
import statistics
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from specgen.archive.archive import read_archive
from specgen.publish.plugin import build_site
from tests.conftest import chromium
from tests.estimates.comparing import compared
from tests.estimates.engines import cases
from tests.site.conftest import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parents[2]
_TOLD = 20


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Estimate so many engines on both sides; none differs by more than a millionth."""
    from playwright.sync_api import sync_playwright

    archive = read_archive(ROOT / "builds")
    where = chromium()
    if where is None:
        return ["there is no browser to estimate in"]
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=str(where), args=["--no-sandbox"],
                                         env={**os.environ})  # fmt: skip
        apart = compared(browser, archive, cases(archive, count, chance))
        browser.close()
    tell(f"{apart.figures} figures, {sum(apart.refused.values())} of them refused for "
         f"{len(apart.refused)} reasons; furthest apart {apart.furthest:.1e}")  # fmt: skip
    return apart.faults[:_TOLD]


#: Median of a redraw [ms], by how much the processor is slowed.
MOST = {1: 50.0, 4: 200.0}
_ENGINE = "size=2&cylinders=4&ratio=9&speed=6500&fuel=e85"
_BLOWERS = ("grebe-11", "bittern-23", "ouzel-12", "grebe-16", "dipper-c82")
#: Changes one figure and gives how long the page's own script then worked.
_CHANGE = """(value) => {
  const field = document.querySelector("[name=ratio]");
  field.value = value;
  const began = performance.now();
  field.dispatchEvent(new Event("input", { bubbles: true }));
  document.body.getBoundingClientRect(); // with the layout that follows
  return performance.now() - began;
}"""


def prove_redraw(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Change a figure so often for each blower; the median of all redraws is what is held."""
    from playwright.sync_api import sync_playwright

    where = chromium()
    if where is None:
        return ["there is no browser to measure in"]
    faults = []
    with TemporaryDirectory(prefix="specgen-redraw-") as folder, sync_playwright() as driver:
        site = Path(folder) / "site"
        build_site(ROOT / "site_src" / "mkdocs.yml", site_dir=site)
        browser = driver.chromium.launch(executable_path=str(where), args=["--no-sandbox"])
        with served(site) as home:
            for slowed, most in MOST.items():
                took = _measured(browser, home, count, chance, slowed)
                median = statistics.median(took)
                tell(f"slowed {slowed} times: median {median:.0f} ms of {len(took)} redraws")
                if median > most:
                    faults.append(f"{median:.0f} ms, slowed {slowed} times; at most {most:.0f}")
        browser.close()
    return faults


def _measured(
    browser: Browser, home: str, count: int, chance: random.Random, slowed: int
) -> list[float]:
    took = []
    page = browser.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowed})
    for blower in _BLOWERS:
        page.goto(f"{home}on-your-engine/?{_ENGINE}&on={blower}")
        page.locator(".sg-estimate-pick").first.wait_for()
        page.wait_for_timeout(1000 * slowed)
        for _ in range(count):
            took.append(page.evaluate(_CHANGE, f"{chance.uniform(8, 11):.2f}"))
            page.wait_for_timeout(500)
    page.close()
    return took
