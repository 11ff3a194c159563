/** dom.js: building and refreshing elements, and the few marks we draw ourselves. */

const SVG = "http://www.w3.org/2000/svg";

/** The marks: paths in a field of 20 by 20. */
const MARKS = {
  undo: ["M4 8h8a4 4 0 0 1 0 8H8", "M7 4.5 3.5 8 7 11.5"],
  redo: ["M16 8H8a4 4 0 0 0 0 8h4", "M13 4.5 16.5 8 13 11.5"],
  back: ["M12.5 4 6.5 10l6 6"],
  next: ["M7.5 4l6 6-6 6"],
  close: ["M5 5l10 10", "M15 5 5 15"],
  less: ["M4 10h12"],
  more: ["M4 10h12", "M10 4v12"],
  print: ["M6 8V3h8v5", "M6 14H3V8h14v6h-3", "M6 12h8v5H6z"],
  read: ["M4 5h12", "M4 9h12", "M4 13h8"],
  save: ["M10 3v9", "M6.5 9 10 12.5 13.5 9", "M4 16.5h12"],
  start: ["M3.5 9.5 10 4l6.5 5.5", "M5.5 8.5V16h9V8.5"],
  fails: ["M10 3 18 17H2z"],
  near: ["M10 3 18 17H2z", "M10 8v4", "M10 14.4v.1"],
  note: ["M10 3.5a6.5 6.5 0 1 0 0 13 6.5 6.5 0 0 0 0-13z", "M10 9v4.5", "M10 6.4v.1"],
  frame: ["M3 17V4", "M17 17V4", "M3 7h14", "M3 12h14"],
};

/**
 * @param {keyof typeof MARKS} name
 * @returns {SVGElement} a drawn mark that a screen reader passes over
 */
export function mark(name) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 20 20");
  svg.setAttribute("class", `mark mark-${name}`);
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("focusable", "false");
  for (const line of MARKS[name]) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("d", line);
    svg.append(path);
  }
  return svg;
}

/**
 * @param {string} tag with classes: "p.soft.small"
 * @param {object} [props] attributes; `on` = {event: handler}; true sets an empty attribute, false and null none
 * @param {...(Node|string|null|undefined|false)} children
 * @returns {HTMLElement}
 */
export function el(tag, props = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const node = document.createElement(name);
  if (classes.length) node.className = classes.join(" ");
  for (const [key, value] of Object.entries(props || {})) {
    if (key === "on") for (const [event, fn] of Object.entries(value)) node.addEventListener(event, fn);
    else attribute(node, key, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** @param {Element} node @param {string} name @param {*} value null or false takes it away */
export function attribute(node, name, value) {
  if (value === null || value === undefined || value === false) node.removeAttribute(name);
  else if (node.getAttribute(name) !== String(value === true ? "" : value)) node.setAttribute(name, value === true ? "" : value);
}

/** @param {Element} node @param {string} text written only where it differs */
export function write(node, text) {
  const now = text === null || text === undefined ? "" : String(text);
  if (node.textContent !== now) node.textContent = now;
}

/**
 * A button. Where it cannot be used it stays in reach and says so (aria-disabled), so that focus is never lost.
 * @param {string} text @param {() => void} press
 * @param {{mark?: string, kind?: string, label?: string, title?: string}} [more]
 * @returns {HTMLButtonElement}
 */
export function button(text, press, { mark: drawn, kind = "", label, ...rest } = {}) {
  const node = el(`button${kind ? `.${kind}` : ""}`, { type: "button", "aria-label": label, ...rest });
  if (drawn) node.append(mark(drawn));
  if (text) node.append(el("span", {}, text));
  node.addEventListener("click", () => node.getAttribute("aria-disabled") !== "true" && press(node));
  return node;
}

/** @param {Element} node @param {boolean} able */
export function enable(node, able) {
  attribute(node, "aria-disabled", able ? null : "true");
}

/**
 * Refreshes a list in place: nodes stay while their key stays, so focus and scroll do too.
 * @template T
 * @param {Element} container
 * @param {T[]} items
 * @param {(item: T, index: number) => string} keyOf
 * @param {(item: T) => HTMLElement} build
 * @param {(node: HTMLElement, item: T) => void} [refresh]
 */
export function keyed(container, items, keyOf, build, refresh = () => {}) {
  const known = container.keyed || new Map();
  const now = new Map();
  let place = container.firstChild;
  items.forEach((item, index) => {
    let key = keyOf(item, index);
    while (now.has(key)) key += "'";
    const node = known.get(key) || build(item);
    refresh(node, item);
    now.set(key, node);
    if (node === place) place = place.nextSibling;
    else container.insertBefore(node, place);
  });
  for (const [key, node] of known) if (now.get(key) !== node) node.remove();
  container.keyed = now;
}

/** @param {string} text words with `pieces of text` in backquotes @returns {DocumentFragment} those set as code */
export function plain(text) {
  const fragment = document.createDocumentFragment();
  String(text || "")
    .split("`")
    .forEach((bit, index) => {
      if (bit) fragment.append(index % 2 ? el("code", {}, bit) : bit);
    });
  return fragment;
}

/** @param {number} count @param {string} one @param {string} [many] @returns {string} "1 part", "3 parts" */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}
