// Faults and findings where they stand in the text: underlined, marked in the margin, and listed for the panel below.

import { GutterMarker, RangeSet, StateEffect, StateField, gutter, setDiagnostics } from "../vendor/editor.min.js";

/** @typedef {{from: number, to: number, level: "fault" | "warning" | "finding" | "note", code: string, what: string,
 *   why: string, mend: string, mends: {say: string, changes: object[]}[], line: number, file: string}} Message */

const put = StateEffect.define();

/** The messages of a file, carried along while its text changes. */
export const messages = StateField.define({
  create: () => [],
  update(list, transaction) {
    for (const effect of transaction.effects) if (effect.is(put)) return effect.value;
    if (!transaction.docChanged || !list.length) return list;
    return list.map((each) => ({
      ...each,
      from: transaction.changes.mapPos(each.from),
      to: transaction.changes.mapPos(each.to, -1),
    }));
  },
});

class Mark extends GutterMarker {
  constructor(level, count) {
    super();
    Object.assign(this, { level, count });
  }

  eq(other) {
    return other.level === this.level && other.count === this.count;
  }

  toDOM() {
    const mark = document.createElement("span");
    mark.className = `margin-mark margin-${this.level}`;
    mark.textContent = this.level === "fault" ? "!" : this.level === "warning" ? "?" : "•";
    return mark;
  }
}

/** How grave a message is, the gravest first. */
export const LEVELS = ["fault", "warning", "finding", "note"];

/** The margin with one mark for each line that something is said of. */
export const margin = gutter({
  class: "cm-margin",
  markers: (view) => {
    const worst = new Map();
    for (const each of view.state.field(messages)) {
      const at = view.state.doc.lineAt(Math.min(each.from, view.state.doc.length)).from;
      const known = worst.get(at);
      if (!known || LEVELS.indexOf(each.level) < LEVELS.indexOf(known)) worst.set(at, each.level);
    }
    const marks = [...worst].sort((a, b) => a[0] - b[0]).map(([at, level]) => new Mark(level, 1).range(at));
    return RangeSet.of(marks);
  },
  initialSpacer: () => new Mark("fault", 1),
});

/**
 * What a server's answer says of one file.
 * @param {object} answer with `faults` and `findings`
 * @param {string} file
 * @param {string} text the text that the answer speaks of
 * @param {string} main the piece file: what is said of a part or joint stands where that is said
 * @returns {Message[]} in the order of the text
 */
export function messagesOf(answer, file, text, main) {
  const faults = (answer?.faults ?? []).map((each) => [each, each.level === "warning" ? "warning" : "fault"]);
  const findings = (answer?.findings ?? []).map((each) => [each, each.grade === "note" ? "note" : "finding"]);
  return [...faults, ...findings]
    .map(([each, level]) => [each.line > 0 ? each : placed(each, answer, main), level])
    .filter(([each, level]) => each.file === file && (each.line > 0 || level === "fault"))
    .map(([each, level]) => ({
      ...spanOf(text, Math.max(1, each.line), each.column),
      ...saying(each),
      old: Boolean(answer.stopped) && (level === "finding" || level === "note"),
      level,
      file,
    }))
    .sort((a, b) => a.from - b.from || LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
}

/** A finding without a place stands at the statement of the first thing that it is about. */
function placed(each, answer, main) {
  for (const id of each.about ?? []) {
    const joint = [...(answer.joints ?? []), ...(answer.fixings ?? [])].find((found) => found.id === id);
    const part = answer.parts?.find((found) => found.id === id || found.name === id);
    const line = joint?.line || part?.line;
    if (line) return { ...each, file: main, line, column: 1 };
  }
  return each;
}

function saying(each) {
  const { code, what, why = "", mend = "", mends = [], line } = each;
  return { code, what, why, mend, mends, line };
}

/** From a line and column (from 1, by characters) to the end of the word or value that stands there. */
export function spanOf(text, line, column) {
  let start = 0;
  for (let each = 1; each < line; each += 1) {
    const next = text.indexOf("\n", start);
    if (next < 0) break;
    start = next + 1;
  }
  const end = text.indexOf("\n", start) < 0 ? text.length : text.indexOf("\n", start);
  const whole = text.slice(start, end);
  const indent = /^(?:\s|- |[{[])*/.exec(whole)[0].length;
  const from = start + Math.max(indent, [...whole].slice(0, Math.max(0, column - 1)).join("").length);
  const rest = text.slice(from, end);
  const found = /^(?:"[^"]*"|'[^']*'|[^\s,:{}[\]#][^,:{}[\]#]*)/.exec(rest)?.[0].trimEnd().length;
  const length = found ?? Math.min(1, rest.length);
  if (length) return { from, to: from + length };
  return { from: Math.min(from, start + whole.trimEnd().length), to: end };
}

/**
 * Shows messages in a text that may have gone on since.
 * @param {EditorView} view
 * @param {Message[]} list places count in the text that the server has
 * @param {ChangeSet} local what was typed since
 */
export function showMessages(view, list, local) {
  const moved = list.map((each) => ({ ...each, from: local.mapPos(each.from), to: local.mapPos(each.to, -1) }));
  const severity = { fault: "error", warning: "warning", finding: "info", note: "hint" };
  const size = view.state.doc.length;
  const marks = moved.map((each) => ({
    from: Math.min(each.from, size),
    to: Math.min(Math.max(each.to, each.from), size),
    severity: severity[each.level],
    message: each.mend ? `${each.what}\n${each.mend}` : each.what,
  }));
  view.dispatch({ effects: put.of(moved) });
  view.dispatch(setDiagnostics(view.state, marks));
}
