// Adding a part, and changing one that is there.

import { valueAt } from "../editor/tree.js";
import { DRAWINGS, DRAWN, OF_A_PART } from "./kinds.js";
import { Field, make } from "./fields.js";
import { changesOf, onLines } from "./flow.js";
import { valuesOf, writeStatement } from "./statement.js";
import { Writing } from "./writing.js";

/** The form of a part. */
export class PartForm extends Writing {
  /**
   * @param {object} piece
   * @param {{part?: string, done: Function, leave: Function}} around `part` is the one that is changed
   */
  constructor(piece, { part = "", done, leave }) {
    super(piece, { title: part ? `Change ${part}` : "Add a part", done, leave });
    this.part = part;
    this.node = part ? valueAt(piece.tree, ["parts", part]) : null;
    this.drawing = DRAWINGS.map(([key]) => key).find((key) => this.node && valueAt(this.node, [key])) ?? "box";
    if (!part) this.top.append(this.nameField(), this.choose());
    this.relay();
  }

  nameField() {
    const around = { help: "Words with single spaces; one set of names for sizes, places and parts.", changed: () => this.changed() };
    this.named = new Field({ kind: "words", path: ["name"], label: "Name", need: true, example: "front leg" }, "", around);
    return this.named.element;
  }

  choose() {
    const set = make("fieldset", "field drawings");
    set.append(make("legend", "", "How it is drawn"));
    for (const [key, title, says] of DRAWINGS) {
      const label = make("label", "check drawing");
      const input = make("input");
      Object.assign(input, { type: "radio", name: "drawing", value: key, checked: key === this.drawing });
      input.addEventListener("change", () => {
        this.drawing = key;
        this.relay();
      });
      const words = make("span");
      words.append(make("b", "", `${title}. `), says);
      label.append(input, words);
      set.append(label);
    }
    return set;
  }

  relay() {
    const specs = [...DRAWN[this.drawing], ...OF_A_PART];
    if (this.node && !this.before) {
      this.values = valuesOf(specs, this.node);
      this.before = writeStatement(specs, this.values);
    }
    this.lay(specs, "part");
  }

  missing() {
    const found = super.missing();
    if (this.named && !this.named.value.trim())
      found.set(this.named, [{ what: "The part has no name yet.", mend: "give it one" }]);
    return found;
  }

  tell(faults, pressed, texts) {
    const missing = this.named && pressed && !this.named.value.trim();
    const named = faults.filter((each) => this.named && ["name-taken", "bad-name"].includes(each.code));
    const own = missing ? [{ what: "The part has no name yet.", mend: "give it one" }] : named;
    this.named?.showFaults(own);
    const count = super.tell(faults.filter((each) => !named.includes(each)), pressed, texts);
    if (pressed && own.length) this.named.focus();
    return count + named.length;
  }

  statement() {
    const specs = this.fields.map((field) => field.spec);
    return writeStatement(specs, this.said());
  }

  changes() {
    if (this.part) return changesOf(["parts", this.part], this.before, this.statement());
    if (this.missing().size) return null;
    return [{ do: "add part", name: this.named.value.trim(), text: onLines(this.statement()) }];
  }

  path() {
    return ["parts", this.name()];
  }

  name() {
    return this.part || this.named.value.trim();
  }

  label() {
    return this.part ? `change ${this.part}` : `add ${this.name()}`;
  }
}

