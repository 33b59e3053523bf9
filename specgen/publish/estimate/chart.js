// @ts-check
"use strict";

/** @typedef {{key: string, title: string, speeds: number[], low: number[], values: number[],
 *   high: number[]}} Panelled one curve with its band, SI */

/** Power, torque and boost of an estimate over engine speed, as bands with the estimate dashed. */
specgen.estimateChart = (() => {
  const { draw } = specgen.page;
  const { SYSTEMS, number, text, unitOf } = specgen.numbers;
  const HEIGHT = 130;
  const TOP = 30;
  const LEFT = 48;
  const RIGHT = 14;

  /** Steps of 1, 2 or 5 that part a range in about so many.
   * @param {number} low @param {number} high @param {number} about @returns {number[]} */
  function ticks(low, high, about) {
    const rough = (high - low) / Math.max(about, 1);
    if (!(rough > 0)) return [low];
    const power = 10 ** Math.floor(Math.log10(rough));
    const step = power * ([1, 2, 5].find((it) => it * power >= rough) ?? 10);
    const first = Math.ceil(low / step - 1e-9);
    const count = Math.floor(high / step + 1e-9) - first;
    return Array.from({ length: count + 1 }, (_, at) => (first + at) * step);
  }

  /**
   * The drawing of some panels, one below the other over the same speeds.
   * @param {Panelled[]} panels @param {Record<string, Quantity>} quantities
   * @param {string} words what it shows @param {number} width in pixels @returns {Element}
   */
  function drawing(panels, quantities, words, width) {
    const height = panels.length * (HEIGHT + TOP) + 38;
    const svg = draw("svg", { class: "sg-estimate-chart", viewBox: `0 0 ${width} ${height}`, width,
      height, role: "img", "aria-label": words });
    const speeds = panels[0].speeds;
    const unit = quantities.engine_speed[0][1];
    const [from, to] = [speeds[0], speeds[speeds.length - 1]];
    const x = (/** @type {number} */ speed) => LEFT + (speed - from) / (to - from) * (width - LEFT - RIGHT);
    panels.forEach((panel, at) => {
      const top = TOP + at * (HEIGHT + TOP);
      svg.append(...panelOf(panel, quantities[panel.key], top, x, width));
    });
    const bottom = height - 38;
    for (const speed of ticks(from / unit, to / unit, (width - LEFT) / 80)) {
      svg.append(draw("text", { x: x(speed * unit).toFixed(1), y: bottom + 17, "text-anchor": "middle" },
        number(quantities.engine_speed, speed * unit, "metric")));
    }
    svg.append(draw("text", { x: width - RIGHT, y: bottom + 33, "text-anchor": "end" }, "engine speed, rpm"));
    return svg;
  }

  /** One panel: axis in each system of units, the band, the estimate dashed within.
   * @param {Panelled} panel @param {Quantity} quantity @param {number} top
   * @param {(speed: number) => number} x @param {number} width @returns {Element[]} */
  function panelOf(panel, quantity, top, x, width) {
    const known = panel.values.map((_, at) => at).filter((at) => Number.isFinite(panel.values[at]));
    const all = known.flatMap((at) => [panel.low[at], panel.high[at]]);
    const [low, high] = [Math.min(0, ...all), Math.max(...all, 1e-9) * 1.04];
    const bottom = top + HEIGHT;
    const y = (/** @type {number} */ value) => bottom - (value - low) / (high - low) * HEIGHT;
    const along = (/** @type {number[]} */ values) => (/** @type {number} */ at) =>
      `${x(panel.speeds[at]).toFixed(1)} ${y(values[at]).toFixed(1)}`;
    const band = [...known.map(along(panel.high)), ...[...known].reverse().map(along(panel.low))];
    return [
      ...SYSTEMS.map((system) => axisOf(quantity, system, low, high, top, y, width)),
      draw("text", { x: LEFT, y: top - 11, class: "sg-estimate-heading" }, panel.title),
      draw("path", { d: `M${band.join("L")}Z`, class: "sg-f1 sg-s1 sg-estimate-band" }),
      draw("path", { d: `M${known.map(along(panel.values)).join("L")}`, class: "sg-s1 sg-estimate-line" }),
    ];
  }

  /** @param {Quantity} quantity @param {System} system @param {number} low @param {number} high
   * @param {number} top @param {(value: number) => number} y @param {number} width */
  function axisOf(quantity, system, low, high, top, y, width) {
    const [label, factor, offset] = unitOf(quantity, system);
    const group = draw("g", { class: `sg-${system[0]}` });
    for (const tick of ticks((low - offset) / factor, (high - offset) / factor, HEIGHT / 34)) {
      const value = tick * factor + offset;
      const height = y(value).toFixed(1);
      group.append(draw("path", { d: `M${LEFT} ${height}H${width - RIGHT}`, class: "sg-s-grid" }),
        draw("text", { x: LEFT - 6, y: Number(height) + 4, "text-anchor": "end" },
          number(quantity, value, system)));
    }
    group.append(draw("text", { x: LEFT - 6, y: top - 11, "text-anchor": "end" }, label));
    return group;
  }

  /** The panels in words: the highest of each with its band, in each system of units.
   * @param {Panelled[]} panels @param {Record<string, Quantity>} quantities @returns {string} */
  function spoken(panels, quantities) {
    const told = panels.map(({ key, title, speeds, low, values, high }) => {
      const at = values.indexOf(Math.max(...values.filter(Number.isFinite)));
      const ends = SYSTEMS.map((system) => `${number(quantities[key], low[at], system)} to ${
        text(quantities[key], high[at], system)}`).join(" or ");
      return `${title}: highest at ${text(quantities.engine_speed, speeds[at], "metric")}, ${ends}`;
    });
    return `Estimated bands over engine speed. ${told.join(". ")}.`.replaceAll(specgen.numbers.THIN, " ");
  }

  return { drawing, spoken, ticks };
})();
