"""What a phone has to carry: weight, elements, and contents that move."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, ViewportSize

from specgen.archive.model.build import Archive
from tests.site.conftest import DESK, PHONE, Visit
from tests.site.kinds import KINDS

#: What a sheet may weigh, charts included: its bytes, those that are sent, and elements.
_BYTES, _SENT, _NODES = 250_000, 60_000, 5_000
#: How much of a page may move while it is read; web vitals call a tenth good. From memory.
_SHIFT = 0.05

_WATCH = """
window.sgShift = 0;
new PerformanceObserver((list) => {
  for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.sgShift += entry.value;
}).observe({ type: "layout-shift", buffered: true });
"""


def sheets(site: Path) -> dict[str, str]:
    """The HTML of every sheet by its build's id."""
    pages = sorted(site.glob("builds/*/index.html"))
    return {page.parent.name: page.read_text("utf-8") for page in pages}


def moved(page: Page) -> float:
    """How far contents moved, once the page has had two frames after its last script."""
    return float(
        page.evaluate(
            """() => new Promise((done) => setTimeout(() => requestAnimationFrame(
              () => requestAnimationFrame(() => done(window.sgShift))), 100))"""
        )
    )


def test_sheets_are_light(built_site: Path) -> None:
    """No sheet weighs more than a phone carries as it is sent, charts included."""
    heavy = {
        name: (len(gzip.compress(text.encode(), 6)), len(elements(text)), len(text.encode()))
        for name, text in sheets(built_site).items()
    }
    assert len(heavy) > 15
    assert {name: it for name, it in heavy.items() if it[0] > _SENT} == {}
    assert {name: it for name, it in heavy.items() if it[1] >= _NODES} == {}
    assert {name: it for name, it in heavy.items() if it[2] > _BYTES} == {}


def elements(text: str) -> list[str]:
    """The names of a page's elements."""
    return re.findall(r"<([a-z][a-z0-9]*)[\s>]", text)


@pytest.mark.browser
@pytest.mark.parametrize("viewport", [PHONE, DESK], ids=["phone", "desk"])
def test_nothing_moves_while_a_page_comes_in(
    viewport: ViewportSize, visit: Visit, archive: Archive
) -> None:
    """Each kind of page stands still from its first paint on, and a thing that moves is seen."""
    watched = visit(viewport=viewport)
    watched.page.add_init_script(_WATCH)
    shifts = {kind: moved(watched.open(path(archive))) for kind, path in KINDS.items()}
    assert {kind: shift for kind, shift in shifts.items() if shift >= _SHIFT} == {}
    watched.page.evaluate(
        """() => { const late = document.createElement('div'); late.style.height = '300px';
          document.querySelector('.md-content').prepend(late); }"""
    )
    assert moved(watched.page) > _SHIFT
