// @ts-check
"use strict";

/**
 * What the build record does beyond standing there: open pictures large, and put the record
 * before the results on paper. Without it a picture's link leads to the large picture, and the
 * choice for paper goes by the address alone.
 */
(() => {
  /* ---------------------------------------------------------------- pictures */

  /** @typedef {{ dialog: HTMLDialogElement, image: HTMLImageElement, words: HTMLElement,
   *   count: HTMLElement, steps: HTMLButtonElement[] }} Frame */

  /** @type {Frame | null} */
  let frame = null;
  /** @type {HTMLAnchorElement[]} */
  let row = [];
  let at = 0;

  /** @param {string} label @param {string} text @param {() => void} act */
  function button(label, text, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.setAttribute("aria-label", label);
    made.addEventListener("click", act);
    return made;
  }

  /** Make the dialog that shows a picture, once. @returns {Frame} */
  function made() {
    if (frame?.dialog.isConnected) return frame;
    const dialog = document.createElement("dialog");
    dialog.className = "sg-large-picture";
    const figure = document.createElement("figure");
    const image = document.createElement("img");
    const words = document.createElement("figcaption");
    const count = document.createElement("span");
    count.setAttribute("aria-live", "polite");
    const steps = [
      button("Previous picture", "\u2190", () => show(at - 1)),
      button("Next picture", "\u2192", () => show(at + 1)),
    ];
    const close = button("Close", "\u00d7", () => dialog.close());
    close.autofocus = true; // the key that opened a picture closes it again
    const tools = document.createElement("div");
    tools.className = "sg-large-tools";
    tools.append(steps[0], count, steps[1], close);
    figure.append(image, words);
    dialog.append(tools, figure);
    dialog.addEventListener("keydown", pressed);
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) dialog.close();
    });
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
    const small = link.querySelector("img");
    const alt = small?.alt ?? "";
    image.removeAttribute("src");
    image.alt = alt;
    image.width = Number(link.dataset.sgWidth) || 0;
    image.height = Number(link.dataset.sgHeight) || 0;
    image.src = link.href;
    words.textContent = link.closest("figure")?.querySelector("figcaption")?.textContent ?? alt;
    count.textContent = `${wanted + 1} of ${row.length}`;
    dialog.setAttribute("aria-label", `Picture ${wanted + 1} of ${row.length}`);
    for (const [index, step] of steps.entries()) {
      step.hidden = row.length < 2;
      step.setAttribute("aria-disabled", String(index === 0 ? wanted === 0 : wanted === row.length - 1));
    }
  }

  /** Open the picture that a link leads to. @param {MouseEvent} event @param {HTMLAnchorElement} link */
  function open(event, link) {
    const plain = event.button === 0 && !(event.ctrlKey || event.metaKey || event.shiftKey || event.altKey);
    if (!plain || typeof HTMLDialogElement !== "function") return;
    event.preventDefault();
    row = Array.from(document.querySelectorAll(".sg-shot a")).filter(isLink);
    show(row.indexOf(link));
    made().dialog.showModal(); // closing gives the focus back to the link
  }

  /** @param {Element} found @returns {found is HTMLAnchorElement} */
  function isLink(found) {
    return found instanceof HTMLAnchorElement;
  }

  /* ------------------------------------------------------------------- paper */

  const KEY = "specgen-paper";

  /** The order chosen before; storage may be forbidden. @returns {string | null} */
  function remembered() {
    try {
      return window.localStorage.getItem(KEY);
    } catch {
      return null;
    }
  }

  /** Put the order on the page and say which one holds. @param {string} order */
  function order(order) {
    document.documentElement.dataset.sgOrder = order === "record" ? "record" : "result";
    for (const link of document.querySelectorAll("a[data-sg-order]")) {
      const current = link instanceof HTMLElement && link.dataset.sgOrder === document.documentElement.dataset.sgOrder;
      if (current) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  }

  /** The order that the address asks for, else the one remembered. */
  function wanted() {
    const named = window.location.hash.match(/^#(result|record)-first$/);
    return named?.[1] ?? remembered() ?? "result";
  }

  /** Take a choice and keep it; the address changes with it, the page does not move. @param {HTMLElement} link */
  function choose(link) {
    const chosen = link.dataset.sgOrder ?? "result";
    try {
      window.localStorage.setItem(KEY, chosen);
    } catch {
      // A private window may refuse: the choice then lasts as long as the page.
    }
    window.history.replaceState(window.history.state, "", `#${chosen}-first`);
    order(chosen);
  }

  document.addEventListener("click", (event) => {
    if (!(event.target instanceof Element)) return;
    const picture = event.target.closest(".sg-shot a");
    if (picture && isLink(picture)) open(event, picture);
    const choice = event.target.closest("a[data-sg-order]");
    if (choice instanceof HTMLElement) {
      event.preventDefault();
      choose(choice);
    }
  });
  window.addEventListener("hashchange", () => order(wanted()));

  const pages = /** @type {any} */ (window).document$;
  if (pages && typeof pages.subscribe === "function") pages.subscribe(() => order(wanted()));
  else if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", () => order(wanted()));
  else order(wanted());
})();
