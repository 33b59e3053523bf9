// @ts-check
"use strict";

/**
 * @typedef {object} Shown what the page shows now, and how to change it
 * @property {Item[]} items @property {State} state @property {Basis} basis @property {Builds} index
 * @property {(change: Partial<State>) => void} change
 * @property {() => void} keep puts the state in the address without a step back
 */

/** One table that is legend, switch and read-out; and the slider that moves it. */
specgen.readout = (() => {
  const { absent, figure, make } = specgen.page;
  const { THIN } = specgen.numbers;
  const measure = specgen.measure;
  const STEP = 50;
  const KEYS = /** @type {CurveKey[]} */ (["power", "torque", "boost"]);

  /**
   * The table: a row a setup, with its switch, its choice of pull and its figures at the speed.
   * @param {Shown} shown @param {string} sheet address of a sheet, * for its id
   * @returns {HTMLElement}
   */
  function table(shown, sheet) {
    const { basis } = shown;
    const titles = basis.litre ? ["Power per litre", "Mean pressure", "Boost"]
      : ["Power", "Torque", "Boost"];
    const heads = titles.map((title, at) =>
      make("th", { scope: "col", class: "sg-num", "data-sg-column": KEYS[at] }, title));
    return make("div", { class: "sg-scroll", tabindex: 0, role: "region",
      "aria-label": "Setups and read-out" },
    make("table", { class: "sg-table sg-compare-legend" },
      make("caption", { class: "sg-spoken" }, "Setups, their curves and figures at one speed"),
      make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "Setup at ",
        make("span", { class: "sg-compare-speed" })), ...heads,
      make("th", { scope: "col", class: "sg-num" }, "Average power"),
      make("th", { scope: "col" }, make("span", { class: "sg-spoken" }, "Remove")))),
      make("tbody", {}, ...shown.items.map((it, at) => row(it, at, shown, sheet)))));
  }

  /** @param {Item} item @param {number} at @param {Shown} shown @param {string} sheet */
  function row(item, at, shown, sheet) {
    const { state, change } = shown;
    const letter = item.letter.toLowerCase();
    const on = !state.hidden.includes(letter);
    const box = /** @type {HTMLInputElement} */ (make("input", { type: "checkbox", checked: on,
      "data-sg-key": `show-${letter}`, "aria-label": `Curve of ${item.letter}, ${item.build.title}` }));
    box.addEventListener("change", () => change({ hidden: box.checked
      ? state.hidden.filter((it) => it !== letter) : [...state.hidden, letter].sort() }));
    const away = make("button", { type: "button", class: "sg-compare-away",
      "data-sg-key": `away-${letter}`,
      "aria-label": `Remove ${item.letter}, ${item.build.title}` }, "×");
    away.addEventListener("click", () => change({
      chosen: state.chosen.filter((_, other) => other !== at),
      hidden: state.hidden.filter((it) => it !== letter)
        .map((it) => (it > letter ? String.fromCharCode(it.charCodeAt(0) - 1) : it)),
    }));
    const name = make("div", { class: "sg-compare-name" },
      make("a", { href: sheet.replace("*", item.id) }, item.build.title), pulls(item, at, shown),
      item.pull && !item.pull.speed ? make("span", { class: "sg-note" }, "peak figures only") : "");
    const keys = [...KEYS, "average"].map((key) => make("td", { class: "sg-num",
      "data-sg-cell": `${letter}-${key}` }, absent()));
    return make("tr", { class: on ? undefined : "sg-compare-off" },
      make("th", { scope: "row" }, make("div", { class: "sg-compare-key" }, make("label", {}, box,
        specgen.chart.mark(at), make("b", {}, item.letter)), name)), ...keys, make("td", {}, away));
  }

  /** The choice of setup and pull within a build.
   * @param {Item} item @param {number} at @param {Shown} shown @returns {HTMLElement} */
  function pulls(item, at, { state, index, change }) {
    const wish = state.chosen[at];
    const now = `${wish.setup}/${wish.pull}`;
    const { build } = item;
    const options = [option("/", `best of all: ${title(item, index)}`, now)];
    build.setups.forEach((setup, number) => {
      const own = build.pulls.filter((it) => it.setup === number);
      const best = own.find((it) => it.id === setup.best) ?? null;
      const words = own.length > 1 ? `best of ${own.length}, ` : "";
      options.push(option(`${setup.id}/`, words + title({ ...item, setup, pull: best }, index), now));
      if (own.length < 2) return;
      options.push(...own.map((pull) => option(`${setup.id}/${pull.id}`,
        `${THIN}${THIN}pull ${pull.id.split("-").at(-1)}, ${title({ ...item, setup, pull }, index)}`, now)));
    });
    const select = /** @type {HTMLSelectElement} */ (make("select", {
      "data-sg-key": `pull-${item.letter}`, "aria-label": `Setup and pull of ${item.letter}` },
    ...options));
    select.addEventListener("change", () => {
      const [setup = "", pull = ""] = select.value.split("/");
      const chosen = state.chosen.map((it, other) => (other === at ? { ...it, setup, pull } : it));
      change({ chosen });
    });
    return select;
  }

  /** @param {string} value @param {string} words @param {string} now */
  function option(value, words, now) {
    return make("option", { value, selected: value === now }, words);
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
    const slider = /** @type {HTMLInputElement} */ (make("input", { type: "range",
      min: Math.floor(low / STEP) * STEP, max: Math.ceil(high / STEP) * STEP, step: STEP,
      "data-sg-key": "speed", "aria-label": "Engine speed of the read-out" }));
    const start = state.speed || usual(shown);
    const move = (/** @type {number} */ speed) => {
      state.speed = Math.min(Math.max(Math.round(speed / 10) * 10, low), high);
      slider.value = String(state.speed);
      drawn.point(state.speed);
      slider.setAttribute("aria-valuetext", read(place, shown));
    };
    slider.addEventListener("input", () => move(Number(slider.value)));
    slider.addEventListener("change", shown.keep);
    follow(drawn, move, shown.keep);
    place.replaceChildren(drawn.element, make("label", { class: "sg-compare-slider" },
      "Read at ", slider), range(lines, shown));
    const kept = state.speed;
    move(start);
    if (!kept) state.speed = 0;
  }

  /** The speed that a reader sees first: that of the first peak.
   * @param {Shown} shown @returns {number} */
  function usual({ items, basis }) {
    for (const item of items) {
      const line = measure.curve(item, "power", basis);
      if (line) return line.x[line.y.indexOf(Math.max(...line.y.filter(Number.isFinite)))];
    }
    return 0;
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
    element.addEventListener("pointermove", to);
    element.addEventListener("pointerdown", to);
    element.addEventListener("pointerup", keep);
    element.addEventListener("pointerleave", keep);
  }

  /** Fill the table's cells for the speed; also say them in a line.
   * @param {Element} place @param {Shown} shown @returns {string} */
  function read(place, { items, state, basis, index }) {
    const table = place.parentElement;
    const at = specgen.numbers.text(index.quantities.engine_speed, state.speed / 60, "metric");
    const head = table?.querySelector(".sg-compare-speed");
    if (head) head.textContent = at;
    const said = items.map((item) => {
      const values = KEYS.map((key) => {
        const cell = table?.querySelector(`[data-sg-cell="${item.letter.toLowerCase()}-${key}"]`);
        const shown = figureAt(item, key, basis, index, state.speed);
        cell?.replaceChildren(shown ?? absent());
        return key === "boost" || !shown ? "" : cell?.textContent ?? "";
      });
      return `${item.letter} ${values.filter(Boolean).join(", ") || "no curve there"}`;
    });
    return `${at}: ${said.join("; ")}`;
  }

  /** What an item made at a speed. @param {Item} item @param {CurveKey} key @param {Basis} basis
   * @param {Index} index @param {number} speed @returns {Node | null} */
  function figureAt(item, key, basis, index, speed) {
    const line = measure.curve(item, key, basis);
    return line && valueNode(item, key, basis, index, measure.at(line, speed));
  }

  /** @param {Item} item @param {CurveKey} key @param {Basis} basis @param {Index} index
   * @param {number} value @returns {Node | null} */
  function valueNode(item, key, basis, index, value) {
    if (!Number.isFinite(value)) return null;
    const quantity = index.quantities[measure.quantityOf(key, basis)];
    const ends = measure.band(item, key, basis, value, index.places);
    if (ends) return specgen.table.between(ends, quantity);
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
    const field = (/** @type {number} */ value, /** @type {string} */ key) =>
      /** @type {HTMLInputElement} */ (make("input", { type: "number", value, step: 100, min: 0,
        max: 30000, "data-sg-key": key, "aria-label": `Average ${key}, rpm` }));
    const [low, high] = [field(from, "from"), field(to, "to")];
    const changed = () => {
      const ends = /** @type {[number, number]} */ ([Number(low.value), Number(high.value)]);
      if (ends[1] > ends[0] && ends[0] > 0) shown.change({ range: ends });
    };
    low.addEventListener("change", changed);
    high.addEventListener("change", changed);

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
