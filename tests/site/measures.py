"""What is measured on an open page, as scripts that run there: overlaps, widths, targets, stops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from playwright.sync_api import Page

#: The widths that every page is measured at [px]: phones, a tablet, a desk, a wide screen.
WIDTHS = (360, 390, 820, 1280, 1920)
#: Texts of charts, tables and lists of figures that lie over each other or over a small drawing, by
#: more than letters may touch [px].
OVERLAPS = """() => {
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
  const grounds = 'table, .sg-headline, .sg-limits, .sg-facts, .sg-newest';
  for (const table of document.querySelectorAll(`.md-content :is(${grounds})`)) {
    if (!seen(table)) continue;
    const texts = [...table.querySelectorAll('svg.sg-mark, svg.sg-spark, svg.sg-plan')].filter(seen)
      .map(it => ({ words: 'a drawing', box: it.getBoundingClientRect() }));
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
BEYOND = """() => {
  const wide = innerWidth;
  const out = [document.querySelector('.md-main').scrollWidth - wide];
  for (const it of document.querySelectorAll('.md-content table')) {
    const frame = it.closest('.sg-scroll, .md-typeset__scrollwrap');
    if (!frame && it.getClientRects().length) out.push(it.getBoundingClientRect().right - wide);
  }
  return Math.max(...out);
}"""
#: Tables that run on beyond their frame: without a sign of it, or where a screen has room for all.
CUT = """() => [...document.querySelectorAll('.md-content .sg-scroll')]
  .filter(it => it.checkVisibility() && it.scrollWidth > it.clientWidth + 1)
  .filter(it => innerWidth >= 1280 || !getComputedStyle(it).backgroundImage.includes('gradient'))
  .map(it => `${it.getAttribute('aria-label')} ${it.scrollWidth} of ${it.clientWidth} px`)"""
#: Presses that are smaller than a fingertip: links within words are let be, as the guideline does.
SMALL = """() => [...document.querySelectorAll(
    '.md-content :is(button, select, summary, input:not([type=radio]))')]
  .filter(it => it.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
  .map(it => [it, (it.type === 'checkbox' ? it.closest('label') ?? it : it)
    .getBoundingClientRect()])
  .filter(([it, box]) => box.height && !it.closest('thead')
    && (box.width < 23.5 || box.height < 23.5))
  .map(([it, box]) => `${it.tagName} ${it.textContent.trim().slice(0, 20)} `
    + `${Math.round(box.width)}x${Math.round(box.height)}`)"""
#: What the tabulator stops at, choices of one among several counted once, and what is seen of it.
STOPS = """() => {
  const seen = { checkOpacity: true, checkVisibilityCSS: true };
  const stops = [...document.querySelectorAll(
    'a[href], button, input, select, summary, [tabindex]')]
    .filter(it => it.tabIndex >= 0 && !it.disabled && it.checkVisibility(seen));
  const choices = stops.filter(it => it.type === 'radio').map(it => it.name);
  return stops.length - choices.length + new Set(choices).size;
}"""


def faults(page: Page, widths: Iterable[int] = WIDTHS) -> Iterator[str]:
    """What is wrong with an open page at each of some widths, in words."""
    for width in widths:
        page.set_viewport_size({"width": width, "height": 900})
        if (beyond := page.evaluate(BEYOND)) > 1:
            yield f"{width} px: {beyond:.0f} px wider than the screen"
        yield from (f"{width} px: {it}, one over the other" for it in page.evaluate(OVERLAPS))
        yield from (f"{width} px: cut: {it}" for it in page.evaluate(CUT))
