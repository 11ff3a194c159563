// The files of a piece as text, in the page. One editor, a tab for each file, and under it what is said of the text.
// The desk's undo is the only one: nothing is undone here that the desk does not know of.

import { Compartment, EditorSelection, EditorState, EditorView, Transaction } from "../vendor/editor.min.js";
import { flashChanges, lightLines } from "./flash.js";
import { pieceLanguage } from "./language.js";
import { LEVELS, messagesOf, showMessages, spanOf } from "./marks.js";
import { namesOf, partsAt, plainLines, statementLines } from "./names.js";
import { Panel } from "./panel.js";
import { extensions, tableLanguage } from "./setup.js";
import { Sync } from "./sync.js";
import { Tabs } from "./tabs.js";
import { helpAt, helpElement, loadWords } from "./words.js";

const HINT =
  "Esc, then Tab leaves the text. Ctrl+Space offers words. F1 explains the word at the caret. " +
  "F8 goes to the next fault.";

/**
 * Puts the editor into an element.
 * @param {HTMLElement} element
 * @param {import("../store.js").Store} store
 * @returns {{flush: () => Promise<void>, focus: () => void, dispose: () => void}} `flush` gives what was just typed to
 *   the desk, and settles when it is there
 */
export function mount(element, store) {
  const editor = new Editor(element, store);
  return { flush: () => editor.flush(), focus: () => editor.view.focus(), dispose: () => editor.dispose() };
}

class Editor {
  constructor(element, store) {
    this.store = store;
    this.files = new Map();
    this.language = new Compartment();
    this.words = [];
    this.name = "";
    this.build(element);
    this.stop = store.subscribe((state, before) => this.follow(state, before));
    this.leave = () => document.visibilityState === "hidden" && this.flush();
    document.addEventListener("visibilitychange", this.leave);
    this.settle = () => this.flush(); // the shell asks for it before it saves or undoes
    document.addEventListener("settle", this.settle);
    loadWords().then((words) => {
      this.words = words;
      this.relearn(true);
    });
    this.follow(store.get(), {});
  }

  build(element) {
    this.tabs = new Tabs((name) => this.open(name));
    this.panel = new Panel({ go: (message) => this.go(message, true), tryIt: (mend) => this.tryIt(mend), undo: () => this.step("undo") });
    this.root = node("div", "editor");
    this.host = node("div", "editor-text");
    this.host.id = "editor-text";
    this.host.setAttribute("role", "tabpanel");
    const hint = node("p", "editor-hint");
    hint.id = "editor-hint";
    hint.textContent = HINT;
    this.help = node("section", "editor-help");
    this.help.setAttribute("aria-label", "What the word means");
    this.help.setAttribute("aria-live", "polite");
    this.help.hidden = true;
    this.root.append(this.tabs.element, this.host, hint, this.help, this.panel.element);
    element.append(this.root);
    const nonce = this.store.get().boot?.nonce;
    this.view = new EditorView({ parent: this.host, extensions: nonce ? EditorView.cspNonce.of(nonce) : [] });
  }

  dispose() {
    this.flush();
    this.stop();
    document.removeEventListener("visibilitychange", this.leave);
    document.removeEventListener("settle", this.settle);
    this.view.destroy();
    this.root.remove();
  }

  async flush() {
    await Promise.all([...this.files.values()].map((file) => file.sync.flush()));
  }

  /** One change of the store. */
  follow(state, before) {
    if (!state.desk) return;
    if (state.desk !== before.desk) this.takeFiles(state.desk.files);
    if (state.answer !== before.answer || state.desk !== before.desk) {
      this.relearn(false);
      this.tell();
    }
    if (state.line && before.line === false) this.flush(); // the server is heard again: it gets what was typed
    if (state.selection !== before.selection) this.lightUp(state.selection);
    const go = state.view?.go;
    if (go && go.stamp !== before.view?.go?.stamp) this.go(go, state.view.tab === "text");
  }

  takeFiles(given) {
    const files = [...given].sort((one, other) => rank(one.kind) - rank(other.kind));
    for (const name of [...this.files.keys()]) if (!files.some((each) => each.name === name)) this.files.delete(name);
    for (const each of files) {
      const known = this.files.get(each.name);
      if (known) {
        known.kind = each.kind;
        known.dirty = each.dirty;
        known.sync.receive();
      } else this.files.set(each.name, this.newFile(each));
    }
    if (!this.files.has(this.name)) this.open(files[0]?.name);
    else this.showTabs();
  }

  newFile({ name, kind, dirty, text: whole }) {
    const text = plainLines(whole);
    const file = { name, kind, dirty, state: null };
    file.state = this.startState(file, text);
    const send = async (typed) => {
      const done = await this.store.dispatch("edit", {
        label: "typing",
        changes: [{ do: "text", file: name, text: typed }],
      });
      if (done && done.ok === false) throw new Error("refused");
    };
    file.sync = new Sync(text, {
      send,
      read: () => this.stateOf(file).doc.toString(),
      write: (changes) => this.write(file, changes),
      latest: () => {
        const now = this.store.get().desk?.files.find((each) => each.name === name);
        return now ? plainLines(now.text) : null;
      },
    });
    return file;
  }

  stateOf(file) {
    return file.name === this.name ? this.view.state : file.state;
  }

  startState(file, text) {
    const doing = {
      nonce: this.store.get().boot?.nonce ?? "",
      label: () => `${file.name} as text. Esc, then Tab leaves it.`,
      file: () => file.name,
      kind: () => file.kind,
      help: (at) => this.helpOf(at),
      explain: () => this.explain(),
      undo: () => this.step("undo"),
      redo: () => this.step("redo"),
      save: () => this.step("save"),
      typed: () => file.sync.typed(),
      moved: () => this.moved(),
      left: () => file.sync.flush(),
    };
    const language = this.language.of(this.languageOf(file.kind));
    return EditorState.create({ doc: text, extensions: [extensions(doing), language] });
  }

  languageOf(kind) {
    if (kind === "boards" || kind === "defects") return tableLanguage();
    return pieceLanguage(new Set(this.words.map((each) => each.word)), new Set(this.known ?? []));
  }

  /** Colours the names anew where they have changed. */
  relearn(always) {
    const piece = [...this.files.values()].find((each) => each.kind === "piece");
    if (!piece) return;
    const names = namesOf(this.stateOf(piece).doc.toString(), this.store.get().answer);
    const mark = names.join("\n");
    if (!always && mark === this.knownMark) return;
    this.knownMark = mark;
    this.known = names;
    for (const file of this.files.values()) {
      const effects = this.language.reconfigure(this.languageOf(file.kind));
      if (file.name === this.name) this.view.dispatch({ effects });
      else file.state = file.state.update({ effects }).state;
    }
  }

  open(name) {
    const file = this.files.get(name);
    if (!file || name === this.name) return;
    const before = this.files.get(this.name);
    if (before) {
      before.state = this.view.state;
      before.top = this.view.scrollDOM.scrollTop;
    }
    this.name = name;
    this.view.setState(file.state);
    this.view.scrollDOM.scrollTop = file.top ?? 0;
    this.showTabs();
    this.tell();
    this.lightUp(this.store.get().selection);
  }

  showTabs() {
    const counts = new Map();
    for (const fault of this.store.get().answer?.faults ?? [])
      counts.set(fault.file, (counts.get(fault.file) ?? 0) + 1);
    this.tabs.show([...this.files.values()], this.name, counts);
    this.host.setAttribute("aria-labelledby", this.tabs.idOf(this.name));
  }

  /** Takes a change from elsewhere into a file's text. */
  write(file, changes) {
    const asked = file.name === this.name && this.stepping;
    const spec = { changes, userEvent: "elsewhere", annotations: Transaction.addToHistory.of(false) };
    if (file.name !== this.name) {
      file.state = file.state.update(spec).state;
      return;
    }
    const touched = [];
    changes.iterChanges((a, b, from, to) => touched.push([from, to]));
    if (asked && touched.length) {
      spec.selection = EditorSelection.cursor(touched[0][1]);
      spec.scrollIntoView = true;
    }
    this.view.dispatch(spec);
    flashChanges(this.view, changes);
  }

  /** Undo, redo and save go to the desk, after what was typed. */
  step(action) {
    this.ask(action, {});
    return true;
  }

  /** Asks the desk for a change, after what was typed; the caret goes to where the text changes. */
  async ask(action, what) {
    await this.flush();
    this.stepping = true;
    await this.store.dispatch(action, what);
    this.files.get(this.name)?.sync.receive();
    this.stepping = false;
  }

  /** Marks what the newest answer says of the file shown, and lists it under the text. */
  tell() {
    const file = this.files.get(this.name);
    const { answer } = this.store.get();
    if (!file || !answer) return;
    const local = file.sync.local(file.sync.told);
    const main = [...this.files.values()].find((each) => each.kind === "piece")?.name;
    const here = messagesOf(answer, file.name, file.sync.told, main);
    showMessages(this.view, here, local);
    const others = [...this.files.keys()].filter((each) => each !== file.name);
    const elsewhere = others.flatMap((name) => messagesOf(answer, name, this.files.get(name).sync.told, main));
    const faults = elsewhere.filter((each) => each.level === "fault").map((each) => ({ ...each, elsewhere: true }));
    const list = [...here, ...faults].sort((one, other) => LEVELS.indexOf(one.level) - LEVELS.indexOf(other.level));
    this.panel.show(list, this.store.get().desk?.undo ?? "");
    this.showTabs();
  }

  tryIt(mend) {
    this.ask("edit", { label: mend.say, changes: mend.changes, mend: true });
  }

  /** Stands at a place of a file. */
  go({ file, line, column }, focus) {
    const name = this.files.has(file) ? file : this.name;
    this.open(name);
    const { from, to } = spanOf(this.view.state.doc.toString(), line, column ?? 1);
    const end = Math.min(to, this.view.state.doc.length);
    const selection = EditorSelection.single(Math.min(from, end), end);
    const effects = EditorView.scrollIntoView(selection.main, { y: "center" });
    this.view.dispatch({ selection, effects });
    if (focus) requestAnimationFrame(() => this.view.focus());
  }

  helpOf(at) {
    const file = this.files.get(this.name);
    if (!file) return null;
    return helpAt(this.view.state.doc.toString(), at, file.kind, this.words, this.store.get().answer);
  }

  explain() {
    const { head, from } = this.view.state.selection.main;
    const about = this.helpOf(head) ?? this.helpOf(from);
    const close = press("Close", () => {
      this.help.hidden = true;
      this.view.focus();
    });
    const found = about ?? { title: "No word of the language stands here", lines: ["Put the caret on a word."] };
    const more = found.table ? [press("Read on in the guide", () => this.readOn(found.table))] : [];
    this.help.replaceChildren(helpElement(found), ...more, close);
    this.help.hidden = false;
    this.view.dispatch({ effects: EditorView.scrollIntoView(this.view.state.selection.main.head) });
    return true;
  }

  /** Opens the guide's page of words at the table that a word belongs to. */
  readOn(title) {
    const id = title.toLowerCase().replace(/[^\p{L}\p{N} -]/gu, "").replaceAll(" ", "-");
    const stop = Date.now() + 3000;
    const find = () => {
      const heading = document.querySelector(".guide-body")?.querySelector(`[id="${CSS.escape(id)}"]`);
      if (heading) heading.scrollIntoView({ block: "start" });
      else if (Date.now() < stop) requestAnimationFrame(find);
    };
    this.store.dispatch("show", { tab: "guide", column: "more", guide: "language" });
    requestAnimationFrame(find);
  }

  lightUp(selection) {
    const piece = this.files.get(this.name);
    if (!piece || !selection) return;
    const lines = piece.kind === "piece" ? statementLines(selection, this.store.get().answer) : [];
    lightLines(this.view, lines);
    if (!lines.length || selection.from === "text" || this.view.hasFocus) return;
    const doc = this.view.state.doc;
    const first = doc.line(Math.min(doc.lines, Math.max(1, Math.min(...lines))));
    this.view.dispatch({ effects: EditorView.scrollIntoView(first.from, { y: "center" }) });
  }

  /** The caret moved: what it stands in is lit up in the piece. */
  moved() {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => {
      const file = this.files.get(this.name);
      if (file?.kind !== "piece" || !this.view.hasFocus) return;
      const text = this.view.state.doc.toString();
      const found = partsAt(text, this.view.state.selection.main.head, this.store.get().answer);
      const now = this.store.get().selection;
      if (!found || String(found.parts) === String(now?.parts)) return;
      this.store.dispatch("select", { ...found, from: "text" });
    }, 300);
  }
}

const ORDER = ["piece", "job", "shop", "boards", "defects"];

/** The order of the tabs: the piece first. */
function rank(kind) {
  const at = ORDER.indexOf(kind);
  return at < 0 ? ORDER.length : at;
}

function node(tag, name) {
  const element = document.createElement(tag);
  element.className = name;
  return element;
}

function press(text, run) {
  const button = node("button", "bare");
  button.type = "button";
  button.textContent = text;
  button.addEventListener("click", run);
  return button;
}
