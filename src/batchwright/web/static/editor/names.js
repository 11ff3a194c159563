// Which names a piece file holds, which statement a caret stands in, and on which lines the lit-up parts are said.

import { pathAt, readTree } from "./tree.js";

const NAMED = ["sizes", "numbers", "places", "parts"];

/** Every name that may stand in an expression, copies of parts among them. @returns {string[]} */
export function namesOf(text, answer) {
  const names = new Set(namedIn(readTree(text)).map((each) => each.name));
  for (const part of answer?.parts ?? []) names.add(part.name);
  return [...names];
}

/** The names of a piece file with their kind. @returns {{name: string, kind: string, value: object}[]} */
export function namedIn(tree) {
  return NAMED.flatMap((kind) => {
    const table = tree.entries.find((entry) => entry.key === kind)?.value;
    return (table?.entries ?? []).map((entry) => ({ name: entry.key, kind, value: entry.value }));
  });
}

/** The line, from 1, that an offset lies in. */
export function lineAt(text, at) {
  return text.slice(0, at).split("\n").length;
}

/**
 * The parts or the joints of the statement at an offset.
 * @returns {{parts: string[], joints: string[]} | null} null where no part or joint is said there
 */
export function partsAt(text, at, answer) {
  const tree = readTree(text);
  const path = pathAt(tree, at);
  if (path.length < 2 || !answer) return null;
  const [top, next] = [path[0].step, path[1].step];
  if (top === "parts") {
    const entry = path[0].node.entries?.find((each) => each.key === next);
    const line = entry ? lineAt(text, entry.from) : -1;
    return { parts: (answer.parts ?? []).filter((part) => part.line === line).map((part) => part.id), joints: [] };
  }
  if (top !== "joints") return null;
  const joints = madeBy(answer, next);
  const parts = new Set(joints.flatMap((joint) => [joint.part, joint.into]));
  return { parts: [...parts], joints: joints.map((joint) => joint.id) };
}

/** The joints and fixings that a statement, counted from 0, has made. */
export function madeBy(answer, index) {
  return [...(answer?.joints ?? []), ...(answer?.fixings ?? [])].filter((each) => each.statement === index + 1);
}

/** The lines on which selected parts and joints are said. @returns {number[]} */
export function statementLines(selection, answer) {
  const parts = (answer?.parts ?? []).filter((part) => selection.parts?.includes(part.id)).map((part) => part.line);
  const all = [...(answer?.joints ?? []), ...(answer?.fixings ?? [])];
  const joints = all.filter((joint) => selection.joints?.includes(joint.id));
  const lines = joints.length ? joints.map((joint) => joint.line) : parts;
  return [...new Set(lines.filter((line) => line > 0))];
}

/** A text as an editor counts it: one character ends a line, no mark before the first. The server keeps the rest. */
export function plainLines(text) {
  return text.replace(/^\ufeff/, "").replace(/\r\n?/g, "\n");
}
