// @ts-check
"use strict";

/** The package's own estimate on a reader's engine: form, figures, chart and table. */
(() => {
  const { make } = specgen.page;
  const { asking, telling, working } = specgen;
  /** Pairs of other crank pulleys are worked out in between, a few milliseconds at a time. */
  const LATER = 30;

  /** Run the tool. @param {HTMLElement} root @returns {() => void} ends it */
  function start(root) {
    const { common: commonFile = "", blower: blowerFile = "", sheet = "", on = "" } = root.dataset;
    const level = on ? "h3" : "h2";
    /** @type {any} */ let common;
    /** @type {any} */ let blower;
    /** @type {Asked} */ let asked;
    /** @type {Pair[]} */ let pairs = [];
    /** @type {Pair | undefined} */ let shown;
    let stated = "";
    /** Whether nobody has typed an engine yet. */
    let fresh = false;
    let timer = 0;
    let turn = 0;
    const form = make("form", { class: "sg-compare-tools sg-estimate-form", "aria-label": "Your engine",
      submit: (event) => event.preventDefault() });
    const body = make("div", {});
    const one = make("div", {});
    // both stay, so that what lies below the screen is laid out when it is reached, at its old height
    const table = make("div", { class: "sg-estimate-later" });
    const rest = make("div", { class: "sg-estimate-later" });
    const spoken = make("p", { class: "sg-spoken", role: "status" });
    const fixed = [...root.children].filter((it) => it.hasAttribute("data-sg-stays"));

    /** Name of the method and of the blower's file, as an address keeps it. */
    const made = () => `${common.method}.${blower.digest}`;

    /** @param {Partial<Asked>} change */
    function change(change) {
      Object.assign(asked, change);
      if ("on" in change) Object.assign(asked, { crank: NaN, pulley: NaN });
      if ("crank" in change) asked.pulley = NaN;
      stated = "";
      if (!("on" in change)) fresh = false;
      if ("on" in change) load();
      else draw(!("want" in change));
    }

    /** Load the blower's file, then draw. */
    function load() {
      const id = asked.on;
      specgen.data.load(`estimate ${id}`, blowerFile.replace("*", id)).then((data) => {
        if (asked.on !== id) return;
        blower = data;
        if (fresh) Object.assign(asked, blower.usual);
        draw(false);
      }).catch(failed);
    }

    /** @param {Error} problem */
    function failed(problem) {
      body.replaceChildren(make("p", { role: "alert" }, `The estimate did not load: ${problem.message}.`));
    }

    /** Work out and show; a form in use keeps its fields. @param {boolean} keep */
    function draw(keep) {
      clearTimeout(timer);
      if (!keep) fill();
      const typed = asking.typedOf(asked, common.quantities);
      const wrong = asking.beyond(typed, common.ranges);
      specgen.address.put(asking.query(asked, made()), false);
      if (wrong.length) {
        body.replaceChildren(make("p", {}, "No estimate yet:"),
          make("ul", {}, ...wrong.map((it) => asking.refusal(it, typed, common))));
        spoken.textContent = "No estimate yet.";
        return;
      }
      const crank = crankOf();
      table.style.minHeight = `${table.offsetHeight}px`; // the page keeps its length while pairs come
      pairs = working.pairsOf(common, blower, typed, (it) => it === crank);
      show(typed);
      later(typed, blower.cranks.map((/** @type {[string, number]} */ it) => it[1])
        .filter((/** @type {number} */ it) => it !== crank));
    }

    /** The crank pulley that is shown first: the one asked for, else the middle one. @returns {number} */
    function crankOf() {
      const sizes = blower.cranks.map((/** @type {[string, number]} */ it) => it[1]).sort((/** @type {number} */ a, /** @type {number} */ b) => a - b);
      const wanted = asking.si(common.quantities.pulley_diameter, asked.crank);
      const near = sizes.find((/** @type {number} */ it) => Math.abs(it - wanted) < 1e-5);
      return near ?? sizes[sizes.length >> 1];
    }

    /** Pairs of the other crank pulleys, one pulley at a time. @param {Typed} typed @param {number[]} cranks */
    function later(typed, cranks) {
      const own = ++turn;
      const [next, ...rest] = cranks;
      if (next === undefined) {
        table.style.minHeight = "";
        return;
      }
      timer = setTimeout(() => {
        if (own !== turn) return;
        pairs.push(...working.pairsOf(common, blower, typed, (it) => it === next));
        pairs.sort((a, b) => a.ratio - b.ratio || a.crank - b.crank);
        show(typed);
        later(typed, rest);
      }, LATER);
    }

    function fill() {
      const blowers = on ? [] : common.blowers;
      const scale = common.quantities.pulley_diameter[0][1];
      const cranks = blower.cranks.map((/** @type {[string, number]} */ [text, size]) =>
        [String(Number((size / scale).toPrecision(6))), text]);
      asked.crank = Number((crankOf() / scale).toPrecision(6));
      const used = form.contains(document.activeElement) && document.activeElement?.getAttribute("name");
      form.replaceChildren(...asking.fields(asked, common, blowers, cranks, change));
      const again = used && form.querySelector(`[name="${used}"]`);
      if (again instanceof HTMLElement) again.focus();
    }

    /** @param {Typed} typed @returns {{pair: Pair | undefined, words?: Node}} */
    function chosen(typed) {
      const near = pairs.find((it) => Math.abs(it.crank - crankOf()) < 1e-5
        && Math.abs(it.pulley - asking.si(common.quantities.pulley_diameter, asked.pulley)) < 1e-5);
      const want = asked.want === "power" ? "power" : "boost";
      const found = Number.isFinite(asked.wish)
        ? telling.sought(pairs, want, asking.si(common.quantities[want], asked.wish), common) : undefined;
      const able = telling.within(pairs).kept;
      return { pair: near ?? found?.pair ?? able[able.length >> 1] ?? pairs[0], words: found?.words };
    }

    /** @param {Typed} typed */
    function show(typed) {
      const { pair, words } = chosen(typed);
      if (pair && pair !== shown && !pair.reason) {
        Object.assign(pair, working.wholeOf(common, blower, typed, pair));
      }
      shown = pair;
      const focused = document.activeElement?.closest(".sg-estimate-pick")?.textContent;
      const parts = [...stale(), make("p", { class: "sg-estimate-print" }, asking.summary(typed, common))];
      if (pair) parts.push(...ofPair(pair, typed, words));
      one.replaceChildren(...parts);
      table.replaceChildren(make(level, {}, "Every pair of pulleys"),
        telling.pairTable(pairs, pair, common, blower, pick),
        make("p", { class: "sg-note sg-estimate-screen" }, "Boost at the highest engine speed; power and torque where they are highest, at the flywheel. " +
          "Octane asked for with the best spark; what the fuel lacks costs some of that power."));
      rest.replaceChildren(...(pair ? [beside(pair, typed)] : []),
        make("p", { class: "sg-estimate-print sg-note" }, location.href));
      if (one.parentElement !== body) body.replaceChildren(one, table, rest);
      if (focused) {
        const again = [...body.querySelectorAll(".sg-estimate-pick")].find((it) => it.textContent === focused);
        if (again instanceof HTMLElement) again.focus({ preventScroll: true });
      }
      spoken.textContent = pair ? `Estimate redrawn for ${pair.title}.` : "";
    }

    /** The pair that is shown: figures, chart, wish, limits. @param {Pair} pair @param {Typed} typed
     * @param {Node | undefined} words @returns {Node[]} */
    function ofPair(pair, typed, words) {
      const parts = [make(level, {}, `${blower.title}, ${pair.title}: an estimate`)];
      if (words) parts.push(/** @type {any} */ (words));
      if (pair.reason) return [...parts, make("p", {}, `No estimate: ${pair.reason}.`)];
      const panels = ["power", "torque", "boost"].map((key) => ({ key, title: specgen.numbers.capital(key),
        speeds: pair.speeds, ...pair.curves[key] })).filter((it) => it.values.some(Number.isFinite));
      parts.push(/** @type {any} */ (telling.headline(pair, common)),
        make("p", { class: "sg-estimate-limits" }, ...telling.limits(pair, common.quantities)));
      const { boost } = pair.figures;
      if ("reason" in boost) parts.push(make("p", {}, `Not estimated at its highest speed: ${boost.reason}.`));
      if (panels.length) {
        const words = specgen.estimateChart.spoken(panels, common.quantities);
        parts.push(/** @type {any} */ (specgen.estimateChart.drawing(panels, common.quantities, words, widthOf())));
      }
      return parts;
    }

    /** What lies near, and what is not known. @param {Pair} pair @param {Typed} typed @returns {Node} */
    function beside(pair, typed) {
      const litres = specgen.model.sweptVolume(typed.bore, typed.stroke, typed.cylinders) * 1e3;
      return make("div", {},
        make(level, {}, "Measured combos nearest to it, and how far this estimate missed there"),
        telling.nearest(blower.attempts, typed, litres, pair.ratio * blower.internal, common, sheet),
        pair.reason ? undefined : make("div", { class: "sg-estimate-screen" },
          make(level, {}, "What is not known, and widens the band"), telling.widening(pair, common)));
    }

    /** Says that the link was made by another method or file, where it was. @returns {HTMLElement[]} */
    function stale() {
      if (!stated || stated === made()) return [];
      const what = stated.split(".")[0] === String(common.method) ? "the blower’s file has" : "the method of estimating has";
      return [make("p", { class: "sg-compare-notice" }, `Since this link was made ${what} changed: the figures ` +
        "below are today’s, and may differ from those that were sent.")];
    }

    /** @returns {number} */
    function widthOf() {
      return Math.min(Math.max(root.clientWidth || 640, 280), 760);
    }

    /** @param {Pair} pair */
    function pick(pair) {
      const { pulley_diameter: quantity } = common.quantities;
      const size = (/** @type {number} */ it) => Number((it / quantity[0][1]).toPrecision(6));
      Object.assign(asked, { crank: size(pair.crank), pulley: size(pair.pulley) });
      specgen.address.put(asking.query(asked, made()), false);
      fill();
      show(asking.typedOf(asked, common.quantities));
    }

    function restore() {
      const found = specgen.address.parameters(location);
      asked = asking.parse(found, { on: on || common.blowers[0]?.[0] });
      fresh = !asked.fuel;
      if (on) asked.on = on;
      if (!common.blowers.some((/** @type {[string, string]} */ [id]) => id === asked.on)) asked.on = common.blowers[0][0];
      if (!fresh && !(asked.fuel in common.fuels)) asked.fuel = common.usual.fuel;
      stated = asked.made;
      load();
    }

    const again = () => {
      if (blower) draw(false);
    };
    specgen.data.load("estimate", commonFile).then((data) => {
      common = data;
      root.replaceChildren(form, spoken, body, ...fixed);
      addEventListener("popstate", restore);
      document.addEventListener("specgen-units", again);
      restore();
    }).catch((problem) => {
      root.prepend(make("p", { role: "alert" }, `The estimate did not load: ${problem.message}.`));
    });
    return () => {
      clearTimeout(timer);
      turn++;
      removeEventListener("popstate", restore);
      document.removeEventListener("specgen-units", again);
    };
  }

  specgen.page.tool("[data-sg-estimate]", start);
})();
