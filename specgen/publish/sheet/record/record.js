// @ts-check
"use strict";

/**
 * What the build record does beyond standing there: open pictures large, and put the record
 * before the results on paper. Without it a picture's link leads to the large picture, and the
 * choice for paper goes by the address alone.
 */
(() => {
  const { all, button, make, memory, onPage } = specgen.page;

  /* ---------------------------------------------------------------- pictures */

  /** @typedef {{ dialog: HTMLDialogElement, image: HTMLImageElement, words: HTMLElement,
   *   count: HTMLElement, steps: HTMLButtonElement[] }} Frame */

  /** @type {Frame | null} */
  let frame = null;
  /** @type {HTMLAnchorElement[]} */
  let row = [];
  let at = 0;

  /** Make the dialog that shows a picture, once. @returns {Frame} */
  function made() {
    if (frame?.dialog.isConnected) return frame;
    const named = (/** @type {string} */ sign, /** @type {string} */ label,
      /** @type {() => void} */ act) => button(sign, act, { "aria-label": label });
    const image = make("img");
    const words = make("figcaption");
    const count = make("span", { "aria-live": "polite" });
    const steps = [
      named("←", "Previous picture", () => show(at - 1)),
      named("→", "Next picture", () => show(at + 1)),
    ];
    const close = named("×", "Close", () => dialog.close());
    close.autofocus = true; // the key that opened a picture closes it again
    const dialog = make("dialog", {
      class: "sg-large-picture",
      keydown: pressed,
      click: (event) => {
        if (event.target === dialog) dialog.close();
      },
    }, make("div", { class: "sg-large-tools" }, steps[0], count, steps[1], close),
    make("figure", {}, image, words));
    document.body.append(dialog);
    frame = { dialog, image, words, count, steps };
    return frame;
  }

  /** Arrows walk, Home and End jump; a theme's own keys rest meanwhile. @param {KeyboardEvent} event */
  function pressed(event) {
    const wanted = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: row.length - 1 }[event.key];
    if (wanted !== undefined) {
      event.preventDefault();
      show(wanted);
    }
    event.stopPropagation();
  }

  /** Show one picture of the row; beyond either end nothing happens. @param {number} wanted */
  function show(wanted) {
    const link = row[wanted];
    if (!link) return;
    at = wanted;
    const { dialog, image, words, count, steps } = made();
    const { sgWidth, sgHeight } = link.dataset;
    const alt = link.querySelector("img")?.alt ?? "";
    image.removeAttribute("src");
    image.alt = alt;
    image.width = Number(sgWidth);
    image.height = Number(sgHeight);
    image.src = link.href;
    words.textContent = link.closest("figure")?.querySelector("figcaption")?.textContent ?? alt;
    count.textContent = `${at + 1} of ${row.length}`;
    dialog.setAttribute("aria-label", `Picture ${count.textContent}`);
    steps.forEach((step, index) => {
      step.hidden = row.length < 2;
      step.setAttribute("aria-disabled", String(at === (index && row.length - 1)));
    });
  }

  /** Open the picture that a link leads to. @param {MouseEvent} event @param {HTMLAnchorElement} link */
  function open(event, link) {
    if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    row = /** @type {HTMLAnchorElement[]} */ (all(".sg-shot a"));
    show(row.indexOf(link));
    made().dialog.showModal(); // closing gives the focus back to the link
  }

  /* ------------------------------------------------------------------- paper */

  const kept = memory("specgen-paper");

  /** Put the order that the address asks for, else the one remembered, and say which one holds. */
  function order() {
    const named = location.hash.match(/^#(result|record)-first$/)?.[1] ?? kept.get();
    const now = named === "record" ? named : "result";
    document.documentElement.dataset.sgOrder = now;
    for (const link of all("a[data-sg-order]")) {
      if (link.dataset.sgOrder === now) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  }

  document.addEventListener("click", (event) => {
    if (!(event.target instanceof Element)) return;
    const picture = event.target.closest(".sg-shot a");
    if (picture instanceof HTMLAnchorElement) open(event, picture);
    const choice = event.target.closest("a[data-sg-order]");
    if (choice instanceof HTMLElement) {
      // The choice is kept; the address changes with it, the page does not move.
      const { sgOrder = "" } = choice.dataset;
      event.preventDefault();
      kept.set(sgOrder);
      history.replaceState(history.state, "", `#${sgOrder}-first`);
      order();
    }
  });
  addEventListener("hashchange", order);
  onPage(order);
})();
