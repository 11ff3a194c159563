// What the forms know of the piece: its text as a tree, its names, and how to change it.

import { readTree, valueAt } from "../editor/tree.js";
import { lineAt, madeBy, namedIn, plainLines } from "../editor/names.js";

const NESTED = {
  section: "section", taper: "taper", strip: "strip", repeat: "repeat", shoulders: "shoulders", pegs: "pegs",
  tusk: "tusk", slips: "slips",
}; // prettier-ignore

/** The piece as forms see it. */
export class Piece {
  /** @param {import("../store.js").Store} store @param {object[]} words */
  constructor(store, words) {
    this.store = store;
    this.words = words;
  }

  /** The name of the piece file. */
  get file() {
    const files = this.files();
    return (files.find((file) => file.kind === "piece") ?? files[0])?.name ?? "";
  }

  files() {
    const given = this.store.get().desk?.files ?? [];
    if (this.given !== given) {
      this.given = given;
      this.plain = given.map((file) => ({ ...file, text: plainLines(file.text) }));
    }
    return this.plain;
  }

  get text() {
    return this.files().find((file) => file.name === this.file)?.text ?? "";
  }

  /** The text as a tree; read again only where it has changed. */
  get tree() {
    if (this.read?.text !== this.text) this.read = { text: this.text, tree: readTree(this.text) };
    return this.read.tree;
  }

  /** Entries of a section: `[{name, value, line}]`. */
  entries(section) {
    const table = valueAt(this.tree, [section]);
    return (table?.entries ?? []).map(({ key, value, from }) => ({ name: key, value, line: lineAt(this.text, from) }));
  }

  joints() {
    const list = valueAt(this.tree, ["joints"]);
    return (list?.items ?? []).map((value, index) => ({ index, value, line: lineAt(this.text, value.from) }));
  }

  partNames() {
    return this.entries("parts").map((each) => each.name);
  }

  /** Names that may stand in an expression: the drawn names, then the copies. */
  offers() {
    const names = namedIn(this.tree).map((each) => each.name);
    const copies = (this.store.get().answer?.parts ?? []).map((part) => part.name);
    return [...new Set([...names, ...copies])];
  }

  /** The drawn names of the parts that are lit up. */
  litNames() {
    const { answer, selection } = this.store.get();
    const lines = (answer?.parts ?? []).filter((part) => selection.parts.includes(part.id)).map((part) => part.line);
    return this.entries("parts").filter((each) => lines.includes(each.line)).map((each) => each.name);
  }

  /** Parts of the answer that a drawn name stands for. */
  made(name) {
    const line = this.entries("parts").find((each) => each.name === name)?.line;
    return (this.store.get().answer?.parts ?? []).filter((part) => part.line === line);
  }

  /** Joints of the answer that a statement stands for. */
  madeJoints(index) {
    return madeBy(this.store.get().answer, index);
  }

  faults() {
    return this.store.get().answer?.faults ?? [];
  }

  /** What the guide says of a word. */
  help(table, path) {
    const keys = path.filter((step) => typeof step === "string");
    const word = keys.at(-1);
    const within = keys.length > 1 ? (NESTED[keys[0]] ?? table) : table;
    const sort = keys[0] === "box" ? "box" : within;
    const found = this.words.find((each) => each.in === sort && each.word === word);
    return sort === "box" ? "" : (found?.help ?? "");
  }

  /** What the texts would become, and the faults they would have. */
  async preview(changes) {
    const answer = await this.store.dispatch("preview", { changes });
    const texts = Object.entries(answer.texts ?? {}).map(([name, text]) => [name, plainLines(text)]);
    return { ...answer, texts: Object.fromEntries(texts) };
  }

  edit(label, changes) {
    return this.store.dispatch("edit", { label, changes });
  }

  /** What was refused is told in the form: it need not stand over the page too. */
  told() {
    this.store.dispatch("clearFaults");
  }

  select(parts, joints = []) {
    this.store.dispatch("select", { parts, joints, from: "form" });
  }
}
