// @ts-check
"use strict";

/**
 * What the functions of the model rest on in a browser: a number's domain, where a surplus crosses
 * zero, straight lines of a measured map. Each works on one engine speed at a time, where Python
 * works on whole curves; what the functions themselves say is made from Python when the site is.
 */
specgen.elements = (() => {
  /** Figures that no state of an engine satisfies; the words say which. */
  class Unphysical extends Error {}

  /** A number to six digits, as Python's "g" writes it. @param {number} value @returns {string} */
  function toBrief(value) {
    if (!Number.isFinite(value) || value === 0) return String(value);
    const [digits, power] = value.toExponential(5).split("e");
    const size = Number(power);
    if (size >= -4 && size < 6) return String(Number(value.toPrecision(6)));
    const sign = size < 0 ? "-" : "+";
    return `${Number(digits)}e${sign}${String(Math.abs(size)).padStart(2, "0")}`;
  }

  /** @param {string} name @param {number} value @param {string} wanted @returns {never} */
  function refuse(name, value, wanted) {
    throw new Unphysical(`${name} must be ${wanted}, but is ${toBrief(value)}`);
  }

  /** @param {string} name @param {number} value */
  function isPositive(name, value) {
    if (value <= 0) refuse(name, value, "above zero");
  }

  /** @param {string} name @param {number} value */
  function isNotNegative(name, value) {
    if (value < 0) refuse(name, value, "zero or above");
  }

  /** @param {string} name @param {number} value @param {number} low @param {number} high */
  function isBetween(name, value, low, high) {
    if (value < low || value > high) refuse(name, value, `from ${toBrief(low)} to ${toBrief(high)}`);
  }

  /** @param {string} name @param {number} value */
  function isAtLeastOne(name, value) {
    if (value < 1) refuse(name, value, "one or above");
  }

  /** @param {string} name @param {number} value @param {number} floor @param {string} words */
  function isAbove(name, value, floor, words) {
    if (value <= floor) refuse(name, value, `above ${words}`);
  }

  /** @param {string} name @param {number} value */
  function isEfficiency(name, value) {
    isPositive(name, value);
    isBetween(name, value, 0, 1);
  }

  /** @param {number} value @returns {number} */
  function toSquare(value) {
    return value * value;
  }

  /** A state with some figures changed, in its own place: nobody looks at the one before.
   * @param {any} owner @param {object} changed */
  function asReplaced(owner, changed) {
    return Object.assign(owner, changed);
  }

  /** @param {number} speed */
  function speedsOf(speed) {
    isPositive("engine speed", speed);
    return speed;
  }

  /** A reason is told for a whole curve at once: by `told` of the working. */
  function noReason() {
    return null;
  }

  /** A typed engine has no control that holds its boost. @param {any} _values @param {any} match */
  function unheld(_values, match) {
    return match;
  }

  const KNOTS = [0.3, 0.5, 0.7, 0.85, 1];

  /** @param {any} its @param {string} name @returns {number[]} */
  function shapeOf(its, name) {
    return name === "breathing"
      ? [its.breathing_1, its.breathing_2, its.breathing_3, its.breathing_4, its.breathing_5]
      : [its.burning_1, its.burning_2, its.burning_3, its.burning_4, its.burning_5];
  }

  /** Straight lines through values at fixed shares, level beyond. @param {number} share
   * @param {number[]} shape @returns {number} */
  function bendOf(share, shape) {
    return between(share, KNOTS, shape);
  }

  /** A value on straight lines between points, level beyond the ends. @param {number} at
   * @param {number[]} points rising @param {number[]} values @returns {number} */
  function between(at, points, values) {
    if (!(at > points[0])) return Number.isNaN(at) ? NaN : values[0];
    for (let next = 1; next < points.length; next++) {
      if (at < points[next]) {
        const share = (at - points[next - 1]) / (points[next] - points[next - 1]);
        return values[next - 1] + share * (values[next] - values[next - 1]);
      }
    }
    return values[values.length - 1];
  }

  /** Where the last balance of a base case lay, near which those of its moved cases lie. */
  const near = { point: NaN, found: NaN, slope: NaN };
  const GRID = 16;
  const CLOSE = 1e-9;
  const CLOSER = 1e-11;
  const AROUND = 0.05;
  const TOUCH = 1e-6;

  /**
   * Lowest point where a surplus falls through zero, and whether there is one.
   * @param {(point: number) => number} surplus @param {number} low @param {number} high
   * @returns {[number, boolean]}
   */
  function firstCrossing(surplus, low, high) {
    if (!Number.isNaN(near.point)) {
      const found = followed(surplus, low, high);
      if (!Number.isNaN(found)) return [found, true];
    }
    const bracket = firstFall(surplus, low, high);
    if (!bracket) return [NaN, false];
    near.found = closedIn(surplus, ...bracket);
    near.slope = (surplus(near.found + TOUCH) - surplus(near.found - TOUCH)) / (2 * TOUCH);
    return [near.found, true];
  }

  /** The crossing of a case that differs little from the base, by secants from the base's own; not
   * a number where they do not close in. @param {(point: number) => number} surplus
   * @param {number} low @param {number} high @returns {number} */
  function followed(surplus, low, high) {
    let before = near.point;
    let at = surplus(before);
    let point = before - at / near.slope;
    for (let step = 0; step < 8; step++) {
      if (!(point >= low && point <= high) || Math.abs(point - near.point) > AROUND) return NaN;
      if (Math.abs(point - before) <= CLOSER * (1 + Math.abs(point))) return point;
      const value = surplus(point);
      const next = value === 0 ? point : point - value * (point - before) / (value - at);
      before = point;
      at = value;
      point = next;
    }
    return NaN;
  }

  /** @param {(point: number) => number} surplus @param {number} low @param {number} high
   * @returns {[number, number, number, number] | null} */
  function firstFall(surplus, low, high) {
    let [left, at] = [low, surplus(low)];
    for (let step = 1; step <= GRID; step++) {
      const right = low + (high - low) * (step / GRID);
      const value = surplus(right);
      if (at > 0 && value <= 0) return [left, right, at, value];
      [left, at] = [right, value];
    }
    return null;
  }

  /** Ridders' method, as the model's own. @param {(point: number) => number} surplus
   * @param {number} left @param {number} right @param {number} atLeft @param {number} atRight
   * @returns {number} */
  function closedIn(surplus, left, right, atLeft, atRight) {
    let point = right;
    for (let step = 0; step < 60; step++) {
      const middle = 0.5 * (left + right);
      const atMiddle = surplus(middle);
      const spread = Math.sqrt(Math.max(atMiddle * atMiddle - atLeft * atRight, 2.2e-308));
      const previous = point;
      point = Math.min(Math.max(middle + (middle - left) * atMiddle / spread, left), right);
      const atPoint = surplus(point);
      const inside = middle >= left && middle <= right; // always, unless it is not a number
      if (inside && atMiddle > 0) {
        left = middle;
        atLeft = atMiddle;
      } else if (inside) {
        right = middle;
        atRight = atMiddle;
      }
      if (point >= left && point <= right) {
        if (atPoint > 0) {
          left = point;
          atLeft = atPoint;
        } else {
          right = point;
          atRight = atPoint;
        }
      }
      if (Math.abs(point - previous) <= CLOSE * (1 + Math.abs(point))) break;
    }
    return point;
  }

  const EDGE = 1e-9;

  /** The last of rising points that is not above a value, never the very last; looked for from a
   * place near by. @param {number[]} points @param {number} value @param {number} [at]
   * @returns {number} */
  function below(points, value, at = 0) {
    while (at < points.length - 2 && points[at + 1] <= value) at++;
    while (at > 0 && points[at] > value) at--;
    return at;
  }

  /** Points measured at several speeds, on one row of shares; see `_speed_lines` of the physics. */
  class SpeedLines {
    /** @param {{speed: number[], along: number[][], values: Record<string, number[][]>}} data */
    constructor({ speed, along, values }) {
      const low = along.map((line) => line[0]);
      const high = along.map((line) => line[line.length - 1]);
      const shares = along.map((line, at) => line.map((it) => (it - low[at]) / (high[at] - low[at])));
      const share = [...new Set(shares.flat())].sort((a, b) => a - b);
      const tables = Object.entries(values).map(([name, lines]) => [name, lines.map((line, at) =>
        share.map((it) => between(it, shares[at], line)))]);
      this.all = { speed, low, high, share,
        values: /** @type {Record<string, number[][]>} */ (Object.fromEntries(tables)) };
    }

    /** @param {number} speed */
    at(speed) {
      return new Columns(this.all, speed);
    }
  }

  /** The lines at one speed. */
  class Columns {
    /** @param {SpeedLines["all"]} lines @param {number} speed */
    constructor(lines, speed) {
      const speeds = lines.speed;
      const held = Math.min(Math.max(speed, speeds[0]), speeds[speeds.length - 1]);
      this.row = below(speeds, held);
      this.weight = (held - speeds[this.row]) / (speeds[this.row + 1] - speeds[this.row]);
      this.share = lines.share;
      this.values = lines.values;
      this.left = 0;
      this.low = this.mixed(lines.low[this.row], lines.low[this.row + 1]);
      this.high = this.mixed(lines.high[this.row], lines.high[this.row + 1]);
      this.too_slow = speed < speeds[0] * (1 - EDGE);
      this.too_fast = speed > speeds[speeds.length - 1] * (1 + EDGE);
    }

    /** @param {number} one @param {number} other */
    mixed(one, other) {
      return (1 - this.weight) * one + this.weight * other;
    }

    /** @param {number} share */
    along(share) {
      return (1 - share) * this.low + share * this.high;
    }

    /** @param {number} share @param {...string} names @returns {number[]} */
    look_up(share, ...names) {
      const left = this.left = below(this.share, Number.isNaN(share) ? 0 : share, this.left);
      const start = this.share[left];
      const weight = (share - start) / (this.share[left + 1] - start);
      const found = [];
      for (const name of names) {
        const one = this.values[name][this.row];
        const other = this.values[name][this.row + 1];
        found.push((1 - weight) * this.mixed(one[left], other[left])
          + weight * this.mixed(one[left + 1], other[left + 1]));
      }
      return found;
    }
  }

  /** A measured map with what its losses are referred to. */
  class BlowerMap {
    /** @param {any} data */
    constructor(data) {
      this.lines = new SpeedLines(data);
      this.reference = data.reference;
      this.reference_pressure = data.reference_pressure;
      this.reference_temperature = data.reference_temperature;
    }

    /** @param {number} speed */
    least_loaded(speed) {
      return between(speed, this.lines.all.speed, this.reference);
    }

    /** @param {number} speed */
    middle_ratio(speed) {
      return between(speed, this.lines.all.speed, this.reference);
    }
  }

  return { BlowerMap, Unphysical, asReplaced, bendOf, between, firstCrossing, isAbove, isAtLeastOne,
    isBetween, isEfficiency, isNotNegative, isPositive, near, noReason, shapeOf, speedsOf, toBrief,
    toPower: Math.pow, toSquare, unheld };
})();
