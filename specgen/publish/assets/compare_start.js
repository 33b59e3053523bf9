// @ts-check
"use strict";

/** Run the tools of the page that has come in, and end those of the page before. */
(() => {
  /** @type {[string, (root: HTMLElement) => () => void][]} */
  const tools = [
    ["[data-sg-compare]", specgen.compare.start],
    ["[data-sg-browse]", specgen.browse.start],
    ["[data-sg-find]", specgen.find.start],
  ];

  function run() {
    document.dispatchEvent(new Event("specgen-leave"));
    const ends = tools.flatMap(([where, start]) => [...document.querySelectorAll(where)]
      .flatMap((root) => (root instanceof HTMLElement ? [start(root)] : [])));
    const leave = () => ends.forEach((end) => end());
    document.addEventListener("specgen-leave", leave, { once: true });
  }

  // A theme that swaps pages without loading them announces each one; it also announces the first.
  const pages = /** @type {any} */ (window).document$;
  if (pages && typeof pages.subscribe === "function") pages.subscribe(run);
  else if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", run);
  else run();
})();
