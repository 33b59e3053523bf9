// @ts-check
"use strict";

/**
 * The one namespace of our scripts. Pages that compare, browse and find load it; the data files of
 * an archive hand themselves over through `specgen.take`.
 */
var specgen = specgen || {};

/** @typedef {"metric" | "imperial" | "own"} System */
/** @typedef {[string, number, number, number]} ShownUnit label, factor, offset, decimals */
/** @typedef {ShownUnit[]} Quantity how a quantity is shown in each system */

/** Figures as text, by the same rule as every other page; values are SI throughout. */
specgen.numbers = (() => {
  const THIN = "\u202f";
  const MINUS = "\u2212";
  /** A workshop may have units of its own; then every page of its site says so. @type {System[]} */
  const SYSTEMS = ["metric", "imperial"];
  if (document.querySelector("[data-sg-own]")) SYSTEMS.push("own");

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
   * An expanded uncertainty to the last digit of its figure, one in that at least; "" where it is
   * a tenth of one or less.
   * @param {Quantity} quantity @param {number} expanded @param {System} system @returns {string}
   */
  function margin(quantity, expanded, system) {
    const unit = unitOf(quantity, system);
    const size = expanded / unit[1];
    const decimals = Math.max(Math.min(unit[3], supported(size)), -3);
    const least = Number(`1e${-decimals}`);
    return size > least / 10 ? textOf(Math.max(size, least) * unit[1] + unit[2], unit, decimals) : "";
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
   * A figure as the data files write it: "number|margin|imperial number|imperial margin" and so on,
   * the last parts left out where they read as the first.
   * @param {Quantity} quantity @param {number} value @param {number} [expanded] @returns {string}
   */
  function figure(quantity, value, expanded) {
    const pairs = SYSTEMS.map((system) => [
      number(quantity, value, system, expanded),
      expanded ? margin(quantity, expanded, system) : "",
    ].join("|"));
    while (pairs[1] && pairs.at(-1) === pairs[0]) pairs.pop();
    return pairs.join("|").replace(/\|+$/, "");
  }

  /**
   * Number and margin of a written figure in one system.
   * @param {string} written @param {System} system @returns {[string, string]}
   */
  function parts(written, system) {
    const all = written.split("|");
    let at = 2 * SYSTEMS.indexOf(system);
    if (!all[at]) at = 0;
    return [all[at] ?? "", all[at + 1] ?? ""];
  }

  /** The number that a text shows; NaN if it shows none. @param {string} shown @returns {number} */
  function read(shown) {
    const plain = shown.replaceAll(THIN, "").replace(MINUS, "-");
    return plain === "" ? NaN : Number(plain);
  }

  /** @param {string} text @returns {string} */
  function capital(text) {
    return text.charAt(0).toUpperCase() + text.slice(1);
  }

  return { SYSTEMS, THIN, capital, figure, margin, number, parts, read, text, unitOf, withUnit };
})();
