// @ts-check
"use strict";

/**
 * @typedef {object} Wish one setup a reader wants: "" for the best one
 * @property {string} build @property {string} setup @property {string} pull
 */
/**
 * @typedef {object} State everything a comparison shows, as its address holds it
 * @property {Wish[]} chosen
 * @property {string} base key of a base, "" for the archive's own
 * @property {boolean} litre
 * @property {string} place a measuring point, "" for as measured
 * @property {number} speed of the read-out [rpm], 0 for the highest peak
 * @property {[number, number] | null} range of the average [rpm]
 * @property {string[]} hidden letters of curves that are switched off
 * @property {boolean} differing only rows that differ
 */

/** The state of a page in its address, so that a link restores it and the way back works. */
specgen.address = (() => {
  const ID = /^[a-z0-9][a-z0-9.-]*$/i;

  /**
   * The address's own parameters; a page opened from a disk keeps them behind the hash.
   * @param {{search: string, hash: string}} location @returns {URLSearchParams}
   */
  function parameters(location) {
    const behind = location.hash.startsWith("#?") ? location.hash.slice(2) : "";
    return new URLSearchParams(location.search.length > 1 ? location.search : behind);
  }

  /** @param {URLSearchParams} found @returns {State} */
  function parse(found) {
    const text = (/** @type {string} */ name) => found.get(name) ?? "";
    const [from, to, ...more] = text("range").split("-").map(Number);
    return {
      chosen: text("with").split(",").flatMap(wish),
      base: text("base"),
      litre: text("per") === "litre",
      place: text("at"),
      speed: whole(text("speed")),
      range: !more.length && from > 0 && to > from ? [from, to] : null,
      hidden: text("hide").match(/[a-z]/g) ?? [],
      differing: text("rows") === "differing",
    };
  }

  /** @param {string} text @returns {Wish[]} */
  function wish(text) {
    const [build = "", setup = "", pull = ""] = text.trim().split("/");
    return ID.test(build) ? [{ build, setup, pull }] : [];
  }

  /** @param {string} text @returns {number} */
  function whole(text) {
    const number = Number(text);
    return number > 0 && number < Infinity ? number : 0;
  }

  /** One wish as the address writes it. @param {Wish} it @returns {string} */
  function written({ build, setup, pull }) {
    return [build, setup, setup && pull].filter(Boolean).join("/");
  }

  /** Everything that is not as usual, in a fixed order. @param {State} state @returns {string} */
  function query(state) {
    /** @type {[string, string | number | false | null | undefined][]} */
    const pairs = [
      ["with", state.chosen.map(written).join(",")],
      ["base", state.base],
      ["per", state.litre && "litre"],
      ["at", state.place],
      ["speed", state.speed],
      ["range", state.range?.join("-")],
      ["hide", state.hidden.join("")],
      ["rows", state.differing && "differing"],
    ];
    return joined(pairs);
  }

  /**
   * Pairs as a query, empty values left out; commas and slashes stay legible.
   * @param {[string, unknown][]} pairs @returns {string}
   */
  function joined(pairs) {
    const kept = pairs.filter(([, value]) => value);
    const plain = (/** @type {unknown} */ value) =>
      encodeURIComponent(String(value)).replaceAll("%2C", ",").replaceAll("%2F", "/");
    return kept.map(([name, value]) => `${name}=${plain(value)}`).join("&");
  }

  /**
   * Put a query into the address bar, units kept: a new step back, or in place of this one.
   * @param {string} own @param {boolean} step
   */
  function put(own, step) {
    const units = parameters(location).get("units");
    const all = [own, units && `units=${encodeURIComponent(units)}`].filter(Boolean).join("&");
    const now = parameters(location).toString();
    if (new URLSearchParams(all).toString() === now) return;
    const way = step ? "pushState" : "replaceState";
    const path = location.pathname;
    try {
      history[way](null, "", all ? `${path}?${all}` : path);
    } catch {
      // A page opened from a disk may change only what stands behind the hash.
      history[way](null, "", `#?${all}`);
    }
  }

  return { joined, parameters, parse, put, query, written };
})();
