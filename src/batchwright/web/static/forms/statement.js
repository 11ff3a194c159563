// One statement of the piece file as the values of a form's fields: read out of the tree, written back as text.

import { valueAt } from "../editor/tree.js";
import { item, leaf, listed, nodeInBrackets, typed, typedItem } from "./flow.js";

/** The id of a field within its form. */
export function idOf(field) {
  return field.path.join(".");
}

/**
 * What stands in a field, from the text.
 * @param {object} field
 * @param {object | null} statement node of the tree
 * @returns {string | string[]} two strings for a pair, names for a list of names
 */
export function readField(field, statement) {
  const node = statement ? valueAt(statement, field.path) : null;
  if (field.kind === "pair") {
    if (node?.kind === "list" && node.items.length === 2) return node.items.map((each) => typed(each));
    return node ? [nodeInBrackets(node), ""] : ["", ""];
  }
  if (field.kind === "names") {
    if (!node) return [];
    return node.kind === "list" ? node.items.map((each) => typed(each)) : [typed(node)];
  }
  if (field.kind === "points") {
    if (node?.kind === "list") return node.items.map(typedItem).join("\n");
    return node ? nodeInBrackets(node) : "";
  }
  if (field.kind === "point" || field.kind === "list") return typed(node);
  return node ? (node.kind === "text" ? typed(node) : nodeInBrackets(node)) : "";
}

/** The value that a field's contents say, or `undefined` where it is empty. */
export function writeField(field, value) {
  if (field.kind === "pair") {
    const [from, to] = value.map(leaf);
    if (from === undefined && to === undefined) return undefined;
    if (to === undefined && /^\[/.test(from)) return from;
    return [from ?? "", to ?? ""];
  }
  if (field.kind === "names") {
    const chosen = value.map(leaf).filter((each) => each !== undefined);
    if (!chosen.length) return undefined;
    return chosen.length === 1 ? chosen[0] : chosen;
  }
  if (field.kind === "points") {
    const lines = value.split("\n").filter((line) => line.trim() !== "");
    if (lines.length === 1 && !/[,:{[]/.test(lines[0])) return leaf(lines[0]); // the name of a curve
    if (lines.length === 1 && /^\{.*\}$/.test(lines[0].trim()) && !field.items) return lines[0].trim();
    return lines.length ? lines.map(item) : undefined;
  }
  if (field.kind === "point") return listed(value);
  if (field.kind === "list") return listed(value);
  return leaf(value);
}

/**
 * The statement that the fields make.
 * @param {object[]} fields
 * @param {Map<string, string | string[]>} values
 * @returns {object} a table with tables in it
 */
export function writeStatement(fields, values) {
  let whole = {};
  for (const field of fields) {
    const value = writeField(field, values.get(idOf(field)) ?? emptyOf(field));
    if (value !== undefined) whole = placed(whole, field.path, value);
  }
  return whole;
}

/** What an empty field holds. */
export function emptyOf(field) {
  return field.kind === "pair" ? ["", ""] : field.kind === "names" ? [] : "";
}

function placed(whole, path, value) {
  const [step, ...rest] = path;
  const inner = typeof step === "number" ? (Array.isArray(whole) ? [...whole] : []) : { ...whole };
  inner[step] = rest.length ? placed(inner[step], rest, value) : value;
  if (Array.isArray(inner)) for (let index = 0; index < inner.length; index += 1) inner[index] ??= "";
  return inner;
}

/** The values that a statement of the text gives to fields. */
export function valuesOf(fields, statement) {
  return new Map(fields.map((field) => [idOf(field), readField(field, statement)]));
}
