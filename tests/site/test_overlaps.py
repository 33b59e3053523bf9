"""No text over text, no page wider than its screen, nothing that jumps: every kind of page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser

from specgen.archive.model.build import Archive
from tests import fonts
from tests.site.conftest import Visit, visitor
from tests.site.kinds import KINDS

pytestmark = pytest.mark.browser

#: Each kind of page is opened once, and measured at each of these widths in turn.
WIDTHS = (360, 820, 1280, 1920)

#: Texts of charts and tables that lie over each other, by more than letters may touch [px].
_OVERLAPS = """() => {
  const found = [];
  const seen = it => it.checkVisibility({ visibilityProperty: true, opacityProperty: true })
    && it.getClientRects().length > 0;
  const shrunk = box => ({ left: box.left + 1.5, right: box.right - 1.5,
    top: box.top + box.height * 0.22, bottom: box.bottom - box.height * 0.22 });
  const over = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
  const compare = texts => {
    const boxes = texts.map(it => [it.words, shrunk(it.box)]).sort((a, b) => a[1].top - b[1].top);
    boxes.forEach(([words, box], at) => {
      for (let next = at + 1; next < boxes.length && boxes[next][1].top < box.bottom; next += 1) {
        if (over(box, boxes[next][1])) found.push(`${words} / ${boxes[next][0]}`);
      }
    });
  };
  for (const svg of document.querySelectorAll('.md-content svg')) {
    if (!seen(svg)) continue;
    compare([...svg.querySelectorAll('text')].filter(it => seen(it) && it.textContent.trim())
      .map(it => ({ words: it.textContent.trim(), box: it.getBoundingClientRect() })));
  }
  for (const table of document.querySelectorAll('.md-content table')) {
    if (!seen(table)) continue;
    const texts = [];
    const walk = document.createTreeWalker(table, NodeFilter.SHOW_TEXT);
    while (walk.nextNode() && texts.length < 3000) {
      const node = walk.currentNode;
      const parent = node.parentElement;
      if (!node.data.trim() || parent.closest('svg, .sg-spoken, select') || !seen(parent)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const box of range.getClientRects()) texts.push({ words: node.data.trim(), box });
    }
    compare(texts);
  }
  return found;
}"""
#: How far the page, and each table without a frame that scrolls, runs beyond the screen [px].
_BEYOND = """() => {
  const wide = innerWidth;
  const out = [document.querySelector('.md-main').scrollWidth - wide];
  for (const it of document.querySelectorAll('.md-content table')) {
    const frame = it.closest('.sg-scroll, .md-typeset__scrollwrap');
    if (!frame && it.getClientRects().length) out.push(it.getBoundingClientRect().right - wide);
  }
  return Math.max(...out);
}"""
#: Presses that are smaller than a fingertip: links within words are let be, as the guideline does.
_SMALL = """() => [...document.querySelectorAll(
    '.md-content :is(button, select, summary, input:not([type=radio]))')]
  .filter(it => it.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
  .map(it => [it, (it.type === 'checkbox' ? it.closest('label') ?? it : it)
    .getBoundingClientRect()])
  .filter(([it, box]) => box.height && !it.closest('thead')
    && (box.width < 23.5 || box.height < 23.5))
  .map(([it, box]) => `${it.tagName} ${it.textContent.trim().slice(0, 20)} `
    + `${Math.round(box.width)}x${Math.round(box.height)}`)"""
#: How much of a page moved by itself while it came, as browsers count it.
_SHIFT = """() => new Promise(done => {
  let sum = 0;
  new PerformanceObserver(list => {
    for (const it of list.getEntries()) if (!it.hadRecentInput) sum += it.value;
  }).observe({ type: 'layout-shift', buffered: true });
  setTimeout(() => done(sum), 60);
})"""


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_lies_over_anything_at_any_width(kind: str, visit: Visit, archive: Archive) -> None:
    """From the smallest phone to a wide desk: texts apart, page within its screen, no jump."""
    page = visit(viewport={"width": 390, "height": 844}).open(KINDS[kind](archive))
    assert page.evaluate(_SHIFT) < 0.05, "the page moves while it comes"
    assert page.evaluate(_SMALL) == []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(_BEYOND) <= 1, f"wider than a screen of {width} px"
        assert page.evaluate(_OVERLAPS) == [], f"{width} px"


@pytest.mark.parametrize("family", fonts.FAMILIES[1:])
def test_nothing_lies_over_anything_with_any_font(
    family: str, browser_with: Callable[[str], Browser], address: str, archive: Archive
) -> None:
    """The fullest pages, on a phone and at 1280, with each usual family."""
    with visitor(browser_with(family), address) as opening:
        watched = opening(viewport={"width": 360, "height": 844})
        for kind in ("builds", "ladder", "compare"):
            page = watched.open(KINDS[kind](archive))
            for width in (360, 1280):
                page.set_viewport_size({"width": width, "height": 900})
                assert page.evaluate(_BEYOND) <= 1, f"{kind}, {width} px"
                assert page.evaluate(_OVERLAPS) == [], f"{kind}, {width} px"


def test_an_overlap_put_in_by_hand_is_found(visit: Visit, archive: Archive) -> None:
    """A label moved onto another, and a cell's words onto its neighbour's, are both reported."""
    page = visit().open(KINDS["ladder"](archive))
    assert page.evaluate(_OVERLAPS) == []
    page.evaluate(
        """() => {
          const [first, second] = document.querySelectorAll('.sg-chart-wide .sg-c-label');
          second.setAttribute('y', first.getAttribute('y'));
          second.setAttribute('x', first.getAttribute('x'));
        }"""
    )
    assert len(page.evaluate(_OVERLAPS)) >= 1
    page.reload()
    page.evaluate(
        """() => {
          const cell = document.querySelector('.sg-ladder tbody td.sg-num a');
          const next = document.querySelector('.sg-ladder tbody th');
          const away = next.getBoundingClientRect().left - cell.getBoundingClientRect().left;
          cell.style.setProperty('position', 'relative');
          cell.style.setProperty('left', `${away}px`);
        }"""
    )
    assert len(page.evaluate(_OVERLAPS)) >= 1
