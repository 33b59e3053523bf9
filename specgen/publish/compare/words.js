// @ts-check
"use strict";

/** @typedef {{kind: "unlike" | "difference" | "same", text: (system: System) => string}} Sentence */
/**
 * @typedef {object} Index the archive's own words and units, as far as a comparison needs them
 * @property {string} base @property {[string, string, string, string][]} bases
 * @property {Places} places @property {Record<string, Quantity>} quantities
 */

/** What a comparison says in words: what is not like for like, and what the tests can tell. */
specgen.words = (() => {
  const { number, margin, withUnit } = specgen.numbers;
  const measure = specgen.measure;
  /** Air so much denser than another is far from it, as on the sheets. */
  const FAR_AIR = 0.05;
  const LITRE = { power: "power per litre", torque: "mean effective pressure", boost: "boost" };

  /** "A", "A and B", "A, B and C". @param {string[]} names @returns {string} */
  function listed(names) {
    const last = names.at(-1) ?? "";
    return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
  }

  /** A sentence that reads the same in both unit systems.
   * @param {Sentence["kind"]} kind @param {string} text @returns {Sentence} */
  function plain(kind, text) {
    return { kind, text: () => text };
  }

  /**
   * Items by what is said of them, in the order of the items.
   * @param {Item[]} items @param {(item: Item) => string} say @returns {Map<string, string[]>}
   */
  function grouped(items, say) {
    /** @type {Map<string, string[]>} */
    const groups = new Map();
    for (const item of items) {
      const said = say(item);
      groups.set(said, [...(groups.get(said) ?? []), item.letter]);
    }
    return groups;
  }

  /** "at the flywheel (A and B), at the wheel hubs (C)". @param {Map<string, string[]>} groups */
  function told(groups) {
    return listed([...groups].map(([said, letters]) => `${said} (${listed(letters)})`));
  }

  /**
   * Everything that is to be said of some items, the warnings first.
   * @param {Item[]} items @param {Basis} basis @param {Index} index @returns {Sentence[]}
   */
  function sentences(items, basis, index) {
    const tested = items.filter((it) => it.pull);
    const unlike = [
      ...planned(items),
      ...same(tested),
      ...places(tested, index),
      ...standings(tested, basis, index),
      ...fuels(items),
      ...air(tested, basis, index),
    ];
    if (tested.length < 2) return unlike;
    const warned = unlike.some(({ kind }) => kind === "unlike");
    return [...(warned ? unlike : [...unlike, alike(tested, basis, index)]),
      ...differences(tested, basis, index)];
  }

  /** @param {Item[]} items @param {Basis} basis @param {Index} index @returns {Sentence} */
  function alike(items, basis, index) {
    const place = index.places[items[0].pull?.place ?? ""][0];
    const stand = measure.state(items[0], basis.base) === "observed" ? "as observed"
      : `corrected to ${title(basis.base, index)}`;
    return plain("same", `Like for like: all were measured ${place}, stand ${stand}, ran on the ` +
      "same fuel, and in air that was not far apart.");
  }

  /** @param {string} base @param {Index} index @returns {string} */
  function title(base, index) {
    return index.bases.find(([key]) => key === base)?.[1] ?? base;
  }

  /** @param {Item[]} items @returns {Sentence[]} */
  function planned(items) {
    const letters = items.filter((it) => !it.pull).map((it) => it.letter);
    if (!letters.length) return [];
    const many = letters.length > 1;
    return [plain("unlike", `${listed(letters)} ${many ? "have" : "has"} not been tested: ` +
      `${many ? "their columns show" : "the column shows"} estimates only.`)];
  }

  /** Name the items that are one setup of one build, tested more than once.
   * @param {Item[]} items @returns {Sentence[]} */
  function same(items) {
    const groups = [...grouped(items, (it) => `${it.id} ${it.setup.id}`).values()];
    return groups.filter((letters) => letters.length > 1)
      .map((letters) => plain("same", `${listed(letters)} are one and the same setup of one ` +
        "build: what they differ by is the tests, not the build."));
  }

  /** @param {Item[]} items @param {Index} index @returns {Sentence[]} */
  function places(items, index) {
    const groups = grouped(items, (it) => index.places[it.pull?.place ?? ""][0]);
    if (groups.size < 2) return [];
    return [plain("unlike", `Power was measured ${told(groups)}. These figures do not compare as ` +
      "they stand: a drive line takes a share of the power that nobody measured.")];
  }

  /** @param {Item[]} items @param {Basis} basis @param {Index} index @returns {Sentence[]} */
  function standings(items, { base }, index) {
    const [, name, , permitted] = index.bases.find(([key]) => key === base) ?? [];
    // A reason is said once, of all that it is true of; ¶ stands for their letters.
    const reasons = grouped(items, (it) => {
      const { why, beyond } = it.pull?.bases[base] ?? {};
      const stands = measure.state(it, base) === "reported" ? "as reported" : "as observed";
      if (why) return `¶ | stand ${stands} and not ${wanted(base, index)}: ${why}.`;
      if (base !== "observed" && it.build.cells.induction === "turbocharged") {
        return "¶ | are turbocharged, for which the factors of the standards were not made: " +
          "a corrected figure is for orientation.";
      }
      return beyond ? `The air of ¶ | lie outside what ${name} permits (${permitted}): ` +
        "the correction is less certain than the ± says." : "";
    });
    reasons.delete("");
    return [...reasons].map(([said, letters]) => {
      const one = letters.length < 2;
      const text = said.replace("| stand", one ? "stands" : "stand")
        .replace("| are", one ? "is" : "are").replace("| lie", "lies");
      return plain("unlike", text.replace("¶", listed(letters)));
    });
  }

  /** @param {string} base @param {Index} index @returns {string} */
  function wanted(base, index) {
    return base === "observed" ? "as observed" : `corrected to ${title(base, index)}`;
  }

  /** @param {Item[]} items @returns {Sentence[]} */
  function fuels(items) {
    const groups = grouped(items, (it) => it.setup.cells.fuel ?? "not recorded");
    return groups.size > 1 ? [plain("unlike", `The fuel was ${told(groups)}.`)] : [];
  }

  /** @param {Item[]} items @param {Basis} basis @param {Index} index @returns {Sentence[]} */
  function air(items, { base }, index) {
    const unknown = items.filter((it) => !it.pull?.density).map((it) => it.letter);
    const known = items.filter((it) => it.pull?.density);
    /** @type {Sentence[]} */
    const found = unknown.length && items.length > 1
      ? [plain("unlike", `The air of ${listed(unknown)} was not fully recorded.`)] : [];
    if (known.length < 2) return found;
    const dense = (/** @type {Item} */ it) => it.pull?.density ?? 0;
    known.sort((a, b) => dense(a) - dense(b));
    const [thin, thick] = [known[0], known[known.length - 1]];
    const apart = dense(thick) / dense(thin) - 1;
    if (apart > FAR_AIR) {
      const share = (apart * 100).toFixed(0);
      const consequence = base === "observed"
        ? "observed figures then set the weather side by side as well"
        : `${title(base, index)} takes that out only as far as a standard can`;
      found.push(plain("unlike", `The air was far apart: ${share} % denser for ${thick.letter} ` +
        `than for ${thin.letter}; ${consequence}.`));
    }
    return found;
  }

  /** Each item against the first. @param {Item[]} items @param {Basis} basis
   * @param {Index} index @returns {Sentence[]} */
  function differences(items, basis, index) {
    const [first, ...others] = items;
    return others.map((it) => ({
      kind: /** @type {const} */ ("difference"),
      text: (system) => `${named(it)} against ${named(first)}: ` +
        `${against(first, it, basis, index, system)}.`,
    }));
  }

  /** A letter with what it stands for. @param {Item} item @returns {string} */
  function named({ letter, name }) {
    return name ? `${letter} (${name})` : letter;
  }

  /**
   * @param {Item} first @param {Item} other @param {Basis} basis @param {Index} index
   * @param {System} system @returns {string}
   */
  function against(first, other, basis, index, system) {
    const like = measure.comparable(first, other, basis.base);
    const phrase = (/** @type {CurveKey} */ key) =>
      difference(first, other, key, basis, index, system);
    const boost = phrase("boost");
    const rest = boost ? [boost] : [];
    if (like) {
      const found = [phrase("power"), phrase("torque"), ...rest];
      return found.filter(Boolean).join("; ") || "neither power nor torque was recorded for both";
    }
    return [uncalled(first, other, basis, index, system), ...rest].join("; ");
  }

  /** "power 12 kW more, larger than the ±7 kW these two tests can tell apart".
   * @param {Item} first @param {Item} other @param {CurveKey} key @param {Basis} basis
   * @param {Index} index @param {System} system @returns {string} empty where there is no figure */
  function difference(first, other, key, basis, index, system) {
    const { value, expanded } = measure.difference(first, other, key, basis);
    if (!Number.isFinite(value)) return "";
    const quantity = index.quantities[measure.quantityOf(key, basis)];
    const name = basis.litre ? LITRE[key] : key;
    const [size, width] = sizes(quantity, Math.abs(value), expanded, system)
      .map((it) => withUnit(it, quantity, system));
    const sense = value < 0 ? "less" : "more";
    if (!expanded) return `${name} ${size} ${sense}, uncertainty not known`;
    const more = /[1-9]/.test(size) ? `${size} ${sense}` : "the same";
    return Math.abs(value) > expanded
      ? `${name} ${more}, larger than the ±${width} these two tests can tell apart`
      : `${name} ${more}, within the ±${width} that these two tests cannot tell apart`;
  }

  /** A difference and its uncertainty, by a digit more where both would read the same.
   * @param {Quantity} quantity @param {number} value @param {number} expanded
   * @param {System} system @returns {[string, string]} */
  function sizes(quantity, value, expanded, system) {
    const short = number(quantity, value, system, expanded);
    const width = margin(quantity, expanded, system);
    if (width && short !== width) return [short, width];
    return [number(quantity, value, system), number(quantity, expanded, system)];
  }

  /** Why no difference is called, and what the bands say where only the measuring point differs.
   * @param {Item} first @param {Item} other @param {Basis} basis @param {Index} index
   * @param {System} system @returns {string} */
  function uncalled(first, other, basis, index, system) {
    const [one, two] = [first, other].map((it) => measure.state(it, basis.base));
    if (one !== two || one === "reported") {
      return "no difference in power or torque is called, since the figures do not stand alike";
    }
    const place = basis.place || "flywheel";
    const ends = [first, other].map((it) => reach(it, { ...basis, place }, index));
    const [a, b] = [first, other].map((it, at) => `${it.letter} ${span(ends[at], basis, index, system)}`);
    if (ends.flat().some(Number.isNaN)) {
      return "no difference in power or torque is called, since they were measured at different points";
    }
    const apart = ends[0][1] < ends[1][0] || ends[1][1] < ends[0][0];
    return "no difference in power or torque is called from figures of different measuring points; " +
      `as bands ${index.places[place][0]}, ${a} and ${b}, which ` +
      (apart ? "lie apart whatever the drive line takes" : "overlap: the tests do not tell them apart");
  }

  /** The ends between which an item's peak power lies. @param {Item} item @param {Basis} basis
   * @param {Index} index @returns {[number, number]} */
  function reach(item, basis, index) {
    const value = measure.peak(item, "power", basis);
    const spread = measure.expanded(item, "power", basis, value);
    return measure.band(item, "power", basis, value, index.places) ?? [value - spread, value + spread];
  }

  /** @param {[number, number]} ends @param {Basis} basis @param {Index} index
   * @param {System} system @returns {string} */
  function span(ends, basis, index, system) {
    const quantity = index.quantities[measure.quantityOf("power", basis)];
    const wide = (ends[1] - ends[0]) / 2;
    const [low, high] = ends.map((end) => number(quantity, end, system, wide));
    return `makes ${low} to ${withUnit(high, quantity, system)}`;
  }

  return { grouped, listed, sentences, sizes, title };
})();
