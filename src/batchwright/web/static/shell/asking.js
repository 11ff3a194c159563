/** asking.js: the store's requests. Changes go out one after another; tried sizes newest first; news is followed up. */
import { getJson, Latest, postBinary, postJson, Refused, Silent } from "../api.js";

let stamp = 0;
/** @returns {number} a number that never comes twice */
export const fresh = () => (stamp += 1);

const KEEP = 240; // meshes kept before the oldest go

/** What the store asks of the server, in order. */
export class Asking {
  #store;
  #queue = Promise.resolve();
  #live;
  #used = new Map();
  #changing = 0;

  /** @param {import("../store.js").Store} store */
  constructor(store) {
    this.#store = store;
    this.#live = new Latest((sizes) => this.#askLive(sizes));
  }

  /** The start screen. */
  async loadStart() {
    try {
      this.#store.set({ start: await getJson("/api/start"), phase: "start" });
    } catch (error) {
      this.#refused(error);
    }
  }

  /** Opens a piece or makes a new one, then goes to its desk. */
  async open(path, body) {
    this.#store.set({ working: "open", faults: [] });
    try {
      const { file } = await postJson(path, body);
      this.#used.clear();
      this.#store.set({ desk: null, answer: null, sheets: null, meshes: new Map(), tried: {}, lastMend: null });
      const bare = body.example === "empty" ? { tab: "parts", column: "more" } : { tab: "sheet", column: "piece" };
      this.#store.setView({ sheet: null, go: null, restoredSeen: false, ...bare });
      window.history.replaceState(null, "", `/?job=${encodeURIComponent(file)}`);
      await this.enter();
      return { ok: true, file };
    } catch (error) {
      return this.#refused(error);
    } finally {
      this.#store.set({ working: "" });
    }
  }

  /** Goes to the desk: state first, then meshes, sheets and news. */
  async enter() {
    try {
      this.#takeState(await getJson("/api/state"));
      this.#store.set({ phase: "desk" });
      this.#store.listen();
      await Promise.all([this.#askLive({}), this.sheets()]);
    } catch (error) {
      this.#refused(error);
    }
  }

  /** @param {object|null} sizes tried now; null = none */
  trySizes(sizes) {
    const tried = sizes || {};
    this.#store.set({ tried, asking: true });
    this.#live.ask(tried);
  }

  async #askLive(sizes) {
    if (this.#changing) return;
    const { desk } = this.#store.get();
    try {
      const { json, meshes } = await postBinary("/api/live", { revision: desk.revision, sizes, have: this.#have() });
      if (this.#changing || this.#store.get().desk.revision !== desk.revision) return;
      this.#takeAnswer(json.answer || json, meshes, this.#live.waiting !== null);
    } catch (error) {
      if (!(error instanceof Refused && error.status === 409)) {
        this.#refused(error);
        return;
      }
      const moved = this.#changing || this.#store.get().desk.revision !== desk.revision;
      if (!moved) await this.#catchUp(sizes);
    }
  }

  /** Another page was faster: take the state as it now stands. */
  async #catchUp(sizes) {
    const before = this.#store.get().desk.revision;
    this.#takeState(await getJson("/api/state"));
    if (this.#store.get().desk.revision === before) {
      this.#store.set({ asking: false });
      await this.sheets();
      return;
    }
    if (Object.keys(sizes).length) this.trySizes(sizes);
    else await this.#askLive({});
    await this.sheets();
  }

  /** One change after another. */
  change(path, body, byName = false, mend = false) {
    const done = this.#queue.then(() => this.#change(path, body, byName, mend));
    this.#queue = done.catch(() => undefined);
    return done;
  }

  async #change(path, body, byName, mend) {
    this.#changing += 1;
    this.#live.drop();
    const store = this.#store;
    const { tried, answer: before } = store.get();
    const whole = Boolean(before && !before.stopped);
    store.set({ asking: true, working: path.split("/").pop(), faults: [] });
    try {
      const { json, meshes } = await this.#send(path, body, byName);
      const revision = json.state ? json.state.revision : json.answer.revision;
      const later = store.get().tried === tried ? {} : store.get().tried;
      store.set({ tried: {}, lastMend: mend ? { say: body.label, revision } : null });
      this.#takeState(json.state);
      this.#takeAnswer(json.answer, meshes, false);
      if (Object.keys(later).length) window.setTimeout(() => this.trySizes(later), 0);
      return { ok: true, whole };
    } catch (error) {
      const beside = byName && error instanceof Refused && error.status !== 409; // told beside the field
      const answer = this.#refused(error, beside);
      if (error instanceof Refused && error.body.state) this.#takeState(error.body.state);
      store.set({ tried: {}, asking: false });
      window.setTimeout(() => this.#live.ask({}), 0);
      return answer;
    } finally {
      this.#changing -= 1;
      store.set({ working: "" });
    }
  }

  /** A change that names its size is sent again where the page was a revision behind; others are asked about. */
  async #send(path, body, byName) {
    const packed = () => ({ revision: this.#store.get().desk.revision, ...body, have: this.#have() });
    try {
      return await postBinary(path, packed());
    } catch (error) {
      if (!byName || !(error instanceof Refused) || error.status !== 409) throw error;
      this.#takeState(error.body.state || (await getJson("/api/state")));
      return postBinary(path, packed());
    }
  }

  /** @param {boolean} over write over what was edited elsewhere */
  save(over) {
    const done = this.#queue.then(async () => {
      this.#store.set({ working: "save", faults: [] });
      try {
        const { state } = await postJson("/api/save", { revision: this.#store.get().desk.revision, over });
        if (state) this.#takeState(state);
        this.#store.set({ said: { text: "saved", stamp: fresh() } });
        return { ok: true };
      } catch (error) {
        if (error instanceof Refused && error.body.state) this.#takeState(error.body.state);
        return this.#refused(error);
      } finally {
        this.#store.set({ working: "" });
      }
    });
    this.#queue = done.catch(() => undefined);
    return done;
  }

  /** The list of sheets, and how the boards stand. */
  async sheets() {
    try {
      const sheets = await getJson("/api/sheets");
      const state = this.#store.get();
      const known = sheets.sheets.some((sheet) => sheet.key === state.view.sheet);
      this.#store.set({ sheets });
      if (!known && sheets.sheets.length) {
        const wanted = decodeURIComponent(window.location.hash.slice(1));
        const first = sheets.sheets.find((sheet) => sheet.key === wanted) || sheets.sheets[0];
        this.#store.setView({ sheet: first.key });
      }
    } catch (error) {
      if (!(error instanceof Refused && error.status === 404)) this.#refused(error);
    }
  }

  /** @param {object} news from /api/events */
  async hear(news) {
    const { desk, sheets } = this.#store.get();
    if (!desk) return;
    if (news.changed_outside && String(news.changed_outside) !== String(desk.changed_outside)) {
      this.#store.set({ desk: { ...desk, changed_outside: news.changed_outside } });
    }
    if (news.revision > desk.revision && !this.#changing) {
      await this.#queue;
      if (news.revision > this.#store.get().desk.revision) await this.#catchUp({}).catch((error) => this.#refused(error));
      return;
    }
    const dirty = desk.files.some((file) => file.dirty);
    if (news.revision === desk.revision && Boolean(news.dirty) !== dirty) await this.#savedElsewhere(news.revision);
    const boards = (sheets && sheets.boards) || {};
    const same =
      sheets &&
      news.sheets_revision === sheets.revision &&
      news.boards_revision === boards.revision &&
      news.boards_stage === boards.stage &&
      Boolean(news.working) === Boolean(sheets.working);
    if (!same) await this.sheets();
  }

  /** Another page of the same desk has saved. */
  async #savedElsewhere(revision) {
    await this.#queue;
    const state = await getJson("/api/state").catch(() => null);
    if (state && state.revision === revision) this.#takeState(state);
  }

  /** @param {boolean} up */
  hearLine(up) {
    const was = this.#store.get().line;
    if (was === up) return;
    this.#store.set({ line: up });
    if (up) this.#catchUp({}).catch((error) => this.#refused(error));
  }

  #have() {
    return [...this.#store.get().meshes.keys()];
  }

  #takeState(state) {
    if (!state) return;
    const { answer, ...desk } = state;
    this.#store.set({ desk });
    if (answer && !this.#store.get().answer) this.#store.set({ answer });
  }

  #takeAnswer(answer, fresher, more) {
    const { meshes, answer: before } = this.#store.get();
    const turn = fresh();
    let all = meshes;
    if (fresher.size) {
      all = new Map([...meshes, ...fresher]);
      this.#prune(all, answer, before);
    }
    for (const part of answer.parts || []) this.#used.set(part.mesh, turn);
    const sizes = this.#store.get().tried;
    const trying = Object.keys(sizes).length > 0;
    this.#store.set({ answer, meshes: all, asking: more || (trying && !answer.tried) });
  }

  #prune(all, answer, before) {
    if (all.size <= KEEP) return;
    const kept = new Set([...(answer.parts || []), ...((before && before.parts) || [])].map((part) => part.mesh));
    const old = [...all.keys()].filter((key) => !kept.has(key));
    old.sort((one, other) => (this.#used.get(one) || 0) - (this.#used.get(other) || 0));
    for (const key of old.slice(0, all.size - KEEP)) all.delete(key);
  }

  #refused(error, beside = false) {
    if (error instanceof Silent) {
      this.#store.set({ line: false, asking: false });
      return { ok: false, faults: [] };
    }
    if (!(error instanceof Refused)) throw error;
    const faults = error.faults.length
      ? error.faults
      : [{ code: "refused", what: error.message, why: "", mend: "load the page again", level: "error" }];
    this.#store.set({ faults: beside ? [] : faults, asking: false });
    return { ok: false, faults, status: error.status };
  }
}
