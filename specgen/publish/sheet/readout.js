// @ts-check
"use strict";

/**
 * @typedef {object} ReadLine one curve of a chart
 * @property {string} label @property {string} key of its quantity @property {(number | null)[]} x rpm
 * @property {(number | null)[]} y SI @property {(number | null)[]} [u] what y may be off, expanded
 */
/** @typedef {[string, number, number, number, number, number, number, number, number]} PanelPlot a panel:
 * quantity; left, right, top, bottom in pixels; engine speeds and values at its ends */
/** @typedef {[string, Record<string, string>, ...any[]]} Parts an element: name, attributes, contents */
/**
 * @typedef {object} ReadChart
 * @property {ReadLine[]} lines @property {[PanelPlot[], PanelPlot[]]} plots of the wide and the narrow drawing
 * @property {string[]} [caption] in each system of units @property {Parts} [wide] @property {Parts} [narrow]
 */
/** @typedef {{speed: Quantity, quantities: Record<string, [string, Quantity]>,
 * charts: Record<string, ReadChart>}} Readings */

/** A sheet's picture: reads its curves at one speed, by pointer and keys, and draws what else was logged. */
(() => {
  const { absent, cell, draw, figure, head, inBoth, make, system } = specgen.page;
  const { SYSTEMS, text } = specgen.numbers;

  /** A value of a curve at a speed; NaN beyond its ends and in its gaps.
   * @param {(number | null)[]} x @param {(number | null)[]} y @param {number} speed @returns {number} */
  function at(x, y, speed) {
    const next = x.findIndex((it) => it !== null && it >= speed);
    if (next < 0) return NaN;
    const [to, high] = [x[next] ?? NaN, y[next] ?? NaN];
    if (to === speed) return high;
    const [from, low] = [x[next - 1] ?? NaN, y[next - 1] ?? NaN];
    return low + ((high - low) * (speed - from)) / (to - from);
  }

  /** Elements of a drawing. @param {Parts} drawn @returns {Element} */
  function element([name, attributes, ...inside]) {
    return draw(name, attributes,
      ...inside.map((it) => (typeof it === "string" ? it : element(it))));
  }

  /** Fill a figure with a chart that the page itself does not carry.
   * @param {HTMLElement} place @param {ReadChart} chart */
  function fill(place, { caption = [], wide, narrow }) {
    if (place.childElementCount || !wide || !narrow) return;
    const words = inBoth((it) => [caption[SYSTEMS.indexOf(it)] ?? caption[0]], "sg-both");
    place.append(make("figcaption", {}, words), element(wide), element(narrow));
  }

  /** Where a curve stands at a speed, as dots on its panel, and the line through all panels.
   * @param {ReadChart} chart @param {PanelPlot[]} plots @param {number} speed @returns {Element} */
  function cursor({ lines }, plots, speed) {
    const [, left, right, top, , from, to] = plots[0];
    const x = left + ((speed - from) / (to - from)) * (right - left);
    const bottom = plots[plots.length - 1][4];
    const dots = plots.flatMap(([key, , , high, low, , , least, most]) =>
      lines.filter((it) => it.key === key).flatMap((it) => {
        const y = low - ((at(it.x, it.y, speed) - least) / (most - least)) * (low - high);
        return y >= high && y <= low ? [draw("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 4 })] : [];
      }));
    return draw("g", { class: "sg-read-cursor" },
      draw("path", { d: `M${x.toFixed(1)} ${top}V${bottom}` }), ...dots);
  }

  /** All curves at a speed as a table. @param {Readings} data @param {ReadChart} chart
   * @param {string[]} keys @param {number} speed @returns {HTMLElement} */
  function table({ quantities, speed: rpm }, { lines }, keys, speed) {
    const labels = [...new Set(lines.map((it) => it.label))];
    const rows = labels.map((label) => make("tr", {}, head([label], false, { scope: "row" }),
      ...keys.map((key) => {
        const line = lines.find((it) => it.label === label && it.key === key);
        const value = line ? at(line.x, line.y, speed) : NaN;
        if (!line || !Number.isFinite(value)) return cell(absent());
        const wide = line.u ? at(line.x, line.u, speed) : 0;
        const [, quantity] = quantities[key];
        return cell(figure(specgen.numbers.figure(quantity, value, wide || undefined), quantity));
      })));
    const title = `At ${text(rpm, speed / 60, "metric")}`;
    return specgen.page.table(title, "sg-read sg-fitted",
      [head([title]), ...keys.map((key) => head([quantities[key][0]], true))],
      [make("tbody", {}, ...rows)]);
  }

  /** What is read, in a line. @param {Readings} data @param {ReadChart} chart @param {number} speed */
  function spoken({ quantities, speed: rpm }, { lines }, speed) {
    const told = lines.flatMap((it) => {
      const value = at(it.x, it.y, speed);
      const [title, quantity] = quantities[it.key];
      return Number.isFinite(value) ? [`${it.label} ${title} ${text(quantity, value, system())}`] : [];
    });
    return `${text(rpm, speed / 60, "metric")}: ${told.join("; ") || "no curve there"}`;
  }

  specgen.page.tool(".sg-choice[data-sg-from]", (root) => {
    const { sgReadings = "", sgFrom = "" } = root.dataset;
    /** @returns {Promise<Readings>} */
    const load = () => specgen.data.load(`readings ${sgReadings}`, sgFrom);
    const place = /** @type {HTMLElement | null} */ (root.querySelector(".sg-reading"));
    const slider = /** @type {HTMLInputElement | null} */ (root.querySelector("[type=range]"));
    const figures = () => /** @type {HTMLElement[]} */ ([...root.querySelectorAll("figure")]);
    let reading = false;

    /** Read the picture that is shown at a speed. @param {number} speed */
    async function read(speed) {
      reading = true;
      const data = await load();
      const shown = figures().find((it) => it.checkVisibility());
      const chart = data.charts[shown?.dataset.sgChart ?? ""];
      const drawing = [...(shown?.querySelectorAll("svg.sg-chart") ?? [])]
        .find((it) => it.checkVisibility());
      if (!chart || !drawing || !place || !slider) return;
      const plots = chart.plots[Number(drawing.matches(".sg-chart-narrow"))];
      root.querySelector(".sg-read-cursor")?.remove();
      drawing.append(cursor(chart, plots, speed));
      slider.value = String(speed);
      slider.setAttribute("aria-valuetext", spoken(data, chart, speed));
      place.querySelector(".sg-scroll")?.remove();
      place.append(table(data, chart, plots.map(([key]) => key), speed));
    }

    /** Show a chart that the page does not carry. @param {HTMLElement} figure @param {string} href */
    async function further(figure, href) {
      try {
        const data = await load();
        fill(figure, data.charts[figure.dataset.sgChart ?? ""]);
      } catch {
        location.assign(href); // its page has it too
      }
    }

    for (const link of root.querySelectorAll("a.sg-further")) {
      if (!(link instanceof HTMLAnchorElement)) continue;
      const figure = make("figure", { class: "sg-figure", "data-sg-chart": link.dataset.sgChart });
      figures().at(-1)?.after(figure);
      link.replaceWith(make("label", {}, make("input", { type: "radio", name: "sg-curves",
        change: () => further(figure, link.href).then(again) }), link.textContent ?? ""));
    }

    const again = () => {
      if (reading && slider) read(Number(slider.value));
    };

    /** The speed below a pointer. @param {PointerEvent} event */
    async function follow(event) {
      const drawing = event.target instanceof Element ? event.target.closest("svg.sg-chart") : null;
      const name = drawing?.closest("figure")?.dataset.sgChart;
      if (!drawing || !name || !slider) return;
      const data = await load();
      const plot = data.charts[name]?.plots[Number(drawing.matches(".sg-chart-narrow"))][0];
      if (!plot) return;
      const box = drawing.getBoundingClientRect();
      const x = ((event.clientX - box.left) / box.width) * Number(drawing.getAttribute("width"));
      const [, left, right, , , from, to] = plot;
      const speed = from + ((x - left) / (right - left)) * (to - from);
      const [low, high, step] = [slider.min, slider.max, slider.step].map(Number);
      read(Math.min(Math.max(Math.round(speed / step) * step, low), high));
    }

    for (const way of ["pointermove", "pointerdown"]) {
      root.addEventListener(way, (event) => follow(/** @type {PointerEvent} */ (event)));
    }
    slider?.addEventListener("input", () => read(Number(slider.value)));
    root.addEventListener("change", (event) => {
      if (event.target instanceof HTMLInputElement && event.target.type === "radio") again();
    });
    return () => {};
  });
})();
