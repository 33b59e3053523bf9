"""Every kind of page at all widths, light and dark, in all units and fonts: what is wrong, told."""

from __future__ import annotations

import itertools
import os
import random
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Playwright, sync_playwright

from specgen.archive.archive import read_archive
from specgen.publish.plugin import build_site
from tests import fonts
from tests.conftest import chromium
from tests.site.conftest import ROOT, served, visitor
from tests.site.kinds import KINDS
from tests.site.measures import SMALL, faults

_FAMILIES = (fonts.USUAL, *fonts.DEBIAN)
_SCHEMES = ("light", "dark")
#: A workshop's own units, beside the two systems that the demo has.
_OWN = "units: {power: PS, boost: bar, torque: kgf m}"
_CONFIG = """\
site_name: Shop
theme:
  name: material
  font: false
  palette:
    - {media: "(prefers-color-scheme: light)", scheme: default}
    - {media: "(prefers-color-scheme: dark)", scheme: slate}
plugins: [specgen]
"""


def prove(count: int, chance: random.Random, tell: Callable[[str], None]) -> list[str]:
    """Open so many pages of all kinds, fonts and schemes; measure each in all units and widths."""
    wanted = list(itertools.product(_FAMILIES, _SCHEMES, KINDS))
    picked = wanted if count >= len(wanted) else chance.sample(wanted, count)
    found: list[str] = []
    with _demo() as demo, sync_playwright() as driver, ExitStack() as stack:
        archive = read_archive(demo.parent / "builds")
        home = stack.enter_context(served(demo))
        browsers = {it: stack.enter_context(_browser(driver, it)) for it in _FAMILIES}
        for family, scheme, kind in sorted(picked):
            wrong = list(_measured(browsers[family], home, scheme, KINDS[kind](archive)))
            found += [f"{kind}, {family}, {scheme}, {it}" for it in wrong]
            tell(f"{kind}, {family}, {scheme}: {len(wrong)}")
    return found


def _measured(browser: Browser, home: str, scheme: str, path: str) -> Iterator[str]:
    """What is wrong with one page, in each system of units."""
    with visitor(browser, home) as visit:
        page = visit(viewport={"width": 390, "height": 844}, color_scheme=scheme).open(path)
        yield from (f"too small to press: {it}" for it in page.evaluate(SMALL))
        for system in ("metric", "imperial", "own"):
            page.evaluate("it => { document.documentElement.dataset.sgUnits = it; }", system)
            yield from (f"{system}, {it}" for it in faults(page))


@contextmanager
def _demo() -> Iterator[Path]:
    """The demo with units of its own, built; beside it its archive."""
    with tempfile.TemporaryDirectory(prefix="specgen-look-") as work:
        folder = Path(work)
        shutil.copytree(ROOT / "builds", folder / "builds")
        shutil.copytree(ROOT / "site_src" / "pages", folder / "docs")
        settings = folder / "builds" / "archive.yaml"
        text = settings.read_text("utf-8")
        assert "units: metric" in text
        settings.write_text(text.replace("units: metric", _OWN), "utf-8")
        (folder / "mkdocs.yml").write_text(_CONFIG, "utf-8")
        yield build_site(folder / "mkdocs.yml", site_dir=folder / "site")


@contextmanager
def _browser(driver: Playwright, family: str) -> Iterator[Browser]:
    with tempfile.TemporaryDirectory(prefix="specgen-fonts-") as folder:
        written = fonts.configuration(family, Path(folder))
        browser = driver.chromium.launch(
            executable_path=str(chromium()), args=["--no-sandbox", "--disable-gpu"],
            env={**os.environ, "FONTCONFIG_FILE": str(written)},
        )  # fmt: skip
        yield browser
        browser.close()
