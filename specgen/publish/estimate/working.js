// @ts-check
"use strict";

/**
 * @typedef {object} Typed what a reader knows of an engine, SI; NaN for what was left empty
 * @property {number} cylinders @property {number} bore @property {number} stroke
 * @property {number} max_speed @property {string} fuel @property {number} compression_ratio
 * @property {number} valves @property {boolean} cooler @property {number} pressure
 * @property {number} temperature @property {number} humidity @property {number} injectors
 * @property {number} injector_flow
 */
/** @typedef {Record<string, number>} Spread what each doubt moves, by the doubt */
/** @typedef {{value: number, spread: Spread}} Row */
/** @typedef {{values: number[], sigma: number[], spread: (at: number) => Spread}} Curve */
/** @typedef {{value: number, width: number} | {reason: string}} Read a figure with its band */
/** @typedef {{title: string, key: string, value: number, limit: number, state: string}} Room */
/**
 * @typedef {object} Pair one pair of pulleys with what is expected of it
 * @property {string} title @property {number} crank @property {number} pulley
 * @property {number} ratio @property {Record<string, Read>} figures @property {Room[]} rooms
 * @property {Record<string, {low: number[], high: number[], values: number[]}>} curves
 * @property {number[]} speeds @property {string} reason
 * @property {Record<string, [string, number][]>} widens doubts by what they add to a band, most first
 */

/** A typed engine on a blower of the archive: each pair of pulleys, estimated with its band. */
specgen.working = (() => {
  const { BlowerMap, Unphysical, near } = specgen.elements;
  const model = specgen.model;
  /** Share of a doubt by which a parameter is moved, and a band's width in doubts. */
  const STEP = 0.2;
  const COVERAGE = 2;
  /** What is read over engine speed, by its name in the model. */
  const CURVES = ["boost", "power", "torque", "charge_temperature", "discharge_temperature",
    "octane_asked", "drive_power", "mass_flow"];
  /** What is read where it is highest. */
  const HIGHEST = ["power", "torque", "octane_asked"];
  /** Parameters that move nothing in the balance of the air, by how they begin or end. */
  const POWER_ALONE = /^(oct|burn|indic|fuel_f|boost_e|knock|gas_e|fric|drive_l|heat)|ance$/;

  /** A row of its own doubt. @param {string} name @param {number} value @param {number} doubt
   * @returns {Row} */
  function row(name, value, doubt) {
    return { value, spread: doubt ? { [name]: doubt } : {} };
  }

  /** @param {Row} row @returns {number} */
  function sigma(row) {
    return Math.hypot(...Object.values(row.spread));
  }

  /**
   * A figure of other rows, each moved by its doubt to both sides.
   * @param {(values: Record<string, number>) => number} work @param {Record<string, Row>} rows
   * @returns {Row}
   */
  function derived(work, rows) {
    const values = Object.fromEntries(Object.entries(rows).map(([name, it]) => [name, it.value]));
    const base = work(values);
    /** @type {Spread} */
    const spread = {};
    for (const [name, it] of Object.entries(rows)) {
      const step = sigma(it);
      if (!step) continue;
      const at = (/** @type {number} */ moved) => work({ ...values, [name]: it.value + moved });
      const slope = (tried(() => at(step), () => 2 * base - at(-step))
        - tried(() => at(-step), () => 2 * base - at(step))) / (2 * step);
      for (const [root, part] of Object.entries(it.spread)) {
        spread[root] = (spread[root] ?? 0) + slope * part;
      }
    }
    return { value: base, spread };
  }

  /** At the edge of a domain the other side is mirrored. @param {() => number} one
   * @param {() => number} other @returns {number} */
  function tried(one, other) {
    try {
      return one();
    } catch (problem) {
      if (problem instanceof Unphysical) return other();
      throw problem;
    }
  }

  /** Rows of an engine that no pair of pulleys changes. @param {any} common @param {any} blower
   * @param {Typed} typed @returns {Record<string, Row>} */
  function engineRows(common, blower, typed) {
    const known = Object.entries({ ...common.rows, ...blower.rows });
    /** @type {Record<string, Row>} */
    const rows = Object.fromEntries(known.map(([name, [value, doubt]]) => [name, row(name, value, doubt)]));
    const bore = row("bore", typed.bore, common.length * typed.bore);
    rows.stroke = row("stroke", typed.stroke, common.length * typed.stroke);
    rows.swept_volume = derived(({ bore, stroke }) => model.sweptVolume(bore, stroke, typed.cylinders),
      { bore, stroke: rows.stroke });
    rows.max_speed = row("max_speed", typed.max_speed, 0);
    rows.reference_speed = rows.max_speed;
    rows.best_speed = row("best_speed", common.best * typed.max_speed, 0);
    rows.volumetric_efficiency = row("volumetric_efficiency",
      ...(common.valves[typed.valves || ""] ?? common.valves[""]));
    for (const [name, it] of Object.entries(common.cooler[typed.cooler ? 1 : 0])) rows[name] = row(name, ...it);
    const [bare, doubt] = common.efficiency;
    rows.indicated_efficiency = Number.isNaN(typed.compression_ratio)
      ? row("indicated_efficiency", ...bare)
      : row("indicated_efficiency", model.efficiency(typed.compression_ratio), doubt);
    if (!Number.isNaN(typed.compression_ratio)) {
      rows.compression_ratio = row("compression_ratio", typed.compression_ratio, 0);
    }
    for (const [name, key] of [["pressure", "pressure"], ["temperature", "temperature"],
      ["relative_humidity", "humidity"]]) {
      const [usual, own] = common.air[key];
      const value = typed[/** @type {"pressure"} */ (key)];
      rows[name] = Number.isNaN(value) ? row(name, ...usual) : row(name, value, own);
    }
    for (const [name, [value, spread]] of Object.entries(common.fuels[typed.fuel])) {
      if (name !== "density") rows[name] = { value, spread };
    }
    return rows;
  }

  /** @typedef {{kind: string, names: string[], rows: Record<string, Row>, speeds: number[],
   *   map: any, typed: Typed}} Case */

  /**
   * All figures at one speed with the parameters as they stand in `values`.
   * @param {Case} one @param {Record<string, any>} values @param {Told} told
   */
  function solved(one, values, told) {
    const [used, match] = model.balance(one.kind, values);
    if (match.solved) told.some = true;
    else told.causes.add(match.outside ?? match.reason);
    return { used, match, figures: model.figures(used, match) };
  }

  /** @typedef {{some: boolean, causes: Set<any>}} Told whether anything balances, else why not */

  /**
   * Every curve with its doubts; Unphysical where no case balances at any speed.
   * @param {Case} one @param {any} words @param {boolean} whole doubts at every speed, or only at
   * those that a table reads @returns {{curves: Record<string, Curve>, outside: number[]}}
   */
  function curvesOf(one, words, whole) {
    /** @type {Told} */
    const told = { some: false, causes: new Set() };
    const moved = movesOf(one);
    const all = basesOf(one, told);
    const read = whole || !told.some ? all.map((_, at) => at) : readOf(all);
    const bases = read.map((at) => all[at]);
    const slopes = moved.map((move) => slopesOf(one, bases, move, 1, told));
    if (!told.some) throw new Unphysical(reasonOf(told.causes, words));
    const listed = bases.flatMap((it) => it.listed);
    if (slopes.some((own) => own.some((it, at) => Number.isNaN(it) && Number.isFinite(listed[at])))) {
      basesOf(one, told); // what the model would refuse on its way back is refused here too
      moved.forEach((move, place) => {
        const other = slopesOf(one, bases, move, -1, told);
        slopes[place] = slopes[place].map((it, at) => Number.isNaN(it) ? other[at] : it);
      });
    }
    near.point = NaN;
    return { curves: booked(moved, all, read, slopes), outside: all.map((it) => it.match.outside ?? 0) };
  }

  /** Where a table reads curves: at the highest speed, and where one that is read there is highest.
   * @param {Base[]} all @returns {number[]} places, rising */
  function readOf(all) {
    const highest = HIGHEST.map((key) => {
      const values = all.map((it) => it.listed[CURVES.indexOf(key)]);
      return values.indexOf(Math.max(...values.filter(Number.isFinite)));
    });
    return [...new Set([...highest, all.length - 1])].filter((at) => at >= 0).sort((a, b) => a - b);
  }

  /** @typedef {{values: any, used: any, match: any, listed: number[], root: number, slope: number}} Base
   * the balance at one speed with all parameters at their values */

  /** @param {Case} one @param {Told} told @returns {Base[]} */
  function basesOf(one, told) {
    const plain = valuesOf(one);
    return one.speeds.map((speed) => {
      const values = { ...plain, speed };
      near.point = near.found = NaN;
      const { used, match, figures } = solved(one, values, told);
      const root = match.solved ? near.found : NaN;
      return { values, used, match, listed: listOf(figures), root, slope: near.slope };
    });
  }

  /** Slopes times what each doubt moves, added up by doubts and then together.
   * @param {Move[]} moved @param {Base[]} all @param {number[]} read places of bases with slopes
   * @param {Float64Array[]} slopes by parameter; of each curve at each such base, one behind the other
   * @returns {Record<string, Curve>} */
  function booked(moved, all, read, slopes) {
    const size = read.length * CURVES.length;
    /** @type {Map<string, Float64Array>} */
    const parts = new Map();
    moved.forEach(({ spread }, place) => {
      const own = slopes[place];
      for (const root in spread) {
        let sum = parts.get(root);
        if (!sum) parts.set(root, sum = new Float64Array(size));
        const part = spread[root];
        for (let at = 0; at < size; at++) sum[at] += own[at] * part;
      }
    });
    const square = new Float64Array(size);
    for (const part of parts.values()) {
      for (let at = 0; at < size; at++) square[at] += part[at] * part[at];
    }
    return Object.fromEntries(CURVES.map((key, curve) => {
      const place = (/** @type {number} */ at) => read.indexOf(at) * CURVES.length + curve;
      return [key, {
        values: all.map((it) => it.listed[curve]),
        sigma: all.map((_, at) => Math.sqrt(square[place(at)] ?? NaN)),
        spread: (at) => Object.fromEntries([...parts].map(([root, it]) => [root, it[place(at)]])),
      }];
    }));
  }

  /** @typedef {{name: string, step: number, alone: boolean, spread: Spread}} Move
   * a parameter that is moved */

  /** @param {Case} one @returns {Move[]} */
  function movesOf(one) {
    return one.names.filter((name) => sigma(one.rows[name])).map((name) => ({
      name, step: STEP * sigma(one.rows[name]), alone: POWER_ALONE.test(name), spread: one.rows[name].spread,
    }));
  }

  /** The figures that are read over speed. @param {any} its @returns {number[]} */
  function listOf(its) {
    return [its.boost, its.power, its.torque, its.charge_temperature, its.discharge_temperature,
      its.octane_asked, its.drive_power, its.mass_flow];
  }

  /** How each curve moves with a parameter at each speed, to one side.
   * @param {Case} one @param {Base[]} bases @param {Move} move @param {number} side @param {Told} told
   * @returns {Float64Array} */
  function slopesOf(one, bases, { name, step, alone }, side, told) {
    const size = side * step;
    const slopes = new Float64Array(bases.length * CURVES.length);
    let place = 0;
    for (const base of bases) {
      near.point = base.root;
      near.slope = base.slope;
      const listed = listOf(alone ? powerAlone(base, name, size) : stepped(one, base.values, name, size, told));
      for (let at = 0; at < listed.length; at++) slopes[place++] = (listed[at] - base.listed[at]) / size;
    }
    return slopes;
  }

  /** The parameters as one plain record, which a browser reads and copies more quickly if it is
   * made at once and not name by name. @param {Case} one @returns {any} */
  function valuesOf(one) {
    const listed = one.names.map((name) => [name, one.rows[name].value]);
    const values = JSON.parse(JSON.stringify({ speed: 0.1, ...Object.fromEntries(listed) }));
    if (one.map) values.blower_map = one.map;
    return values;
  }

  /** @param {Case} one @param {any} values @param {string} name @param {number} step
   * @param {Told} told */
  function stepped(one, values, name, step, told) {
    const before = values[name];
    values[name] = before + step;
    const { figures } = solved(one, values, told);
    values[name] = before;
    return figures;
  }

  /** Figures of a balance that a parameter does not move.
   * @param {{used: any, match: any}} base @param {string} name @param {number} step */
  function powerAlone({ used, match }, name, step) {
    const before = used[name];
    used[name] = before + step;
    const figures = model.figures(used, match);
    used[name] = before;
    return figures;
  }

  /** Why nothing balances, as the model says it. @param {Set<any>} causes @param {any} words */
  function reasonOf(causes, words) {
    const numbers = [...causes].filter(Number.isFinite).sort((a, b) => a - b);
    if (numbers.length) {
      return `outside the measured map: ${numbers.map((it) => words.outside[it]).join("; ")}`;
    }
    return model.reasons.filter((/** @type {string} */ it) => causes.has(it)).join("; ");
  }

  /** Where a map ends over the speeds, in the model's words. @param {number[]} speeds
   * @param {number[]} outside @param {any} common @returns {string} */
  function endsOf(speeds, outside, common) {
    const shown = (/** @type {number} */ speed) =>
      specgen.numbers.text(common.quantities.engine_speed, speed, "metric");
    /** @type {string[]} */
    const spans = [];
    for (let at = 0; at < outside.length;) {
      let end = at;
      while (end + 1 < outside.length && outside[end + 1] === outside[at]) end++;
      if (outside[at]) {
        const [low, high] = [shown(speeds[at]), shown(speeds[end])];
        const where = low === high ? `at ${low}` : `from ${low} to ${high}`;
        spans.push(`${where}: ${common.words.outside[outside[at]]}`);
      }
      at = end + 1;
    }
    return spans.length ? `outside the measured map ${spans.join("; ")}` : "";
  }

  /** A curve's row at one of its points. @param {Curve} curve @param {number} at @returns {Row} */
  function rowAt(curve, at) {
    return { value: curve.values[at], spread: curve.spread(at) };
  }

  /** @param {Row} row @returns {Read} */
  function read(row) {
    return { value: row.value, width: COVERAGE * sigma(row) };
  }

  /** @param {Curve} curve @param {number} at @param {string} reason @returns {Read} */
  function readAt(curve, at, reason) {
    if (!Number.isFinite(curve.values[at])) return { reason };
    return { value: curve.values[at], width: COVERAGE * curve.sigma[at] };
  }

  /** The highest of a curve without a gap. @param {Curve} curve @param {string} reason @returns {Read} */
  function highest(curve, reason) {
    if (!curve.values.every(Number.isFinite)) return { reason: reason || "not known at every speed" };
    return readAt(curve, curve.values.indexOf(Math.max(...curve.values)), reason);
  }

  /** What each doubt adds to a curve's band at one point, the most first. @param {Curve} curve
   * @param {number} at @returns {[string, number][]} */
  function widest(curve, at) {
    return Object.entries(curve.spread(at))
      .map(([root, it]) => /** @type {[string, number]} */ ([root, COVERAGE * Math.abs(it)]))
      .filter(([, width]) => width > 0).sort((a, b) => b[1] - a[1]);
  }

  /** Fuel, and how far the injectors open. @param {any} common @param {Typed} typed
   * @param {Record<string, Row>} rows @param {Row} air at the highest speed */
  function fuelled(common, typed, rows, air) {
    const ratio = derived(({ mixture, stoichiometric }) => model.airFuelRatio(mixture, stoichiometric),
      { mixture: rows.mixture, stoichiometric: rows.stoichiometric_ratio });
    const flow = derived(({ air, ratio }) => model.fuelFlow(air, ratio), { air, ratio });
    if (!(typed.injectors && typed.injector_flow)) return { flow, duty: null };
    const [rail, doubt] = common.rail;
    const one = derived(({ rated, rail }) => model.injectorFlow(rated, common.rail[0], rail), {
      rated: row("rated", typed.injector_flow, common.injector * typed.injector_flow),
      rail: row("rail", rail, doubt),
    });
    const [value, spread] = common.fuels[typed.fuel].density;
    const duty = derived(({ flow, density, one }) => model.duty(flow, density, typed.injectors, one),
      { flow, density: { value, spread }, one });
    return { flow, duty };
  }

  /** @param {string} title @param {string} key @param {Read | undefined} figure @param {number | null} limit
   * @returns {Room[]} */
  function room(title, key, figure, limit) {
    if (!figure || !("value" in figure) || limit === null) return [];
    const { value, width } = figure;
    const state = value + width <= limit ? "inside" : value - width >= limit ? "beyond" : "may be beyond";
    return [{ title, key, value, limit, state }];
  }

  /** Engine speeds that everything is estimated at. @param {any} common @param {number} top */
  function gridOf(common, top) {
    const [start, count] = common.grid;
    const step = (top - start * top) / (count - 1);
    return Array.from({ length: count }, (_, at) => at === count - 1 ? top : start * top + at * step);
  }

  /**
   * One pair of pulleys on a typed engine.
   * @param {any} common @param {any} blower @param {Typed} typed @param {Record<string, Row>} engine
   * @param {[string, number]} crank @param {[string, number]} pulley
   * @param {boolean} [whole] with bands at every speed, or only where a table reads them
   * @returns {Pair}
   */
  function pairOf(common, blower, typed, engine, crank, pulley, whole = true) {
    const { ratio, rows } = drivenBy(common, blower, engine, crank[1], pulley[1]);
    const names = Object.keys(rows);
    const speeds = gridOf(common, typed.max_speed);
    const map = blower.map && (blower.read ??= new BlowerMap(blower.map));
    const top = derived(({ turned }) => model.bladeSpeed(typed.max_speed, turned, blower.internal),
      { turned: ratio });
    const pair = { title: `${crank[0]} to ${pulley[0]}`, crank: crank[1], pulley: pulley[1],
      ratio: ratio.value, speeds, curves: {}, widens: {}, reason: "",
      figures: /** @type {Record<string, Read>} */ ({ ratio: read(ratio), blower_speed: read(top) }),
      rooms: room("Blower speed", "blower_speed", read(top), blower.limit) };
    try {
      const [least, most, words] = common.words.matched;
      const sweeps = rows.displacement?.value * rows.speed_ratio.value / rows.swept_volume.value * 2;
      if (sweeps < least || sweeps > most) throw new Unphysical(words);
      const found = curvesOf({ kind: blower.kind, names, rows, speeds, map, typed }, common.words, whole);
      fill(pair, common, typed, rows, found);
    } catch (problem) {
      if (!(problem instanceof Unphysical)) throw problem;
      pair.reason = problem.message;
      for (const key of [...CURVES, "fuel_flow", "injector_duty"]) pair.figures[key] = { reason: pair.reason };
    }
    return pair;
  }

  /** @param {any} common @param {any} blower @param {Record<string, Row>} engine
   * @param {number} crank @param {number} pulley */
  function drivenBy(common, blower, engine, crank, pulley) {
    const ratio = derived(({ crank, pulley }) => model.pitchRatio(crank, pulley), {
      crank: row("crank", crank, common.length * crank),
      pulley: row("pulley", pulley, common.length * pulley),
    });
    const turned = derived(({ ratio }) => model.bladeSpeed(1, ratio, blower.internal), { ratio });
    return { ratio, rows: { ...engine, speed_ratio: turned, reference_ratio: turned } };
  }

  /** Figures and limits of a pair that balances. @param {Pair} pair @param {any} common
   * @param {Typed} typed @param {Record<string, Row>} rows
   * @param {{curves: Record<string, Curve>, outside: number[]}} found */
  function fill(pair, common, typed, rows, { curves, outside }) {
    const last = pair.speeds.length - 1;
    const ends = endsOf(pair.speeds, outside, common);
    const missing = ends || "no balance at this speed";
    for (const key of CURVES) {
      pair.figures[key] = readAt(curves[key], last, missing);
      const width = curves[key].sigma.map((it) => COVERAGE * it);
      pair.curves[key] = { values: curves[key].values,
        low: curves[key].values.map((it, at) => it - width[at]),
        high: curves[key].values.map((it, at) => it + width[at]) };
    }
    for (const key of ["boost", "power"]) pair.widens[key] = widest(curves[key], last);
    pair.figures.octane_asked = highest(curves.octane_asked, ends);
    if (Number.isFinite(curves.mass_flow.values[last])) {
      const { flow, duty } = fuelled(common, typed, rows, rowAt(curves.mass_flow, last));
      pair.figures.fuel_flow = read(flow);
      if (duty) pair.figures.injector_duty = read(duty);
    } else pair.figures.fuel_flow = pair.figures.injector_duty = { reason: missing };
    pair.rooms.push(...room("Injector duty", "injector_duty", pair.figures.injector_duty, common.duty),
      ...room("Octane asked", "octane_asked", pair.figures.octane_asked, rows.octane.value));
  }

  /** Every pair of a blower for a table, by rising ratio; `some` chooses among its crank pulleys.
   * @param {any} common @param {any} blower @param {Typed} typed
   * @param {(crank: number) => boolean} [some] @returns {Pair[]} */
  function pairsOf(common, blower, typed, some = () => true) {
    const engine = engineRows(common, blower, typed);
    const cranks = blower.cranks.filter((/** @type {[string, number]} */ it) => some(it[1]));
    const pairs = cranks.flatMap((/** @type {[string, number]} */ crank) =>
      blower.pulleys.map((/** @type {[string, number]} */ pulley) =>
        pairOf(common, blower, typed, engine, crank, pulley, false)));
    return pairs.sort((/** @type {Pair} */ a, /** @type {Pair} */ b) => a.ratio - b.ratio || a.crank - b.crank);
  }

  /** A pair of a table again, with its bands at every speed. @param {any} common @param {any} blower
   * @param {Typed} typed @param {Pair} pair @returns {Pair} */
  function wholeOf(common, blower, typed, pair) {
    const of = (/** @type {[string, number][]} */ list, /** @type {number} */ size) =>
      /** @type {[string, number]} */ (list.find((it) => it[1] === size));
    return pairOf(common, blower, typed, engineRows(common, blower, typed),
      of(blower.cranks, pair.crank), of(blower.pulleys, pair.pulley));
  }

  return { engineRows, pairOf, pairsOf, wholeOf };
})();
