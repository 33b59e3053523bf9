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
  const { amount, bare, between, cell, figure, head, make, note, system, table } = specgen.page;
  const { capital, parts, read, unitOf } = specgen.numbers;
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

  /** A word that is its own value. @param {string} word @returns {[string, string]} */
  function twice(word) {
    return [word, word];
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
    if (a < 0 || b < 0) return { steps: 1.5, words: words || "fuel not recorded" };
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

  /** The combos of each build together, the build with the nearest first.
   * @param {Combos} all @param {Near[]} found @returns {Near[][]} */
  function byBuild(all, found) {
    /** @type {Map<number, Near[]>} */
    const groups = new Map();
    for (const it of found) groups.set(all.build[it.at], [...groups.get(all.build[it.at]) ?? [], it]);
    return [...groups.values()];
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
    const form = make("form", { class: "sg-compare-tools", "aria-label": "Your own engine",
      submit: (event) => event.preventDefault() });
    const body = make("div", { "aria-live": "polite" });
    const rules = document.getElementById("sg-rules");

    /** @param {Partial<Own>} change */
    function change(change) {
      Object.assign(own, change);
      specgen.address.put(specgen.address.joined(Object.entries(own)), true);
      show();
    }

    function fill() {
      const quantities = index.quantities;
      form.replaceChildren(
        number("litres", "Engine size", quantities.swept_volume),
        number("cylinders", "Cylinders", null, 1),
        number("rpm", "Highest speed, rpm", null, 100),
        choice("fuel", "Fuel", distinct(all.fuel)),
        choice("fed", "Induction", [...new Set([NATURAL, ANY_BLOWER, ...distinct(all.fed)])]),
        number("power", "Wished power", quantities.power),
      );
    }

    /** What occurs in a column of words. @param {number[]} column */
    function distinct(column) {
      return [...new Set(column.map((it) => all.words[it]))].filter(Boolean).sort();
    }

    /** @param {"litres" | "cylinders" | "rpm" | "power"} name @param {string} title
     * @param {Quantity | null} quantity @param {number} [step] */
    function number(name, title, quantity, step) {
      const unit = quantity ? `, ${unitOf(quantity, system())[0]}` : "";
      return make("label", {}, `${title}${unit} `, amount(quantity, own[name] || NaN,
        (value) => change({ [name]: value || 0 }), { name, ...(step && { step }) }));
    }

    /** @param {"fuel" | "fed"} name @param {string} title @param {string[]} words */
    function choice(name, title, words) {
      return specgen.page.choice(title, [["", "any"], ...words.map(twice)], own[name],
        (value) => change({ [name]: value }), { name });
    }

    function show() {
      const asked = Object.values(own).some(Boolean);
      if (rules) rules.hidden = !asked;
      if (!asked) {
        body.replaceChildren(make("p", {}, "Say what you have, and what you wish. Each field may " +
          "stay empty; the size of the engine and its fuel tell most."));
        return;
      }
      const found = nearest(all, own);
      const builds = byBuild(all, found);
      const few = builds.slice(0, 5).map(([it]) => it).map(({ at }) => `${index.id[all.build[at]]}/${all.setup[at]}`);
      body.replaceChildren(
        make("h2", { id: "span" }, "What such combos made"), ...spanParts(found),
        make("h2", { id: "nearest" }, "The nearest, and why"), nearTable(builds.slice(0, SHOWN)),
        make("p", {}, make("a", { href: `${compare}?with=${few.join(",")}` },
          few.length > 1 ? `Compare the nearest ${few.length}` : "Compare it")),
      );
    }

    /** @param {string[]} titles @param {string} title @param {string} kind
     * @param {HTMLElement[][]} lines @returns {HTMLElement} */
    function listing(titles, title, kind, lines) {
      return table(title, kind, titles.map((it, at) => head([it], at > 0 && at < 4)),
        [make("tbody", {}, ...lines.map((cells) => {
          cells.forEach((it, at) => {
            if (at) it.dataset.sgLabel = titles[at];
          });
          return make("tr", {}, ...cells);
        }))]);
    }

    /** @param {Near[]} found @returns {Node[]} */
    function spanParts(found) {
      const rows = spans(all, found, own);
      const unknown = found.filter(({ at }) => all.words[all.standing[at]] === UNKNOWN).length;
      if (!rows.length) {
        return [make("p", {}, "No tested combo of this archive is near enough to say. The nearest " +
          "ones below show how far off they are.")];
      }
      const { power, specific_power: specific } = index.quantities;
      const wished = own.power && own.litres;
      const heads = ["Power measured", "Combos", "Each litre made",
        ...(own.litres ? ["For your engine"] : []), ...(wished ? ["Your wish"] : [])];
      const lines = rows.map(({ place, count, low, high, each }) => [
        head([index.places[place][0]], false, { scope: "row" }),
        cell(String(count)),
        cell(between(each.map((it) => it * 1e6), specific)),
        ...(own.litres ? [cell(between([low * 1e3, high * 1e3], power))] : []),
        ...(wished ? [make("td", {}, wish(low, high))] : []),
      ]);
      const points = rows.length > 1 ? "Figures of different measuring points do not compare: they " +
        "stand in lines of their own. " : "";
      const left = unknown ? `${unknown} of the archive’s combos stand as reported, correction ` +
        "unknown, and are left out. " : "";
      return [listing(heads, "What such combos made", "sg-compare-read", lines),
        note(`${points}${left}These are what was tested, from the least to the most, and no ` +
          "promise for another engine.")];
    }

    /** @param {number} low @param {number} high @returns {string} */
    function wish(low, high) {
      const [end, words] = own.power > high ? [high, "most"] : [low, "least"];
      return own.power > high || own.power < low
        ? `${compared(own.power, end, ["above", "below"])} the ${words}` : "within what was tested";
    }

    /** What a combo comes to at the reader's own size, with the sum that says so.
     * @param {number} at @returns {HTMLElement} */
    function scaling(at) {
      const { swept_volume: size, power } = index.quantities;
      const made = scaled(all, at, own.litres);
      if (!(made > 0)) return cell("–");
      return make("td", { class: "sg-num" }, between([made * 1e3, made * 1e3], power, made * 10),
        make("span", { class: "sg-compare-setup" }, "by the litre, times ",
          between([own.litres / 1e3, own.litres / 1e3], size)));
    }

    /** A build a line, with its nearest combo and the others named below.
     * @param {Near[][]} builds @returns {HTMLElement} */
    function nearTable(builds) {
      const { quantities } = index;
      const small = (/** @type {(Node | string)[]} */ ...words) =>
        make("span", { class: "sg-compare-setup" }, ...words);
      const wide = own.litres ? ["For your engine"] : [];
      return listing(["Combo", "Power", "Each litre", "Boost", ...wide, "Near", "Far"],
        "The nearest combos", "sg-find", builds.map(([{ at, near, far }, ...more]) => {
          const build = all.build[at];
          const word = (/** @type {"title" | "fed" | "fuel" | "place" | "standing"} */ column) =>
            all.words[all[column][at]];
          const size = index.size[build];
          const shown = (/** @type {"specific" | "boost"} */ column, /** @type {string} */ key) =>
            cell(all[column][at] ? figure(all[column][at], quantities[key]) : "–");
          return [
            head([make("a", { href: sheet.replace("*", index.id[build]) }, index.title[build]),
              small(`${word("title")}, ${word("fed")}, ${word("fuel") || "fuel not recorded"}, `,
                size ? bare(size, quantities.swept_volume) : "size not recorded"),
              ...(more.length ? [small("also ", ...more.flatMap((it, place) => [place ? "; " : "",
                `${all.words[all.title[it.at]]}, ${all.words[all.fuel[it.at]]}, `,
                bare(all.power[it.at], quantities.power)]))] : [])],
            false, { scope: "row" }),
            make("td", { class: "sg-num" }, figure(all.power[at], quantities.power),
              small(`${index.places[word("place")][0]}, ${word("standing")}`)),
            shown("specific", "specific_power"), shown("boost", "boost"),
            ...(own.litres ? [scaling(at)] : []),
            ...[near, far].map((it) => make("td", { class: "sg-words" }, capital(it.join("; ")) || "–")),
          ];
        }));
    }

    function restore() {
      own = parse(specgen.address.parameters(location));
      fill();
      show();
    }

    Promise.all([specgen.data.load("builds", indexFile), specgen.data.load("combos", combosFile)])
      .then(([builds, combos]) => {
        [index, all] = [builds, combos];
        root.replaceChildren(form, body);
        addEventListener("popstate", restore);
        document.addEventListener("specgen-units", fill);
        restore();
      }).catch((problem) => {
        root.replaceChildren(make("p", { role: "alert" }, `The builds did not load: ${problem.message}.`));
      });
    return () => {
      removeEventListener("popstate", restore);
      document.removeEventListener("specgen-units", fill);
    };
  }

  return { byBuild, isAlike, nearest, parse, spans, start, stepsOf };
})();
specgen.page.tool("[data-sg-find]", specgen.find.start);
