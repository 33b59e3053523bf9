// @ts-check
"use strict";

/** @typedef {{item: Item, colour: number, line: Curve, dash: string}} Drawn one curve of a panel */
/**
 * @typedef {object} Overlay what a drawn chart gives back
 * @property {Element} element
 * @property {(speed: number) => void} point moves the read-out to a speed
 * @property {(x: number) => number} speedAt the speed at a place in pixels from the left
 */

/** Curves of several setups over one engine speed, one panel a quantity. */
specgen.chart = (() => {
  const { draw } = specgen.page;
  const { SYSTEMS, number, unitOf } = specgen.numbers;
  const measure = specgen.measure;
  const PANEL = 210;
  const LOW_PANEL = 120;
  const TOP = 30;
  const LEFT = 46;
  const RIGHT = 30;
  /** A mark's outline about its middle: each column has one, besides its colour and letter. */
  const MARKS = [
    "M-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0-7 0z",
    "M-3.2-3.2h6.4v6.4h-6.4z",
    "M0-4.2L4 3H-4z",
    "M0-4.6L4.6 0 0 4.6-4.6 0z",
    "M0 4.2L-4-3H4z",
  ];
  const KEYS = /** @type {CurveKey[]} */ (["power", "torque", "boost"]);

  /**
   * Steps of 1, 2 or 5 that part a range in about so many.
   * @param {number} low @param {number} high @param {number} about @returns {number[]}
   */
  function ticks(low, high, about) {
    const rough = (high - low) / Math.max(about, 1);
    if (!(rough > 0)) return [low];
    const power = 10 ** Math.floor(Math.log10(rough));
    const step = power * ([1, 2, 5].find((it) => it * power >= rough) ?? 10);
    const count = Math.floor(high / step + 1e-9) - Math.ceil(low / step - 1e-9);
    return Array.from({ length: count + 1 }, (_, at) => (Math.ceil(low / step - 1e-9) + at) * step);
  }

  /**
   * Heights at which labels stand, pushed apart, each as near its own as may be.
   * @param {number[]} wanted @param {number} apart @param {number} low @param {number} high
   * @returns {number[]}
   */
  function spread(wanted, apart, low, high) {
    const order = wanted.map((_, at) => at).sort((a, b) => wanted[a] - wanted[b]);
    const placed = wanted.slice();
    let least = low;
    for (const at of order) {
      placed[at] = Math.max(wanted[at], least);
      least = placed[at] + apart;
    }
    let most = high;
    for (const at of order.reverse()) {
      placed[at] = Math.min(placed[at], most);
      most = placed[at] - apart;
    }
    return placed;
  }

  /** A column's mark: form and colour. @param {number} colour @returns {Element} */
  function mark(colour) {
    const shape = draw("path", { d: MARKS[colour % 5], class: `sg-f${colour + 1}` });
    return draw("svg", { class: "sg-compare-mark", viewBox: "-6 -6 12 12", width: 14, height: 14,
      "aria-hidden": "true" }, shape);
  }

  /**
   * Draw the overlay.
   * @param {Item[]} items @param {number[]} colours of the items @param {Basis} basis
   * @param {Index} index @param {number} width in pixels @returns {Overlay | null} null: no curve
   */
  function overlay(items, colours, basis, index, width) {
    /** @type {Plot[]} */
    const drawn = KEYS.map((key) => ({ key, curves: curvesOf(items, colours, key, basis) }))
      .filter(({ curves }) => curves.length);
    const all = drawn.flatMap(({ curves }) => curves);
    if (!all.length) return null;
    const gains = gainsOf(items, colours, basis);
    if (gains.curves.length) drawn.splice(1, 0, gains);
    const speeds = all.flatMap(({ line }) => measure.recorded(line));
    const [from, to] = [Math.min(...speeds), Math.max(...speeds)];
    const start = Math.floor(from / 500) * 500;
    const end = Math.max(Math.ceil(to / 500) * 500, start + 500);
    const right = width - RIGHT;
    const scale = (right - LEFT) / (end - start);
    const x = (/** @type {number} */ speed) => LEFT + (speed - start) * scale;
    const heights = drawn.map(({ key, over }) => (key === "boost" || over ? LOW_PANEL : PANEL));
    const height = heights.reduce((sum, it) => sum + it + TOP, 0) + 40;
    const svg = draw("svg", { class: "sg-compare-chart", viewBox: `0 0 ${width} ${height}`, width,
      height, role: "img", "aria-label": spoken(drawn, basis, index) });
    const marks = draw("g", { class: "sg-compare-cursor" });
    /** @type {((speed: number) => void)[]} */
    const moves = [];
    let top = TOP;
    drawn.forEach(({ key, curves, over }, at) => {
      const panel = { top, bottom: top + heights[at], x, start, end, right, key, over };
      svg.append(...panelOf(panel, curves, basis, index, marks, moves));
      top += heights[at] + TOP;
    });
    svg.append(...speedAxis(top - TOP, start, end, x, width), marks);
    const line = draw("path", { class: "sg-compare-now" });
    marks.prepend(line);
    return {
      element: svg,
      speedAt: (at) => Math.min(Math.max(start + (at - LEFT) / scale, from), to),
      point(speed) {
        line.setAttribute("d", `M${x(speed).toFixed(1)} ${TOP}V${top - TOP}`);
        for (const move of moves) move(speed);
      },
    };
  }

  /** @param {Item[]} items @param {number[]} colours @param {CurveKey} key @param {Basis} basis
   * @returns {Drawn[]} */
  function curvesOf(items, colours, key, basis) {
    return items.flatMap((item, at) => {
      const line = measure.curve(item, key, basis);
      if (!line || !line.y.some(Number.isFinite)) return [];
      const asWanted = key === "boost" || measure.state(item, basis.base) === basis.base;
      return [{ item, colour: colours[at], line, dash: asWanted ? "" : "9 3 1.5 3" }];
    });
  }

  /** What the others make beyond the first at each speed, where the tests stand like for like.
   * @param {Item[]} items @param {number[]} colours @param {Basis} basis @returns {Plot} */
  function gainsOf(items, colours, basis) {
    const [first, ...others] = basis.place ? [] : curvesOf(items, colours, "power", basis);
    const curves = others.filter(({ item }) => measure.comparable(first.item, item, basis.base))
      .map((it) => ({ ...it, line: { x: it.line.x,
        y: it.line.y.map((value, at) => value - measure.at(first.line, it.line.x[at])) } }))
      .filter(({ line }) => line.y.some(Number.isFinite));
    return { key: "power", curves, over: first?.item.letter };
  }

  /**
   * @typedef {{key: CurveKey, curves: Drawn[], over?: string}} Plot what one panel shows; `over`
   * is the letter of what its curves are differences from
   */
  /**
   * @typedef {object} Panel
   * @property {number} top @property {number} bottom @property {number} right
   * @property {number} start @property {number} end
   * @property {(speed: number) => number} x @property {CurveKey} key
   * @property {string} [over]
   */

  /**
   * One quantity: axis in both unit systems, bands or lines, marks, letters at the ends.
   * @param {Panel} panel @param {Drawn[]} curves @param {Basis} basis @param {Index} index
   * @param {Element} cursor where read-out dots go @param {((speed: number) => void)[]} moves
   * @returns {Element[]}
   */
  function panelOf(panel, curves, basis, index, cursor, moves) {
    const quantity = index.quantities[measure.quantityOf(panel.key, basis)];
    const ends = curves.map((it) => (panel.over ? { band: false, low: it.line.y, high: it.line.y }
      : edges(it, panel.key, basis, index)));
    const values = ends.flatMap((it) => [...it.low, ...it.high]).filter(Number.isFinite);
    const [low, high] = [Math.min(0, ...values), Math.max(...values, Number.EPSILON) * 1.04];
    const y = (/** @type {number} */ value) =>
      panel.bottom - ((value - low) / (high - low)) * (panel.bottom - panel.top);
    const parts = [...axis(panel, quantity, low, high, y), heading(panel, basis)];
    curves.forEach((it, at) => {
      const { low: under, high: over, band } = ends[at];
      parts.push(band ? area(it, under, over, panel, y) : stroke(it, panel, y), forms(it, at,
        curves.length, over, panel, y));
      if (!band) moves.push(dot(it, panel, y, cursor));
    });
    const middle = ends.map((it) => last(it.low.map((value, i) => (value + it.high[i]) / 2)));
    const heights = spread(middle.map(y), 14, panel.top + 4, panel.bottom);
    curves.forEach((it, at) => {
      const beyond = panel.x(last(measure.recorded(it.line))) + 8;
      parts.push(draw("text", { x: beyond.toFixed(1), y: (heights[at] + 5).toFixed(1),
        class: `sg-f${it.colour + 1} sg-compare-letter` }, it.item.letter));
    });
    return parts;
  }

  /** The last finite number. @param {number[]} values @returns {number} */
  function last(values) {
    return values.findLast(Number.isFinite) ?? NaN;
  }

  /** A curve's ends at the wanted measuring point; both the curve itself where it was measured there.
   * @param {Drawn} drawn @param {CurveKey} key @param {Basis} basis @param {Index} index */
  function edges({ item, line }, key, basis, index) {
    const bands = line.y.map((value) => measure.band(item, key, basis, value, index.places));
    const band = bands.some(Boolean);
    return {
      band,
      low: bands.map((it, at) => it?.[0] ?? line.y[at]),
      high: bands.map((it, at) => it?.[1] ?? line.y[at]),
    };
  }

  /** @param {Panel} panel @param {Basis} basis @returns {Element} */
  function heading({ key, top, over }, basis) {
    const litre = { power: "Power per litre", torque: "Brake mean effective pressure",
      boost: "Boost" };
    const words = (basis.litre ? litre[key] : specgen.numbers.capital(key)) +
      (over ? `, gain over ${over}` : "");
    return draw("text", { x: LEFT, y: top - 10, class: "sg-compare-heading" }, words);
  }

  /** Ticks and grid in both unit systems; styles show one of them.
   * @param {Panel} panel @param {Quantity} quantity @param {number} low @param {number} high
   * @param {(value: number) => number} y @returns {Element[]} */
  function axis({ top, bottom, right }, quantity, low, high, y) {
    return SYSTEMS.map((system) => {
      const [label, factor, offset] = unitOf(quantity, system);
      const group = draw("g", { class: `sg-${system[0]}` });
      for (const tick of ticks((low - offset) / factor, (high - offset) / factor, (bottom - top) / 38)) {
        const value = tick * factor + offset;
        const height = y(value).toFixed(1);
        group.append(
          draw("path", { d: `M${LEFT} ${height}H${right}`, class: "sg-s-grid" }),
          draw("text", { x: LEFT - 6, y: Number(height) + 4, "text-anchor": "end" },
            number(quantity, value, system)),
        );
      }
      group.append(draw("text", { x: LEFT - 6, y: top - 10, "text-anchor": "end" }, label));
      return group;
    });
  }

  /** @param {number} bottom @param {number} start @param {number} end
   * @param {(speed: number) => number} x @param {number} width @returns {Element[]} */
  function speedAxis(bottom, start, end, x, width) {
    const marks = ticks(start, end, (width - LEFT - RIGHT) / 75).map((speed) =>
      draw("text", { x: x(speed).toFixed(1), y: bottom + 18, "text-anchor": "middle" },
        speed.toLocaleString("en").replaceAll(",", specgen.numbers.THIN)));
    return [
      draw("path", { d: `M${LEFT} ${bottom}H${x(end).toFixed(1)}`, class: "sg-s-muted" }),
      ...marks,
      draw("text", { x: x(end).toFixed(1), y: bottom + 34, "text-anchor": "end" },
        "engine speed, rpm"),
    ];
  }

  /** Points of a curve as path data, parted at gaps. @param {Curve} line @param {Panel} panel
   * @param {(value: number) => number} y @returns {string} */
  function path(line, panel, y) {
    let pen = "M";
    return line.x.map((speed, at) => {
      if (!Number.isFinite(line.y[at])) {
        pen = "M";
        return "";
      }
      const place = `${pen}${panel.x(speed).toFixed(1)} ${y(line.y[at]).toFixed(1)}`;
      pen = "L";
      return place;
    }).join("");
  }

  /** @param {Drawn} drawn @param {Panel} panel @param {(value: number) => number} y */
  function stroke({ line, colour, dash }, panel, y) {
    return draw("path", { d: path(line, panel, y), class: `sg-s${colour + 1} sg-compare-line`,
      "stroke-dasharray": dash || undefined });
  }

  /** A band: an area and its two edges, never a line within.
   * @param {Drawn} drawn @param {number[]} under @param {number[]} over @param {Panel} panel
   * @param {(value: number) => number} y @returns {Element} */
  function area({ line, colour }, under, over, panel, y) {
    const known = line.x.map((_, at) => at).filter((at) => Number.isFinite(line.y[at]));
    const place = (/** @type {number[]} */ values) => (/** @type {number} */ at) =>
      `${panel.x(line.x[at]).toFixed(1)} ${y(values[at]).toFixed(1)}`;
    const outline = [...known.map(place(over)), ...known.reverse().map(place(under))].join("L");
    return draw("path", { d: `M${outline}Z`,
      class: `sg-f${colour + 1} sg-s${colour + 1} sg-compare-band` });
  }

  /** Marks along a curve, at other speeds than those of its neighbours.
   * @param {Drawn} drawn @param {number} at @param {number} count @param {number[]} values
   * @param {Panel} panel @param {(value: number) => number} y @returns {Element} */
  function forms({ line, colour }, at, count, values, panel, y) {
    const group = draw("g", { class: `sg-f${colour + 1}` });
    const step = (panel.end - panel.start) / 5;
    const middle = { x: line.x, y: values };
    for (let speed = panel.start + (step * (at + 0.5)) / count; speed < panel.end; speed += step) {
      const value = measure.at(middle, speed);
      if (!Number.isFinite(value)) continue;
      const place = `translate(${panel.x(speed).toFixed(1)} ${y(value).toFixed(1)})`;
      group.append(draw("path", { d: MARKS[colour % 5], transform: place }));
    }
    return group;
  }

  /** A dot that follows the read-out along a curve. @param {Drawn} drawn @param {Panel} panel
   * @param {(value: number) => number} y @param {Element} cursor */
  function dot({ line, colour }, panel, y, cursor) {
    const circle = draw("circle", { r: 4.5, class: `sg-s${colour + 1} sg-compare-dot` });
    cursor.append(circle);
    return (/** @type {number} */ speed) => {
      const value = measure.at(line, speed);
      const shown = Number.isFinite(value);
      circle.setAttribute("visibility", shown ? "visible" : "hidden");
      if (!shown) return;
      circle.setAttribute("cx", panel.x(speed).toFixed(1));
      circle.setAttribute("cy", y(value).toFixed(1));
    };
  }

  /** The chart in words: each curve's largest value. @param {Plot[]} drawn
   * @param {Basis} basis @param {Index} index @returns {string} */
  function spoken(drawn, basis, index) {
    const told = drawn.map(({ key, curves, over }) => {
      const quantity = index.quantities[measure.quantityOf(key, basis)];
      const peaks = curves.map(({ item, line }) => {
        const value = Math.max(...line.y.filter(Number.isFinite));
        const both = SYSTEMS.map((system) => specgen.numbers.text(quantity, value, system));
        return `${item.letter}, ${item.name ?? ""}, up to ${both.join(" or ")}`;
      });
      const what = over ? `${key} over ${over}` : key;
      return `${what}: ${peaks.join(", ")}`;
    });
    return `Curves over engine speed. ${told.join(". ")}.`.replaceAll(specgen.numbers.THIN, " ");
  }

  return { mark, overlay, spread, ticks };
})();
