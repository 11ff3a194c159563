/** sizes.js: every size of the piece: its number, its slider with limits, its note, and the way back. */
import { isBare } from "../store.js";
import { attribute, button, el, keyed, plain, write } from "./dom.js";
import { bareText, fileText, places, unitOf } from "./numbers.js";

const PAUSE = 650; // ms after the last arrow key before a size is said in the file

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountSizes(element, store) {
  const free = el("div.sizes-list");
  const worked = el("dl.sizes-worked");
  const workedBox = el("details.sizes-more", {}, el("summary", {}, "Sizes that follow from others"), worked);
  const empty = el("p.soft.small");
  element.append(el("h2", { id: "sizes-head" }, "Sizes"), empty, free, workedBox);
  const rows = new Map();
  let saved = {};

  store.subscribe((now, before) => {
    if (now.phase !== "desk" || !now.answer) return;
    if (now.desk !== before.desk && !now.desk.files.some((file) => file.dirty)) saved = {};
    if (now.answer === before.answer && now.desk === before.desk && now.tried === before.tried) return;
    const sizes = now.answer.sizes || [];
    const clean = !now.desk.files.some((file) => file.dirty) && !Object.keys(now.tried).length && !now.answer.tried;
    if (clean && now.answer.revision === now.desk.revision) saved = Object.fromEntries(sizes.map((size) => [size.name, size.text]));
    empty.hidden = sizes.length > 0;
    write(empty, "This piece names no sizes: write them in its text.");
    const units = (now.answer.piece || now.answer).units || "in";
    const build = (size) => {
      const row = new SizeRow(size, units, store);
      rows.set(size.name, row);
      return row.node;
    };
    const moved = sizes.filter((size) => size.free);
    keyed(free, moved, (size) => `${size.name} ${size.kind} ${units}`, build, (node, size) =>
      rows.get(size.name).refresh(size, now, saved[size.name]));
    const others = sizes.filter((size) => !size.free);
    workedBox.hidden = !others.length;
    keyed(worked, others, (size) => size.name, buildWorked, refreshWorked);
  });
}

function buildWorked(size) {
  return el("div", {}, el("dt", {}, size.name), el("dd.worked-number"), el("dd.worked-text.small.soft"));
}

function refreshWorked(node, size) {
  write(node.querySelector(".worked-number"), size.shown);
  write(node.querySelector(".worked-text"), size.text === size.shown ? size.note : `= ${size.text}`);
}

const isError = (fault) => fault.level !== "warning";
const bareWords = (say) => String(say).replace(/`/g, "");
const bare = (shown) => String(shown ?? "").replace(/ (in|mm)$/, "");

/** One size. While it is moved its own number leads; the server's follows. */
class SizeRow {
  #store;
  #size;
  #units;
  #timer = 0;
  #moved = null;
  #typed = false;
  #byKey = false;
  #own = []; // faults of what the text says of this very size
  #broke = []; // faults elsewhere that came with what was said here
  #refused = []; // why what was typed was not taken into the text

  constructor(size, units, store) {
    this.#store = store;
    this.#units = units;
    this.#size = size;
    const id = `size-${size.name.replace(/\W+/g, "-")}`;
    this.field = el("input.size-field", { type: "text", id, autocomplete: "off", spellcheck: "false", inputmode: "text", "aria-describedby": `${id}-more` });
    this.slider = el("input.size-slider", { type: "range", "aria-label": `${size.name}, slider` });
    this.low = el("span.small.soft", { "aria-hidden": "true" });
    this.high = el("span.small.soft", { "aria-hidden": "true" });
    this.move = el("div.size-move", {}, this.low, this.slider, this.high);
    this.note = el("p.size-note.small.soft", { id: `${id}-more` });
    this.fault = el("div.size-fault.small", { role: "alert", hidden: true });
    this.back = button(" ", () => this.#commit(this.saved), { mark: "undo", kind: "bare", class: "size-back bare" });
    this.node = el("div.size", {},
      el("div.size-head", {},
        el("label.size-name", { for: id }, size.name),
        el("span.size-value", {}, this.field, el("span.size-unit", { "aria-hidden": "true" }, unitOf(size, units)))),
      this.move, el("div.size-foot", {}, this.note, this.back), this.fault);
    this.#listen();
  }

  #listen() {
    this.slider.addEventListener("input", () => this.#try());
    this.slider.addEventListener("change", () => (this.#byKey ? this.#later() : this.flush()));
    this.slider.addEventListener("keydown", (event) => this.#key(event));
    this.slider.addEventListener("pointerdown", () => (this.#byKey = false));
    this.slider.addEventListener("blur", () => this.flush());
    this.field.addEventListener("input", () => (this.#typed = true));
    this.field.addEventListener("change", () => this.flush());
    this.field.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.flush();
      if (event.key === "Escape") this.#escape();
    });
    document.addEventListener("settle", () => this.flush());
  }

  #key(event) {
    if (event.key === "Escape") {
      this.#escape();
      return;
    }
    if (/^(Arrow|Page|Home|End)/.test(event.key)) this.#byKey = true;
  }

  #try() {
    const { at } = places(this.#size);
    this.#moved = at(Number(this.slider.value));
    const text = fileText(this.#moved, this.#size, this.#units);
    this.field.value = bareText(this.#moved, this.#size, this.#units);
    this.#typed = false;
    this.#say();
    this.#store.dispatch("trySizes", { sizes: { [this.#size.name]: text } });
  }

  #later() {
    window.clearTimeout(this.#timer);
    this.#timer = window.setTimeout(() => this.flush(), PAUSE);
  }

  /** Says in the file what is tried or typed. */
  flush() {
    window.clearTimeout(this.#timer);
    if (this.#typed) {
      this.#typed = false;
      const text = this.field.value.trim();
      if (text && text !== this.#written()) this.#commit(this.#size.kind === "angle" && /^[\d.\s/-]+$/.test(text) ? `${text} deg` : text);
      else this.#forget();
      return;
    }
    if (this.#moved === null) return;
    this.#commit(fileText(this.#moved, this.#size, this.#units));
  }

  async #commit(text) {
    this.#moved = null;
    const { ok, faults, whole } = await this.#store.dispatch("commitSize", { name: this.#size.name, text });
    const { answer } = this.#store.get();
    this.#refused = ok ? [] : faults || [];
    this.#broke = ok && whole && answer.stopped ? answer.faults.filter(isError).slice(0, 1) : []; // it cannot be drawn so
    this.#again();
  }

  /** What the text says of it, as its field shows it: a value that is at fault stands there as it was written. */
  #written() {
    return this.#own.length ? this.#size.text : bareText(this.#size.value, this.#size, this.#units);
  }

  /** Marks the field and tells beside it what is wrong: of this size first, and only then what follows from it. */
  #tell(now) {
    const told = [this.#refused, this.#own, this.#broke].find((each) => each.length) || [];
    const undo = told.length && told !== this.#refused && this.#last(now) ? now.desk.undo : "";
    attribute(this.field, "aria-invalid", told.length ? "true" : null);
    this.fault.hidden = !told.length;
    const mark = JSON.stringify([told, undo]);
    if (mark === this.told) return;
    this.told = mark;
    const mends = told.flatMap((fault) => fault.mends || []).slice(0, 2);
    this.fault.replaceChildren(
      ...told.slice(0, 2).map((fault) => el("p", {}, plain(`${fault.what} ${fault.mend ? `Mend: ${fault.mend}` : ""}`))),
      ...mends.map(({ say, changes }) => button(`Try it: ${bareWords(say)}`, () => this.#store.dispatch("edit", { label: bareWords(say), changes }), { kind: "try" })),
      ...(undo ? [button("Undo it", () => this.#store.dispatch("undo"), { mark: "undo" })] : []));
  }

  /** @returns {boolean} whether the last step is a change of this size */
  #last(now) {
    return String(now.desk.undo || "").startsWith(`${this.#size.name} `);
  }

  /** Back to what the text says; where it says what cannot be, and was said last, that is taken back too. */
  #escape() {
    const wrong = this.#own.length || this.#broke.length;
    if (wrong && !this.#typed && this.#moved === null && this.#last(this.#store.get())) this.#store.dispatch("undo");
    else this.#forget();
  }

  #forget() {
    const moved = this.#moved !== null;
    window.clearTimeout(this.#timer);
    this.#moved = null;
    this.#typed = false;
    this.#refused = [];
    this.#again();
    if (moved) this.#store.dispatch("stopTrying");
  }

  #again() {
    const now = this.#store.get();
    this.refresh(now.answer.sizes.find((size) => size.name === this.#size.name) || this.#size, now, this.saved);
  }

  #stand() {
    this.field.value = this.#written();
    if (this.#limited()) this.slider.value = String(places(this.#size).nearest(this.#size.value));
    this.#say();
  }

  #say() {
    attribute(this.slider, "aria-valuetext", `${this.field.value} ${unitOf(this.#size, this.#units)}`.trim());
  }

  #limited() {
    const { low, high } = this.#size;
    return low !== null && low !== undefined && high !== null && high !== undefined && high > low;
  }

  /** @param {object} size @param {object} now @param {string|undefined} saved text in the saved file */
  refresh(size, now, saved) {
    const tried = now.answer.tried || Object.keys(now.tried).length > 0;
    this.saved = saved;
    if (!now.answer.stopped) this.#broke = [];
    const mine = this.#moved !== null || this.#typed || this.#refused.length > 0;
    if (!(tried && mine)) this.#size = size;
    this.#own = now.answer.stopped ? now.answer.faults.filter((fault) => isError(fault) && fault.file === size.file && fault.line === size.line) : [];
    const limited = this.#limited();
    this.move.hidden = !limited;
    if (limited) attribute(this.slider, "max", places(size).count - 1);
    write(this.low, bare(size.low_shown));
    write(this.high, bare(size.high_shown));
    if (!tried) this.decided = size.by && /job/.test(size.by) ? "set by the job" : "";
    write(this.note, [size.note, this.decided].filter(Boolean).join(" · "));
    if (!tried) this.#wayBack(saved !== undefined && saved !== size.text ? saved : "");
    this.#tell(now);
    if (!mine) this.#stand();
    this.field.classList.toggle("is-long", this.field.value.length > 9);
  }

  /** The way back to what is saved has a place of its own: nothing moves when it comes. */
  #wayBack(saved) {
    this.back.hidden = !saved;
    write(this.back.lastChild, saved);
    attribute(this.back, "aria-label", `${this.#size.name}: back to ${saved}, as saved`);
    attribute(this.back, "title", `back to ${saved}, as saved`);
  }
}
