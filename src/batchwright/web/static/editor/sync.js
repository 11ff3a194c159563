// One file's text here and at the desk: what the maker types goes out when he rests, what comes from elsewhere comes in
// as the least change. The desk's undo is the only one, so nothing here keeps a history.

import { ChangeSet } from "../vendor/editor.min.js";
import { difference } from "./difference.js";

/** How long the maker must rest before what he typed goes to the desk [ms]. */
export const QUIET = 250;

/** One file between the editor and the desk. */
export class Sync {
  /**
   * @param {string} text what the desk has
   * @param {(text: string) => Promise<unknown>} send gives a whole text to the desk; rejects where it was refused
   * @param {() => string} read the text that the editor shows
   * @param {(changes: ChangeSet) => void} write changes what the editor shows
   * @param {() => string | null} latest the text that the desk has now
   */
  constructor(text, { send, read, write, latest }) {
    Object.assign(this, { base: text, send, read, write, latest });
    this.timer = 0;
    this.sending = null;
  }

  /** Whether something here is not at the desk yet. */
  get ahead() {
    return this.sending !== null || this.read() !== this.base;
  }

  /** The maker typed. */
  typed() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flush(), QUIET);
  }

  /** Sends what is not sent; settles when the desk has all of it, or has refused it. */
  async flush() {
    clearTimeout(this.timer);
    if (this.sending) await this.sending;
    const text = this.read();
    if (text === this.base) return;
    this.sending = this.send(text).then(
      () => {
        this.base = text;
        this.refused = 0;
      },
      () => {
        this.refused = (this.refused ?? 0) + 1;
      },
    );
    await this.sending;
    this.sending = null;
    this.receive();
    if (this.read() !== this.base && (this.refused ?? 0) < 4) this.typed();
  }

  /** Takes in what the desk has now. While something is on its way there, it waits for the answer. */
  receive() {
    const text = this.latest();
    if (this.sending || text === null || text === this.base) return;
    const remote = changes(this.base, difference(this.base, text));
    const local = this.local();
    this.base = text;
    if (this.read() !== text) this.write(remote.map(local));
  }

  /** What was typed since a text of the desk's, as changes of that text. */
  local(text = this.base) {
    return changes(text, difference(text, this.read()));
  }

  /** The desk's text now, even while something is on its way there. */
  get told() {
    return this.latest() ?? this.base;
  }
}

function changes(text, spans) {
  return ChangeSet.of(spans, text.length);
}
