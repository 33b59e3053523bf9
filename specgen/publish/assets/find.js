// @ts-check
"use strict";

/**
 * @typedef {object} Combos every tested setup with its best pull, by columns
 * @property {number[]} build @property {string[]} setup @property {number[]} title
 * @property {number[]} cylinders @property {number[]} litres @property {number[]} rpm
 * @property {number[]} fed @property {number[]} fuel @property {number[]} alcohol
 * @property {number[]} place @property {number[]} standing @property {string[]} power
 * @property {string[]} specific @property {string[]} boost @property {number[]} year
 * @property {string[]} words
 */
/**
 * @typedef {object} Own what a reader has and wishes; 0 and "" where nothing was said
 * @property {number} litres @property {number} cylinders @property {number} rpm
 * @property {string} fuel @property {string} fed @property {number} power in kW
 */
/** @typedef {{steps: number, words: string}} Step how far off in one respect, and in words */
/** @typedef {{at: number, away: number, near: string[], far: string[]}} Near */

/** The nearest tested combos to a reader's own engine, and what such combos made. */
specgen.find = (() => {
  const { figure, inBoth, make, system } = specgen.page;
  const { number, parts, read, unitOf, withUnit } = specgen.numbers;
  const NATURAL = "naturally aspirated";
  const ANY_BLOWER = "blower of any kind";
  const UNKNOWN = "as reported, correction unknown";
  /** What counts as one step away: our own choice, told on the page; common practice, no source. */
  const SIZE = 1.2;
  const SPEED = 1.15;
  const POWER = 1.2;
  const ALCOHOL = 0.4;
  /** Combos this near are alike enough to say what such combos made. */
  const ALIKE = 2;
  const SHOWN = 8;

  /** Steps between two sizes, by their ratio. @param {number} a @param {number} b
   * @param {number} step @returns {number} */
  function ratio(a, b, step) {
    return Math.abs(Math.log(a / b)) / Math.log(step);
  }

  /** "4 % larger". @param {number} value @param {number} own @param {[string, string]} words */
  function compared(value, own, [more, less]) {
    const share = Math.round((value / own - 1) * 100);
    return share === 0 ? "the same" : `${Math.abs(share)} % ${share > 0 ? more : less}`;
  }

  /**
   * How far a combo is from the reader's own in each respect that the reader named.
   * @param {Combos} all @param {number} at @param {Own} own @returns {Step[]}
   */
  function stepsOf(all, at, own) {
    /** @type {Step[]} */
    const steps = [];
    if (own.litres && all.litres[at]) {
      const words = `size ${compared(all.litres[at], own.litres, ["larger", "smaller"])}`;
      steps.push({ steps: ratio(all.litres[at], own.litres, SIZE), words });
    }
    if (own.cylinders) {
      const off = all.cylinders[at] - own.cylinders;
      const words = off ? `${all.cylinders[at]} cylinders` : "as many cylinders";
      steps.push({ steps: Math.min(Math.abs(off) / 2, 2), words });
    }
    if (own.rpm && all.rpm[at]) {
      const words = `highest speed ${compared(all.rpm[at], own.rpm, ["higher", "lower"])}`;
      steps.push({ steps: ratio(all.rpm[at], own.rpm, SPEED), words });
    }
    if (own.fuel) steps.push(fuelStep(all, at, own.fuel));
    if (own.fed) steps.push(fedStep(all.words[all.fed[at]], own.fed));
    return steps;
  }

  /** @param {Combos} all @param {number} at @param {string} own @returns {Step} */
  function fuelStep(all, at, own) {
    const words = all.words[all.fuel[at]];
    if (words === own) return { steps: 0, words: "the same fuel" };
    const same = all.fuel.findIndex((it) => all.words[it] === own);
    const [a, b] = [all.alcohol[at], same < 0 ? -1 : all.alcohol[same]];
    if (a < 0 || b < 0) return { steps: 1.5, words };
    return { steps: 0.25 + Math.abs(a - b) / ALCOHOL, words };
  }

  /** @param {string} words @param {string} own @returns {Step} */
  function fedStep(words, own) {
    const blower = words.includes("blower");
    if (words === own || (own === ANY_BLOWER && blower)) return { steps: 0, words };
    if (blower && own.includes("blower")) return { steps: 0.75, words };
    return { steps: words === NATURAL || own === NATURAL ? 3 : 1.5, words };
  }

  /** Power of a combo brought to the reader's size by the litre [kW].
   * @param {Combos} all @param {number} at @param {number} litres */
  function scaled(all, at, litres) {
    const each = read(parts(all.specific[at], "metric")[0]);
    return litres ? each * litres : read(parts(all.power[at], "metric")[0]);
  }

  /**
   * All combos, the nearest first; the wish for power orders, and says no more.
   * @param {Combos} all @param {Own} own @returns {Near[]}
   */
  function nearest(all, own) {
    const found = all.build.map((_, at) => {
      const steps = stepsOf(all, at, own);
      const made = scaled(all, at, own.litres);
      if (own.power && made > 0) {
        steps.push({ steps: ratio(made, own.power, POWER) / 2,
          words: `power ${compared(made, own.power, ["more", "less"])}` });
      }
      const sorted = (/** @type {(it: Step) => boolean} */ kind) =>
        steps.filter(kind).map((it) => it.words);
      return {
        at,
        away: steps.reduce((sum, it) => sum + it.steps, 0),
        near: sorted((it) => it.steps < 0.5),
        far: sorted((it) => it.steps >= 0.5),
      };
    });
    return found.sort((a, b) => a.away - b.away);
  }

  /**
   * What combos like the reader's made, by measuring point: lowest and highest, scaled [kW].
   * @param {Combos} all @param {Near[]} found @param {Own} own
   * @returns {{place: string, count: number, low: number, high: number, each: [number, number]}[]}
   */
  function spans(all, found, own) {
    const alike = found.filter(({ at }) => isAlike(all, at, own));
    const places = [...new Set(alike.map(({ at }) => all.words[all.place[at]]))].sort();
    return places.map((place) => {
      const here = alike.filter(({ at }) => all.words[all.place[at]] === place);
      const each = here.map(({ at }) => read(parts(all.specific[at], "metric")[0])).filter((it) => it > 0);
      const [low, high] = [Math.min(...each), Math.max(...each)];
      const size = own.litres;
      return { place, count: each.length, low: low * size, high: high * size,
        each: /** @type {[number, number]} */ ([low, high]) };
    }).filter(({ count }) => count);
  }

  /** Whether a combo is near enough, the wish for power left aside, and its correction known.
   * @param {Combos} all @param {number} at @param {Own} own @returns {boolean} */
  function isAlike(all, at, own) {
    if (all.words[all.standing[at]] === UNKNOWN) return false;
    return stepsOf(all, at, own).reduce((sum, it) => sum + it.steps, 0) <= ALIKE;
  }

  /** @param {URLSearchParams} found @returns {Own} */
  function parse(found) {
    const positive = (/** @type {string} */ name) => Math.max(Number(found.get(name)) || 0, 0);
    return { litres: positive("litres"), cylinders: positive("cylinders"), rpm: positive("rpm"),
      fuel: found.get("fuel") ?? "", fed: found.get("fed") ?? "", power: positive("power") };
  }

  /** Run the page. @param {HTMLElement} root @returns {() => void} ends it */
  function start(root) {
    const { index: indexFile = "", combos: combosFile = "", sheet = "", compare = "" } = root.dataset;
    /** @type {Builds} */ let index;
    /** @type {Combos} */ let all;
    /** @type {Own} */ let own;
    const form = make("form", { class: "sg-compare-tools", "aria-label": "Your own engine" });
    const body = make("div", { "aria-live": "polite" });
    form.addEventListener("submit", (event) => event.preventDefault());

    /** @param {Partial<Own>} change */
    function change(change) {
      Object.assign(own, change);
      specgen.address.put(specgen.address.joined(Object.entries(own)), true);
      show();
    }

    function fill() {
      const fuels = [...new Set(all.fuel.map((it) => all.words[it]))].sort();
      const feds = [...new Set(all.fed.map((it) => all.words[it]))].sort();
      form.replaceChildren(
        sized("litres", "Engine size", "swept_volume", 1e-3),
        counted("cylinders", "Cylinders", 1),
        counted("rpm", "Highest speed, rpm", 100),
        choice("fuel", "Fuel", fuels),
        choice("fed", "Induction", [...new Set([NATURAL, ANY_BLOWER, ...feds])]),
        sized("power", "Wished power", "power", 1e3),
      );
    }

    /** A number in the units that the page shows. @param {"litres" | "power"} key
     * @param {string} title @param {string} quantity @param {number} si of the metric number */
    function sized(key, title, quantity, si) {
      const [label, factor] = unitOf(index.quantities[quantity], system());
      const scale = factor / si;
      const value = own[key] ? Number((own[key] / scale).toPrecision(4)) : "";
      const input = /** @type {HTMLInputElement} */ (make("input", { type: "number", min: 0,
        step: "any", name: key, value }));
      input.addEventListener("change", () =>
        change({ [key]: Number((Number(input.value) * scale).toPrecision(5)) }));
      return make("label", {}, `${title}, ${label} `, input);
    }

    /** @param {"cylinders" | "rpm"} key @param {string} title @param {number} step */
    function counted(key, title, step) {
      const input = /** @type {HTMLInputElement} */ (make("input", { type: "number", min: 0, step,
        name: key, value: own[key] || "" }));
      input.addEventListener("change", () => change({ [key]: Number(input.value) }));
      return make("label", {}, `${title} `, input);
    }

    /** @param {"fuel" | "fed"} key @param {string} title @param {string[]} words */
    function choice(key, title, words) {
      const select = /** @type {HTMLSelectElement} */ (make("select", { name: key },
        ...["", ...words].map((it) => make("option", { value: it, selected: it === own[key] },
          it || "any"))));
      select.addEventListener("change", () => change({ [key]: select.value }));
      return make("label", {}, `${title} `, select);
    }

    function show() {
      if (!Object.values(own).some(Boolean)) {
        body.replaceChildren(make("p", {}, "Say what you have, and what you wish. Each field may " +
          "stay empty; the size of the engine and its fuel tell most."));
        return;
      }
      const found = nearest(all, own);
      const few = found.slice(0, 5).map(({ at }) => `${index.id[all.build[at]]}/${all.setup[at]}`);
      body.replaceChildren(
        make("h2", { id: "span" }, "What such combos made"), ...spanParts(found),
        make("h2", { id: "nearest" }, "The nearest, and why"), nearTable(found.slice(0, SHOWN)),
        make("p", {}, make("a", { href: `${compare}?with=${few.join(",")}` },
          few.length > 1 ? `Compare the nearest ${few.length}` : "Compare it")),
        make("p", { class: "sg-note" }, rules()),
      );
    }

    /** How near is counted. @returns {string} */
    function rules() {
      return "How near is counted: one step for each 20 % of size, 15 % of highest speed, two " +
        "cylinders, 40 points of alcohol in the fuel, or 40 % of power once scaled to your size; " +
        "three quarters for another kind of blower, one and a half between blower and " +
        "turbocharger, three between a blown engine and one that is not. Such combos are those " +
        "within two steps, power left aside. The steps are common practice and have no source. " +
        "Scaling by the litre takes an engine of another size to breathe and to turn alike.";
    }

    /** @param {Near[]} found @returns {Node[]} */
    function spanParts(found) {
      const rows = spans(all, found, own);
      const unknown = found.filter(({ at }) => all.words[all.standing[at]] === UNKNOWN).length;
      if (!rows.length) {
        return [make("p", {}, "No tested combo of this archive is near enough to say. The nearest " +
          "ones below show how far off they are.")];
      }
      const heads = ["Power measured", "Combos", "Each litre made",
        ...(own.litres ? ["For your engine"] : []), ...(own.power && own.litres ? ["Your wish"] : [])];
      const lines = rows.map(({ place, count, low, high, each }) => make("tr", {},
        make("th", { scope: "row" }, index.places[place][0]),
        make("td", { class: "sg-num" }, String(count)),
        make("td", { class: "sg-num" }, span(each[0] * 1e6, each[1] * 1e6, "specific_power")),
        ...(own.litres ? [make("td", { class: "sg-num" }, span(low * 1e3, high * 1e3, "power"))] : []),
        ...(own.power && own.litres ? [make("td", {}, wish(low, high))] : [])));
      const table = make("div", { class: "sg-scroll", tabindex: 0, role: "region",
        "aria-label": "What such combos made" }, make("table", { class: "sg-table" },
        make("thead", {}, make("tr", {}, ...heads.map((it, at) =>
          make("th", { scope: "col", class: at && at < 4 ? "sg-num" : undefined }, it)))),
        make("tbody", {}, ...lines)));
      const points = rows.length > 1 ? "Figures of different measuring points do not compare: they " +
        "stand in lines of their own. " : "";
      const left = unknown ? `${unknown} of the archive’s combos stand as reported, correction ` +
        "unknown, and are left out. " : "";
      return [table, make("p", { class: "sg-note" }, `${points}${left}These are what was tested, ` +
        "from the least to the most, and no promise for another engine.")];
    }

    /** @param {number} low @param {number} high @returns {string} */
    function wish(low, high) {
      if (own.power > high) return `${compared(own.power, high, ["above", "below"])} the most`;
      if (own.power < low) return `${compared(own.power, low, ["above", "below"])} the least`;
      return "within what was tested";
    }

    /** @param {number} low @param {number} high @param {string} key @returns {Node} */
    function span(low, high, key) {
      const quantity = index.quantities[key];
      return inBoth((now) => {
        const [from, to] = [low, high].map((end) => number(quantity, end, now));
        return [from === to ? withUnit(to, quantity, now) : `${from} to ${withUnit(to, quantity, now)}`];
      });
    }

    /** A written figure without its uncertainty. @param {string} text @param {string} key */
    function bare(text, key) {
      const quantity = index.quantities[key];
      return inBoth((now) => [text ? withUnit(parts(text, now)[0], quantity, now) : "size not recorded"]);
    }

    /** @param {Near[]} found @returns {HTMLElement} */
    function nearTable(found) {
      const heads = ["Combo", "Power", "Each litre", "Boost", "Near", "Far"];
      const lines = found.map(({ at, near, far }) => {
        const build = all.build[at];
        const link = make("a", { href: sheet.replace("*", index.id[build]) }, index.title[build]);
        const cell = (/** @type {string} */ text, /** @type {string} */ key) =>
          make("td", { class: "sg-num" }, text ? figure(text, index.quantities[key]) : "–");
        const stands = `${index.places[all.words[all.place[at]]][0]}, ${all.words[all.standing[at]]}`;
        return make("tr", {},
          make("th", { scope: "row" }, link, make("span", { class: "sg-compare-setup" },
            `${all.words[all.title[at]]}, ${all.words[all.fed[at]]}, ${all.words[all.fuel[at]]}, `,
            bare(index.size[build], "swept_volume"))),
          make("td", { class: "sg-num" }, figure(all.power[at], index.quantities.power),
            make("span", { class: "sg-compare-setup" }, stands)),
          cell(all.specific[at], "specific_power"), cell(all.boost[at], "boost"),
          make("td", { class: "sg-words" }, specgen.words.capital(near.join("; ")) || "–"),
          make("td", { class: "sg-words" }, specgen.words.capital(far.join("; ")) || "–"));
      });
      return make("div", { class: "sg-scroll", tabindex: 0, role: "region",
        "aria-label": "The nearest combos" }, make("table", { class: "sg-table sg-find" },
        make("thead", {}, make("tr", {}, ...heads.map((it, at) =>
          make("th", { scope: "col", class: at && at < 4 ? "sg-num" : undefined }, it)))),
        make("tbody", {}, ...lines)));
    }

    function restore() {
      own = parse(specgen.address.parameters(window.location));
      fill();
      show();
    }

    Promise.all([specgen.data.load("builds", indexFile), specgen.data.load("combos", combosFile)])
      .then(([builds, combos]) => {
        [index, all] = [builds, combos];
        root.replaceChildren(form, body);
        window.addEventListener("popstate", restore);
        document.addEventListener("specgen-units", fill);
        restore();
      }).catch((problem) => {
        root.replaceChildren(make("p", { role: "alert" }, `The builds did not load: ${problem.message}.`));
      });
    return () => {
      window.removeEventListener("popstate", restore);
      document.removeEventListener("specgen-units", fill);
    };
  }

  return { isAlike, nearest, parse, spans, start, stepsOf };
})();
