// Parts, joints, sizes and places by form. Every form shows the text that it will write before it is written.

import { readTree, valueAt } from "../editor/tree.js";
import { loadWords } from "../editor/words.js";
import { Asking } from "./asking.js";
import { JointForm } from "./joint.js";
import { Lists, SECTIONS } from "./list.js";
import { PieceForm, PlaceForm, SizeForm } from "./others.js";
import { PartForm } from "./part.js";
import { Piece } from "./piece.js";
import { make } from "./fields.js";

/**
 * Puts the forms into an element.
 * @param {HTMLElement} element
 * @param {import("../store.js").Store} store
 * @returns {Promise<{dispose: () => void}>}
 */
export async function mount(element, store) {
  const piece = new Piece(store, await loadWords());
  piece.jointsIn = (text) => valueAt(readTree(text), ["joints"])?.items ?? [];
  const forms = new Forms(element, store, piece);
  return { dispose: () => forms.dispose() };
}

class Forms {
  constructor(element, store, piece) {
    Object.assign(this, { store, piece, form: null });
    this.root = make("div", "forms");
    this.lists = new Lists(piece, {
      add: (section) => this.add(section),
      act: (act, section, row) => this.act(act, section, row),
    });
    this.root.append(this.lists.element);
    element.append(this.root);
    const stopForm = store.watch((state) => state.view.form, (asked) => asked && this.fill(asked));
    const stopDesk = store.subscribe((state, before) => {
      if (state.desk !== before.desk || state.answer !== before.answer) this.refresh();
    });
    this.stop = () => [stopForm, stopDesk].forEach((stop) => stop());
    this.refresh();
  }

  /** A joint that is said elsewhere, to be looked at in its form before it is written. */
  fill({ joint }) {
    const section = SECTIONS.find((each) => each.key === "joints");
    this.open(new JointForm(this.piece, { said: joint, ...this.around(section, "add joints") }));
  }

  dispose() {
    this.stop();
    this.root.remove();
  }

  /** Something changed: the lists follow, and a form asks anew what it would write. */
  refresh() {
    if (!this.store.get().desk) return;
    this.lists.show();
    this.form?.changed();
  }

  add(section) {
    const back = `add ${section.key}`;
    const around = this.around(section, back);
    if (section.key === "parts") this.open(new PartForm(this.piece, around));
    else if (section.key === "joints") this.open(new JointForm(this.piece, around));
    else if (section.key === "places") this.open(new PlaceForm(this.piece, around));
    else this.open(new SizeForm(this.piece, { section: section.key, ...around }));
  }

  act(act, section, row) {
    if (act === "text") {
      this.store.dispatch("goTo", { file: this.piece.file, line: row.line, column: 1 });
      return;
    }
    const around = this.around(section, section.key === "piece" ? "piece" : `${section.key} ${row.name}`);
    if (act === "change") this.open(this.change(section, row, around));
    else this.open(new Asking(this.piece, { act, what: section.what, name: row.name, index: row.index, ...around }));
  }

  change(section, row, around) {
    if (section.key === "piece") return new PieceForm(this.piece, around);
    if (section.key === "parts") return new PartForm(this.piece, { part: row.name, ...around });
    if (section.key === "joints") return new JointForm(this.piece, { joint: row.index, ...around });
    if (section.key === "places") return new PlaceForm(this.piece, { entry: row.name, ...around });
    return new SizeForm(this.piece, { section: section.key, entry: row.name, ...around });
  }

  /** What happens when a form is written or left: back to the lists, at the row that it was about. */
  around(section, back) {
    const close = (key) => {
      this.form?.element.remove();
      this.form = null;
      this.lists.element.hidden = false;
      this.lists.show();
      this.lists.focus(key);
      if (!this.lists.element.contains(document.activeElement)) this.lists.focus(`add ${section.key}`);
    };
    return {
      done: (name) => {
        this.store.dispatch("say", { text: name ? `${name} is written` : "taken out" });
        this.lists.opened = "";
        if (name && section.key !== "piece") this.lists.openAt(section, name);
        else if (!name) this.store.dispatch("select", {});
        close(name ? `${section.key} ${name}` : `add ${section.key}`);
      },
      leave: () => close(back),
    };
  }

  open(form) {
    this.form?.element.remove();
    this.form = form;
    this.lists.element.hidden = true;
    this.root.append(form.element);
    form.changed();
    form.heading.focus({ preventScroll: true });
    form.heading.scrollIntoView({ block: "start" });
  }
}
