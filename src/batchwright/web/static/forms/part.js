// Adding a part, and changing one that is there.

import { valueAt } from "../editor/tree.js";
import { DRAWINGS, DRAWN, OF_A_PART } from "./kinds.js";
import { make } from "./fields.js";
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
    if (!part) this.top.append(this.askName("as you call it at the bench"), this.choose());
    this.relay();
  }

  choose() {
    const set = make("fieldset", "field drawings");
    const row = make("div", "field-checks");
    this.says = make("p", "field-help");
    this.says.id = "drawing-says";
    set.append(make("legend", "", "How it is drawn"), row);
    for (const [key, title] of DRAWINGS) {
      const label = make("label", "check drawing");
      const input = make("input");
      Object.assign(input, { type: "radio", name: "drawing", value: key, checked: key === this.drawing });
      input.addEventListener("change", () => {
        this.drawing = key;
        this.relay();
      });
      input.setAttribute("aria-describedby", this.says.id);
      label.append(input, make("span", "", title));
      row.append(label);
    }
    set.append(this.says);
    return set;
  }

  relay() {
    if (this.says) this.says.textContent = DRAWINGS.find(([key]) => key === this.drawing)[2];
    const specs = [...this.drawn(), ...OF_A_PART];
    if (this.node && !this.before) {
      this.values = valuesOf(specs, this.node);
      this.before = writeStatement(specs, this.values);
    }
    this.lay(specs, "part");
  }

  /** A section written as two sizes in a list is shown as it is. */
  drawn() {
    const section = this.node && valueAt(this.node, ["section"]);
    if (section?.kind !== "list") return DRAWN[this.drawing];
    const whole = { kind: "list", path: ["section"], label: "Section", need: true };
    return [...DRAWN[this.drawing].filter(({ path }) => path[0] !== "section"), whole];
  }

  statement() {
    const specs = this.fields.map((field) => field.spec);
    const { count, ...rest } = writeStatement(specs, this.said());
    return count === undefined ? rest : { count, ...rest };
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

