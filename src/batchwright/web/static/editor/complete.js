// Words, names and values offered while the maker types. What may stand there is the server's to say.

import { postJson } from "../api.js";
import { helpElement } from "./words.js";

/**
 * A source of completions.
 * @param {() => string} file the name of the file that is shown
 * @returns {(context: object) => Promise<object | null>}
 */
export function completions(file) {
  return async (context) => {
    const { state, pos } = context;
    const line = state.doc.lineAt(pos);
    const before = line.text.slice(0, pos - line.from);
    if (!context.explicit && !/[\p{L}\d](?: ?)$|[:,[{] $/u.test(before)) return null;
    if (!context.explicit && /(?:^|\s)#/.test(before)) return null;
    const asked = new AbortController();
    context.addEventListener("abort", () => asked.abort(), { onDocChange: true });
    const column = columnOf(line.text, pos - line.from);
    const body = { file: file(), text: state.doc.toString(), line: line.number, column };
    let answer;
    try {
      answer = await postJson("/api/complete", body, { signal: asked.signal });
    } catch {
      return null; // refused, no line, or the maker typed on
    }
    if (context.aborted || !answer.items?.length) return null;
    const from = line.from + offsetOf(line.text, answer.from);
    const typed = state.sliceDoc(from, pos);
    if (!context.explicit && !typed && !/[:,[{] $/.test(before)) return null;
    if (!context.explicit && answer.items.length === 1 && answer.items[0].insert === typed) return null;
    if (context.explicit) return { from, options: answer.items.map(option), filter: false };
    const near = answer.items.filter((item) => holds(item, typed));
    if (!near.length) return null;
    const still = (text) => near.some((item) => item.label.toLowerCase().startsWith(text.toLowerCase()));
    return { from, options: near.map(option), validFor: still };
  };
}

/** Whether an offer holds what is typed; what only looks like it is offered where the maker asks. */
function holds(item, typed) {
  return item.label.toLowerCase().includes(typed.trim().toLowerCase());
}

function option(item) {
  return {
    label: item.label,
    apply: item.insert ?? item.label,
    info: item.help ? () => helpElement({ title: item.label, lines: [item.help] }) : undefined,
  };
}

/** Columns count characters from 1; offsets count the units of a JavaScript string from 0. */
function columnOf(line, offset) {
  return [...line.slice(0, offset)].length + 1;
}

function offsetOf(line, column) {
  return [...line].slice(0, Math.max(0, column - 1)).join("").length;
}
