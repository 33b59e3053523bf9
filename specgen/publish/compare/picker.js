// @ts-check
"use strict";

/** A field that finds a build by words of its name: type, arrows, Enter. */
specgen.picker = (() => {
  const { bare, make } = specgen.page;
  const MOST = 10;

  /**
   * @param {Builds} index @param {boolean} room for one more
   * @param {(index: Builds, typed: string, most: number) => number[]} matches
   * @param {(id: string) => void} choose @returns {HTMLElement}
   */
  function field(index, room, matches, choose) {
    const input = make("input", { type: "text", role: "combobox",
      id: "sg-picker", autocomplete: "off", "aria-expanded": "false", "aria-controls": "sg-found",
      "aria-autocomplete": "list", "data-sg-key": "picker", disabled: !room,
      input: open, click: open, blur: close, keydown: pressed });
    const list = make("ul", { id: "sg-found", role: "listbox", "aria-label": "Builds found",
      hidden: true });
    let at = -1;
    /** @type {number[]} */
    let found = [];

    function close() {
      list.hidden = true;
      input.setAttribute("aria-expanded", "false");
      input.removeAttribute("aria-activedescendant");
    }

    function open() {
      found = matches(index, input.value, MOST);
      at = input.value && found.length ? 0 : -1;
      list.replaceChildren(...(found.length ? found.map(option)
        : [make("li", { class: "sg-note" }, "No build has all these words.")]));
      list.hidden = false;
      input.setAttribute("aria-expanded", "true");
      show();
    }

    /** @param {number} number @param {number} place @returns {HTMLElement} */
    function option(number, place) {
      const about = [index.words[index.engine[number]], index.words[index.fed[number]]];
      const power = index.power[number];
      return make("li", {
        role: "option",
        id: `sg-found-${place}`,
        pointerdown(event) {
          event.preventDefault();
          take(place);
        },
      }, index.title[number], make("span", { class: "sg-note" }, ` ${about.join(", ")}, `,
        power ? bare(power, index.quantities.power) : "planned"));
    }

    function show() {
      [...list.children].forEach((it, place) =>
        it.setAttribute("aria-selected", String(place === at)));
      if (at < 0) {
        input.removeAttribute("aria-activedescendant");
        return;
      }
      input.setAttribute("aria-activedescendant", `sg-found-${at}`);
      list.children[at].scrollIntoView({ block: "nearest" });
    }

    /** @param {number} place */
    function take(place) {
      if (found[place] === undefined) return;
      close();
      choose(index.id[found[place]]);
    }

    /** @param {KeyboardEvent} event */
    function pressed(event) {
      const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
      if (step) {
        event.preventDefault();
        if (list.hidden) open();
        at = found.length ? (at + step + found.length) % found.length : -1;
        show();
      } else if (event.key === "Enter") {
        event.preventDefault();
        take(Math.max(at, 0));
      } else if (event.key === "Escape") close();
    }

    const full = room ? "" : " – five at most: remove one first";
    return make("div", { class: "sg-compare-picker" },
      make("label", { for: "sg-picker" }, `Add a build${full}`), input, list);
  }

  return { field };
})();
