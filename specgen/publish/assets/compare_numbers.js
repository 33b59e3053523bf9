// @ts-check
"use strict";

/**
 * The one namespace of our scripts. Pages that compare, browse and find load it; the data files of
 * an archive hand themselves over through `specgen.take`.
 */
var specgen = specgen || {};

/** @typedef {"metric" | "imperial"} System */
/** @typedef {[string, number, number, number]} ShownUnit label, factor, offset, decimals */
/** @typedef {[ShownUnit, ShownUnit]} Quantity how a quantity is shown, metric and imperial */

/** Figures as text, by the same rule as every other page; values are SI throughout. */
specgen.numbers = (() => {
  const THIN = "\u202f";
  const MINUS = "\u2212";
  /** @type {[System, System]} */
  const SYSTEMS = ["metric", "imperial"];

  /**
   * Decimal digits of a number that is not negative, rounded to `decimals` places, a tie to the
   * even digit; below zero to tens or hundreds. The language's own rounding takes ties upwards.
   * @param {number} number @param {number} decimals @returns {string}
   */
  function digits(number, decimals) {
    if (decimals < 0) {
      const step = 10 ** -decimals;
      const rest = number % step;
      const count = (number - rest) / step;
      const up = rest > step / 2 || (rest === step / 2 && count % 2 === 1);
      return ((count + Number(up)) * step).toFixed(0);
    }
    const rounded = number.toFixed(decimals);
    if (!Number.isInteger(number * 2 ** (decimals + 1))) return rounded;
    const longer = number.toFixed(decimals + 1);
    const lower = longer.slice(0, decimals ? -1 : -2);
    return longer.endsWith("5") && "02468".includes(lower.slice(-1)) ? lower : rounded;
  }

  /** Part thousands by a thin space. @param {string} text @returns {string} */
  function grouped(text) {
    const [whole, part] = text.split(".");
    const parted = whole.replace(/\B(?=(\d{3})+$)/g, THIN);
    return part === undefined ? parted : `${parted}.${part}`;
  }

  /**
   * Decimals that an uncertainty supports: its two leading digits if they begin with 1.
   * @param {number} uncertainty @returns {number}
   */
  function supported(uncertainty) {
    if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 9;
    const exponent = Math.floor(Math.log10(uncertainty));
    const leading = uncertainty / Number(`1e${exponent}`);
    return -exponent + (leading < 2 ? 1 : 0);
  }

  /** @param {Quantity} quantity @param {System} system @returns {ShownUnit} */
  function unitOf(quantity, system) {
    return quantity[SYSTEMS.indexOf(system)];
  }

  /** @param {number} value @param {ShownUnit} unit @param {number} decimals @returns {string} */
  function textOf(value, [, factor, offset], decimals) {
    const number = (value - offset) / factor;
    const text = grouped(digits(Math.abs(number), decimals));
    return number < 0 && /[1-9]/.test(text) ? MINUS + text : text;
  }

  /**
   * A value without its unit; an expanded uncertainty limits the decimals.
   * @param {Quantity} quantity @param {number} value @param {System} system
   * @param {number} [expanded] @returns {string}
   */
  function number(quantity, value, system, expanded) {
    const unit = unitOf(quantity, system);
    const most = expanded ? supported(expanded / unit[1]) : 9;
    return textOf(value, unit, Math.min(unit[3], most));
  }

  /**
   * An expanded uncertainty, with at most two significant digits.
   * @param {Quantity} quantity @param {number} expanded @param {System} system @returns {string}
   */
  function margin(quantity, expanded, system) {
    const unit = unitOf(quantity, system);
    const decimals = Math.min(unit[3] + 1, supported(expanded / unit[1]));
    return textOf(expanded + unit[2], unit, Math.max(decimals, -3));
  }

  /** A value with its unit. @param {Quantity} quantity @param {number} value
   * @param {System} system @param {number} [expanded] @returns {string} */
  function text(quantity, value, system, expanded) {
    return withUnit(number(quantity, value, system, expanded), quantity, system);
  }

  /** @param {string} written @param {Quantity} quantity @param {System} system @returns {string} */
  function withUnit(written, quantity, system) {
    const label = unitOf(quantity, system)[0];
    return label ? written + (label === "°" ? "" : THIN) + label : written;
  }

  /**
   * A figure as the data files write it: "number|margin|imperial number|imperial margin", imperial
   * parts left out where they read the same.
   * @param {Quantity} quantity @param {number} value @param {number} [expanded] @returns {string}
   */
  function figure(quantity, value, expanded) {
    const [metric, imperial] = SYSTEMS.map((system) => [
      number(quantity, value, system, expanded),
      expanded ? margin(quantity, expanded, system) : "",
    ]);
    const same = metric.join("|") === imperial.join("|");
    return (same ? metric : [...metric, ...imperial]).join("|").replace(/\|+$/, "");
  }

  /**
   * Number and margin of a written figure in one system.
   * @param {string} written @param {System} system @returns {[string, string]}
   */
  function parts(written, system) {
    const all = written.split("|");
    const at = system === "imperial" && all.length > 2 ? 2 : 0;
    return [all[at] ?? "", all[at + 1] ?? ""];
  }

  /** The number that a text shows; NaN if it shows none. @param {string} shown @returns {number} */
  function read(shown) {
    const plain = shown.replaceAll(THIN, "").replace(MINUS, "-");
    return plain === "" ? NaN : Number(plain);
  }

  return { SYSTEMS, THIN, figure, margin, number, parts, read, text, unitOf, withUnit };
})();

/** Elements, made without ever reading text as markup. */
specgen.page = (() => {
  const { SYSTEMS, THIN, parts } = specgen.numbers;

  /**
   * Make an element with attributes and contents; a text becomes a text, never markup.
   * @param {string} name @param {Record<string, string | number | boolean | undefined>} [attributes]
   * @param {...(Node | string | undefined)} contents @returns {HTMLElement}
   */
  function make(name, attributes = {}, ...contents) {
    const element = document.createElement(name);
    dress(element, attributes, contents);
    return element;
  }

  /**
   * The same for a drawing.
   * @param {string} name @param {Record<string, string | number | boolean | undefined>} [attributes]
   * @param {...(Node | string | undefined)} contents @returns {SVGElement}
   */
  function draw(name, attributes = {}, ...contents) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    dress(element, attributes, contents);
    return element;
  }

  /** @param {Element} element @param {Record<string, any>} attributes @param {any[]} contents */
  function dress(element, attributes, contents) {
    for (const [name, value] of Object.entries(attributes)) {
      if (value === true) element.setAttribute(name, "");
      else if (value !== undefined && value !== false) element.setAttribute(name, String(value));
    }
    element.append(...contents.filter((it) => it !== undefined));
  }

  /**
   * Something in both unit systems, of which styles show one.
   * @param {(system: System) => (Node | string)[]} printed @param {string} [kind] @returns {Node}
   */
  function inBoth(printed, kind = "sg-fig") {
    const [metric, imperial] = SYSTEMS.map((system) => make("span", {}, ...printed(system)));
    if (metric.textContent === imperial.textContent) {
      metric.className = kind;
      return metric;
    }
    metric.className = "sg-m";
    imperial.className = "sg-i";
    return make("span", { class: kind }, metric, imperial);
  }

  /**
   * A written figure as every page prints one: number, uncertainty, unit one step lighter.
   * @param {string} written @param {Quantity} quantity @returns {Node}
   */
  function figure(written, quantity) {
    return inBoth((system) => {
      const [number, margin] = parts(written, system);
      const label = specgen.numbers.unitOf(quantity, system)[0];
      const spread = margin ? [" ", make("span", { class: "sg-pm" }, `±${THIN}${margin}`)] : [];
      const unit = label ? [label === "°" ? "" : THIN, make("span", { class: "sg-u" }, label)] : [];
      return [number, ...spread, ...unit];
    });
  }

  /** A figure that is not there. @returns {Node} */
  function absent() {
    return make("span", { class: "sg-absent" }, "–");
  }

  /** The system that the page shows now. @returns {System} */
  function system() {
    return document.documentElement.dataset.sgUnits === "imperial" ? "imperial" : "metric";
  }

  return { absent, draw, figure, inBoth, make, system };
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
      const element = document.createElement("script");
      element.src = address;
      element.addEventListener("error", () => {
        asked.delete(name);
        refuse(new Error(`${name} could not be loaded`));
      });
      element.addEventListener("load", () => {
        element.remove();
        refuse(new Error(`${name} is not in its file`)); // nothing happens if it was taken
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
