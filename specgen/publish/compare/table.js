// @ts-check
"use strict";

/** @typedef {[string, string, string, string]} Line key, title, quantity or "", level */
/** @typedef {{line: Line, texts: (string | undefined)[], mark: string}} Row */

/** Setups side by side: one table, its rows marked by what they tell. */
specgen.table = (() => {
  const { absent, between, figure, head, make, note } = specgen.page;
  const { capital, parts, read } = specgen.numbers;
  const measure = specgen.measure;
  /** What a mark before a row says; none for a row that is the same all through. */
  const MARKS = /** @type {Record<string, string>} */ ({
    "≠": "differs",
    "≈": "differs by less than its ± can tell",
    "†": "does not compare: see the words above",
  });
  const PEAKS = /** @type {Record<string, [CurveKey, boolean]>} */ ({
    power: ["power", false],
    torque: ["torque", false],
    specific_power: ["power", true],
    mean_pressure: ["torque", true],
  });

  /** The text of a line for an item. @param {Item} item @param {Line} line @param {string} base
   * @returns {string | undefined} */
  function textOf({ build, setup, pull }, [key, , , level], base) {
    if (level === "base") return pull?.bases[base].cells[key];
    if (level === "pull") return pull?.cells[key];
    return (level === "build" ? build : setup).cells[key];
  }

  /**
   * What a row tells: "" for the same all through, else one of MARKS.
   * @param {Item[]} items @param {Line} line @param {(string | undefined)[]} texts
   * @param {string} base @returns {string}
   */
  function markOf(items, line, texts, base) {
    const there = texts.filter(Boolean);
    if (there.length < 2) return "";
    if (PEAKS[line[0]] && !alike(items, base)) return "†";
    if (new Set(there).size < 2) return "";
    if (PEAKS[line[0]]) {
      const [key, litre] = PEAKS[line[0]];
      const [one, ...more] = items.filter((_, at) => texts[at]);
      return more.some((it) => told(one, it, key, { base, litre, place: "" })) ? "≠" : "≈";
    }
    if (!line[2]) return "≠";
    const [first, ...others] = there.map((it) => parts(it ?? "", "metric").map(read));
    const apart = others.some(([value, margin]) =>
      !(Math.abs(value - first[0]) <= Math.hypot(margin || 0, first[1] || 0)));
    return apart ? "≠" : "≈";
  }

  /** @param {Item[]} items @param {string} base @returns {boolean} */
  function alike(items, base) {
    const tested = items.filter((it) => it.pull);
    return tested.every((it) => measure.comparable(tested[0], it, base));
  }

  /** Whether two tests tell a difference. @param {Item} first @param {Item} other
   * @param {CurveKey} key @param {Basis} basis */
  function told(first, other, key, basis) {
    const { value, expanded } = measure.difference(first, other, key, basis);
    return Math.abs(value) > expanded;
  }

  /**
   * All groups with the rows that have something in them.
   * @param {Item[]} items @param {[string, Line[]][]} groups @param {string} base
   * @returns {[string, Row[]][]}
   */
  function rowsOf(items, groups, base) {
    return groups.map(([title, lines]) => {
      const rows = lines.map((line) => {
        const texts = items.map((it) => textOf(it, line, base));
        return { line, texts, mark: items.length > 1 ? markOf(items, line, texts, base) : "" };
      });
      return [title, rows.filter(({ texts }) => texts.some(Boolean))];
    });
  }

  /**
   * The table in its frame, with what its marks mean.
   * @param {Item[]} items @param {[string, Line[]][]} groups @param {Index} index
   * @param {Basis} basis @param {boolean} differing only rows that differ
   * @param {(item: Item) => (Node | string)[]} heading @returns {Node[]}
   */
  function table(items, groups, index, basis, differing, heading) {
    const found = rowsOf(items, groups, basis.base);
    const heads = [head([make("span", { class: "sg-spoken" }, "Figure")]),
      ...items.map((it) => head(heading(it)))];
    const bodies = found.map(([title, rows], at) => {
      const shown = rows.filter(({ mark }) => !differing || mark);
      if (!shown.length) return undefined;
      return make("tbody", {}, make("tr", { class: "sg-heading" },
        head([make("span", {}, title)], false, { scope: "rowgroup", colspan: items.length + 1 })),
        ...shown.map((row) => rowElement(row, index, items)),
        ...(at === 0 ? bandRows(items, basis, index) : []));
    });
    const used = [...new Set(found.flatMap(([, rows]) => rows.map(({ mark }) => mark)))];
    const said = Object.entries(MARKS).filter(([mark]) => used.includes(mark))
      .map(([mark, words]) => `${mark} ${words}`).join(" · ");
    const none = differing && bodies.every((it) => !it) ? "Nothing in this table differs." : "";
    return [specgen.page.table("Setups side by side", "sg-compare-table", heads, bodies),
      note(none || said)];
  }

  /** @param {Row} row @param {Index} index @param {Item[]} items @returns {HTMLElement} */
  function rowElement({ line: [key, title, quantity], texts, mark }, index, items) {
    const sign = mark ? [make("abbr", { title: MARKS[mark], class: "sg-compare-sign" }, mark), " "]
      : [];
    const name = head([...sign, title], false, { scope: "row" });
    const cells = texts.map((text, at) => make("td", { class: quantity && "sg-num",
      "data-sg-letter": items[at].letter },
      text === undefined ? absent() : quantity ? figure(text, index.quantities[quantity]) : text));
    return make("tr", { class: mark ? undefined : "sg-compare-same", "data-sg-line": key }, name,
      ...cells);
  }

  /** Peaks at the wanted measuring point, as the ends of a band.
   * @param {Item[]} items @param {Basis} basis @param {Index} index @returns {HTMLElement[]} */
  function bandRows(items, basis, index) {
    if (!basis.place) return [];
    const own = { ...basis, litre: false };
    return /** @type {CurveKey[]} */ (["power", "torque"]).map((key) => {
      const cells = items.map((it) => {
        const value = measure.peak(it, key, own);
        const ends = measure.band(it, key, own, value, index.places);
        const written = Number.isFinite(value) && (ends
          ? span(ends, index.quantities[key])
          : figure(it.pull?.bases[own.base].cells[key] ?? "", index.quantities[key]));
        return specgen.page.cell(written || absent(), { "data-sg-letter": it.letter });
      });
      const title = `${capital(key)} ${index.places[basis.place][0]}`;
      return make("tr", {}, head([title], false, { scope: "row" }), ...cells);
    });
  }

  /** A band in words. @param {[number, number]} ends @param {Quantity} quantity */
  function span(ends, quantity) {
    return between(ends, quantity, (ends[1] - ends[0]) / 2);
  }

  return { MARKS, markOf, rowsOf, span, table };
})();
