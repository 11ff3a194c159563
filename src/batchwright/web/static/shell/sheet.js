/** sheet.js: the sheet in view, as it will be printed, or read as text. */
import { getJson, sheetPage } from "../api.js";
import { isBare, whyBare, isBehind } from "../store.js";
import { renderBlocks } from "./blocks.js";
import { attribute, button, el, enable, write } from "./dom.js";

const TURN = 250; // ms before a sheet that lies there is taken away for the next
const ZOOMS = [["width", "Fit"], ["actual", "Actual size"], ["larger", "Larger"]];

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountSheet(element, store) {
  const view = new SheetView(store);
  element.append(view.bar, el("div.sheet-lay.print-chain", {}, view.state, view.pages, view.text));
  store.subscribe((now, before) => view.refresh(now, before));
}

/** Holds the pages of one sheet; old pages stay, grey, until their successors have been fetched whole. */
class SheetView {
  #store;
  #shown = null; // {key, revision}
  #wanted = "";

  constructor(store) {
    this.#store = store;
    const step = (by) => () => store.dispatch("openSheet", { step: by });
    this.before = button("", step(-1), { mark: "back", kind: "bare", label: "Sheet before" });
    this.after = button("", step(1), { mark: "next", kind: "bare", label: "Sheet after" });
    this.select = el("select.sheet-select", { "aria-label": "Sheet" });
    this.select.addEventListener("change", () => store.dispatch("openSheet", { key: this.select.value }));
    this.title = el("h2.sheet-title", { id: "sheet-title" });
    this.zooms = ZOOMS.map(([zoom, words]) => button(words, () => store.dispatch("show", { zoom, reading: false }), { kind: "bare", "data-zoom": zoom }));
    this.read = button("Read as text", () => store.dispatch("show", { reading: !store.get().view.reading }), { mark: "read", kind: "bare" });
    this.print = button("Print", () => this.#printWhenThere(), { mark: "print", kind: "bare", label: "Print this sheet" });
    this.bar = el("div.sheet-bar", { role: "group", "aria-label": "The sheet" },
      this.before, this.select, this.title, this.after,
      el("div.sheet-acts", {}, ...this.zooms, this.read, this.print));
    this.state = el("p.sheet-state.small");
    this.pages = el("div.sheet-pages", { tabindex: "0", role: "group", "aria-labelledby": "sheet-title" });
    this.text = el("article.sheet-text", { "aria-labelledby": "sheet-title", tabindex: "0" });
  }

  refresh(now, before) {
    if (now.phase !== "desk") return;
    const { view, sheets } = now;
    const list = (sheets && sheets.sheets) || [];
    const at = list.findIndex((each) => each.key === view.sheet);
    const sheet = list[at];
    if (sheets !== before.sheets) this.#fillSelect(list);
    if (this.select.value !== view.sheet) this.select.value = view.sheet || "";
    write(this.title, sheet ? sheet.title : isBare(now) ? `No sheet yet: ${whyBare(now)}` : "The sheets are being drawn …");
    enable(this.before, at > 0);
    enable(this.after, at >= 0 && at < list.length - 1);
    for (const each of this.zooms) attribute(each, "aria-pressed", String(!view.reading && each.dataset.zoom === view.zoom));
    attribute(this.read, "aria-pressed", String(view.reading));
    attribute(this.pages, "data-zoom", view.zoom);
    this.pages.classList.toggle("is-read", view.reading);
    this.text.hidden = !view.reading;
    const behind = isBehind(now, sheet && sheet.revision);
    this.#grey(behind, sheet, now);
    if (sheet) this.#want(sheet);
  }

  async #printWhenThere() {
    const images = [...this.pages.querySelectorAll("img")];
    await Promise.all(images.map((image) => image.decode().catch(() => undefined)));
    if (images.length) window.print();
    else this.#store.dispatch("say", { text: "the sheet is still being drawn" });
  }

  #fillSelect(list) {
    const groups = new Map();
    for (const sheet of list) {
      if (!groups.has(sheet.group)) groups.set(sheet.group, el("optgroup", { label: sheet.group || "Sheets" }));
      groups.get(sheet.group).append(el("option", { value: sheet.key }, sheet.title));
    }
    this.select.replaceChildren(...groups.values());
    this.select.value = this.#store.get().view.sheet || "";
  }

  #grey(behind, sheet, now) {
    this.pages.classList.toggle("old", behind);
    this.text.classList.toggle("old", behind);
    attribute(this.pages, "aria-busy", behind ? "true" : null);
    write(this.state, behind && sheet ? oldWords(now) : "");
    this.state.classList.toggle("is-old", behind && Boolean(sheet));
  }

  async #want(sheet) {
    const wanted = `${sheet.key} ${sheet.revision} ${sheet.stage ?? 0}`; // stage: made anew with other boards
    if (wanted === this.#wanted) return;
    this.#wanted = wanted;
    const other = !this.#shown || this.#shown.key !== sheet.key;
    if (other) this.#turn(sheet, wanted);
    try {
      const told = await getJson(`/api/sheet?key=${encodeURIComponent(sheet.key)}`);
      if (wanted !== this.#wanted) return;
      await this.#swap(sheet, told, wanted);
    } catch (error) {
      if (wanted !== this.#wanted) return;
      this.#wanted = error.status === 404 || error.status === 409 ? wanted : "";
      if (other) this.#blank();
    }
  }

  /** Another sheet: the one that lay there must not be taken for it. */
  #turn(sheet, wanted) {
    window.history.replaceState(null, "", `#${encodeURIComponent(sheet.key)}`);
    this.pages.classList.add("is-turning");
    window.setTimeout(() => wanted === this.#wanted && this.#shownKey() !== sheet.key && this.#blank(), TURN);
  }

  #shownKey() {
    return this.#shown && this.#shown.key;
  }

  #blank() {
    this.#shown = null;
    this.pages.replaceChildren(el("p.sheet-wait.soft", {}, "This sheet is being drawn …"));
    this.text.replaceChildren(el("p.soft", {}, "This sheet is being drawn …"));
  }

  async #swap(sheet, told, wanted) {
    const count = Math.max(1, told.pages || 1);
    const images = Array.from({ length: count }, (none, index) =>
      el("img.sheet-page", {
        src: sheetPage(sheet.key, index + 1, told.revision ?? sheet.revision, told.stage ?? 0),
        alt: `${told.title || sheet.title}, page ${index + 1} of ${count}. Its content is under: read as text.`,
      }));
    await Promise.all(images.slice(0, 2).map((image) => image.decode().catch(() => undefined)));
    if (wanted !== this.#wanted) return;
    images.forEach((image) => (image.complete ? trueSize(image) : image.addEventListener("load", () => trueSize(image), { once: true })));
    const same = this.#shown && this.#shown.key === sheet.key;
    this.pages.replaceChildren(...images);
    this.pages.classList.remove("is-turning");
    if (!same) this.pages.scrollTop = 0;
    this.text.replaceChildren(renderBlocks(told.blocks || [], 3));
    this.#shown = { key: sheet.key, revision: told.revision };
  }
}

/** @param {object} now @returns {string} why the sheet in view is old */
function oldWords(now) {
  if (Object.keys(now.tried).length) return "old: drawn anew when the size is let go";
  if (now.answer && now.answer.stopped) return "old: drawn anew when the text has no fault";
  return "old: the new sheet is being drawn";
}

/** Gives an image its own width and the paper it asks for, so that actual size and print are true. */
function trueSize(image) {
  const { naturalWidth: wide, naturalHeight: high } = image;
  if (!wide) return;
  image.style.setProperty("--paper-width", `${wide}px`);
  image.style.setProperty("--paper-shape", `${wide} / ${high}`);
  image.dataset.paper = paperOf(wide, high);
}

const PAPERS = { a4: [794, 1123], letter: [816, 1056], a3: [1123, 1587], tabloid: [1056, 1632], legal: [816, 1344] };

/** @param {number} wide px @param {number} high px @returns {string} name of the paper in print.css, or "own" */
export function paperOf(wide, high) {
  const close = (one, other) => Math.abs(one - other) < 4;
  for (const [name, [short, long]] of Object.entries(PAPERS)) {
    if (close(wide, short) && close(high, long)) return name;
    if (close(wide, long) && close(high, short)) return `${name}-across`;
  }
  return "own";
}
