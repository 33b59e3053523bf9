"""An attack in every free text, in stored choices and in addresses: every kind of page opened."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Dialog

from specgen.publish.delivery.manifest import files_in
from specgen.publish.plugin import build_site
from tests.publish.hostile_everywhere import WORSE, written
from tests.site.conftest import Visit, served, visitor

pytestmark = pytest.mark.browser

CONFIG = """
site_name: Shed
theme: {name: material, font: false}
plugins: [specgen]
extra: {generator: false}
"""
PHONE = 390


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, list[str]]]:
    """The hostile archive as a site: its address and all its pages."""
    folder = tmp_path_factory.mktemp("everywhere")
    written(folder).rename(folder / "builds")
    (folder / "docs").mkdir()
    (folder / "docs" / "own.md").write_text("# Own page\n")
    (folder / "mkdocs.yml").write_text(CONFIG)
    site = build_site(folder / "mkdocs.yml")
    leads_on = 'http-equiv="refresh"'  # a former address, which is left at once
    names = [
        name
        for name in files_in(site)
        if name.endswith("index.html") and leads_on not in (site / name).read_text("utf-8")
    ]
    with served(site) as address:
        yield address, [name.removesuffix("index.html") for name in names]


@pytest.fixture
def visit(browser: Browser, built: tuple[str, list[str]]) -> Iterator[Visit]:
    """Open watched pages of that site."""
    with visitor(browser, built[0]) as opened:
        yield opened


@pytest.mark.parametrize("width", [PHONE, 1280])
def test_every_page_holds_the_attack(
    visit: Visit, built: tuple[str, list[str]], width: int
) -> None:
    """Nothing runs, nothing is asked of anybody, no policy is broken, nothing overflows."""
    watched = visit(viewport={"width": width, "height": 844})
    choices = json.dumps(WORSE)
    keys = "['specgen-units', 'specgen-paper']"
    watched.page.add_init_script(
        f"for (const key of {keys}) try {{ localStorage.setItem(key, {choices}); }} catch {{}}"
    )

    def noted(dialog: Dialog) -> None:
        watched.faults.append(f"a script ran: {dialog.message}")
        dialog.dismiss()

    watched.page.on("dialog", noted)
    assert len(built[1]) > 15
    for address in built[1]:
        page = watched.open(address)
        assert page.evaluate("window.hit ?? null") is None, address
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
        assert page.locator("iframe, [onload], [onerror]").count() == 0, address
    assert watched.told() == []


def test_no_policy_is_loosened(built: tuple[str, list[str]], visit: Visit) -> None:
    """Every page carries the policy, without a word that makes it unsafe."""
    watched = visit()
    for address in built[1]:
        page = watched.open(address)
        tag = page.locator('meta[http-equiv="Content-Security-Policy"]').first
        policy = tag.get_attribute("content") or ""
        assert "unsafe-" not in policy, address
        assert "default-src 'none'" in policy, address
