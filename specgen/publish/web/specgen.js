// @ts-check
"use strict";

/**
 * What a page of specgen does beyond standing there: switch units, sort tables, open
 * everything before printing. Pages read well without it.
 */
(() => {
  const { all, button, memory, onPage } = specgen.page;
  const { SYSTEMS } = specgen.numbers;
  const kept = memory("specgen-units");
  /** What has its figures as one stop of the tabulator. */
  const GROUPS = "table, dl, ul";

  /** @param {string | null} text @returns {System | undefined} */
  function known(text) {
    return SYSTEMS.find((it) => it === text);
  }

  /** Units that the address asks for; they win over memory. */
  function asked() {
    return known(specgen.address.parameters(location).get("units"));
  }

  /** Let an address that asks for units ask for those just chosen. @param {System} system */
  function readdress(system) {
    const now = asked();
    if (!now || now === system) return;
    history.replaceState(history.state, "", location.href.replace(`units=${now}`, `units=${system}`));
  }

  /** Show one system everywhere and press its button. @param {System} system */
  function show(system) {
    document.documentElement.dataset.sgUnits = system;
    document.dispatchEvent(new CustomEvent("specgen-units", { detail: system }));
    for (const button of all("button[data-sg-system]")) {
      button.setAttribute("aria-pressed", String(button.dataset.sgSystem === system));
    }
  }

  /** Make the switch in the place that pages keep for it. @param {HTMLElement} place */
  function addSwitch(place) {
    if (place.childElementCount) return;
    place.setAttribute("role", "group");
    place.setAttribute("aria-label", "Units");
    place.append(...SYSTEMS.map((system) => button((system === "own" && place.dataset.sgOwn) || system, () => {
      kept.set(system);
      readdress(system);
      show(system);
    }, { "data-sg-system": system })));
    place.hidden = false;
  }

  /** The text by which a cell sorts: its own key if it has one. @param {HTMLElement} [cell] */
  function sortKey(cell) {
    return cell?.dataset.sgKey ?? cell?.textContent?.trim() ?? "";
  }

  /**
   * Compare two sort keys; empty ones come last whichever way the table runs.
   * @param {string} first @param {string} second @param {number} sense
   */
  function compare(first, second, sense) {
    if (!first || !second) return Number(!first) - Number(!second);
    const order = Number(first) - Number(second);
    return (Number.isNaN(order) ? first.localeCompare(second) : order) * sense;
  }

  /** Sort a table by one column, the other way round at the second press. @param {HTMLElement} heading */
  function sortBy(heading) {
    const table = heading.closest("table");
    if (!table || !(heading instanceof HTMLTableCellElement)) return;
    const [body] = table.tBodies;
    const sense = heading.ariaSort === "ascending" ? -1 : 1;
    for (const other of table.querySelectorAll("[aria-sort]")) other.ariaSort = null;
    heading.ariaSort = sense > 0 ? "ascending" : "descending";
    const column = heading.cellIndex;
    body.append(...[...body.rows].sort((a, b) =>
      compare(sortKey(a.cells[column]), sortKey(b.cells[column]), sense)));
  }

  /** Turn the heading of a sortable column into a button. @param {HTMLElement} heading */
  function makeSortable(heading) {
    if (heading.querySelector("button")) return;
    const made = button("", () => sortBy(heading));
    made.append(...heading.childNodes);
    heading.append(made);
  }

  /** Figures that lead to where they come from, of one table or list. @param {Element} group */
  function figuresOf(group) {
    return /** @type {HTMLElement[]} */ ([...group.querySelectorAll("a.sg-row")])
      .filter((it) => it.checkVisibility());
  }

  /** Make all figures of a table or list one stop of the tabulator. @param {Element} group */
  function oneStop(group) {
    group.querySelectorAll("a.sg-row").forEach((link, place) => {
      if (link instanceof HTMLElement) link.tabIndex = place ? -1 : 0;
    });
  }

  /**
   * The figure above or below one in a table: in the next line that has some, nearest by column.
   * @param {HTMLElement} link @param {number} way @returns {HTMLElement | undefined}
   */
  function inNextLine(link, way) {
    const across = link.getBoundingClientRect().x;
    let row = link.closest("tr");
    while (row) {
      row = /** @type {HTMLTableRowElement | null} */
        (way > 0 ? row.nextElementSibling : row.previousElementSibling);
      const found = row ? figuresOf(row) : [];
      const away = (/** @type {HTMLElement} */ it) => Math.abs(it.getBoundingClientRect().x - across);
      if (found.length) return found.reduce((best, it) => (away(it) < away(best) ? it : best));
    }
    return undefined;
  }

  /**
   * Move among the figures of a table or list by arrow keys; Enter opens, as of any link.
   * @param {KeyboardEvent} event
   */
  function step(event) {
    const link = event.target instanceof HTMLElement ? event.target.closest("a.sg-row") : null;
    const group = link?.closest(GROUPS);
    if (!group || !(link instanceof HTMLElement) || event.altKey || event.ctrlKey || event.metaKey) return;
    const some = figuresOf(group);
    const at = some.indexOf(link);
    /** @type {Record<string, () => HTMLElement | undefined>} */
    const ways = {
      ArrowRight: () => some[at + 1], ArrowLeft: () => some[at - 1],
      ArrowDown: () => inNextLine(link, 1) ?? (link.closest("tr") ? undefined : some[at + 1]),
      ArrowUp: () => inNextLine(link, -1) ?? (link.closest("tr") ? undefined : some[at - 1]),
      Home: () => some[0], End: () => some[some.length - 1],
    };
    const next = ways[event.key]?.();
    if (!next) return;
    event.preventDefault();
    for (const other of some) other.tabIndex = other === next ? 0 : -1;
    next.focus();
  }

  document.addEventListener("keydown", step);

  /** Tell paper what it is of: the words that a page has for its head, else its title. */
  function nameOnPaper() {
    const words = /** @type {HTMLElement | null} */ (document.querySelector("[data-sg-head]:not(html)"));
    document.documentElement.dataset.sgHead =
      words?.dataset.sgHead ?? document.querySelector("h1")?.firstChild?.textContent?.trim() ?? "";
  }

  onPage(() => {
    nameOnPaper();
    all(".sg-units").forEach(addSwitch);
    all(GROUPS.split(", ").map((it) => `.sg ${it}`).join(", ")).forEach(oneStop);
    all("table[data-sg-sortable] th[data-sg-sort]").forEach(makeSortable);
    const first = SYSTEMS.find((it) => document.querySelector(`.sg-${it}`)) ?? "metric";
    show(asked() ?? known(kept.get()) ?? first);
  });

  /** @type {HTMLElement[]} */
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = all(".sg details:not([open])");
    for (const details of opened) details.toggleAttribute("open", true);
  });
  addEventListener("afterprint", () => {
    for (const details of opened) details.removeAttribute("open");
    opened = [];
  });

  /**
   * Opened from a disk, a folder shows its files and not its page: name the page in a link that is
   * about to be followed. Addresses on a server stay as they are.
   * @param {Event} event
   */
  function namePage(event) {
    const link = event.target instanceof Element ? event.target.closest("a") : null;
    if (link?.protocol === "file:" && link.pathname.endsWith("/")) link.pathname += "index.html";
  }

  if (location.protocol === "file:") {
    for (const way of ["click", "auxclick", "contextmenu"]) document.addEventListener(way, namePage, true);
  }
})();
