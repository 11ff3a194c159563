// Adding and changing sizes, numbers and places, and what the piece says of itself.

import { valueAt } from "../editor/tree.js";
import { make } from "./fields.js";
import { changesOf, inBrackets } from "./flow.js";
import { PIECE, PLACES, SIZE } from "./kinds.js";
import { valuesOf, writeStatement } from "./statement.js";
import { Writing } from "./writing.js";

/** A form for one entry of a section: a name, then its fields. */
class EntryForm extends Writing {
  constructor(piece, { what, section, entry, done, leave }) {
    super(piece, { title: entry ? `Change ${entry}` : `Add a ${what}`, done, leave });
    Object.assign(this, { what, section, entry, node: entry ? valueAt(piece.tree, [section, entry]) : null });
    if (!entry) this.top.append(this.askName(""));
  }

  changes() {
    if (this.entry) return changesOf([this.section, this.entry], this.before, this.statement());
    if (this.missing().size) return null;
    return [{ do: `add ${this.what}`, name: this.name(), text: inBrackets(this.statement()) }];
  }

  path() {
    return [this.section, this.name()];
  }

  name() {
    return this.entry || this.named.value.trim();
  }

  label() {
    return this.entry ? `change ${this.entry}` : `add ${this.name()}`;
  }
}

/** The form of a size or a number. */
export class SizeForm extends EntryForm {
  constructor(piece, { section = "sizes", entry = "", done, leave }) {
    super(piece, { what: section === "numbers" ? "number" : "size", section, entry, done, leave });
    if (this.node) {
      this.values = valuesOf(SIZE, this.node);
      if (this.node.kind === "text") this.values.set("is", this.node.text);
      this.before = this.statementOf(this.values);
    }
    this.lay(SIZE, "size");
  }

  /** A value alone where nothing else is said of it. */
  statementOf(values) {
    const table = writeStatement(SIZE, values);
    const alone = Object.keys(table).length === 1 && table.is !== undefined;
    return alone && this.node?.kind !== "map" ? table.is : table;
  }

  statement() {
    return this.statementOf(this.said());
  }

  fieldOf(fault, texts) {
    return super.fieldOf(fault, texts) ?? (fault.what.includes(`\`${this.name()}\``) ? this.fields[0] : null);
  }
}

/** The form of a place. */
export class PlaceForm extends EntryForm {
  constructor(piece, { entry = "", done, leave }) {
    super(piece, { what: "place", section: "places", entry, done, leave });
    this.sort = this.node ? sortOf(this.node) : "point";
    if (!entry) this.top.append(this.choose());
    if (this.node) {
      this.values = valuesOf(this.specs(), this.node);
      this.before = this.statementOf(this.values);
    }
    this.relay();
  }

  specs() {
    return PLACES.find(([key]) => key === this.sort)[2];
  }

  choose() {
    const box = make("div", "field");
    const label = make("label", "", "Sort of place");
    const input = make("select");
    input.id = label.htmlFor = "place-sort";
    input.append(...PLACES.map(([key, title]) => new Option(title, key, false, key === this.sort)));
    input.addEventListener("change", () => {
      this.sort = input.value;
      this.relay();
    });
    box.append(label, input);
    return box;
  }

  relay() {
    if (!this.values.get("view")) this.values.set("view", "front");
    this.lay(this.specs(), "place");
  }

  statementOf(values) {
    const whole = writeStatement(this.specs(), values);
    return this.sort === "point" ? [0, 1, 2].map((index) => whole[index] ?? "") : whole;
  }

  statement() {
    return this.statementOf(this.said());
  }
}

function sortOf(node) {
  if (node.kind !== "map") return "point";
  const keys = node.entries.map((entry) => entry.key);
  return ["line", "curve", "beside", "crossing", "at"].find((key) => keys.includes(key)) ?? "angle";
}

/** The form of what the piece says of itself: name, wood, hands. */
export class PieceForm extends Writing {
  constructor(piece, { done, leave }) {
    super(piece, { title: "The piece", done, leave });
    this.values = valuesOf(PIECE, piece.tree);
    this.before = writeStatement(PIECE, this.values);
    this.lay(PIECE, "piece");
  }

  changes() {
    return changesOf([], this.before, writeStatement(PIECE, this.said()));
  }

  path() {
    return [];
  }

  name() {
    return "piece";
  }

  label() {
    return "change the piece";
  }
}
