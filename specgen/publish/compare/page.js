// @ts-check
"use strict";

/**
 * @typedef {Index & {
 *   groups: [string, Line[]][], formerly: Record<string, string>, words: string[],
 *   id: string[], title: string[], engine: number[], size: string[], fed: number[],
 *   power: string[], place: number[], date: string[],
 * }} Builds the archive's index
 */

/** The comparison page: what is chosen, what it shows, and its address. */
specgen.compare = (() => {
  const { button, choice, inBoth, make, note: noted } = specgen.page;
  const { table } = specgen.table;
  const { mark, overlay } = specgen.chart;
  const measure = specgen.measure;
  const MOST = 5;
  const LETTERS = "ABCDE";
  const KEYS = /** @type {CurveKey[]} */ (["power", "torque", "boost"]);

  /**
   * Where a wish leads: the build as it is called now, and what had to be left out, in words.
   * @param {Wish} wish @param {Builds} index @returns {{wish: Wish | null, notice: string}}
   */
  function found(wish, index) {
    const now = index.formerly[wish.build] ?? wish.build;
    if (index.id.includes(now)) return { wish: { ...wish, build: now }, notice: "" };
    return { wish: null, notice: `“${wish.build}” is no build of this archive any more; it was left out.` };
  }

  /**
   * The item of a wish within its build; a setup or pull that has gone gives way to the best.
   * @param {Wish} wish @param {Build} build @returns {{item: Item | null, notice: string}}
   */
  function itemOf(wish, build) {
    const best = build.pulls.find((it) => it.id === build.best);
    const wanted = build.setups.find((it) => it.id === wish.setup);
    const setup = wanted ?? build.setups[best?.setup ?? 0];
    if (!setup) return { item: null, notice: `“${build.title}” has no setup to compare; it was left out.` };
    const own = build.pulls.filter((it) => build.setups[it.setup] === setup);
    const asked = own.find((it) => it.id === (build.formerly[wish.pull] ?? wish.pull));
    const pull = asked ?? own.find((it) => it.id === setup.best) ?? null;
    const lost = wish.setup && !wanted ? `The setup “${wish.setup}”`
      : wish.pull && !asked ? `The pull “${wish.pull}”` : "";
    const notice = lost ? `${lost} of “${build.title}” is gone; the best that is left stands in.` : "";
    return { item: { letter: "", id: wish.build, build, setup, pull }, notice };
  }

  /** Give each item the name that tells it from the others: its setup, its build, or both.
   * @param {Item[]} items @returns {Item[]} */
  function named(items) {
    const builds = new Set(items.map(({ id }) => id)).size;
    return items.map((it) => {
      const alone = items.filter(({ id }) => id === it.id).length < 2;
      const own = builds < 2 ? it.setup.title : it.build.title;
      return { ...it, name: alone || builds < 2 ? own : `${own}, ${it.setup.title}` };
    });
  }

  /** What a comparison is of, as a title. @param {Item[]} items @returns {string} */
  function headline(items) {
    if (!items.length) return "Compare";
    const names = specgen.words.listed(items.map(({ name }) => name ?? ""));
    const one = items.length > 1 && items.every(({ id }) => id === items[0].id);
    return one ? `${items[0].build.title}: ${names} compared`
      : items.length > 1 ? `${names} compared` : `${items[0].build.title}, to be compared`;
  }

  /** Builds whose words hold all the words of a text.
   * @param {Builds} index @param {string} typed @param {number} most @returns {number[]} */
  function matches(index, typed, most) {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    const all = [];
    for (let at = 0; at < index.id.length && all.length < most; at += 1) {
      const about = `${index.title[at]} ${index.words[index.engine[at]]} ${index.words[index.fed[at]]
      } ${index.id[at]}`.toLowerCase();
      if (words.every((word) => about.includes(word))) all.push(at);
    }
    return all;
  }

  /** Run the page in its place. @param {HTMLElement} root @returns {() => void} ends it */
  function start(root) {
    const { index: indexFile = "", data = "", sheet = "" } = root.dataset;
    /** @type {Builds} */ let index;
    /** @type {State} */ let state;
    /** @type {Item[]} */ let items = [];
    /** @type {Overlay | null} */ let drawn = null;
    let turn = 0;
    const top = make("p", { class: "sg-compare-title" });
    const site = document.title.split(" - ").slice(1).join(" - ");
    const notice = make("p", { class: "sg-compare-notice", role: "status" });
    const picker = make("div", { class: "sg-compare-tools" });
    const body = make("div", {});
    const put = (/** @type {boolean} */ step) => specgen.address.put(specgen.address.query(state), step);

    /** Change the state, keep it in the address, and show it. @param {Partial<State>} changed */
    async function change(changed) {
      Object.assign(state, changed);
      put(true);
      await show();
    }

    /** Load what is chosen and draw everything. @returns {Promise<void>} */
    async function show() {
      turn += 1;
      const mine = turn;
      const told = [];
      const wishes = state.chosen.map((it) => found(it, index));
      told.push(...wishes.map((it) => it.notice));
      const kept = wishes.flatMap(({ wish }) => (wish ? [wish] : []));
      const loaded = await Promise.allSettled(kept.map(({ build }) =>
        specgen.data.load(`build ${build}`, data.replace("*", build))));
      if (mine !== turn) return;
      const made = loaded.map((it, at) => it.status === "fulfilled" ? itemOf(kept[at], it.value)
        : { item: null, notice: `“${kept[at].build}” could not be loaded.` });
      told.push(...made.map((it) => it.notice));
      const pairs = made.flatMap(({ item }, at) => (item ? [{ item, wish: kept[at] }] : []));
      if (pairs.length > MOST) told.push(`Only the first ${MOST} of ${pairs.length} are shown.`);
      pairs.splice(MOST);
      items = named(pairs.map(({ item }, at) => ({ ...item, letter: LETTERS[at] })));
      if (told.some(Boolean)) {
        state.chosen = pairs.map(({ wish, item }) => ({ ...wish,
          setup: wish.setup && item.setup.id,
          pull: item.pull?.id === wish.pull ? wish.pull : "" }));
        put(false);
      }
      notice.textContent = told.filter(Boolean).join(" ");
      render();
    }

    /** What the figures are shown in. @returns {Basis} */
    function basis() {
      const known = index.bases.some(([key]) => key === state.base);
      return { base: known ? state.base : index.base, litre: state.litre,
        place: index.places[state.place] ? state.place : "" };
    }

    /** @returns {Shown} */
    function shown() {
      return { items, state, basis: basis(), index, change, keep: () => put(false) };
    }

    /** Items whose curve is switched on. @returns {Item[]} */
    function visible() {
      return items.filter(({ letter }) => !state.hidden.includes(letter.toLowerCase()));
    }

    /** Draw everything below the tools; the focus stays where it was. */
    function render() {
      const at = document.activeElement;
      const held = at instanceof HTMLElement && root.contains(at) ? at.dataset.sgKey : undefined;
      body.replaceChildren(...(items.length ? filled() : empty()));
      picker.replaceChildren(...tools());
      // At once, when all is ready: what would come in bit by bit would push what is there down.
      if (!body.isConnected) root.replaceChildren(top, notice, picker, body);
      drawChart();
      if (held) {
        const again = root.querySelector(`[data-sg-key="${CSS.escape(held)}"]`);
        if (again instanceof HTMLElement) again.focus({ preventScroll: true });
      }
      const title = headline(items);
      document.title = [title, site].filter(Boolean).join(" - ");
      top.textContent = items.length ? title : "";
    }

    /** @returns {Node[]} */
    function empty() {
      const recent = index.id.map((_, at) => at).filter((at) => index.date[at])
        .sort((a, b) => index.date[b].localeCompare(index.date[a])).slice(0, 4);
      const buttons = recent.map((at) =>
        make("li", {}, button(index.title[at], () => add(index.id[at]))));
      return [make("p", {}, "Nothing is chosen yet. Type a word of a build’s name above, or begin ",
        "with one of those tested last:"), make("ul", { class: "sg-compare-begin" }, ...buttons)];
    }

    /** @param {string} id */
    function add(id) {
      const wish = { build: id, setup: "", pull: "" };
      return change({ chosen: [...state.chosen, wish].slice(0, MOST) });
    }

    /** @returns {Node[]} */
    function filled() {
      const { base } = basis();
      const said = specgen.words.sentences(items, basis(), index);
      const list = (/** @type {(it: Sentence) => boolean} */ wanted) => said.filter(wanted)
        .map((it) => make("li", {}, inBoth((system) => [it.text(system)], "sg-both")));
      const warnings = list(({ kind }) => kind !== "difference");
      const differences = list(({ kind }) => kind === "difference");
      return [
        make("h2", { id: "setups" }, "Peaks"),
        specgen.readout.table(shown(), sheet),
        make("h2", { id: "curves" }, "Curves"),
        make("div", { class: "sg-compare-drawing" }),
        ...(warnings.length + differences.length ? [
          make("h2", { id: "how-far" }, "How far these figures compare"),
          make("ul", { class: "sg-compare-words" }, ...warnings),
          make("ul", { class: "sg-compare-words" }, ...differences)] : []),
        make("h2", { id: "side-by-side" }, "Side by side"),
        tick("differing", "Only what differs", state.differing, (differing) => change({ differing })),
        ...table(items, index.groups, index, basis(), state.differing, heading),
        noted(note(base)),
        make("p", { class: "sg-paper" }, `This comparison is at ${location.href}`),
      ];
    }

    /** @param {string} base @returns {string} */
    function note(base) {
      const [, title, air] = index.bases.find(([key]) => key === base) ?? [];
      const stands = base === "observed" ? "Power and torque are as observed, in the air of their day."
        : `Power and torque are in the air of ${title} (${air}) unless a column says otherwise.`;
      return `${stands} After “±” stands how far off a figure may be, nineteen times in twenty.`;
    }

    /** @param {Item} item @returns {(Node | string)[]} */
    function heading(item) {
      const link = make("a", { href: sheet.replace("*", item.id) }, item.build.title);
      return [mark(LETTERS.indexOf(item.letter)), ` ${item.letter} `, link,
        make("span", { class: "sg-compare-setup" }, item.setup.title)];
    }

    /** A box to tick. @param {string} key @param {string} words @param {boolean} on
     * @param {(on: boolean) => void} changed @returns {HTMLElement} */
    function tick(key, words, on, changed) {
      const box = make("input", { type: "checkbox", checked: on, "data-sg-key": key,
        change: () => {
          changed(box.checked);
        } });
      return make("label", { class: "sg-compare-tick" }, box, ` ${words}`);
    }

    /** @returns {Node[]} */
    function tools() {
      const now = basis();
      const bases = index.bases.map(([key, title]) => /** @type {[string, string]} */ (
        [key, key === "observed" ? "as observed" : `corrected to ${title}`]));
      const places = Object.entries(index.places).map(([key, [words]]) =>
        /** @type {[string, string]} */ ([key, `${words}, as a band`]));
      return [
        specgen.picker.field(index, items.length < MOST, matches, add),
        choice("Figures", bases, now.base, (base) =>
          change({ base: base === index.base ? "" : base }), { "data-sg-key": "base" }),
        choice("Power", [["", "where it was measured"], ...places], now.place,
          (place) => change({ place }), { "data-sg-key": "place" }),
        tick("litre", "per litre", state.litre, (litre) => change({ litre })),
        ...(items.length ? [copier()] : []),
      ];
    }

    /** A button that puts this comparison's address where it can be pasted.
     * @returns {HTMLElement} */
    function copier() {
      const copy = button("Copy link", async () => {
        try {
          await navigator.clipboard.writeText(location.href);
          copy.textContent = "Link copied";
        } catch {
          // Without permission, or off a secure address: the link stands there to be copied by hand.
          copy.replaceWith(make("input", { type: "text", readonly: true, value: location.href,
            "aria-label": "Link of this comparison" }));
        }
      }, { class: "sg-browse-clear", "data-sg-key": "copy" });
      return copy;
    }

    /** Draw the curves for the width there is, with the slider that reads them. */
    function drawChart() {
      const place = body.querySelector(".sg-compare-drawing");
      if (!(place instanceof HTMLElement)) return;
      const curves = visible();
      const colours = curves.map(({ letter }) => LETTERS.indexOf(letter));
      const width = Math.max(place.clientWidth, 280);
      drawn = overlay(curves, colours, basis(), index, width);
      if (!drawn) {
        const words = curves.length ? "No curve was recorded for these setups: only their peaks."
          : "All curves are switched off.";
        place.replaceChildren(noted(words));
        return;
      }
      const lines = curves.flatMap((it) => KEYS.flatMap((key) => measure.curve(it, key, basis()) ?? []));
      specgen.readout.attach(place, drawn, lines, shown());
    }

    /** Take the state from the address. */
    function restore() {
      state = specgen.address.parse(specgen.address.parameters(location));
      return show();
    }

    const observer = new ResizeObserver(() => {
      const place = body.querySelector(".sg-compare-drawing");
      const now = place?.querySelector("svg.sg-compare-chart")?.getAttribute("width");
      if (now && place && Math.abs(Number(now) - Math.max(place.clientWidth, 280)) > 1) drawChart();
    });
    specgen.data.load("builds", indexFile).then((loaded) => {
      index = loaded;
      observer.observe(root);
      addEventListener("popstate", restore);
      return restore();
    }).catch((problem) => {
      root.replaceChildren(make("p", { role: "alert" }, `The list of builds did not load: ${problem.message}.`));
    });
    return () => {
      observer.disconnect();
      removeEventListener("popstate", restore);
    };
  }

  return { found, itemOf, matches, start };
})();
specgen.page.tool("[data-sg-compare]", specgen.compare.start);
