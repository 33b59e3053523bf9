"""What is measured on an open page, as scripts that run there: overlaps, widths, targets, stops."""

from __future__ import annotations

#: Texts of charts and tables that lie over each other, by more than letters may touch [px].
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
BEYOND = """() => {
  const wide = innerWidth;
  const out = [document.querySelector('.md-main').scrollWidth - wide];
  for (const it of document.querySelectorAll('.md-content table')) {
    const frame = it.closest('.sg-scroll, .md-typeset__scrollwrap');
    if (!frame && it.getClientRects().length) out.push(it.getBoundingClientRect().right - wide);
  }
  return Math.max(...out);
}"""
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
