// @ts-check
"use strict";

/**
 * @typedef {object} Shown what the page shows now, and how to change it
 * @property {Item[]} items @property {State} state @property {Basis} basis @property {Builds} index
 * @property {(change: Partial<State>) => void} change
 * @property {() => void} keep puts the state in the address without a step back
 */

/** A table that is legend, switch and peaks; and the tool that reads the curves at one speed. */
specgen.readout = (() => {
  const { absent, bare, button, cell, choice, figure, head, inBoth, make, note } = specgen.page;
  const { THIN, withUnit } = specgen.numbers;
  const measure = specgen.measure;
  const STEP = 50;
  const KEYS = /** @type {CurveKey[]} */ (["power", "torque", "boost"]);

  /** What the columns of figures are called. @param {Basis} basis @returns {string[]} */
  function titles({ litre }) {
    return litre ? ["Power per litre", "Mean pressure", "Boost"] : ["Power", "Torque", "Boost"];
  }

  /**
   * The table: a row a setup, with its switch, its choice of pull, its peaks and what it gains.
   * @param {Shown} shown @param {string} sheet address of a sheet, * for its id
   * @returns {HTMLElement}
   */
  function table(shown, sheet) {
    const { basis, items } = shown;
    const gain = items.length > 1 ? [`${titles(basis)[0]}, gain over A`] : [];
    return specgen.page.table("Setups and their peaks", "sg-compare-legend", [
      head(["Setup"]), ...[...titles(basis), ...gain].map((title) => head([title], true)),
      head([make("span", { class: "sg-spoken" }, "Remove")]),
    ], [make("tbody", {}, ...items.map((it, at) => row(it, at, shown, sheet)))]);
  }

  /** A peak with its speed; of a planned setup what is expected. @param {Item} item
   * @param {CurveKey} key @param {Shown} shown @returns {HTMLElement} */
  function peak(item, key, { basis, index }) {
    const small = (/** @type {(Node | string)[]} */ ...words) =>
      make("span", { class: "sg-compare-setup" }, ...words);
    const label = { "data-sg-label": titles(basis)[KEYS.indexOf(key)], "data-sg-peak": key };
    const made = valueNode(item, key, basis, index, measure.peak(item, key, basis));
    const speed = item.pull?.cells[`${key}_speed`];
    if (made) {
      const at = speed ? small("at ", bare(speed, index.quantities.engine_speed)) : undefined;
      return make("td", { class: "sg-num", ...label }, made, at);
    }
    const hoped = item.pull || basis.litre ? "" : item.setup.cells[`estimated_${key}`];
    if (!hoped) return cell(absent(), label);
    return make("td", { class: "sg-num", ...label }, figure(hoped, index.quantities[key]),
      small("estimated"));
  }

  /** What an item makes beyond the first, and whether the tests can tell. @param {Item} item
   * @param {Shown} shown @returns {HTMLElement} */
  function gained(item, { items: [first], basis, index }) {
    const label = { "data-sg-label": `Gain over ${first.letter}`, "data-sg-gain": item.letter };
    const { value, expanded } = measure.difference(first, item, "power", basis);
    if (item === first || !Number.isFinite(value)) return cell(absent(), label);
    if (!measure.comparable(first, item, basis.base)) return cell("does not compare", label);
    const quantity = index.quantities[measure.quantityOf("power", basis)];
    const share = (value / measure.peak(first, "power", basis)) * 100;
    const sign = value < 0 ? "−" : "+";
    const text = inBoth((system) => {
      const [size, width] = specgen.words.sizes(quantity, Math.abs(value), expanded, system);
      return [sign + withUnit(width ? `${size} ±${THIN}${width}` : size, quantity, system)];
    });
    const told = Math.abs(value) > expanded ? "" : ", within what the tests can tell";
    return make("td", { class: "sg-num", ...label }, text, make("span", { class: "sg-compare-setup" },
      `${sign}${Math.abs(share).toFixed(Math.abs(share) < 9.95 ? 1 : 0)} %${told}`));
  }

  /** @param {Item} item @param {number} at @param {Shown} shown @param {string} sheet */
  function row(item, at, shown, sheet) {
    const { state, change } = shown;
    const letter = item.letter.toLowerCase();
    const on = !state.hidden.includes(letter);
    const others = state.hidden.filter((it) => it !== letter);
    const box = make("input", { type: "checkbox", checked: on,
      "data-sg-key": `show-${letter}`, "aria-label": `Curve of ${item.letter}, ${item.build.title}`,
      change: () => {
        change({ hidden: box.checked ? others : [...others, letter].sort() });
      } });
    const away = button("×", () => change({
      chosen: state.chosen.filter((_, other) => other !== at),
      hidden: others.map((it) => (it > letter ? String.fromCharCode(it.charCodeAt(0) - 1) : it)),
    }), { class: "sg-compare-away", "data-sg-key": `away-${letter}`,
      "aria-label": `Remove ${item.letter}, ${item.build.title}` });
    const name = make("div", { class: "sg-compare-name" },
      make("a", { href: sheet.replace("*", item.id) }, item.build.title), pulls(item, at, shown),
      item.pull && !item.pull.speed ? make("span", { class: "sg-note" }, "peak figures only") : "");
    const peaks = KEYS.map((key) => peak(item, key, shown));
    if (shown.items.length > 1) peaks.push(gained(item, shown));
    return make("tr", { class: !on && "sg-compare-off" },
      head([make("div", { class: "sg-compare-key" }, make("label", {}, box,
        specgen.chart.mark(at), make("b", {}, item.letter)), name)], false, { scope: "row" }),
      ...peaks, make("td", {}, away));
  }

  /** The table of what each made at the speed that is read. @param {Shown} shown */
  function reading({ items, basis }) {
    const rows = items.map((item, at) => {
      const letter = item.letter.toLowerCase();
      return make("tr", {}, head([specgen.chart.mark(at), ` ${item.letter} `,
        make("span", { class: "sg-compare-name" }, item.name ?? "")], false, { scope: "row" }),
      ...[...titles(basis), "Average power"].map((title, column) => cell(absent(),
        { "data-sg-label": title, "data-sg-cell": `${letter}-${[...KEYS, "average"][column]}` })));
    });
    return specgen.page.table("Read at one speed", "sg-compare-read", [
      head(["At ", make("span", { class: "sg-compare-speed" })]),
      ...[...titles(basis), "Average power"].map((title) => head([title], true)),
    ], [make("tbody", {}, ...rows)]);
  }

  /** The choice of setup and pull within a build.
   * @param {Item} item @param {number} at @param {Shown} shown @returns {HTMLElement} */
  function pulls(item, at, { state, index, change }) {
    const wish = state.chosen[at];
    const { build } = item;
    /** @type {[string, string][]} */
    const options = [["/", `best of all: ${title(item, index)}`]];
    build.setups.forEach((setup, number) => {
      const own = build.pulls.filter((it) => it.setup === number);
      const best = own.find((it) => it.id === setup.best) ?? null;
      const words = own.length > 1 ? `best of ${own.length}, ` : "";
      options.push([`${setup.id}/`, words + title({ ...item, setup, pull: best }, index)]);
      if (own.length < 2) return;
      for (const pull of own) {
        options.push([`${setup.id}/${pull.id}`,
          `${THIN}${THIN}pull ${pull.id.split("-").at(-1)}, ${title({ ...item, setup, pull }, index)}`]);
      }
    });
    return choice("", options, `${wish.setup}/${wish.pull}`, (value) => {
      const [setup = "", pull = ""] = value.split("/");
      change({ chosen: state.chosen.map((it, other) => (other === at ? { ...it, setup, pull } : it)) });
    }, { "data-sg-key": `pull-${item.letter}`, "aria-label": `Setup and pull of ${item.letter}` });
  }

  /** A setup and its test in words. @param {Item} item @param {Builds} index @returns {string} */
  function title({ setup, pull }, index) {
    if (!pull) return `${setup.title}, planned`;
    return `${setup.title}, ${pull.cells.date}, ${index.places[pull.place][0]}`;
  }

  /**
   * Put a drawn chart in its place, with what reads it by pointer, touch and keyboard.
   * @param {Element} place @param {Overlay} drawn @param {Curve[]} lines @param {Shown} shown
   */
  function attach(place, drawn, lines, shown) {
    const { state } = shown;
    const speeds = lines.flatMap((it) => measure.recorded(it));
    const [low, high] = [Math.min(...speeds), Math.max(...speeds)];
    const slider = make("input", { type: "range", step: STEP,
      min: Math.floor(low / STEP) * STEP, max: Math.ceil(high / STEP) * STEP,
      "data-sg-key": "speed", "aria-label": "Engine speed of the read-out",
      change: shown.keep,
      input: () => {
        move(Number(slider.value));
      } });
    const start = state.speed || usual(shown);
    const beyond = start < low || start > high
      ? note(`No curve reaches ${speedText(start, shown.index)}: they run from ` +
        `${speedText(low, shown.index)} to ${speedText(high, shown.index)}.`) : undefined;
    const move = (/** @type {number} */ speed) => {
      state.speed = Math.min(Math.max(Math.round(speed / 10) * 10, low), high);
      slider.value = String(state.speed);
      drawn.point(state.speed);
      slider.setAttribute("aria-valuetext", read(place, shown));
    };
    follow(drawn, move, shown.keep);
    place.replaceChildren(drawn.element, make("label", { class: "sg-compare-slider" },
      "Read at ", slider), ...(beyond ? [beyond] : []), reading(shown), range(lines, shown));
    const kept = state.speed;
    move(start);
    if (!kept) state.speed = 0;
  }

  /** The speed that a reader sees first: that of the first peak, as far as all curves go there.
   * @param {Shown} shown @returns {number} */
  function usual({ items, basis }) {
    const lines = items.flatMap((it) => measure.curve(it, "power", basis) ?? []);
    if (!lines.length) return 0;
    const [{ x, y }] = lines;
    const top = x[y.indexOf(Math.max(...y.filter(Number.isFinite)))];
    const [from, to] = measure.shared(lines) ?? [top, top];
    return Math.min(Math.max(top, from), to);
  }

  /** @param {number} rpm @param {Builds} index @returns {string} */
  function speedText(rpm, index) {
    return specgen.numbers.text(index.quantities.engine_speed, rpm / 60, "metric");
  }

  /** Let a pointer over the chart move the read-out: hovering, or dragging a finger.
   * @param {Overlay} drawn @param {(speed: number) => void} move @param {() => void} keep */
  function follow({ element, speedAt }, move, keep) {
    const to = (/** @type {Event} */ event) => {
      const box = element.getBoundingClientRect();
      const width = Number(element.getAttribute("width"));
      const { clientX } = /** @type {PointerEvent} */ (event);
      move(speedAt(((clientX - box.left) / box.width) * width));
    };
    for (const way of ["move", "down"]) element.addEventListener(`pointer${way}`, to);
    for (const way of ["up", "leave"]) element.addEventListener(`pointer${way}`, keep);
  }

  /** Fill the table's cells for the speed; also say them in a line.
   * @param {Element} place @param {Shown} shown @returns {string} */
  function read(place, { items, state, basis, index }) {
    const at = speedText(state.speed, index);
    const head = place.querySelector(".sg-compare-speed");
    if (head) head.textContent = at;
    const said = items.map((item) => {
      const values = KEYS.map((key) => {
        const cell = place.querySelector(`[data-sg-cell="${item.letter.toLowerCase()}-${key}"]`);
        const line = measure.curve(item, key, basis);
        const shown = line && valueNode(item, key, basis, index, measure.at(line, state.speed));
        cell?.replaceChildren(shown ?? (line && outside(line, state.speed, index)) ?? absent());
        return key === "boost" || !shown ? "" : cell?.textContent ?? "";
      });
      return `${item.letter} ${values.filter(Boolean).join(", ") || "no curve there"}`;
    });
    return `${at}: ${said.join("; ")}`;
  }

  /** Why a curve has nothing at a speed; null where that lies between its ends.
   * @param {Curve} line @param {number} speed @param {Builds} index @returns {Node | null} */
  function outside(line, speed, index) {
    const run = measure.recorded(line);
    const [low, high] = [Math.min(...run), Math.max(...run)];
    const words = speed < low ? `begins at ${speedText(low, index)}`
      : speed > high ? `ends at ${speedText(high, index)}` : "";
    return words ? make("span", { class: "sg-absent" }, words) : null;
  }

  /** @param {Item} item @param {CurveKey} key @param {Basis} basis @param {Index} index
   * @param {number} value @returns {Node | null} */
  function valueNode(item, key, basis, index, value) {
    if (!Number.isFinite(value)) return null;
    const quantity = index.quantities[measure.quantityOf(key, basis)];
    const ends = measure.band(item, key, basis, value, index.places);
    if (ends) return specgen.table.span(ends, quantity);
    const expanded = measure.expanded(item, key, basis, value);
    return figure(specgen.numbers.figure(quantity, value, expanded), quantity);
  }

  /** The range of the average, and the averages. @param {Curve[]} lines @param {Shown} shown */
  function range(lines, shown) {
    const { items, state, basis, index } = shown;
    const powers = items.flatMap((it) => measure.curve(it, "power", basis) ?? []);
    const usual = measure.shared(powers) ?? measure.shared(powers.slice(0, 1)) ?? [0, 0];
    const [from, to] = state.range ?? usual;
    queueMicrotask(() => averages(from, to));
    const [low, high] = [from, to].map((value, at) => {
      const key = at ? "to" : "from";
      return make("input", { type: "number", value, step: 100, min: 0, max: 30000, change: changed,
        "data-sg-key": key, "aria-label": `Average ${key}, rpm` });
    });

    function changed() {
      const ends = /** @type {[number, number]} */ ([Number(low.value), Number(high.value)]);
      if (ends[1] > ends[0] && ends[0] > 0) shown.change({ range: ends });
    }

    /** @param {number} from @param {number} to */
    function averages(from, to) {
      for (const item of items) {
        const cell = document.querySelector(`[data-sg-cell="${item.letter.toLowerCase()}-average"]`);
        const line = measure.curve(item, "power", basis);
        const value = line ? measure.average(line, from, to) : NaN;
        cell?.replaceChildren(valueNode(item, "power", basis, index, value)
          ?? (line ? "not over all of it" : absent()));
      }
    }
    return make("div", { class: "sg-compare-range" }, "Average power from ", low, " to ", high, " rpm");
  }

  return { attach, table };
})();
