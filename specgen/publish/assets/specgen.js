// @ts-check
"use strict";

/**
 * What a page of specgen does beyond standing there: switch units, sort tables, open
 * everything before printing. Pages read well without it.
 */
(() => {
  const KEY = "specgen-units";
  const SYSTEMS = /** @type {const} */ (["metric", "imperial"]);

  /** @typedef {"metric" | "imperial"} System */

  /** Read what a reader chose before; storage may be forbidden. @returns {System | null} */
  function remembered() {
    try {
      const found = window.localStorage.getItem(KEY);
      return found === "metric" || found === "imperial" ? found : null;
    } catch {
      return null;
    }
  }

  /** Remember a choice if the browser lets us. @param {System} system */
  function remember(system) {
    try {
      window.localStorage.setItem(KEY, system);
    } catch {
      // A private window may refuse: the choice then lasts as long as the page.
    }
  }

  /** Units that the address asks for; they win over memory. @returns {System | null} */
  function asked() {
    const behind = window.location.hash.replace(/^#/, "");
    const query = window.location.search || (behind.startsWith("?") ? behind : "");
    const found = new URLSearchParams(query).get("units");
    return found === "metric" || found === "imperial" ? found : null;
  }

  /** Let an address that asks for units ask for those just chosen. @param {System} system */
  function readdress(system) {
    const now = asked();
    if (!now || now === system) return;
    const { href } = window.location;
    window.history.replaceState(window.history.state, "", href.replace(`units=${now}`, `units=${system}`));
  }

  /** The units that a page shows when nobody has chosen. @returns {System} */
  function usual() {
    return document.querySelector(".sg-imperial") ? "imperial" : "metric";
  }

  /** Show one system everywhere and press its button. @param {System} system */
  function show(system) {
    document.documentElement.dataset.sgUnits = system;
    document.dispatchEvent(new CustomEvent("specgen-units", { detail: system }));
    for (const button of document.querySelectorAll("button[data-sg-system]")) {
      const pressed = button instanceof HTMLElement && button.dataset.sgSystem === system;
      button.setAttribute("aria-pressed", String(pressed));
    }
  }

  /** Make the switch in the place that pages keep for it. @param {Element} place */
  function addSwitch(place) {
    if (!(place instanceof HTMLElement) || place.childElementCount) return;
    place.setAttribute("role", "group");
    place.setAttribute("aria-label", "Units");
    for (const system of SYSTEMS) {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.sgSystem = system;
      button.textContent = system;
      button.addEventListener("click", () => {
        remember(system);
        readdress(system);
        show(system);
      });
      place.append(button);
    }
    place.hidden = false;
  }

  /** The text by which a cell sorts: its own key if it has one. @param {Element | undefined} cell */
  function sortKey(cell) {
    if (!(cell instanceof HTMLElement)) return "";
    return cell.dataset.sgKey ?? cell.textContent?.trim() ?? "";
  }

  /**
   * Compare two sort keys; empty ones come last whichever way the table runs.
   * @param {string} first @param {string} second @param {number} sense
   */
  function compare(first, second, sense) {
    if (first === "" || second === "") return Number(first === "") - Number(second === "");
    const [a, b] = [Number(first), Number(second)];
    const order = Number.isNaN(a) || Number.isNaN(b) ? first.localeCompare(second) : a - b;
    return order * sense;
  }

  /** Sort a table by one column, the other way round at the second press. @param {HTMLElement} heading */
  function sortBy(heading) {
    const table = heading.closest("table");
    const body = table?.tBodies[0];
    if (!table || !body || !(heading instanceof HTMLTableCellElement)) return;
    const sense = heading.getAttribute("aria-sort") === "ascending" ? -1 : 1;
    for (const other of table.querySelectorAll("th[aria-sort]")) other.removeAttribute("aria-sort");
    heading.setAttribute("aria-sort", sense === 1 ? "ascending" : "descending");
    const column = heading.cellIndex;
    const rows = Array.from(body.rows);
    rows.sort((a, b) => compare(sortKey(a.cells[column]), sortKey(b.cells[column]), sense));
    body.append(...rows);
  }

  /** Turn the headings of a sortable table into buttons. @param {Element} table */
  function makeSortable(table) {
    for (const heading of table.querySelectorAll("thead th[data-sg-sort]")) {
      if (!(heading instanceof HTMLElement) || heading.querySelector("button")) continue;
      const button = document.createElement("button");
      button.type = "button";
      button.append(...heading.childNodes);
      button.addEventListener("click", () => sortBy(heading));
      heading.append(button);
    }
  }

  /** Dress the page that has just come in. */
  function dress() {
    for (const place of document.querySelectorAll(".sg-units")) addSwitch(place);
    for (const table of document.querySelectorAll("table[data-sg-sortable]")) makeSortable(table);
    show(asked() ?? remembered() ?? usual());
  }

  /** @type {HTMLDetailsElement[]} */
  let opened = [];
  window.addEventListener("beforeprint", () => {
    opened = Array.from(document.querySelectorAll(".sg details:not([open])"));
    for (const details of opened) details.open = true;
  });
  window.addEventListener("afterprint", () => {
    for (const details of opened) details.open = false;
    opened = [];
  });

  /**
   * Opened from a disk, a folder shows its files and not its page: name the page in a link that is
   * about to be followed. Addresses on a server stay as they are.
   * @param {Event} event
   */
  function namePage(event) {
    const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
    if (!(link instanceof HTMLAnchorElement) || link.protocol !== "file:") return;
    if (link.pathname.endsWith("/")) link.pathname += "index.html";
  }

  if (window.location.protocol === "file:") {
    for (const way of ["click", "auxclick", "contextmenu"]) {
      document.addEventListener(way, namePage, { capture: true });
    }
  }

  // A theme that swaps pages without loading them announces each one; it also announces the first.
  const pages = /** @type {any} */ (window).document$;
  if (pages && typeof pages.subscribe === "function") pages.subscribe(dress);
  else if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", dress);
  else dress();
})();
