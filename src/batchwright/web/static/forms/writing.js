// A form that writes one statement of the piece file: fields on one side, what will be written on the other.

import { pathAt, readTree } from "../editor/tree.js";
import { spanOf } from "../editor/marks.js";
import { Field, arranged, button, faultElement, make } from "./fields.js";
import { Preview } from "./preview.js";
import { idOf } from "./statement.js";

const REST = 300; // how long the maker rests before the preview is asked for [ms]

const NAMING = ["name-taken", "bad-name", "reserved-word"]; // faults that speak of the name

/** A form with a preview. Subclasses say what its fields are and which changes it makes. */
export class Writing {
  /**
   * @param {object} piece what the forms know of the piece, see piece.js
   * @param {{title: string, done: (name: string) => void, leave: () => void}} around
   */
  constructor(piece, { title, done, leave }) {
    this.piece = piece;
    this.done = done;
    this.fields = [];
    this.values = new Map();
    this.element = make("form", "writing");
    this.element.noValidate = true;
    this.element.setAttribute("aria-label", title);
    this.heading = make("h3", "", title);
    this.heading.tabIndex = -1;
    this.top = make("div", "writing-top");
    this.rows = make("div", "writing-fields");
    this.faults = make("div", "writing-faults");
    this.faults.setAttribute("role", "status");
    this.preview = new Preview();
    const write = make("button", "main", "Write it");
    write.type = "submit";
    const bar = make("div", "writing-bar");
    bar.append(write, button("Leave it", leave));
    const left = make("div", "writing-left");
    left.append(this.heading, this.top, this.rows, this.faults, bar);
    this.element.append(left, this.preview.element);
    this.element.addEventListener("submit", (event) => {
      event.preventDefault();
      this.write();
    });
    this.element.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && !event.defaultPrevented) leave();
    });
  }

  /** Puts fields in, with what stands in them so far. */
  lay(specs, table) {
    for (const field of this.fields) this.values.set(idOf(field.spec), field.value);
    this.fields = specs.map(
      (spec) =>
        new Field(spec, this.values.get(idOf(spec)), {
          help: this.piece.help(table, spec.path),
          offers: () => this.piece.offers(),
          parts: () => this.piece.partNames(),
          lit: () => this.piece.litNames(),
          changed: () => this.changed(),
        }),
    );
    this.rows.replaceChildren(...arranged(this.fields));
    this.changed();
  }

  /** A field for the name of what is added, over the others. @returns {HTMLElement} */
  askName(example) {
    const around = { help: "Words with single spaces.", changed: () => this.changed() };
    this.named = new Field({ kind: "words", path: ["name"], label: "Name", need: true, example }, "", around);
    return this.named.element;
  }

  /** Every field, the name first. */
  get all() {
    return this.named ? [this.named, ...this.fields] : this.fields;
  }

  /** The values in the fields, by id. */
  said() {
    return new Map(this.fields.map((field) => [idOf(field.spec), field.value]));
  }

  /** Something was typed: what would be written is asked for when the maker rests. */
  changed() {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.show(), REST);
  }

  /** Faults that need no server: what must be there is not. @returns {Map<Field, object[]>} */
  missing() {
    const found = new Map();
    for (const field of this.all) {
      if (!field.spec.need) continue;
      const value = field.value;
      const stretches = Array.isArray(value) ? value : [value];
      const empty = !stretches.length || stretches.some((each) => each.trim() === "");
      if (empty) found.set(field, [{ what: `\`${field.spec.label}\` is not said yet.`, mend: "fill it in" }]);
    }
    return found;
  }

  /** Asks what the text would become, and shows it with its faults. */
  async show() {
    if (!this.element.isConnected) return;
    const changes = this.changes();
    if (!changes) {
      this.tell([], false);
      this.preview.say("Fill in what is needed.");
      return;
    }
    if (!changes.length) {
      this.tell([], false);
      this.preview.say("Nothing changes in the text.");
      return;
    }
    const turn = (this.turn = (this.turn ?? 0) + 1);
    const answer = await this.piece.preview(changes);
    if (turn !== this.turn || !this.element.isConnected) return;
    const before = this.piece.files();
    if (Object.keys(answer.texts ?? {}).length) this.preview.show(before, answer.texts);
    else this.preview.say("This cannot be written yet.");
    this.tell(this.newFaults(answer), false, answer.texts ?? {});
  }

  /** Faults that are not there without this change. */
  newFaults(answer) {
    const known = new Set(this.piece.faults().map((fault) => fault.what));
    return (answer.faults ?? []).filter((fault) => !known.has(fault.what));
  }

  /** Puts faults next to the fields they speak of; the rest under the fields. */
  tell(faults, pressed, texts = {}) {
    const byField = pressed ? this.missing() : new Map();
    const rest = [];
    for (const fault of faults) {
      const field = this.named && NAMING.includes(fault.code) ? this.named : this.fieldOf(fault, texts);
      if (field) byField.set(field, [...(byField.get(field) ?? []), fault]);
      else rest.push(fault);
    }
    for (const field of this.all) field.showFaults((byField.get(field) ?? []).slice(0, 3));
    this.faults.replaceChildren(...alike(rest));
    if (pressed && (byField.size || rest.length)) {
      const first = this.all.find((field) => byField.has(field));
      const fold = first?.element.closest("details");
      if (fold) fold.open = true;
      if (first) first.focus();
    }
    return byField.size + rest.length;
  }

  fieldOf(fault, texts) {
    const text = texts[fault.file];
    if (!text || !fault.line) return null;
    const at = spanOf(text, fault.line, fault.column).from;
    const steps = pathAt(readTree(text), at).map((each) => each.step);
    const own = this.path(texts, readTree(text));
    if (!own || own.some((step, index) => steps[index] !== step)) return null;
    const inner = steps.slice(own.length);
    let best = null;
    for (const field of this.fields) {
      const { path } = field.spec;
      const held = path.every((step, index) => inner[index] === step || inner[index] === undefined);
      if (held && inner.length && (!best || path.length > best.spec.path.length)) best = field;
    }
    return best;
  }

  /** Writes it. The form stays as it is where the desk refuses. */
  async write() {
    clearTimeout(this.resting);
    if (this.tell([], true)) return;
    const changes = this.changes();
    if (!changes) return;
    if (!changes.length) {
      this.done(this.name());
      return;
    }
    const answer = await this.piece.edit(this.label(), changes);
    if (answer.ok) this.done(this.name());
    else {
      this.tell(answer.faults ?? [], true);
      this.piece.told();
    }
  }
}

/** Faults one by one, those of one code told once with how many more there are. @returns {HTMLElement[]} */
export function alike(faults) {
  const codes = new Map();
  for (const fault of faults) codes.set(fault.code, [...(codes.get(fault.code) ?? []), fault]);
  return [...codes.values()].slice(0, 6).map((list) => {
    const element = faultElement(list[0]);
    if (list.length > 1) element.append(make("p", "fault-more", `and ${list.length - 1} more like it`));
    return element;
  });
}
