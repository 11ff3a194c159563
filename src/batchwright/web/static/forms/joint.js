// Adding a joint, and changing one that is there.

import { readTree, valueAt } from "../editor/tree.js";
import { JOINTS } from "./kinds.js";
import { make } from "./fields.js";
import { changesOf, inBrackets } from "./flow.js";
import { valuesOf, writeStatement } from "./statement.js";
import { Writing } from "./writing.js";

/** The kind of joint that a statement of the text is. */
export function kindOf(node) {
  const keys = (node.entries ?? []).map((entry) => entry.key);
  return JOINTS.map(([key]) => key).find((key) => keys.includes(key)) ?? "";
}

function statementOf(said) {
  return said ? valueAt(readTree(`joints:\n  - ${said}\n`), ["joints", 0]) : null;
}

/** The form of a joint. */
export class JointForm extends Writing {
  /**
   * @param {object} piece
   * @param {{joint?: number, said?: string, done: Function, leave: Function}} around
   *   `joint` is the one that is changed; `said` a statement in brackets that the form of a new one begins with
   */
  constructor(piece, { joint = -1, said = "", done, leave }) {
    super(piece, { title: joint < 0 ? "Add a joint" : `Change joint ${joint + 1}`, done, leave });
    this.joint = joint;
    const node = joint < 0 ? statementOf(said) : piece.joints()[joint]?.value;
    this.kind = (node && kindOf(node)) || "tenon";
    if (joint < 0) this.top.append(this.choose());
    const specs = this.specs();
    if (node) {
      this.values = valuesOf(specs, node);
      if (joint >= 0) this.before = writeStatement(specs, this.values);
    }
    this.relay();
  }

  specs() {
    return JOINTS.find(([key]) => key === this.kind)[2];
  }

  choose() {
    const box = make("div", "field");
    const label = make("label", "", "Kind of joint");
    const input = make("select");
    input.id = label.htmlFor = "joint-kind";
    input.append(...JOINTS.map(([key, title]) => new Option(title, key, false, key === this.kind)));
    this.says = make("p", "field-help");
    this.says.id = "joint-kind-says";
    input.setAttribute("aria-describedby", this.says.id);
    input.addEventListener("change", () => {
      this.kind = input.value;
      this.relay();
    });
    box.append(label, this.says, input);
    return box;
  }

  relay() {
    const table = this.kind === "meeting in" ? "meeting" : this.kind;
    if (this.says) this.says.textContent = SAYS[this.kind];
    this.lay(this.specs(), table);
  }

  /** Parts that are chosen light up in the piece. */
  changed() {
    super.changed();
    const chosen = this.fields.filter((field) => field.spec.kind === "names").flatMap((field) => field.value);
    const mark = chosen.join(",");
    if (mark === this.chosen || !chosen.length) return;
    this.chosen = mark;
    this.piece.select(chosen.flatMap((name) => this.piece.made(name).map((part) => part.id)));
  }

  statement() {
    return writeStatement(this.specs(), this.said());
  }

  changes() {
    if (this.joint >= 0) return changesOf(["joints", this.joint], this.before, this.statement());
    if (this.missing().size) return null;
    return [{ do: "add joint", text: inBrackets(this.statement()) }];
  }

  path(texts, tree) {
    const joints = tree.entries.find((entry) => entry.key === "joints")?.value;
    const last = (joints?.items?.length ?? 0) - 1;
    return ["joints", this.joint < 0 ? last : this.joint];
  }

  name() {
    return this.joint < 0 ? `joint ${this.piece.joints().length}` : `joint ${this.joint + 1}`;
  }

  label() {
    const title = JOINTS.find(([key]) => key === this.kind)[1];
    return this.joint < 0 ? `add ${title.toLowerCase()}` : `change joint ${this.joint + 1}`;
  }
}

const SAYS = {
  tenon: "Every copy of one part that meets a copy of another, at whichever end.",
  "loose tenon": "A slip of wood in two mortises.",
  dowel: "Round pins instead of a tenon.",
  "meeting in": "How tenons that meet in one part make room for one another.",
  housing: "One part's shape cut out of another, as deep as it is drawn.",
  groove: "A panel held loosely along its edges.",
  notch: "Wood cut away around a part that passes: a shelf around a leg.",
  halving: "Two parts that cross, each cut half away.",
  rest: "Touches, nothing cut.",
  screw: "Screws where two parts cross or touch.",
  button: "Buttons that hold a top and let it move.",
  glue: "Edge to edge, with slips or without.",
};
