"""A workshop's own units, first and one at a time, in the theme's own look without ours."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from specgen.publish.plugin import build_site
from tests.site.conftest import PHONE, ROOT, Watched, served, visitor
from tests.site.measures import faults

pytestmark = pytest.mark.browser

#: Without our look: all that is asked of this site holds in the theme's own.
CONFIG = """\
site_name: Shop
theme: {name: material, font: false}
plugins: [{specgen: {look: false}}]
"""
CHOSEN = "units: {power: PS, boost: bar}"
BUILDS = ("lark-hydroplane", "teal-hydroplane")

#: The units of all figures that are seen, and the axes of drawings that are.
_SEEN = """() => {
  const shown = where => [...document.querySelectorAll(where)]
    .filter(it => it.getClientRects().length && getComputedStyle(it).opacity !== '0');
  const named = { m: 'metric', i: 'imperial', o: 'own' };
  const axes = shown('[class*="sg-c-axis-"], ' +
    ':is(.sg-compare-chart, .sg-estimate-chart) > g[class^="sg-"]')
    .map(it => it.getAttribute('class'))
    .map(it => it.match(/metric|imperial|own/)?.[0] ?? named[it.at(-1)]).filter(Boolean);
  return {
    units: [...new Set(shown('.md-content small').map(it => it.textContent.split(/\\s/).pop()))]
      .filter(it => /\\p{L}/u.test(it)).sort(),
    axes: [...new Set(axes)],
  };
}"""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Two builds of the demo in a site of their own, with units of its own."""
    folder = tmp_path_factory.mktemp("own-units")
    (folder / "docs").mkdir()
    (folder / "docs/about.md").write_text("# About\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    for name in ("blowers", *BUILDS):
        shutil.copytree(ROOT / "builds" / name, folder / "builds" / name)
    settings = (ROOT / "builds/archive.yaml").read_text("utf-8")
    assert "units: metric" in settings
    Path(folder / "builds/archive.yaml").write_text(
        settings.replace("units: metric", CHOSEN), encoding="utf-8"
    )
    with served(build_site(folder / "mkdocs.yml")) as address:
        yield address


@pytest.fixture
def watched(browser: Browser, home: str) -> Iterator[Watched]:
    """A watched page of that site, on a phone."""
    with visitor(browser, home) as visit:
        yield visit(viewport=PHONE)


@pytest.mark.parametrize(
    "path",
    ["builds/lark-hydroplane/", f"compare/?with={','.join(BUILDS)}", "on-your-engine/?on=grebe-11"],
)
def test_three_systems_one_at_a_time(path: str, watched: Watched) -> None:
    """The workshop's own stand first; each press shows one system's units and axes alone."""
    page = watched.open(path)
    watched.settle()
    own = page.evaluate(_SEEN)
    assert {"PS", "bar"} <= set(own["units"])
    assert not {"kW", "hp", "psi"} & set(own["units"])
    assert own["axes"] == ["own"]
    for system, mine, others in (
        ("metric", {"kW", "kPa"}, {"PS", "hp", "psi"}),
        ("imperial", {"hp", "psi"}, {"PS", "bar", "kW", "kPa"}),
    ):
        page.get_by_role("button", name=system).click()
        seen = page.evaluate(_SEEN)
        assert mine <= set(seen["units"]), system
        assert not others & set(seen["units"]), system
        assert seen["axes"] == [system]
    page.get_by_role("button", name="PS, bar").click()
    assert page.evaluate(_SEEN) == own
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert watched.told() == []
    assert list(faults(page, (360, 820))) == []


def test_without_script_the_workshops_units_stand_alone(browser: Browser, home: str) -> None:
    """A reader without script sees one text of each figure: the workshop's."""
    with visitor(browser, home) as visit:
        page = visit(java_script_enabled=False).open("builds/lark-hydroplane/")
        cell = page.locator(".sg-headline .sg-large").first
        assert "PS" in cell.inner_text()
        assert "kW" not in cell.inner_text()
        assert "hp" not in cell.inner_text().replace("PS", "")


#: What tells whose look a page has: its head, its title's letters, and the styles it loads.
_LOOK = """() => {
  const style = (where, what) => getComputedStyle(document.querySelector(where))[what];
  return {
    head: style('.md-header', 'backgroundColor'),
    family: style('h1', 'fontFamily') === style('body', 'fontFamily'),
    ours: [...document.styleSheets].filter(it => (it.href ?? '').includes('/look')).length,
    rule: getComputedStyle(document.querySelector('.md-header'), '::after').content,
    mark: document.querySelector('.md-logo img')?.getAttribute('src') ?? '',
  };
}"""
#: The theme's own head where nobody chose a colour: its indigo.
_STOCK = "rgb(64, 81, 181)"


def test_one_line_takes_our_look_off(browser: Browser, home: str, address: str) -> None:
    """The theme's head, letters and icon; sheets, tables, charts and their read-out stay."""
    with visitor(browser, home) as visit:
        watched = visit()
        page = watched.open("builds/lark-hydroplane/")
        stock = page.evaluate(_LOOK)
        assert stock == {"head": _STOCK, "family": True, "ours": 0, "rule": "none", "mark": ""}
        assert page.locator(".sg-headline .sg-large").count() == 5
        assert page.locator(".sg-ladder tbody tr").count() > 3
        page.get_by_role("slider", name="Read at").press("ArrowLeft")
        expect(page.locator(".sg-read tbody tr").first).to_be_visible()
        assert watched.told() == []
    with visitor(browser, address) as visit:
        ours = visit().open("builds/lark-hydroplane/").evaluate(_LOOK)
    assert ours["head"] != _STOCK
    assert ours["ours"] == 1
    assert ours["mark"]
    assert (ours["family"], ours["rule"]) != (True, "none")


def test_the_guide_says_how(address: str, browser: Browser) -> None:
    """The page on publishing has the line, and what it leaves."""
    with visitor(browser, address) as visit:
        words = visit().open("guides/publish/").locator(".md-content").inner_text()
    assert "specgen: {look: false}" in words
    assert "takes it off" in words
    assert "--card 16:9" in words
