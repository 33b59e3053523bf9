// @ts-check
"use strict";

/**
 * @typedef {object} Attempt a measured combo, and what this same estimate said of it
 * @property {string} build @property {string} title @property {string} setup
 * @property {string} fuel @property {string} fuelWords @property {string} place
 * @property {number} litres @property {number} speed @property {number} turned
 * @property {[number, number, number] | null} boost measured, estimated and width, SI
 * @property {[number, number, number] | null} power
 */

/** What an estimate says: its figures, the table of pairs, the nearest measured combos, in words. */
specgen.telling = (() => {
  const { between, button, cell, figure, head, inBoth, make, note, table } = specgen.page;
  const numbers = specgen.numbers;
  const { THIN } = numbers;
  const SHOWN = 5;
  /** Pairs to either side of the one that is shown, which a sheet of paper has room for. */
  const PAPER = 2;

  /** A figure with its band. @param {Read | undefined} read @param {Quantity} quantity @returns {Node} */
  function banded(read, quantity) {
    if (!read || !("value" in read)) return specgen.page.absent();
    return figure(numbers.figure(quantity, read.value, read.width), quantity);
  }

  /** The highest of a curve with its band and speed. @param {Pair} pair @param {string} key
   * @returns {{read: Read, speed: number}} */
  function peak(pair, key) {
    const curve = pair.curves[key];
    const known = curve?.values.filter(Number.isFinite) ?? [];
    if (!known.length) return { read: pair.figures[key] ?? { reason: pair.reason }, speed: NaN };
    const at = curve.values.indexOf(Math.max(...known));
    return { read: { value: curve.values[at], width: curve.high[at] - curve.values[at] }, speed: pair.speeds[at] };
  }

  /** The pairs that break no limit for certain; where each lacks octane, those that break no other:
   * a later spark may answer that, at a cost in power which the estimate bears.
   * @param {Pair[]} pairs @returns {{kept: Pair[], octane: boolean}} */
  function within(pairs) {
    const breaks = (/** @type {Pair} */ pair, /** @type {boolean} */ octane) =>
      pair.rooms.some(({ key, state }) => state === "beyond" && (octane || key !== "octane_asked"));
    const known = pairs.filter((it) => !it.reason && "value" in it.figures.boost);
    const kept = known.filter((it) => !breaks(it, true));
    return kept.length ? { kept, octane: true } : { kept: known.filter((it) => !breaks(it, false)), octane: false };
  }

  /** Limits of a pair in words. @param {Pair} pair @param {Record<string, Quantity>} quantities
   * @returns {Node[]} */
  function limits(pair, quantities) {
    return pair.rooms.map(({ title, key, value, limit, state }) => {
      const quantity = quantities[key];
      const words = inBoth((system) => [`${title} ${numbers.number(quantity, value, system)} of ${
        numbers.text(quantity, limit, system)}: ${state}`], "sg-both");
      return make("span", { class: `sg-estimate-room sg-estimate-${state.replaceAll(" ", "-")}` }, words);
    });
  }

  /** What stops a pair or may, in few words. @param {Pair} pair @param {any} common @returns {Node[]} */
  function shortly(pair, common) {
    const lines = pair.rooms.filter(({ state }) => state !== "inside").map(({ title, state }) =>
      make("span", { class: `sg-estimate-room sg-estimate-${state.replaceAll(" ", "-")}` }, `${title} ${state}`));
    const { boost } = pair.figures;
    if (boost && "reason" in boost) lines.unshift(make("span", { class: "sg-estimate-room" },
      numbers.capital(boost.reason.split(":")[0])));
    return lines.length ? lines : [make("span", { class: "sg-estimate-room" }, "within all")];
  }

  /** Headline figures of a pair. @param {Pair} pair @param {any} common @returns {Node} */
  function headline(pair, common) {
    const { quantities } = common;
    const one = (/** @type {string} */ title, /** @type {Read} */ read, /** @type {string} */ key,
      /** @type {number} */ speed) =>
      make("div", {}, make("dt", {}, title), make("dd", {}, banded(read, quantities[key]), Number.isFinite(speed)
        ? make("small", {}, ` at ${numbers.text(quantities.engine_speed, speed, "metric")}`) : ""));
    const [power, torque] = [peak(pair, "power"), peak(pair, "torque")];
    return make("dl", { class: "sg-estimate-headline" },
      one("Boost", pair.figures.boost, "boost", pair.speeds.at(-1) ?? NaN),
      one("Power, estimated", power.read, "power", power.speed),
      one("Torque, estimated", torque.read, "torque", torque.speed));
  }

  /**
   * Every pair a line; a press on its name shows that pair.
   * @param {Pair[]} pairs @param {Pair | undefined} shown @param {any} common @param {any} blower
   * @param {(pair: Pair) => void} choose
   * @returns {HTMLElement}
   */
  function pairTable(pairs, shown, common, blower, choose) {
    const { quantities } = common;
    const ribs = blower.ribs ? `, of ${blower.ribs} ribs` : "";
    const heads = ["Pulleys", "Boost", "Power", "Torque", "Blower speed", "Injectors open", "Octane asked",
      "Charge", `Drive${ribs}`, "Limits"];
    const beside = pairs.filter((it) => it.crank === shown?.crank);
    const middle = shown ? Math.min(Math.max(beside.indexOf(shown), PAPER), beside.length - 1 - PAPER) : 0;
    const papered = beside.filter((_, at) => Math.abs(at - middle) <= PAPER);
    const lines = pairs.map((pair) => {
      const name = button(pair.title, () => choose(pair), { "aria-pressed": String(pair === shown),
        class: "sg-estimate-pick" });
      const ratio = make("span", { class: "sg-compare-setup" }, `ratio ${pair.ratio.toFixed(2)}`);
      const first = head([name, ratio], false, { scope: "row" });
      const kind = !papered.includes(pair) && "sg-estimate-screen";
      if (pair.reason) {
        return make("tr", { class: kind }, first, make("td", { colspan: heads.length - 1, class: "sg-words" },
          `No estimate: ${pair.reason}.`));
      }
      const read = (/** @type {string} */ key, /** @type {string} */ quantity) =>
        cell(banded(pair.figures[key], quantities[quantity]));
      const cells = [read("boost", "boost"), cell(banded(peak(pair, "power").read, quantities.power)),
        cell(banded(peak(pair, "torque").read, quantities.torque)), read("blower_speed", "blower_speed"),
        read("injector_duty", "injector_duty"), read("octane_asked", "octane"),
        read("charge_temperature", "charge_temperature"), driveCell(pair, blower, quantities),
        make("td", { class: "sg-words" }, ...shortly(pair, common))];
      cells.forEach((it, at) => {
        it.dataset.sgLabel = heads[at + 1];
      });
      return make("tr", { class: kind, "aria-current": pair === shown && "true" }, first, ...cells);
    });
    return table("Every pair of pulleys, estimated", "sg-compare-read sg-estimate-pairs",
      heads.map((it, at) => head([it], at > 0 && at < heads.length - 1)), [make("tbody", {}, ...lines)]);
  }

  /** Power that the belt carries, and each of its ribs. @param {Pair} pair @param {any} blower
   * @param {Record<string, Quantity>} quantities @returns {HTMLElement} */
  function driveCell(pair, blower, quantities) {
    const drive = pair.figures.drive_power;
    const quantity = quantities.blower_drive_power;
    const made = cell(banded(drive, quantity));
    if (blower.ribs && drive && "value" in drive) {
      const each = inBoth((system) => [`${numbers.text(quantity, drive.value / blower.ribs, system, drive.value / 10)} a rib`]);
      made.append(make("span", { class: "sg-compare-setup" }, each));
    }
    return made;
  }

  /** @param {Node[]} nodes @returns {(Node | string)[]} */
  function joined(nodes) {
    return nodes.flatMap((it, at) => (at ? ["; ", it] : [it]));
  }

  /**
   * The pair that comes nearest to a wish without breaking a limit, and what that says.
   * @param {Pair[]} pairs @param {"boost" | "power"} want @param {number} goal SI @param {any} common
   * @returns {{pair: Pair | undefined, words: Node}}
   */
  function sought(pairs, want, goal, common) {
    const quantity = common.quantities[want];
    const of = (/** @type {Pair} */ pair) => want === "boost" ? pair.figures.boost : peak(pair, "power").read;
    const known = pairs.filter((pair) => "value" in (of(pair) ?? {}));
    const away = (/** @type {Pair} */ pair) => {
      const read = of(pair);
      return "value" in read ? Math.abs(read.value - goal) : Infinity;
    };
    const nearest = (/** @type {Pair[]} */ some) => some.reduce((/** @type {Pair | undefined} */ best, it) =>
      (!best || away(it) < away(best) ? it : best), undefined);
    const { kept, octane } = within(known);
    const [best, any] = [nearest(kept), nearest(known)];
    const wish = between([goal, goal], quantity);
    if (!best) return { pair: any, words: make("p", {}, "No pair keeps within the limits for ", wish, ".") };
    const read = /** @type {{value: number, width: number}} */ (of(best));
    const meets = Math.abs(read.value - goal) <= read.width;
    const limits = octane ? "the limits" : "the limits but the fuel’s octane, which every pair passes,";
    const words = make("p", {}, "For ", wish, meets ? `, the pair nearest to it within ${limits} is ` :
      `, no pair within ${limits} comes so far; nearest is `, make("strong", {}, best.title), ", estimated at ",
    banded(read, quantity), ".");
    if (any && any !== best) {
      words.append(` ${any.title} would come nearer, but breaks a limit: ${any.rooms
        .filter(({ state }) => state === "beyond").map(({ title }) => title.toLowerCase()).join(", ")}.`);
    }
    return { pair: best, words };
  }

  /** How far a measured combo is from what was typed, in steps. @param {Attempt} attempt
   * @param {Typed} typed @param {number} litres @param {number} turned of the rotors for one of the crank
   * @returns {number} */
  function stepsTo(attempt, typed, litres, turned) {
    const ratio = (/** @type {number} */ a, /** @type {number} */ b, /** @type {number} */ step) =>
      a > 0 && b > 0 ? Math.abs(Math.log(a / b)) / Math.log(step) : 1;
    return ratio(attempt.litres, litres, 1.2) + ratio(attempt.speed, typed.max_speed * 60, 1.15)
      + ratio(attempt.turned, turned, 1.1) + (attempt.fuel === typed.fuel ? 0 : 0.75);
  }

  /** The nearest measured combos, each with how far this same estimate missed on it.
   * @param {Attempt[]} attempts @param {Typed} typed @param {number} litres @param {number} turned
   * @param {any} common @param {string} sheet link to a build, with a star @returns {Node} */
  function nearest(attempts, typed, litres, turned, common, sheet) {
    if (!attempts.length) {
      return make("p", {}, "No combo with this blower was measured in this archive, so that nothing " +
        "near tells how far such an estimate misses.");
    }
    const sorted = [...attempts].sort((a, b) =>
      stepsTo(a, typed, litres, turned) - stepsTo(b, typed, litres, turned)).slice(0, SHOWN);
    const heads = ["Measured combo", "Boost measured", "This estimate said", "Power measured", "This estimate said"];
    const lines = sorted.map((it, at) => make("tr", { class: at > 1 && "sg-estimate-screen" },
      head([make("a", { href: sheet.replace("*", it.build) }, it.title),
        make("span", { class: "sg-compare-setup" }, `${it.setup}, ${it.fuelWords}, `,
          between([it.litres / 1e3, it.litres / 1e3], common.quantities.swept_volume))], false, { scope: "row" }),
      ...["boost", "power"].flatMap((key) => missCells(it, /** @type {"boost" | "power"} */ (key), common, heads))));
    return table("The nearest measured combos", "sg-compare-read", heads.map((it, at) => head([it], at > 0)),
      [make("tbody", {}, ...lines)]);
  }

  /** @param {Attempt} attempt @param {"boost" | "power"} key @param {any} common @param {string[]} heads
   * @returns {HTMLElement[]} */
  function missCells(attempt, key, common, heads) {
    const quantity = common.quantities[key];
    const known = attempt[key];
    if (!known) return [cell("–"), cell("–")];
    const [measured, estimated, width] = known;
    const inside = Math.abs(measured - estimated) <= width;
    const place = key === "power" ? `, ${attempt.place}` : "";
    const first = cell(between([measured, measured], quantity), { "data-sg-label": `${heads[key === "boost" ? 1 : 3]}` });
    first.append(make("span", { class: "sg-compare-setup" }, `as observed${place}`));
    const off = inBoth((system) => {
      const { 1: factor } = numbers.unitOf(quantity, system);
      const apart = (estimated - measured) / factor;
      const digits = Math.max(quantity[numbers.SYSTEMS.indexOf(system)][3], 0);
      return [`${apart < 0 ? "\u2212" : "+"}${Math.abs(apart).toFixed(digits)}${THIN}${
        numbers.unitOf(quantity, system)[0]}, ${inside ? "inside" : "outside"} its band`];
    }, "sg-both");
    const second = cell(banded({ value: estimated, width }, quantity), { "data-sg-label": heads[2] });
    second.append(make("span", { class: "sg-compare-setup" }, off));
    return [first, second];
  }

  /** What is not known and widens the band most. @param {Pair} pair @param {any} common @returns {Node} */
  function widening(pair, common) {
    const lines = ["boost", "power"].map((key) => {
      const quantity = common.quantities[key];
      const most = (pair.widens?.[key] ?? []).slice(0, 4).map(([root, width]) => inBoth((system) =>
        [`${common.doubts[root] ?? root.replaceAll("_", " ")} (±${THIN}${numbers.margin(quantity, width, system)}${THIN}${
          numbers.unitOf(quantity, system)[0]})`], "sg-both"));
      return make("li", {}, make("strong", {}, key === "boost" ? "Boost: " : "Power: "), ...joined(most), ".");
    });
    return make("div", {}, make("ul", {}, ...lines), note("Each is what the figure at the highest speed " +
      "moves by if that alone is at the end of what it may be. A pull on your own engine settles most of " +
      "it; a stated flow, pressure or compression ratio settles its own."));
  }

  return { banded, headline, limits, nearest, pairTable, peak, sought, stepsTo, widening, within };
})();
