/**
 * store.js: what the page knows, in one place, and the only way to change it.
 *
 *   store.get()                 -> State, never changed in place: a changed field is a new object
 *   store.subscribe(fn)         -> () => void   fn(state, before) after every change; returns "stop"
 *   store.watch(pick, fn)       -> () => void   fn(value, state) at once, and whenever pick(state) becomes another value
 *   store.dispatch(name, what)  -> Promise<{ok: boolean, faults?: Fault[]}>; never throws for a refusal of the server
 *
 * STATE (all fields always there)
 *   phase      "empty" | "start" | "desk"
 *   boot       {nonce, file}                       from the page
 *   start      {examples, here, open} or null      /api/start
 *   desk       {revision, change, file, files, undo, redo, restored, changed_outside} or null    /api/state less `answer`
 *   answer     the newest answer (sizes, parts, joints, findings, faults, cutting, places, box ...) or null
 *   meshes     Map: mesh key -> {positions, normals, indices, edges}; a new Map whenever a mesh is added
 *   tried      {name: text}   sizes being tried and not yet said; {} = none
 *   asking     true while a newer answer than the one shown has been asked for
 *   working    what is being asked for now ("save", "undo" ...), or ""
 *   sheets     {revision, working, sheets: [...], boards: {...}} or null      /api/sheets
 *   view       {tab, column, sheet, zoom, reading, go, help, guide}
 *                tab: "sheet" | "text" | "parts" | "lists" | "bench" | "files" | "guide"; column: narrow screens only
 *                go: {file, line, column, stamp} where the text editor should stand; a new object each time
 *                guide: the topic asked for, or null; form: {joint, stamp} a joint to be said by form, or null
 *   selection  {parts: [part ids], joints: [joint ids], from: "sheet" | "finding" | "piece" | "form" | "text" | "", what}
 *   faults     faults of the last thing asked for and refused, [] when it went well
 *   lastMend   {say, revision} the mend that was tried last, or null
 *   said       {text, stamp} what the live region says
 *   line       true while the server is heard
 *
 * ACTIONS
 *   trySizes    {sizes: {name: text}}          try, without saying it in the file: newest wins, no undo step
 *   stopTrying  {}                             back to what the file says
 *   commitSize  {name, text}                   say it in the file: one undo step
 *   edit        {label, changes, mend?: bool}  any changes (see the list of changes); one undo step called `label`
 *   cut         {parts: [names], undo?: bool}   parts are cut as the plan has them now, or are to be made again
 *   undo, redo, reload {}                      reload = take the texts from disk (one undoable step)
 *   save        {over?: bool}
 *   openSheet   {key, keepColumn?} | {step: 1 or -1}
 *   select      {parts?, joints?, from?, what?}     what is lit up; select {} clears
 *   show        {tab?, column?, zoom?, reading?, help?, guide?}
 *   goTo        {file, line, column, quiet?}   put the text editor at a place; opens its tab unless quiet
 *   byForm      {joint}                        the form of a joint, filled in from a statement in brackets
 *   say         {text}                         to the live region
 *   leave, enter {}                            to the start screen, and back to the open piece
 *   open        {file} | new {example, folder} from the start screen; clearFaults {}
 *   preview     {changes} -> {ok, texts, faults}   what the texts would become; changes nothing
 *
 * The text editor sends edit {label: "typing", changes: [{do: "text", file, text}]}; steps of typing run together on
 * the server. Every edit goes out in the order it was made, each with the newest revision.
 */
import { openEvents, postJson } from "./api.js";
import { Asking, fresh } from "./shell/asking.js";

/** @typedef {import("./api.js").Fault} Fault */

const EMPTY = Object.freeze({
  phase: "empty",
  boot: Object.freeze({}),
  start: null,
  desk: null,
  answer: null,
  meshes: new Map(),
  tried: Object.freeze({}),
  asking: false,
  working: "",
  sheets: null,
  view: Object.freeze({
    tab: "sheet",
    column: "piece",
    sheet: null,
    zoom: "width",
    reading: false,
    go: null,
    help: false,
    guide: null,
    form: null,
  }),
  selection: Object.freeze({ parts: [], joints: [], from: "", what: "" }),
  faults: [],
  lastMend: null,
  said: { text: "", stamp: 0 },
  line: true,
});

/** The page's state and its actions. */
export class Store {
  #state = EMPTY;
  #listeners = new Set();
  #asking;
  #closeEvents = null;

  constructor() {
    this.#asking = new Asking(this);
  }

  /** @returns {object} the state; not to be changed in place */
  get() {
    return this.#state;
  }

  /** @param {(state: object, before: object) => void} fn @returns {() => void} stop */
  subscribe(fn) {
    this.#listeners.add(fn);
    return () => this.#listeners.delete(fn);
  }

  /**
   * @template T
   * @param {(state: object) => T} pick
   * @param {(value: T, state: object) => void} fn
   * @returns {() => void} stop
   */
  watch(pick, fn) {
    let value = pick(this.#state);
    fn(value, this.#state);
    return this.subscribe((state) => {
      const now = pick(state);
      if (Object.is(now, value)) return;
      value = now;
      fn(now, state);
    });
  }

  /** Replaces fields of the state and tells the listeners. Only actions call this. @param {object} fields */
  set(fields) {
    const before = this.#state;
    this.#state = Object.freeze({ ...before, ...fields });
    for (const fn of [...this.#listeners]) {
      try {
        fn(this.#state, before);
      } catch (error) {
        console.error(error); // one listener that fails must not stop the others
      }
    }
  }

  /** @param {object} fields of `view` */
  setView(fields) {
    this.set({ view: Object.freeze({ ...this.#state.view, ...fields }) });
  }

  /**
   * @param {string} name of an action
   * @param {object} [what]
   * @returns {Promise<object>} {ok, faults?}
   */
  async dispatch(name, what = {}) {
    const action = ACTIONS[name];
    if (!action) throw new Error(`no action ${name}`);
    return (await action(this, what, this.#asking)) || { ok: true };
  }

  /** Starts: the desk that the page names or that is open, else the start screen. @param {object} boot */
  async begin(boot) {
    this.set({ boot });
    if (boot.file) {
      const { ok } = await this.#asking.open("/api/open", { file: boot.file });
      if (ok) return;
    }
    await this.#asking.loadStart();
    const { start } = this.#state;
    if (!boot.file && start && start.open) await this.#asking.enter();
  }

  /** Listens for news, once. */
  listen() {
    if (this.#closeEvents) return;
    this.#closeEvents = openEvents(
      (news) => this.#asking.hear(news),
      (up) => this.#asking.hearLine(up),
    );
  }
}

const ACTIONS = {
  trySizes: (store, { sizes }, asking) => asking.trySizes(sizes),
  stopTrying: (store, what, asking) => asking.trySizes(null),
  commitSize: (store, { name, text }, asking) =>
    asking.change("/api/edit", { label: `${name} ${text}`, changes: [{ do: "size", name, text: String(text) }] }, true),
  edit: (store, { label, changes, mend }, asking) => asking.change("/api/edit", { label, changes }, false, mend),
  cut: (store, { parts, undo = false }, asking) => asking.change("/api/cut", { parts, undo }),
  undo: (store, what, asking) => asking.change("/api/undo", {}),
  redo: (store, what, asking) => asking.change("/api/redo", {}),
  reload: (store, what, asking) => asking.change("/api/reload", {}),
  save: (store, { over = false }, asking) => asking.save(over),
  open: (store, { file }, asking) => asking.open("/api/open", { file }),
  new: (store, { example, folder }, asking) => asking.open("/api/new", { example, folder }),
  leave: (store, what, asking) => asking.loadStart(),
  enter: (store, what, asking) => asking.enter(),
  preview: async (store, { changes }) => {
    const revision = store.get().desk.revision;
    try {
      return await postJson("/api/edit/preview", { revision, changes });
    } catch (error) {
      return { ok: false, texts: {}, faults: error.faults || [] };
    }
  },
  openSheet(store, { key, step, keepColumn = false }) {
    const state = store.get();
    const list = (state.sheets && state.sheets.sheets) || [];
    let next = key;
    if (step) {
      const at = list.findIndex((sheet) => sheet.key === state.view.sheet);
      next = (list[Math.min(list.length - 1, Math.max(0, at + step))] || {}).key;
    }
    if (!next) return;
    store.setView({ sheet: next, tab: "sheet", column: keepColumn ? state.view.column : "sheet" });
    const sheet = list.find((each) => each.key === next);
    if (!sheet) return;
    store.set({ selection: { parts: sheet.parts || [], joints: sheet.joints || [], from: "sheet", what: next } });
  },
  select(store, { parts = [], joints = [], from = "", what = "" }) {
    store.set({ selection: { parts, joints, from, what } });
  },
  show(store, fields) {
    const column = ["sheet", "text"].includes(fields.tab) ? fields.tab : "more"; // where a narrow screen has that tab
    store.setView(fields.tab && !fields.column ? { ...fields, column } : fields);
  },
  goTo(store, { file, line, column = 1, quiet = false }) {
    const fields = { go: { file: file || mainFile(store.get()), line, column, stamp: fresh() } };
    store.setView(quiet ? fields : { ...fields, tab: "text", column: "text" });
  },
  byForm: (store, { joint }) => store.setView({ form: { joint, stamp: fresh() }, tab: "parts", column: "more" }),
  say: (store, { text }) => store.set({ said: { text, stamp: fresh() } }),
  clearFaults: (store) => store.set({ faults: [], lastMend: null }),
};

/** @param {object} state @returns {string} the name of the piece file */
export function mainFile(state) {
  const files = (state.desk && state.desk.files) || [];
  return (files.find((file) => file.kind === "piece") || files[0] || { name: "" }).name;
}

/** @param {object} state @returns {boolean} whether anything is unsaved */
export function isDirty(state) {
  return Boolean(state.desk && state.desk.files.some((file) => file.dirty));
}

/** @param {object} state @returns {boolean} whether nothing has ever been drawn: no answer yet that was whole */
export function isBare(state) {
  return Boolean(state.answer && state.answer.stopped && !(state.answer.parts || []).length);
}

/** @param {object} state @returns {string} why there is no piece yet, in a few words; empty where there is one */
export function whyBare(state) {
  if (!isBare(state)) return "";
  const empty = state.answer.faults.some((fault) => fault.code === "no-parts");
  return empty ? "nothing is drawn yet" : "the text has faults";
}

/** @param {object} state @returns {boolean} whether what was worked out is older than what is asked for */
export function isOld(state) {
  return state.asking || Boolean(state.answer && (state.answer.stopped || state.answer.grey));
}

/** @param {object} state @param {number|undefined} revision of a sheet, of boards @returns {boolean} */
export function isBehind(state, revision) {
  if (!state.desk || Object.keys(state.tried).length) return true;
  return revision === undefined || revision === null || revision < state.desk.revision || isOld(state);
}
