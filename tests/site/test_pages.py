"""Each kind of page in a real browser: quiet, sealed, usable by all, and as wide as its screen."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from specgen.archive.model.build import Archive
from tests.site.accessibility import COLOURS, darken, violations
from tests.site.conftest import DESK, PHONE, Visit, Watched
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser

#: Where axe looks at everything, opened; the others say the same kinds of things hundreds of times.
_WHOLE = {"natural"}
#: Of parts that are built alike, element for element, axe is shown three; all take it minutes.
_LEAVE_THREE_OF_EACH = """() => {
  const shape = it => `${it.tagName} ${it.getAttribute('class')} ${it.getAttributeNames().sort()}`
    + `(${[...it.children].map(shape)})`;
  const met = new Map();
  const repeated = '.sg-prov ~ .sg-prov, .sg-formula ~ .sg-formula, tbody tr:nth-child(n+4)';
  for (const it of document.querySelectorAll(repeated)) it.remove();
  for (const it of document.querySelectorAll('.md-content :is(section, details, div, tr, li, p)')) {
    if (!it.isConnected) continue;
    const key = `${it.parentElement.tagName} ${shape(it)}`;
    met.set(key, (met.get(key) ?? 0) + 1);
    if (met.get(key) > 3) it.remove();
  }
}"""
_OPEN_ALL = "document.querySelectorAll('details').forEach(it => { it.open = true; })"

#: Figures that a reader sees in either system, and drawings' axes: how many, as those differ.
_SEEN = """() => {
  const shown = where => [...document.querySelectorAll(where)]
    .filter(it => it.getClientRects().length).map(it => it.textContent.trim());
  return Object.fromEntries([['metric', 'm'], ['imperial', 'i']].map(([system, letter]) => [
    system, { figures: shown(`.md-content .sg-${letter}`),
      axes: shown(`.sg-c-axis-${system}, .sg-compare-chart .sg-${letter}`).length }]));
}"""
_NONE = {"figures": [], "axes": 0}


@pytest.mark.parametrize("kind", KINDS)
def test_page_is_sound(kind: str, visit: Visit, archive: Archive) -> None:
    """On a phone: quiet, sealed, no wider, in either units; on a desk: usable by all."""
    path = KINDS[kind](archive)
    watched = visit(viewport=PHONE)
    watched.open(path)
    _is_quiet_and_sealed(watched)
    _fits_its_screen(watched.page)
    _turns_its_units(watched, path)
    watched.page.set_viewport_size(DESK)
    if kind != "not found":
        _is_accessible(watched.page, whole=kind in _WHOLE)
    assert watched.told() == []


def _is_quiet_and_sealed(watched: Watched) -> None:
    """No console error, nothing the policy had to block, no request to another host."""
    assert watched.told() == []
    assert watched.page.locator("meta[http-equiv='Content-Security-Policy']").count() == 1


def _fits_its_screen(page: Page) -> None:
    """Tables scroll inside their own frame; the page itself does not scroll sideways."""
    width = page.evaluate("document.documentElement.scrollWidth")
    assert width <= PHONE["width"], f"{width} px wide"


def _turns_its_units(watched: Watched, path: str) -> None:
    """One press turns figures and charts in place; an address that asks wins over memory."""
    switch = watched.page.get_by_role("button", name="imperial")
    seen = _come(watched).evaluate(_SEEN)
    assert seen["imperial"] == _NONE
    if not switch.count():
        assert seen["metric"] == _NONE, "figures in two systems, and no switch"
        return
    switch.click()
    turned = _come(watched).evaluate(_SEEN)
    assert turned["metric"] == _NONE
    assert len(turned["imperial"]["figures"]) == len(seen["metric"]["figures"])
    assert bool(turned["imperial"]["axes"]) == bool(seen["metric"]["axes"])
    watched.open(f"{path}{'&' if '?' in path else '?'}units=metric")
    watched.settle()
    assert _come(watched).evaluate(_SEEN) == seen


def _come(watched: Watched) -> Page:
    """The page once an estimate's last pairs stand in the table, whose height is held till then."""
    if watched.page.locator("[data-sg-estimate]").count():
        watched.settle()
        watched.page.locator(".sg-estimate-pick").first.wait_for(state="attached")
        watched.page.wait_for_function(
            "!document.querySelector('.sg-estimate-later[style*=min-height]')"
        )
    return watched.page


def _is_accessible(page: Page, whole: bool) -> None:
    """Axe finds nothing in the content; in the dark scheme, nothing about its colours."""
    page.evaluate(_OPEN_ALL if whole else _LEAVE_THREE_OF_EACH)
    found = violations(page, ".md-content")
    assert not found, f"light: {found}"
    page.evaluate(_LEAVE_THREE_OF_EACH)
    darken(page)
    found = violations(page, ".md-content", **COLOURS)
    assert not found, f"dark: {found}"


def test_first_column_stays_when_a_table_scrolls(visit: Visit) -> None:
    """On a phone the row's name is held while the figures pass."""
    page = visit(viewport=PHONE).open("accuracy/")
    moved = page.evaluate(
        """() => {
          const frame = document.querySelector('[aria-label="Predictions against measurements"]');
          const name = frame.querySelector('tbody th');
          const before = name.getBoundingClientRect().left;
          frame.scrollLeft = 200;
          return [frame.scrollLeft, name.getBoundingClientRect().left - before];
        }"""
    )
    assert moved[0] > 100, "the table did not scroll: is it still wide?"
    assert abs(moved[1]) < 1


def test_one_drawing_of_each_chart_is_shown(visit: Visit, archive: Archive) -> None:
    """A page shows the wide drawing of a chart, a phone the narrow one, never both."""
    page = visit().open(KINDS["ladder"](archive))
    for viewport in (DESK, PHONE):
        page.set_viewport_size(viewport)
        shown = page.evaluate(
            """() => [...document.querySelectorAll('.sg-figure')].filter(
              figure => figure.getClientRects().length).map(
              figure => [...figure.querySelectorAll('svg')].filter(
                svg => svg.getBoundingClientRect().width > 0).length)"""
        )
        assert shown
        assert set(shown) == {1}
