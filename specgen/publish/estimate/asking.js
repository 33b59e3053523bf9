// @ts-check
"use strict";

/**
 * @typedef {object} Asked what stands in the form, numbers in metric units; NaN or "" for nothing
 * @property {string} on the blower @property {number} size @property {number} cylinders
 * @property {number} bore @property {number} stroke @property {number} ratio
 * @property {number} speed @property {string} valves @property {string} fuel
 * @property {string} cooler @property {number} height @property {number} temperature
 * @property {number} humidity @property {number} injectors @property {number} flow
 * @property {string} want @property {number} wish @property {number} crank
 * @property {number} pulley @property {string} made
 */

/** The form of an estimate: its fields, its address, and what of it is beyond the model. */
specgen.asking = (() => {
  const { choice, make, system } = specgen.page;
  const { SYSTEMS, text, unitOf } = specgen.numbers;
  /** Fields of a number: name, words, quantity; a count has none. */
  const NUMBERS = /** @type {[keyof Asked, string, string][]} */ ([
    ["size", "Engine size", "swept_volume"], ["cylinders", "Cylinders", ""],
    ["bore", "or bore", "bore"], ["stroke", "and stroke", "stroke"],
    ["ratio", "Compression ratio", ""], ["speed", "Highest speed", "engine_speed"],
    ["injectors", "Injectors", ""], ["flow", "Flow of each", "injector_flow"],
    ["height", "Height above the sea", "elevation"], ["temperature", "Air temperature", "air_temperature"],
    ["humidity", "Humidity", "humidity"],
  ]);
  const WORDS = /** @type {(keyof Asked)[]} */ (["on", "valves", "fuel", "cooler", "want", "made"]);
  const COUNTED = /** @type {(keyof Asked)[]} */ (["wish", "crank", "pulley"]);

  /** @param {URLSearchParams} found @param {Partial<Asked>} usual @returns {Asked} */
  function parse(found, usual) {
    const names = [...NUMBERS.map(([name]) => name), ...COUNTED];
    const some = names.some((name) => found.has(name)) || found.has("fuel");
    const number = (/** @type {string} */ name) =>
      found.has(name) && found.get(name) !== "" ? Number(found.get(name)) : NaN;
    const read = Object.fromEntries([...names.map((name) => [name, number(name)]),
      ...WORDS.map((name) => [name, found.get(name) ?? ""])]);
    return /** @type {Asked} */ (some ? read : { ...read, ...usual, on: read.on || usual.on });
  }

  /** Everything as the address writes it. @param {Asked} asked @param {string} made @returns {string} */
  function query(asked, made) {
    const pairs = Object.entries({ ...asked, made }).filter(([, value]) =>
      typeof value === "string" ? value : Number.isFinite(value));
    return specgen.address.joined(pairs.map(([name, value]) => [name, String(value)]));
  }

  /** A number in the metric unit of its quantity as SI. @param {Quantity | undefined} quantity
   * @param {number} value @returns {number} */
  function si(quantity, value) {
    return quantity ? value * quantity[0][1] + quantity[0][2] : value;
  }

  /**
   * What the form says, as the model takes it: a size alone is that of a square engine.
   * @param {Asked} asked @param {Record<string, Quantity>} quantities @returns {Typed}
   */
  function typedOf(asked, quantities) {
    const of = (/** @type {keyof Asked} */ name, /** @type {string} */ key) =>
      si(quantities[key], /** @type {number} */ (asked[name]));
    const square = Math.cbrt(4 * of("size", "swept_volume") / Math.PI / asked.cylinders);
    const measured = Number.isFinite(asked.bore) && Number.isFinite(asked.stroke);
    return {
      cylinders: asked.cylinders, bore: measured ? of("bore", "bore") : square,
      stroke: measured ? of("stroke", "stroke") : square, max_speed: of("speed", "engine_speed"),
      fuel: asked.fuel, compression_ratio: asked.ratio, valves: Number(asked.valves) || NaN,
      cooler: asked.cooler === "fitted", humidity: of("humidity", "humidity"),
      pressure: Number.isFinite(asked.height) ? pressureAt(of("height", "elevation")) : NaN,
      temperature: of("temperature", "air_temperature"), injectors: asked.injectors,
      injector_flow: of("flow", "injector_flow"),
    };
  }

  /** @param {number} height @returns {number} */
  function pressureAt(height) {
    try {
      return specgen.model.pressureAt(height);
    } catch {
      return 0; // beyond the atmosphere's own range: refused with the other ranges
    }
  }

  /** What of an engine is missing or beyond the model, by the names of its figures.
   * @param {Typed} typed @param {Record<string, [number, number]>} ranges @returns {string[]} */
  function beyond(typed, ranges) {
    const needed = ["cylinders", "bore", "stroke", "max_speed"];
    return Object.entries(ranges).filter(([name, [low, high]]) => {
      const value = /** @type {any} */ (typed)[name];
      return Number.isNaN(value) ? needed.includes(name) : value < low || value > high;
    }).map(([name]) => name);
  }

  /** Why a figure is refused. @param {string} name @param {Typed} typed @param {any} common
   * @returns {Node} */
  function refusal(name, typed, common) {
    const [title, key] = common.asked[name];
    const value = /** @type {any} */ (typed)[name];
    const [low, high] = common.ranges[name];
    if (Number.isNaN(value)) return make("li", {}, `${title}: please fill it in.`);
    const quantity = common.quantities[key];
    const shown = (/** @type {number} */ it) => quantity ? text(quantity, it, system()) : String(it);
    return make("li", {}, `${title} of ${shown(value)} lies beyond what the model knows, ${shown(low)} to ${shown(high)}.`);
  }

  /** A field for a number, shown in the page's units, kept in metric ones.
   * @param {string} title @param {Quantity | undefined} quantity @param {number} value
   * @param {(value: number) => void} changed @param {Record<string, string>} [attributes] */
  function field(title, quantity, value, changed, attributes) {
    const [label, factor, offset] = quantity ? unitOf(quantity, system()) : ["", 1, 0];
    const [, base, zero] = quantity ? quantity[0] : ["", 1, 0];
    const shown = (value * base + zero - offset) / factor;
    const input = make("input", { type: "number", step: "any", inputmode: "decimal", ...attributes,
      value: Number.isFinite(value) ? Number(shown.toPrecision(5)) : "",
      input() {
        const typed = input.value === "" ? NaN : Number(input.value);
        changed(Number(((typed * factor + offset - zero) / base).toPrecision(6)));
      } });
    return make("label", {}, label ? `${title}, ${label} ` : `${title} `, input);
  }

  /**
   * The form in its groups.
   * @param {Asked} asked @param {any} common @param {[string, string][]} blowers to choose from
   * @param {[string, string][]} cranks @param {(change: Partial<Asked>) => void} changed
   * @returns {HTMLElement[]}
   */
  function fields(asked, common, blowers, cranks, changed) {
    const one = (/** @type {keyof Asked} */ name) => {
      const [, title, key] = NUMBERS.find(([it]) => it === name) ?? ["", "", ""];
      return field(title, common.quantities[key], /** @type {number} */ (asked[name]),
        (value) => changed({ [name]: value }), { name });
    };
    const chosen = (/** @type {keyof Asked} */ name, /** @type {string} */ title,
      /** @type {[string, string][]} */ options) =>
      choice(title, options, String(asked[name] ?? ""), (value) =>
        changed({ [name]: name === "crank" ? Number(value) : value }), { name });
    const group = (/** @type {string} */ title, /** @type {(Node | undefined)[]} */ ...parts) =>
      make("fieldset", {}, make("legend", {}, title), make("div", {}, ...parts.filter((it) => it !== undefined)));
    const want = asked.want === "power" ? "power" : "boost";
    return [
      group("Blower", blowers.length > 1 ? chosen("on", "Which", blowers) : undefined,
        cranks.length > 1 ? chosen("crank", "Crank pulley", cranks) : undefined,
        chosen("cooler", "Charge cooler", [["", "none"], ["fitted", "fitted"]])),
      group("Engine", ...["size", "cylinders", "bore", "stroke", "ratio", "speed"].map((it) =>
        one(/** @type {keyof Asked} */ (it))), chosen("valves", "Valves a cylinder",
        [["", "not known"], ["2", "2"], ["3", "3"], ["4", "4"], ["5", "5"]])),
      group("Fuel", chosen("fuel", "Which", Object.keys(common.fuels).map((it) => [it, common.fuelNames[it]])),
        one("injectors"), one("flow")),
      group("Air", one("height"), one("temperature"), one("humidity")),
      group("Wish", choice("For", [["boost", "boost"], ["power", "power"]], want, (value) =>
        changed({ want: value, wish: NaN }), { name: "want" }),
      field("Of", common.quantities[want], asked.wish, (wish) => changed({ wish }), { name: "wish" })),
    ];
  }

  /** What was asked, in a sentence for paper. @param {Typed} typed @param {any} common
   * @returns {Node} */
  function summary(typed, common) {
    const { quantities } = common;
    const volume = specgen.model.sweptVolume(typed.bore, typed.stroke, typed.cylinders);
    return specgen.page.inBoth((shown) => {
      const of = (/** @type {string} */ key, /** @type {number} */ value) => text(quantities[key], value, shown);
      const told = [of("swept_volume", volume), `${typed.cylinders} cylinders`,
        `${of("bore", typed.bore)} × ${of("stroke", typed.stroke)}`,
        Number.isNaN(typed.compression_ratio) ? "compression ratio not known" : `compression ratio ${typed.compression_ratio}`,
        `up to ${of("engine_speed", typed.max_speed)}`,
        Number.isNaN(typed.valves) ? "valves not known" : `${typed.valves} valves a cylinder`,
        common.fuelNames[typed.fuel], typed.cooler ? "charge cooler" : "no charge cooler"];
      if (Number.isFinite(typed.pressure)) told.push(`air of ${of("air_pressure", typed.pressure)}`);
      if (Number.isFinite(typed.temperature)) told.push(of("air_temperature", typed.temperature));
      if (typed.injectors && typed.injector_flow) {
        told.push(`${typed.injectors} injectors of ${of("injector_flow", typed.injector_flow)}`);
      }
      return [`${told.join(", ")}.`];
    }, "sg-both");
  }

  return { SYSTEMS, beyond, fields, parse, query, refusal, si, summary, typedOf };
})();
