// Everything that the piece file says, as lists: sizes, places, parts and joints, each with what can be done about it.

import { kindOf } from "./joint.js";
import { button, make } from "./fields.js";
import { nodeInBrackets, typed } from "./flow.js";
import { DRAWINGS, JOINTS } from "./kinds.js";
import { said, valueAt } from "../editor/tree.js";

/** The sections of the list, in the order of the work. */
export const SECTIONS = [
  { key: "parts", title: "Parts", what: "part", add: "Add a part" },
  { key: "joints", title: "Joints", what: "joint", add: "Add a joint" },
  { key: "sizes", title: "Sizes", what: "size", add: "Add a size" },
  { key: "numbers", title: "Numbers", what: "number", add: "Add a number" },
  { key: "places", title: "Places", what: "place", add: "Add a place" },
];

/** The lists. */
export class Lists {
  /**
   * @param {object} piece
   * @param {{add: (section: object) => void, act: (act: string, section: object, row: object) => void}} doing
   */
  constructor(piece, doing) {
    Object.assign(this, { piece, doing, opened: "", shown: "" });
    this.element = make("div", "lists");
  }

  /** Shows what the text holds now; focus stays where it was. */
  show() {
    const sections = SECTIONS.map((section) => ({ section, rows: this.rows(section) }));
    const head = typed(valueAt(this.piece.tree, ["piece"]));
    const wood = typed(valueAt(this.piece.tree, ["wood"]));
    const told = sections.map(({ rows }) => rows.map((row) => [row.name, row.says, row.shown]));
    const mark = JSON.stringify([head, wood, this.opened, told]);
    if (mark === this.shown) return;
    this.shown = mark;
    const focused = this.element.contains(document.activeElement) ? document.activeElement.dataset.key : "";
    this.element.replaceChildren(this.head(head, wood), ...sections.map((each) => this.section(each)));
    if (focused) this.focus(focused);
  }

  focus(key) {
    this.element.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus();
  }

  head(name, wood) {
    const box = make("div", "list-head");
    const change = button("Change name, wood, hands", () => this.doing.act("change", { key: "piece" }, {}));
    change.dataset.key = "piece";
    box.append(make("p", "list-piece", [name, wood].filter(Boolean).join(", ")), change);
    return box;
  }

  section({ section, rows }) {
    const box = make("section", "list-section");
    const title = make("h3", "", section.title);
    title.id = `list-${section.key}`;
    box.setAttribute("aria-labelledby", title.id);
    const add = button(section.add, () => this.doing.add(section), "list-add");
    add.dataset.key = `add ${section.key}`;
    const bar = make("div", "list-bar");
    bar.append(title, add);
    box.append(bar);
    if (!rows.length) {
      box.append(make("p", "soft", EMPTY[section.key]));
      return box;
    }
    const list = make("ul", "list-rows");
    list.append(...rows.map((row) => this.row(section, row)));
    box.append(list);
    return box;
  }

  row(section, row) {
    const item = make("li", "list-row");
    const key = `${section.key} ${row.name}`;
    const open = this.opened === key;
    const head = button("", () => this.open(section, row, key), "list-name bare");
    head.dataset.key = key;
    head.setAttribute("aria-expanded", String(open));
    head.append(make("b", "", row.title ?? row.name), make("span", "list-says", row.says));
    if (row.shown) head.append(make("span", "list-shown", row.shown));
    item.append(head);
    if (open) item.append(this.actions(section, row, key));
    return item;
  }

  actions(section, row, key) {
    const bar = make("div", "list-actions");
    bar.setAttribute("role", "group");
    bar.setAttribute("aria-label", row.name);
    for (const [act, text] of ACTS) {
      if (section.key === "joints" && act === "rename") continue;
      if (["sizes", "numbers", "places"].includes(section.key) && act === "copy") continue;
      const each = button(text, () => this.doing.act(act, section, row));
      each.dataset.key = `${key} ${act}`;
      bar.append(each);
    }
    return bar;
  }

  /** Opens the row of a thing that was just written, and lights it up. */
  openAt(section, name) {
    const row = this.rows(section).find((each) => each.name === name);
    if (!row) return;
    this.opened = `${section.key} ${name}`;
    this.light(section, row);
  }

  open(section, row, key) {
    this.opened = this.opened === key ? "" : key;
    if (this.opened) this.light(section, row);
    this.show();
  }

  light(section, row) {
    if (section.key === "parts") this.piece.select(this.piece.made(row.name).map((part) => part.id));
    if (section.key !== "joints") return;
    const joints = this.piece.madeJoints(row.index);
    this.piece.select([...new Set(joints.flatMap((each) => [each.part, each.into]))], joints.map((each) => each.id));
  }

  rows(section) {
    if (section.key === "joints") return this.piece.joints().map((joint) => this.jointRow(joint));
    return this.piece.entries(section.key).map((entry) => ({ ...entry, ...this.words(section.key, entry) }));
  }

  words(key, { name, value }) {
    if (key === "parts") {
      const drawing = DRAWINGS.find(([each]) => valueAt(value, [each]));
      const count = said(valueAt(value, ["count"]));
      const made = this.piece.made(name);
      const row = valueAt(value, ["repeat"]) ? "in a row" : "";
      return { says: [drawing?.[1].toLowerCase(), count, row].filter(Boolean).join(", "), shown: made[0]?.shown ?? "" };
    }
    if (key === "sizes" || key === "numbers") {
      const size = this.piece.store.get().answer?.sizes?.find((each) => each.name === name);
      const written = value.kind === "map" ? said(valueAt(value, ["is"])) : typed(value);
      const note = value.kind === "map" ? said(valueAt(value, ["note"])) : "";
      const shown = size && size.shown !== written ? size.shown : "";
      return { says: [written, note].filter(Boolean).join(", "), shown };
    }
    return { says: short(nodeInBrackets(value)), shown: "" };
  }

  jointRow({ index, value, line }) {
    const kind = kindOf(value);
    const title = JOINTS.find(([key]) => key === kind)?.[1] ?? "Joint";
    const names = (value.entries ?? []).slice(0, 2).map((entry) => `${entry.key} ${typed(entry.value)}`);
    const count = kind === "meeting in" ? 0 : this.piece.madeJoints(index).length;
    const shown = count ? `makes ${count}` : "";
    return { name: `joint ${index + 1}`, title: `${index + 1}. ${title}`, index, line, value, says: names.join(" "), shown };
  }
}

const ACTS = [
  ["change", "Change"],
  ["copy", "Copy"],
  ["rename", "Rename"],
  ["remove", "Take out"],
  ["text", "Show in the text"],
];

const EMPTY = {
  parts: "No part yet. Draw the first one: a leg, perhaps.",
  joints: "No joint yet. Say which parts meet.",
  sizes: "No size yet. A size with a least and a most can be changed by a slider.",
  numbers: "No number yet: counts, proportions.",
  places: "No place yet: points and lines that several parts share.",
};

function short(text) {
  return text.length > 60 ? `${text.slice(0, 58)} …` : text;
}
