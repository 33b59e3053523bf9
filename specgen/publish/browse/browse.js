// @ts-check
"use strict";

/**
 * @typedef {object} Filter one column that can be narrowed, as its heading says
 * @property {number} at the column @property {string} name in the address
 * @property {string} kind choice, range or date @property {string} title
 * @property {Quantity | null} quantity
 */
/** @typedef {{element: HTMLTableRowElement, keys: string[], text: string}} Listed */

/**
 * The list of all builds, narrowed and sorted; it stands complete without this. A wide screen has
 * it as a table, a narrow one as cards; headings and the choice of an order do the same.
 */
specgen.browse = (() => {
  const { amount, button, choice, make, system } = specgen.page;
  const { unitOf } = specgen.numbers;
  const MOST = 5;
  /** The order in which the list is delivered. */
  const NEWEST = "-date";

  /**
   * Whether a row's key lies in a written range "150..300", either end of which may be missing.
   * @param {string} key @param {string} range @param {number} factor written number to key's unit
   * @returns {boolean}
   */
  function inRange(key, range, factor) {
    const [low, high] = ends(range);
    const value = Number(key) / factor;
    return key !== "" && !(value < low - 1e-9) && !(value > high + 1e-9);
  }

  /** @param {string} range @returns {[number, number]} */
  function ends(range) {
    const [low = "", high = ""] = range.split("..");
    return [low === "" ? -Infinity : Number(low), high === "" ? Infinity : Number(high)];
  }

  /**
   * Whether a row passes: all typed words in its text, each narrowed column by its kind.
   * @param {{keys: string[], text: string}} row @param {Filter[]} filters
   * @param {URLSearchParams} wanted @returns {boolean}
   */
  function passes(row, filters, wanted) {
    const words = (wanted.get("words") ?? "").toLowerCase().split(/\s+/).filter(Boolean);
    if (!words.every((word) => row.text.includes(word))) return false;
    return filters.every(({ at, name, kind, quantity }) => {
      const asked = wanted.get(name);
      if (!asked) return true;
      const key = row.keys[at];
      if (kind === "choice") return key.split("|").includes(asked);
      if (kind === "range" && quantity) return inRange(key, asked, quantity[0][1]);
      if (asked === "planned" || asked === "tested") return (key === "") === (asked === "planned");
      return inRange(key.slice(0, 4), asked, 1);
    });
  }

  /** Run the tools of one table. @param {HTMLElement} root @returns {() => void} ends them */
  function start(root) {
    const table = document.getElementById(root.dataset.sgBrowse ?? "");
    if (!(table instanceof HTMLTableElement)) return () => {};
    const heads = [...table.tHead?.rows[0].cells ?? []];
    const rows = [...table.tBodies[0].rows].map(listed);
    const filters = heads.flatMap(filterOf);
    const narrowing = ["words", ...filters.map((it) => it.name)];
    const orders = heads.flatMap(ordersOf);
    const count = make("output", { "aria-live": "polite" });
    const choose = make("p", { class: "sg-browse-chosen" });
    const order = make("span", { class: "sg-browse-order" });
    const clear = button("Clear", cleared, { class: "sg-browse-clear" });
    const folded = make("summary", {});
    /** @type {URLSearchParams} */ let wanted;
    /** @type {string[]} */ let chosen = [];
    const form = make("form", { class: "sg-compare-tools", "aria-label": "Narrow the builds",
      submit: (event) => event.preventDefault() });

    /** @param {string} name @param {string} value @param {boolean} step */
    function ask(name, value, step) {
      if (value) wanted.set(name, value);
      else wanted.delete(name);
      keep(step);
      narrow();
    }

    /** @param {boolean} step */
    function keep(step) {
      const names = ["words", ...filters.map((it) => it.name), "sort"];
      const pairs = names.map((name) => /** @type {[string, unknown]} */ ([name, wanted.get(name)]));
      specgen.address.put(specgen.address.joined(pairs), step);
    }

    function narrow() {
      let left = 0;
      for (const row of rows) {
        row.element.hidden = !passes(row, filters, wanted);
        left += Number(!row.element.hidden);
      }
      const on = narrowing.filter((name) => wanted.get(name)).length;
      folded.textContent = on ? `Filters (${on} on)` : "Filters";
      clear.hidden = !on;
      count.textContent = left === rows.length ? `All ${rows.length} builds`
        : `${left} of ${rows.length} builds`;
      if (!left) count.textContent += ": nothing is like that; widen a range or clear the filters";
    }

    function cleared() {
      for (const name of narrowing) wanted.delete(name);
      keep(true);
      fill();
      narrow();
    }

    function fill() {
      const words = make("input", { type: "search", autocomplete: "off",
        value: wanted.get("words") ?? "",
        input: () => {
          ask("words", words.value.trim(), false);
        } });
      form.replaceChildren(make("label", { class: "sg-browse-words" }, "Words ", words),
        ...filters.map(control));
      const now = wanted.get("sort") ?? NEWEST;
      order.replaceChildren(choice("Order", orders.some(([value]) => value === now) ? orders
        : [...orders, [now, "as in the heading"]], now, (value) => {
        ask("sort", value === NEWEST ? "" : value, true);
        sorted();
      }, { name: "sort" }));
    }

    /** @param {Filter} filter @returns {HTMLElement} */
    function control(filter) {
      const { kind, name, title } = filter;
      if (kind === "range") return range(filter);
      /** @type {[string, string][]} */
      const occurring = kind === "choice" ? options(rows, filter)
        : [["tested", "tested"], ["planned", "planned"], ...years(rows, filter)];
      return choice(title, [["", "any"], ...occurring], wanted.get(name) ?? "",
        (value) => ask(name, value, true), { name });
    }

    /** Two ends in the units that the page shows; the address keeps them metric.
     * @param {Filter} filter @returns {HTMLElement} */
    function range({ name, title, quantity }) {
      const now = ends(wanted.get(name) ?? "");
      const [low, high] = now.map((end, at) => amount(quantity, end, (value) => {
        // The other end keeps its own digits: what is shown of it in other units is rounded.
        now[at] = value;
        const [from, to] = now.map((it) => (Number.isFinite(it) ? String(it) : ""));
        ask(name, from || to ? `${from}..${to}` : "", true);
      }, { min: undefined, "aria-label": `${title}, at ${at ? "most" : "least"}` }));
      const unit = quantity ? unitOf(quantity, system())[0] : "";
      return make("fieldset", {}, make("legend", {}, `${title}, ${unit}`), low, " to ", high);
    }

    /** Bring the list into the order that the address asks for; the newest first without a word. */
    function sorted() {
      const asked = wanted.get("sort") ?? NEWEST;
      const head = heads.find((it) => it.dataset.sgName === asked.replace("-", ""));
      const sense = asked.startsWith("-") ? "descending" : "ascending";
      for (let turn = 0; head && head.getAttribute("aria-sort") !== sense && turn < 2; turn += 1) {
        head.querySelector("button")?.click();
      }
    }

    /** @param {Event} event */
    function heard(event) {
      const head = event.target instanceof Element ? event.target.closest("th") : null;
      if (!head?.dataset.sgName || !event.isTrusted) return;
      const down = head.getAttribute("aria-sort") === "descending" ? "-" : "";
      ask("sort", down + head.dataset.sgName, true);
      fill();
    }

    /** Boxes that pick builds for a comparison. */
    function pickers() {
      for (const { element } of rows) {
        const { sgId = "" } = element.dataset;
        const name = element.querySelector("th");
        if (!sgId || !name || name.querySelector("input")) continue;
        const box = make("input", {
          type: "checkbox",
          "aria-label": `Compare ${name.textContent?.trim()}`,
          change() {
            chosen = box.checked ? [...chosen, sgId] : chosen.filter((it) => it !== sgId);
            offer();
          },
        });
        name.prepend(make("label", { class: "sg-browse-pick" }, box));
      }
    }

    function offer() {
      const few = chosen.slice(0, MOST);
      const link = make("a", { href: `${root.dataset.compare}?with=${few.join(",")}` },
        few.length > 1 ? `Compare these ${few.length}` : "Compare it with others");
      const rest = chosen.length > MOST ? ` (the first ${MOST} of ${chosen.length} chosen)` : "";
      choose.replaceChildren(...(chosen.length ? [link, rest] : ["Tick builds to compare them."]));
    }

    function restore() {
      wanted = specgen.address.parameters(location);
      fill();
      narrow();
      sorted();
    }

    /** The page’s own script tells of new units, and that it has made the headings sortable. */
    function dressed() {
      fill();
      sorted();
    }

    table.tHead?.addEventListener("click", heard);
    document.addEventListener("specgen-units", dressed);
    addEventListener("popstate", restore);
    root.replaceChildren(make("details", { class: "sg-browse-fold" }, folded, form), order, clear,
      make("p", { class: "sg-browse-count" }, count), choose);
    pickers();
    offer();
    restore();
    return () => {
      document.removeEventListener("specgen-units", dressed);
      removeEventListener("popstate", restore);
    };
  }

  /** @param {HTMLTableRowElement} element @returns {Listed} */
  function listed(element) {
    const keys = [...element.cells].map((it) => it.dataset.sgKey ?? it.textContent?.trim() ?? "");
    return { element, keys, text: element.textContent?.toLowerCase() ?? "" };
  }

  /** @param {HTMLTableCellElement} head @returns {Filter[]} */
  function filterOf(head) {
    const { sgName = "", sgKind = "", sgTitle, sgQuantity } = head.dataset;
    if (!sgKind) return [];
    return [{ at: head.cellIndex, name: sgName, kind: sgKind,
      title: sgTitle ?? head.textContent?.trim() ?? "",
      quantity: sgQuantity ? JSON.parse(sgQuantity) : null }];
  }

  /** In which orders a column may stand: most first for figures, a to z for words.
   * @param {HTMLTableCellElement} head @returns {[string, string][]} */
  function ordersOf(head) {
    const { sgName = "", sgSort, sgTitle } = head.dataset;
    if (sgSort === undefined || sgName === "cylinders") return [];
    const words = sgTitle ?? head.textContent?.trim() ?? "";
    if (sgName === "date") return [[NEWEST, "newest first"], ["date", "oldest first"]];
    return head.classList.contains("sg-num") ? [[`-${sgName}`, `${words}, most first`]]
      : sgName === "build" ? [["build", "name"]] : [];
  }

  /** What occurs in a column, with how often. @param {Listed[]} rows @param {Filter} filter
   * @returns {[string, string][]} */
  function options(rows, { at }) {
    /** @type {Map<string, number>} */
    const counts = new Map();
    for (const key of rows.flatMap(({ keys }) => keys[at].split("|"))) {
      if (key) counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    const order = new Intl.Collator("en", { numeric: true }).compare;
    return [...counts].sort(([a], [b]) => order(a, b))
      .map(([key, count]) => [key, `${key} (${count})`]);
  }

  /** Years since which something was tested. @param {Listed[]} rows @param {Filter} filter
   * @returns {[string, string][]} */
  function years(rows, { at }) {
    const found = [...new Set(rows.map(({ keys }) => keys[at].slice(0, 4)))].filter(Boolean);
    return found.sort().reverse().map((year) => [`${year}..`, `since ${year}`]);
  }

  return { inRange, passes, start };
})();
specgen.page.tool("[data-sg-browse]", specgen.browse.start);
