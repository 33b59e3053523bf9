// @ts-check
"use strict";

/** Pictures of the build record open large; without it a picture's link leads to the large one. */
(() => {
  const { all, button, make } = specgen.page;

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

  document.addEventListener("click", (event) => {
    const picture = event.target instanceof Element ? event.target.closest(".sg-shot a") : null;
    if (picture instanceof HTMLAnchorElement) open(event, picture);
  });
})();
