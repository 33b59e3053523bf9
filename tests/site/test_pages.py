"""Each kind of page in a real browser: quiet, sealed, usable by all, and as wide as its screen."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]

from specgen.archive.model import Archive
from tests.site.conftest import PHONE, Watched
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser

Visit = Callable[..., Watched]
#: `preload: False`: axe would fetch style sheets once more.
_AXE = {"preload": False, "resultTypes": ["violations"]}
_COLOURS = {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}
#: Where axe looks behind every figure too; the others have the same markup hundreds of times.
_SMALL = {"natural"}
_REPEATED = [[".sg-prov ~ .sg-prov"], [".sg-formula ~ .sg-formula"], ["tbody tr:nth-child(n+4)"]]


@pytest.mark.parametrize("kind", KINDS)
def test_page_is_quiet_and_sealed(kind: str, visit: Visit, archive: Archive) -> None:
    """No console error, nothing the policy had to block, no request to another host."""
    watched = visit()
    watched.open(KINDS[kind](archive))
    assert watched.told() == []
    assert watched.page.locator("meta[http-equiv='Content-Security-Policy']").count() == 1


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "not found"])
def test_content_is_accessible(kind: str, visit: Visit, archive: Archive) -> None:
    """Axe finds nothing in the content; in the dark scheme, nothing about its colours."""
    for scheme, options in (("light", _AXE), ("dark", {**_AXE, "runOnly": _COLOURS})):
        page = visit(color_scheme=scheme).open(KINDS[kind](archive))
        if kind in _SMALL:
            page.evaluate("document.querySelectorAll('details').forEach(it => { it.open = true; })")
        context = {"include": [[".md-content"]]}
        if kind not in _SMALL:
            context["exclude"] = _REPEATED
        found = Axe().run(page, context=context, options=options)
        assert found.violations_count == 0, f"{scheme}: {found.generate_report()}"


@pytest.mark.parametrize("kind", KINDS)
def test_page_is_no_wider_than_a_phone(kind: str, visit: Visit, archive: Archive) -> None:
    """Tables scroll inside their own frame; the page itself does not scroll sideways."""
    page = visit(viewport=PHONE).open(KINDS[kind](archive))
    width = page.evaluate("document.documentElement.scrollWidth")
    assert width <= PHONE["width"], f"{width} px wide"


def test_first_column_stays_when_a_table_scrolls(visit: Visit) -> None:
    """On a phone the row's name is held while the figures pass."""
    page = visit(viewport=PHONE).open("builds/")
    moved = page.evaluate(
        """() => {
          const frame = document.querySelector('.sg-scroll');
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
    path = KINDS["ladder"](archive)
    for viewport in (None, PHONE):
        options = {"viewport": viewport} if viewport else {}
        page = visit(**options).open(path)
        shown = page.evaluate(
            """() => [...document.querySelectorAll('.sg-figure')].map(
              figure => [...figure.querySelectorAll('svg')].filter(
                svg => svg.getBoundingClientRect().width > 0).length)"""
        )
        assert shown
        assert set(shown) == {1}
