// @ts-check
"use strict";

/** @typedef {[number, number][]} Shares number of an independent root, its share of a figure */
/**
 * @typedef {object} InBase a pull in one base
 * @property {Record<string, string>} cells
 * @property {number} [factor] takes a reported figure to the base
 * @property {Shares} [air] what that factor rests on
 * @property {string} [why] why the figure could not be brought to the base
 * @property {1} [beyond] the standard does not permit its factor in this air
 */
/**
 * @typedef {object} Pull
 * @property {string} id @property {number} setup @property {string} date @property {string} place
 * @property {[number, number]} line range of what of the flywheel's power arrives there
 * @property {number} density of the air in kg/m3, 0 if not known
 * @property {Record<string, string>} cells
 * @property {Record<string, InBase>} bases
 * @property {{power: number, torque: number, boost: number}} peak SI, 0 if not recorded
 * @property {{power: Shares, torque: Shares}} own what the reading itself rests on
 * @property {number} boost_u standard uncertainty in Pa
 * @property {(number | null)[]} [speed] in rpm
 * @property {(number | null)[]} [power] in kW
 * @property {(number | null)[]} [torque] in N m
 * @property {(number | null)[]} [boost] in kPa
 */
/** @typedef {{id: string, title: string, cells: Record<string, string>, best: string}} Setup */
/**
 * @typedef {object} Build
 * @property {string} title @property {Record<string, string>} cells
 * @property {[number, number]} volume in m3, relative standard uncertainty
 * @property {Setup[]} setups @property {string} best @property {Pull[]} pulls
 * @property {Record<string, string>} formerly ids that pulls had before
 */
/**
 * @typedef {object} Item one column of a comparison
 * @property {string} letter @property {string} id of the build @property {Build} build
 * @property {Setup} setup @property {Pull | null} pull none for a planned setup
 * @property {string} [name] what tells it from the others: its setup, or its build
 */
/** @typedef {"power" | "torque" | "boost"} CurveKey */
/** @typedef {{base: string, litre: boolean, place: string}} Basis */
/** @typedef {Record<string, [string, number, number]>} Places words, and the range at each point */
/** @typedef {{x: number[], y: number[]}} Curve speed [rpm], SI value; NaN is a gap */

/** What figures become in a base, what they differ by, and whether tests can tell that. */
specgen.measure = (() => {
  const KW = 1000;
  const KPA = 1000;

  /** The vocabulary's name of what a curve shows. @param {CurveKey} key @param {Basis} basis */
  function quantityOf(key, basis) {
    if (!basis.litre || key === "boost") return key;
    return key === "power" ? "specific_power" : "mean_pressure";
  }

  /**
   * What takes a reported figure to the basis: factor, and per litre the engine's own.
   * Torque per litre is shown as the brake mean effective pressure, 4 pi T / V of four strokes.
   * @param {Item} item @param {CurveKey} key @param {Basis} basis @returns {number}
   */
  function multiplier({ build, pull }, key, basis) {
    if (key === "boost") return 1;
    const factor = pull?.bases[basis.base].factor ?? NaN;
    if (!basis.litre) return factor;
    return (factor / build.volume[0]) * (key === "torque" ? 4 * Math.PI : 1);
  }

  /**
   * A pull's curve on the basis; null where nothing was recorded over speed.
   * @param {Item} item @param {CurveKey} key @param {Basis} basis @returns {Curve | null}
   */
  function curve(item, key, basis) {
    const { pull } = item;
    if (!pull?.speed) return null;
    const x = pull.speed.map(known);
    const read = reported(pull, key, x);
    if (!read) return null;
    const times = multiplier(item, key, basis);
    return { x, y: read.map((value) => value * times) };
  }

  /** @param {number | null} value @returns {number} */
  function known(value) {
    return value ?? NaN;
  }

  /**
   * SI values as the dyno has them; power and torque follow from each other.
   * @param {Pull} pull @param {CurveKey} key @param {number[]} x @returns {number[] | null}
   */
  function reported(pull, key, x) {
    const turning = (/** @type {number} */ rpm) => (2 * Math.PI * rpm) / 60;
    if (key === "boost") return pull.boost?.map((it) => known(it) * KPA) ?? null;
    if (key === "power") {
      if (pull.power) return pull.power.map((it) => known(it) * KW);
      return pull.torque?.map((it, at) => known(it) * turning(x[at])) ?? null;
    }
    if (pull.torque) return pull.torque.map(known);
    return pull.power?.map((it, at) => (known(it) * KW) / turning(x[at])) ?? null;
  }

  /** @param {Item} item @param {CurveKey} key @param {Basis} basis @returns {number} NaN: no figure */
  function peak(item, key, basis) {
    const read = item.pull?.peak[key];
    return read ? read * multiplier(item, key, basis) : NaN;
  }

  /**
   * What a figure rests on: share of each independent root by a name of its own.
   * @param {Item} item @param {CurveKey} key @param {Basis} basis @returns {Map<string, number>}
   */
  function roots(item, key, basis) {
    /** @type {Map<string, number>} */
    const found = new Map();
    if (!item.pull) return found;
    const own = item.pull.own[key === "boost" ? "power" : key] ?? [];
    for (const [root, share] of [...own, ...(item.pull.bases[basis.base].air ?? [])]) {
      found.set(`${item.id} ${root}`, share);
    }
    if (basis.litre) found.set(`${item.id} volume`, -item.build.volume[1]);
    return found;
  }

  /**
   * Expanded uncertainty (k = 2) of a value of an item's curve, or of its peak.
   * @param {Item} item @param {CurveKey} key @param {Basis} basis @param {number} value
   */
  function expanded(item, key, basis, value) {
    if (key === "boost") return 2 * (item.pull?.boost_u ?? 0);
    return 2 * Math.hypot(...roots(item, key, basis).values()) * Math.abs(value);
  }

  /**
   * Second less first, with the expanded uncertainty of that: what both rest on falls out.
   * @param {Item} first @param {Item} second @param {CurveKey} key @param {Basis} basis
   * @returns {{value: number, expanded: number}} NaN where one has no figure
   */
  function difference(first, second, key, basis) {
    const [a, b] = [peak(first, key, basis), peak(second, key, basis)];
    if (key === "boost") {
      const spread = Math.hypot(expanded(first, key, basis, a), expanded(second, key, basis, b));
      return { value: b - a, expanded: spread };
    }
    const [one, other] = [roots(first, key, basis), roots(second, key, basis)];
    const names = new Set([...one.keys(), ...other.keys()]);
    const parts = [...names].map((it) => b * (other.get(it) ?? 0) - a * (one.get(it) ?? 0));
    return { value: b - a, expanded: 2 * Math.hypot(...parts) };
  }

  /**
   * What a pull's figures are: in the base that was asked for, else observed, else as reported.
   * @param {Item} item @param {string} base @returns {string}
   */
  function state({ pull }, base) {
    if (!pull?.bases[base].why) return base;
    return pull.bases.observed.why ? "reported" : "observed";
  }

  /**
   * Whether two items' power stands like for like: same measuring point, same known correction.
   * @param {Item} first @param {Item} second @param {string} base @returns {boolean}
   */
  function comparable(first, second, base) {
    const same = state(first, base);
    return (
      first.pull?.place === second.pull?.place && same === state(second, base) && same !== "reported"
    );
  }

  /**
   * The range of factors that takes a figure from where it was measured to a measuring point.
   * @param {Item} item @param {string} place "" for as measured @param {Places} places
   * @returns {[number, number]} both 1 where nothing lies between
   */
  function way({ pull }, place, places) {
    if (!pull || !place || place === pull.place) return [1, 1];
    const [, low, high] = places[place];
    return [low / pull.line[1], high / pull.line[0]];
  }

  /**
   * The ends between which a value lies at a measuring point, its own uncertainty included; null
   * where it was measured there. Boost does not pass through the drive line.
   * @param {Item} item @param {CurveKey} key @param {Basis} basis @param {number} value
   * @param {Places} places @returns {[number, number] | null}
   */
  function band(item, key, basis, value, places) {
    const [low, high] = way(item, basis.place, places);
    if (key === "boost" || (low === 1 && high === 1)) return null;
    const spread = expanded(item, key, basis, value);
    return [(value - spread) * low, (value + spread) * high];
  }

  /**
   * A curve's value at a speed, a straight line between readings; NaN beyond its ends or in a gap.
   * @param {Curve} line @param {number} speed @returns {number}
   */
  function at({ x, y }, speed) {
    const next = x.findIndex((it) => it >= speed);
    if (next < 0 || Number.isNaN(speed)) return NaN;
    if (x[next] === speed) return y[next];
    if (next === 0) return NaN;
    const share = (speed - x[next - 1]) / (x[next] - x[next - 1]);
    return y[next - 1] + share * (y[next] - y[next - 1]);
  }

  /**
   * Mean of a curve over a speed range: its area, by straight lines between readings, over the
   * range; NaN where the curve does not cover the range.
   * @param {Curve} line @param {number} from @param {number} to @returns {number}
   */
  function average(line, from, to) {
    const inside = line.x.filter((it) => it > from && it < to);
    const speeds = [from, ...inside, to];
    const values = speeds.map((it) => at(line, it));
    let area = 0;
    for (let step = 1; step < speeds.length; step += 1) {
      area += ((values[step] + values[step - 1]) / 2) * (speeds[step] - speeds[step - 1]);
    }
    return area / (to - from);
  }

  /** The speeds that all curves cover. @param {Curve[]} lines @returns {[number, number] | null} */
  function shared(lines) {
    const from = Math.max(...lines.map((it) => Math.min(...recorded(it))));
    const to = Math.min(...lines.map((it) => Math.max(...recorded(it))));
    return lines.length && to > from ? [from, to] : null;
  }

  /** Speeds with a reading. @param {Curve} line @returns {number[]} */
  function recorded({ x, y }) {
    return x.filter((it, index) => Number.isFinite(it) && Number.isFinite(y[index]));
  }

  return { at, average, band, comparable, curve, difference, expanded, peak, quantityOf, recorded,
    roots, shared, state };
})();
