// @ts-check
"use strict";

/**
 * What a sheet does beyond standing there: open the part that an address names, lead old addresses
 * on, and put on paper what the reader asked for. Without it the choice for paper goes by the
 * address alone.
 */
(() => {
  const { all, memory, onPage } = specgen.page;
  const kept = memory("specgen-paper");

  /** Lead an address from when figures were told of on the sheet itself to where they are now. */
  function forward() {
    const known = document.querySelector("a.sg-known");
    const old = /^#(row-|what-was-fitted$|where-the-figures-come-from$)/.test(location.hash);
    if (!(known instanceof HTMLAnchorElement) || !old) return;
    const there = new URL(known.href);
    there.hash = location.hash;
    if (there.protocol === "file:") there.pathname += "index.html"; // a disk shows a folder's files
    location.replace(there);
  }

  /** Open the part below the heading that the address names. */
  function unfold() {
    const named = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const fold = named?.matches("h2") ? named.nextElementSibling?.querySelector(".sg-part, .sg-phone-fold") : null;
    if (!fold) return;
    fold.toggleAttribute("open", true);
    named?.scrollIntoView();
  }

  /** Put on paper what the address asks for, else what was asked for last, and say which it is. */
  function order() {
    const links = all("a[data-sg-order]");
    const of = (/** @type {string | null} */ id) => links.find((it) => it.id === id);
    const now = (of(location.hash.slice(1)) ?? of(kept.get()) ?? links[0])?.dataset.sgOrder;
    document.documentElement.dataset.sgOrder = now;
    for (const link of links) {
      if (link.dataset.sgOrder === now) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  }

  document.addEventListener("click", (event) => {
    const choice = event.target instanceof Element ? event.target.closest("a[data-sg-order]") : null;
    if (!choice) return;
    // The choice is kept; the address changes with it, the page does not move.
    event.preventDefault();
    kept.set(choice.id);
    history.replaceState(history.state, "", `#${choice.id}`);
    order();
  });

  function arrive() {
    forward();
    unfold();
    order();
  }

  addEventListener("hashchange", arrive);
  onPage(arrive);
})();
