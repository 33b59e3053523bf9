// @ts-check
"use strict";

/** Elements, made without ever reading text as markup. */
specgen.page = (() => {
  const { SYSTEMS, THIN, number, parts, unitOf, withUnit } = specgen.numbers;

  /** @typedef {Record<string, string | number | boolean | undefined | (() => void) |
   *   ((event: any) => void)>} Attributes a function is called for the event of its name */
  /** @typedef {Node | string | undefined} Content */

  /**
   * Make an element with attributes and contents; a text becomes a text, never markup.
   * @template {keyof HTMLElementTagNameMap} Name
   * @param {Name} name @param {Attributes} [attributes] @param {...Content} contents
   * @returns {HTMLElementTagNameMap[Name]}
   */
  function make(name, attributes, ...contents) {
    return dress(document.createElement(name), attributes, contents);
  }

  /**
   * The same for a drawing.
   * @param {string} name @param {Attributes} [attributes] @param {...Content} contents
   * @returns {Element}
   */
  function draw(name, attributes, ...contents) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    return dress(element, attributes, contents);
  }

  /**
   * @template {Element} Made
   * @param {Made} element @param {Attributes} [attributes] @param {Content[]} [contents]
   * @returns {Made}
   */
  function dress(element, attributes = {}, contents = []) {
    for (const [name, value] of Object.entries(attributes)) {
      if (typeof value === "function") element.addEventListener(name, value);
      else if (value !== undefined && value !== false) {
        element.setAttribute(name, value === true ? "" : String(value));
      }
    }
    element.append(...contents.filter((it) => it !== undefined));
    return element;
  }

  /** @param {string} words @param {() => void} click @param {Attributes} [attributes] */
  function button(words, click, attributes) {
    return make("button", { type: "button", click, ...attributes }, words);
  }

  /**
   * A choice of one, with its label.
   * @param {string} title @param {[string, string][]} options value and words of each
   * @param {string} now @param {(value: string) => void} changed @param {Attributes} [attributes]
   */
  function choice(title, options, now, changed, attributes) {
    const chosen = () => {
      changed(select.value);
    };
    const select = make("select", { change: chosen, ...attributes },
      ...options.map(([value, words]) => make("option", { value, selected: value === now }, words)));
    return title ? make("label", {}, `${title} `, select) : select;
  }

  /**
   * A field for a number in the units that the page shows; it takes and gives metric ones.
   * @param {Quantity | null} quantity @param {number} value none if it is not a number
   * @param {(value: number) => void} changed @param {Attributes} [attributes]
   */
  function amount(quantity, value, changed, attributes) {
    const scale = quantity ? unitOf(quantity, system())[1] / quantity[0][1] : 1;
    const brief = (/** @type {number} */ it, /** @type {number} */ digits) => Number(it.toPrecision(digits));
    const entered = () => {
      changed(input.value ? brief(Number(input.value) * scale, 5) : NaN);
    };
    const input = make("input", { type: "number", min: 0, step: "any", change: entered,
      value: Number.isFinite(value) ? brief(value / scale, 4) : "", ...attributes });
    return input;
  }

  /**
   * A table in a frame that scrolls.
   * @param {string} title @param {string} kind its class
   * @param {HTMLElement[]} heads @param {(Node | undefined)[]} rows or groups of rows
   */
  function table(title, kind, heads, rows) {
    return make("div", { class: "sg-scroll", tabindex: 0, role: "region", "aria-label": title },
      make("table", { class: `sg-table ${kind}` }, make("caption", { class: "sg-spoken" }, title),
        make("thead", {}, make("tr", {}, ...heads)), ...rows));
  }

  /**
   * A heading of a column or, by its scope, of a row.
   * @param {Content[]} contents @param {boolean} [numeric] @param {Attributes} [attributes]
   */
  function head(contents, numeric, attributes) {
    return make("th", { scope: "col", class: numeric && "sg-num", ...attributes }, ...contents);
  }

  /** A cell of figures. @param {Content} content @param {Attributes} [attributes] */
  function cell(content, attributes) {
    return make("td", { class: "sg-num", ...attributes }, content);
  }

  /** @param {...Content} contents */
  function note(...contents) {
    return make("p", { class: "sg-note" }, ...contents);
  }

  /**
   * Something in each unit system, of which styles show one.
   * @param {(system: System) => (Node | string)[]} printed @param {string} [kind] @returns {Node}
   */
  function inBoth(printed, kind = "sg-fig") {
    /** @type {HTMLElement[]} */
    const each = [];
    for (const system of SYSTEMS) {
      const span = make("span", {}, ...printed(system));
      const same = each.find((it) => it.textContent === span.textContent);
      if (!same) each.push(span);
      (same ?? span).className += ` sg-${system[0]}`;
    }
    if (each[1]) return make("span", { class: kind }, ...each);
    each[0].className = kind;
    return each[0];
  }

  /**
   * A written figure as every page prints one: number, uncertainty, unit one step lighter.
   * @param {string} written @param {Quantity} quantity @returns {Node}
   */
  function figure(written, quantity) {
    return inBoth((system) => {
      const [number, margin] = parts(written, system);
      const label = unitOf(quantity, system)[0];
      const unit = (label === "°" || !label ? "" : THIN) + label;
      const lighter = margin ? `±${THIN}${margin}${unit}` : unit;
      return [number, ...(margin ? [" "] : []), ...(lighter ? [make("small", {}, lighter)] : [])];
    });
  }

  /** A written figure without its uncertainty. @param {string} written @param {Quantity} quantity */
  function bare(written, quantity) {
    return inBoth((system) => [withUnit(parts(written, system)[0], quantity, system)]);
  }

  /**
   * "183 to 229 kW", in both unit systems.
   * @param {number[]} ends @param {Quantity} quantity @param {number} [wide] limits the decimals
   */
  function between(ends, quantity, wide) {
    return inBoth((system) => {
      const [from, to] = ends.map((end) => number(quantity, end, system, wide));
      return [(from === to ? "" : `${from} to `) + withUnit(to, quantity, system)];
    });
  }

  /** A figure that is not there. */
  function absent() {
    return make("span", { class: "sg-absent" }, "–");
  }

  /** The system that the page shows now. @returns {System} */
  function system() {
    return /** @type {System | undefined} */ (document.documentElement.dataset.sgUnits) ?? "metric";
  }

  /**
   * All elements that a selector finds.
   * @param {string} selector @returns {HTMLElement[]}
   */
  function all(selector) {
    return [.../** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(selector))];
  }

  /** Something kept on the reader's machine; storage may be forbidden. @param {string} key */
  function memory(key) {
    return {
      /** @returns {string | null} */
      get: () => {
        try {
          return localStorage.getItem(key);
        } catch {
          return null;
        }
      },
      /** @param {string} value */
      set: (value) => {
        try {
          localStorage.setItem(key, value);
        } catch {
          // A private window may refuse: the choice then lasts as long as the page.
        }
      },
    };
  }

  /** Do something on each page that comes in. @param {() => void} act */
  function onPage(act) {
    // A theme that swaps pages without loading them announces each one; also the first.
    const pages = /** @type {any} */ (window).document$;
    if (pages?.subscribe) pages.subscribe(act);
    else if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", act);
    else act();
  }

  /** @type {Set<string>} */
  const tools = new Set();

  /**
   * Run a tool in its places on each page, and end it when the page goes. Known tools are not
   * taken again: a theme that swaps pages runs a page's scripts at each visit.
   * @param {string} where @param {(root: HTMLElement) => () => void} start
   */
  function tool(where, start) {
    if (tools.has(where)) return;
    tools.add(where);
    /** @type {(() => void)[]} */
    let ends = [];
    onPage(() => {
      for (const end of ends) end();
      ends = all(where).map(start);
    });
  }

  return { absent, all, amount, bare, between, button, cell, choice, draw, figure, head, inBoth,
    make, memory, note, onPage, system, table, tool };
})();

/** Data files, each loaded once, by a script element of our own: a disk allows nothing else. */
specgen.data = (() => {
  /** @type {Map<string, {promise: Promise<any>, done: (data: any) => void}>} */
  const asked = new Map();

  /**
   * Ask for the data of a name from the file at an address.
   * @param {string} name @param {string} address @returns {Promise<any>} refused if there is none
   */
  function load(name, address) {
    const known = asked.get(name);
    if (known) return known.promise;
    /** @type {(data: any) => void} */
    let done = () => {};
    const promise = new Promise((resolve, refuse) => {
      done = resolve;
      const element = specgen.page.make("script", {
        src: address,
        error() {
          asked.delete(name);
          refuse(new Error(`${name} could not be loaded`));
        },
        load() {
          element.remove();
          refuse(new Error(`${name} is not in its file`)); // nothing happens if it was taken
        },
      });
      document.head.append(element);
    });
    asked.set(name, { promise, done });
    return promise;
  }

  /** Take what a data file hands over. @param {string} name @param {any} data */
  function take(name, data) {
    asked.get(name)?.done(data);
  }

  return { load, take };
})();

/** The door by which data files come in. */
specgen.take = specgen.data.take;
