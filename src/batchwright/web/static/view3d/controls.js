/** controls.js: the buttons, sliders and choices under the picture: plain HTML, large enough for a finger. */

let number = 0;

/** @param {string} name @param {object} [fields] @param {...(Node|string)} inside @returns {HTMLElement} */
export function element(name, fields = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(fields)) {
    if (key.includes("-") || key === "role") made.setAttribute(key, value);
    else made[key] = value;
  }
  made.append(...inside);
  return made;
}

/** @param {string} text @param {() => void} pressed @param {object} [fields] @returns {HTMLButtonElement} */
export function button(text, pressed, fields = {}) {
  const made = element("button", { type: "button", ...fields }, text);
  made.addEventListener("click", pressed);
  return made;
}

/** A button that stays down. @param {string} text @param {(down: boolean) => void} turned */
export function toggle(text, turned, fields = {}) {
  const made = button(text, () => set(made.getAttribute("aria-pressed") !== "true"), {
    "aria-pressed": "false",
    ...fields,
  });
  const set = (down) => {
    made.setAttribute("aria-pressed", String(down));
    turned(down);
  };
  return made;
}

/** A slider with its label and its value in words. @param {string} label @param {(share: number) => void} moved */
export function slider(label, moved, fields = {}) {
  number += 1;
  const id = `v3d-slider-${number}`;
  const range = element("input", { type: "range", id, min: "0", max: "100", step: "1", value: "0", ...fields });
  const told = element("output", { className: "v3d-told", htmlFor: id });
  const made = element("div", { className: "v3d-slider" }, element("label", { htmlFor: id }, label), range, told);
  range.addEventListener("input", () => moved(range.valueAsNumber / 100));
  return Object.assign(made, { range, told });
}

/** A choice. @param {string} label @param {[string, string][]} choices value, words @param {(value: string) => void} chosen */
export function choice(label, choices, chosen) {
  number += 1;
  const id = `v3d-choice-${number}`;
  const select = element("select", { id });
  select.append(...choices.map(([value, words]) => element("option", { value }, words)));
  select.addEventListener("change", () => chosen(select.value));
  const made = element("div", { className: "v3d-choice" }, element("label", { htmlFor: id }, label), select);
  return Object.assign(made, { select });
}

const VIEW_WORDS = { pictorial: "Pictorial", front: "Front", side: "Side", plan: "Plan" };

/**
 * @param {object} to what the controls do: view, whole, turn, nearer, apart, glass, plane, cutAt, measure, part
 * @returns {object} `looks` to lie over the picture, `sliders` and `below` to stand under it, and what may be told to them
 */
export function controls(to) {
  const views = Object.entries(VIEW_WORDS).map(([name, words]) =>
    button(words, () => to.view(name), { "aria-pressed": "false", "data-view": name }),
  );
  const looks = element(
    "div",
    { className: "v3d-views", role: "group", "aria-label": "View" },
    ...views,
    button("Whole", to.whole, { title: "Show all of it (0)" }),
  );
  const apart = slider("Drawn apart", to.apart);
  const glass = toggle("See into the joints", to.glass);
  const plane = choice("Section", SECTION_WORDS, to.plane);
  const cut = slider("Cut at", to.cutAt, { step: "0.5" });
  cut.hidden = true;
  const part = choice("Part", [["", "none"]], to.part);
  const measure = toggle("Measure", to.measure);
  const rest = element("div", { className: "v3d-row", id: "v3d-rest" }, part, measure, turning(to));
  rest.hidden = true;
  const more = button("Turn, measure", () => open(rest.hidden), { "aria-expanded": "false", "aria-controls": "v3d-rest" });
  const open = (shown) => {
    rest.hidden = !shown;
    more.setAttribute("aria-expanded", String(shown));
    to.opened();
  };
  const first = element("div", { className: "v3d-row" }, glass, plane, more);
  const sliders = element("div", { className: "v3d-sliders" }, apart, cut);
  return { looks, views, sliders, below: element("div", { className: "v3d-controls" }, first, rest), apart, glass, plane, cut, part, measure };
}

const SECTION_WORDS = [
  ["", "none"],
  ["across", "across, from the side"],
  ["deep", "along, from the front"],
  ["high", "level, from above"],
];

const TURNS = [
  ["\u2190", "Turn to the left", (to) => to.turn(-1, 0)],
  ["\u2192", "Turn to the right", (to) => to.turn(1, 0)],
  ["\u2191", "Look from higher", (to) => to.turn(0, 1)],
  ["\u2193", "Look from lower", (to) => to.turn(0, -1)],
  ["+", "Nearer", (to) => to.nearer(1 / 1.25)],
  ["\u2212", "Farther", (to) => to.nearer(1.25)],
];

/** Buttons for what a hand does on the picture. */
function turning(to) {
  const made = TURNS.map(([sign, words, done]) => button(sign, () => done(to), { "aria-label": words, title: words }));
  return element("div", { className: "v3d-turns", role: "group", "aria-label": "Turn and bring nearer" }, ...made);
}

/** Tells the choice of parts what there is; keeps what is chosen. @param {object} made @param {string[]} ids */
export function offerParts(made, ids) {
  const { select } = made.part;
  const told = [...select.options].slice(1).map((option) => option.value);
  if (told.length === ids.length && told.every((id, i) => id === ids[i])) return;
  const chosen = select.value;
  select.replaceChildren(
    element("option", { value: "" }, "none"),
    ...ids.map((id) => element("option", { value: id }, id)),
  );
  select.value = ids.includes(chosen) ? chosen : "";
}
