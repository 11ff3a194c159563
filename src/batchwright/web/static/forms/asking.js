// Small questions about one thing of the piece: another name for it, a copy of it, taking it out.

import { Field, button, make } from "./fields.js";
import { nodeInBrackets, typed } from "./flow.js";
import { Preview } from "./preview.js";
import { alike } from "./writing.js";

const TITLES = { rename: "Rename", copy: "Copy", remove: "Take out" };

/** A form that renames, copies or takes out one thing. */
export class Asking {
  /**
   * @param {object} piece
   * @param {{act: "rename" | "copy" | "remove", what: string, name: string, index?: number, done: Function,
   *   leave: Function}} asked `what` is part, size, number, place or joint
   */
  constructor(piece, asked) {
    Object.assign(this, { piece, ...asked });
    const title = `${TITLES[this.act]} ${this.name}`;
    this.element = make("form", "writing");
    this.element.noValidate = true;
    this.element.setAttribute("aria-label", title);
    this.heading = make("h3", "", title);
    this.heading.tabIndex = -1;
    this.says = make("p", "asking-says");
    this.says.setAttribute("role", "status");
    this.preview = new Preview();
    this.faults = make("div", "writing-faults");
    const left = make("div", "writing-left");
    left.append(this.heading);
    if (this.act !== "remove" && this.what !== "joint") left.append(this.newName());
    const write = make("button", "main", this.act === "remove" ? "Take it out" : "Write it");
    write.type = "submit";
    const bar = make("div", "writing-bar");
    bar.append(write, button("Leave it", this.leave));
    left.append(this.says, this.faults, bar);
    this.element.append(left, this.preview.element);
    this.element.addEventListener("submit", (event) => {
      event.preventDefault();
      this.write();
    });
    this.element.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && !event.defaultPrevented) this.leave();
    });
    this.changed();
  }

  newName() {
    const around = { help: "", changed: () => this.changed() };
    const value = this.act === "rename" ? this.name : "";
    this.named = new Field({ kind: "words", path: ["name"], label: "New name", need: true }, value, around);
    return this.named.element;
  }

  get given() {
    return this.named ? this.named.value.trim() : "";
  }

  changes() {
    if (this.named && (!this.given || (this.act === "rename" && this.given === this.name))) return null;
    const change = { do: `${this.act} ${this.what}` };
    if (this.what === "joint") return [{ ...change, joint: this.index }];
    change[this.what] = this.name;
    if (this.named) change.name = this.given;
    return [change];
  }

  changed() {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.show(), 200);
  }

  async show() {
    const changes = this.changes();
    this.named?.showFaults([]);
    this.faults.replaceChildren();
    this.says.textContent = "";
    if (!changes) {
      this.preview.say("Give it another name.");
      return;
    }
    const turn = (this.turn = (this.turn ?? 0) + 1);
    const answer = await this.piece.preview(changes);
    if (turn !== this.turn) return;
    const files = this.piece.files();
    const texts = answer.texts ?? {};
    if (Object.keys(texts).length) this.preview.show(files, texts);
    else this.preview.say("This cannot be written.");
    this.says.textContent = this.summary(files, texts);
    this.tell(answer.faults ?? []);
  }

  /** How many places change, or what else names it. */
  summary(files, texts) {
    if (this.act === "rename" && Object.keys(texts).length) {
      const more = ({ name, text }) => mentions(texts[name] ?? text, this.given) - mentions(text, this.given);
      const count = files.reduce((sum, file) => sum + more(file), 0);
      return count === 1 ? "Changes in 1 place." : `Changes in ${count} places.`;
    }
    if (this.act === "remove" && this.what !== "joint") {
      const left = files.reduce((sum, { name, text }) => sum + mentions(texts[name] ?? text, this.name), 0);
      const { gone, changed, names } = this.jointsGone(texts);
      const words = [];
      if (gone) words.push(gone === 1 ? "1 joint that names it goes too" : `${gone} joints that name it go too`);
      if (changed) words.push(changed === 1 ? "1 joint that names it is changed" : `${changed} joints that name it are changed`);
      if (words.length) words.splice(0, 2, `${words.join(", ")}: ${names.join("; ")}.`);
      if (left === 1) words.push("1 mention of its name is left, to be mended.");
      else if (left) words.push(`${left} mentions of its name are left, to be mended.`);
      return words.join(" ") || "Nothing else names it.";
    }
    return "";
  }

  /** The joints that are in the text now and would not be, or not as they are. */
  jointsGone(texts) {
    const after = texts[this.piece.file];
    if (after === undefined) return { gone: 0, changed: 0, names: [] };
    const left = this.piece.jointsIn(after).map((node) => nodeInBrackets(node));
    const lost = this.piece.joints().filter(({ value }) => {
      const at = left.indexOf(nodeInBrackets(value));
      if (at >= 0) left.splice(at, 1);
      return at < 0;
    });
    return { gone: lost.length - left.length, changed: left.length, names: lost.map(({ value }) => spoken(value)) };
  }

  tell(faults) {
    const known = new Set(this.piece.faults().map((fault) => fault.what));
    const fresh = faults.filter((fault) => !known.has(fault.what));
    if (this.named && this.act !== "remove") this.named.showFaults(fresh.slice(0, 3));
    else this.faults.replaceChildren(...alike(fresh));
  }

  async write() {
    const changes = this.changes();
    if (!changes) {
      this.named.showFaults([{ what: "It has no new name yet.", mend: "give it one" }]);
      this.named.focus();
      return;
    }
    const answer = await this.piece.edit(this.label(), changes);
    if (answer.ok) this.done(this.act === "remove" ? "" : this.given || this.name);
    else {
      this.tell(answer.faults ?? []);
      this.piece.told();
    }
  }

  label() {
    if (this.act === "rename") return `rename ${this.name} to ${this.given}`;
    return this.act === "remove" ? `take out ${this.name}` : `copy ${this.name}`;
  }
}

/** A joint as the lists tell it: what it is, of which parts. */
function spoken(value) {
  return (value.entries ?? []).slice(0, 2).map((entry) => `${entry.key} ${typed(entry.value)}`).join(" ");
}

function mentions(text, name) {
  const safe = name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const without = text.replace(/(^|\s)#.*/gm, "$1"); // remarks are the maker's own
  return (without.match(new RegExp(`(?<![\\p{L}\\p{N}])${safe}(?![\\p{L}\\p{N}])`, "gu")) ?? []).length;
}
