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
  const { absent, button, cell, choice, figure, head, make } = specgen.page;
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
    return specgen.page.table("Setups and read-out", "sg-compare-legend", [
      head(["Setup at ", make("span", { class: "sg-compare-speed" })]),
      ...[...titles, "Average power"].map((title) => head([title], true)),
      head([make("span", { class: "sg-spoken" }, "Remove")]),
    ], [make("tbody", {}, ...shown.items.map((it, at) => row(it, at, shown, sheet)))]);
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
    const keys = [...KEYS, "average"].map((key) =>
      cell(absent(), { "data-sg-cell": `${letter}-${key}` }));
    return make("tr", { class: !on && "sg-compare-off" },
      head([make("div", { class: "sg-compare-key" }, make("label", {}, box,
        specgen.chart.mark(at), make("b", {}, item.letter)), name)], false, { scope: "row" }),
      ...keys, make("td", {}, away));
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
    const move = (/** @type {number} */ speed) => {
      state.speed = Math.min(Math.max(Math.round(speed / 10) * 10, low), high);
      slider.value = String(state.speed);
      drawn.point(state.speed);
      slider.setAttribute("aria-valuetext", read(place, shown));
    };
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
    for (const way of ["move", "down"]) element.addEventListener(`pointer${way}`, to);
    for (const way of ["up", "leave"]) element.addEventListener(`pointer${way}`, keep);
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
