// From what stands in a form's fields to the text of the language, and back. A value is the text of a scalar, a list of
// values, or a table of values; `undefined` says nothing.

import { said } from "../editor/tree.js";

/** A scalar as it can stand in brackets: as it is, or in quotation marks where it would be misread. */
export function leaf(text) {
  const plain = text.trim().replace(/\s+/g, " ");
  if (plain === "") return undefined;
  if (balanced(plain)) return plain;
  const misread = /[,[\]{}]|:(?:\s|$)|\s#|^[&*!|>%@`#'"]|^[-?](?:\s|$)/.test(plain);
  return misread ? `'${plain.replaceAll("'", "''")}'` : plain;
}

/** Whether a text is one whole bracketed list or table, or a text in quotation marks. */
function balanced(text) {
  if (/^'(?:[^']|'')*'$/.test(text) || /^"(?:[^"\\]|\\.)*"$/.test(text)) return true;
  if (!/^[[{].*[\]}]$/.test(text)) return false;
  const open = [];
  for (const [index, letter] of [...text].entries()) {
    if (letter === "[" || letter === "{") open.push(letter === "[" ? "]" : "}");
    else if ((letter === "]" || letter === "}") && open.pop() !== letter) return false;
    if (!open.length && index < [...text].length - 1) return false;
  }
  return open.length === 0;
}

/** The stretches of a text between its commas, brackets left whole. */
export function atCommas(text) {
  const found = [""];
  let depth = 0;
  for (const letter of text) {
    if ("[{(".includes(letter)) depth += 1;
    if ("]})".includes(letter)) depth -= 1;
    if (letter === "," && depth <= 0) found.push("");
    else found[found.length - 1] += letter;
  }
  return found.map((each) => each.trim());
}

/** `8, 2, 16 1/4` as a list; a name or one expression as it is. */
export function listed(text) {
  const plain = text.trim();
  if (plain === "") return undefined;
  if (balanced(plain)) return plain;
  const parts = atCommas(plain).filter((each) => each !== "");
  return parts.length > 1 ? parts.map(leaf) : leaf(parts[0] ?? "");
}

/** One item on a line: `0, 12`, a name, or `curve: [[5, 36], [0, 37]], smooth: start`. */
export function item(line) {
  const plain = line.trim().replace(/^- /, "");
  if (/^[a-z][a-z ]*:\s/.test(plain)) return `{${plain}}`;
  return listed(plain);
}

/** A value as text in brackets. @param {unknown} value @returns {string} */
export function inBrackets(value) {
  if (Array.isArray(value)) return `[${value.map(inBrackets).join(", ")}]`;
  if (value && typeof value === "object") {
    const pairs = Object.entries(value).filter(([, each]) => each !== undefined);
    return `{${pairs.map(([key, each]) => `${key}: ${inBrackets(each)}`).join(", ")}}`;
  }
  return value ?? "";
}

/** A table with one word to a line; long lists of points with one point to a line. */
export function onLines(table) {
  const lines = [];
  for (const [key, value] of Object.entries(table)) {
    if (value === undefined) continue;
    const long = Array.isArray(value) && value.length > 2 && inBrackets(value).length > 60;
    if (long && value.every((each) => Array.isArray(each) || /^[[{]/.test(each)))
      lines.push(`${key}:`, ...value.map((each) => `  - ${inBrackets(each)}`));
    else lines.push(`${key}: ${inBrackets(value)}`);
  }
  return lines.join("\n");
}

/** A part of the text's tree as one line. */
export function nodeInBrackets(node) {
  if (node.kind === "text") return node.raw;
  if (node.kind === "list") return `[${node.items.map(nodeInBrackets).join(", ")}]`;
  return `{${node.entries.map((entry) => `${entry.key}: ${nodeInBrackets(entry.value)}`).join(", ")}}`;
}

/** What a node would be typed as in a field: a list without its brackets. */
export function typed(node) {
  if (!node) return "";
  if (node.kind === "list") return node.items.map(nodeInBrackets).join(", ");
  return node.kind === "map" ? nodeInBrackets(node) : said(node);
}

/** What a node would be typed as on one line of many. */
export function typedItem(node) {
  return node.kind === "map" ? nodeInBrackets(node).slice(1, -1) : typed(node);
}

/**
 * The changes that make one statement out of another.
 * @param {(string | number)[]} path of the statement
 * @param {unknown} before
 * @param {unknown} after
 * @returns {{do: "set", path: (string | number)[], text: string | null}[]}
 */
export function changesOf(path, before, after) {
  if (inBrackets(before) === inBrackets(after) && (before === undefined) === (after === undefined)) return [];
  if (after === undefined) return [{ do: "set", path, text: null }];
  if (before === undefined) return [{ do: "set", path, text: inBrackets(after) }];
  if (Array.isArray(before) && Array.isArray(after) && before.length === after.length)
    return after.flatMap((each, index) => changesOf([...path, index], before[index], each));
  if (isTable(before) && isTable(after)) {
    const keys = [...new Set([...Object.keys(before), ...Object.keys(after)])];
    return keys.flatMap((key) => changesOf([...path, key], before[key], after[key]));
  }
  return [{ do: "set", path, text: inBrackets(after) }];
}

function isTable(value) {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}
