// The words of the language, and what is said of the word under a caret or a pointer.

import { getJson } from "../api.js";
import { pathAt, readTree, said } from "./tree.js";

/**
 * @typedef {{word: string, in: string, title: string, help: string,
 *   values?: string, example?: string, default?: string}} Word
 */

let asked = null;

/** The table of words, asked for once; empty where the server does not answer. @returns {Promise<Word[]>} */
export function loadWords() {
  asked ??= getJson("/api/words").then(
    (answer) => (Array.isArray(answer) ? answer : (answer.words ?? [])),
    () => {
      asked = null;
      return [];
    },
  );
  return asked;
}

const JOINTS = ["tenon", "loose tenon", "dowel", "housing", "groove", "halving", "rest", "screw", "button", "glue"];
const LISTED = { cutters: "cutter", chisels: "chisel", guides: "guide", clamps: "clamp" };
const TABLED = ["allowances", "fits", "tolerances", "walls"];
const INSIDE = {
  box: "box", section: "section", taper: "taper", strip: "strip", "also sawn": "also sawn", "drawn in": "plane",
  cut: "cut", edges: "edge", repeat: "repeat", shoulders: "shoulders", pegs: "pegs", tusk: "tusk", slips: "slips",
  except: "except",
}; // prettier-ignore

/**
 * The sort of table that a path of keys lies in.
 * @param {{step: string | number, node: object}[]} path of the table itself
 * @param {string} kind of the file: piece, job, shop
 * @returns {string} its key among the words
 */
export function tableOf(path, kind) {
  const steps = path.map((each) => each.step);
  if (kind !== "piece") return tableOfShop(steps, kind);
  if (steps.length === 0) return "piece";
  if (["sizes", "numbers"].includes(steps[0])) return steps.length > 1 ? "size" : "";
  if (steps[0] === "places") return steps.length > 1 ? "place" : "";
  if (steps.length < 2) return "";
  const inner = steps.findLast((step, index) => index > 1 && typeof step === "string");
  if (inner === "outline") return path.at(-1).step === "outline" ? "outline file" : "outline item";
  if (inner) return INSIDE[inner] ?? "";
  return steps[0] === "parts" ? "part" : steps[0] === "joints" ? jointOf(path[1].node) : "";
}

function jointOf(node) {
  const first = node.entries?.find((entry) => entry.key === "meeting in" || JOINTS.includes(entry.key))?.key;
  return first === "meeting in" ? "meeting" : (first ?? "tenon");
}

function tableOfShop(steps, kind) {
  if (steps.length === 0) return kind;
  if (LISTED[steps[0]]) return LISTED[steps[0]];
  if (TABLED.includes(steps[0])) return steps[0];
  return steps[0] === "machines" && steps.length > 1 ? "machine" : "";
}

/**
 * What stands at an offset: a word of the language with its help, or one of the maker's own names.
 * @param {string} text
 * @param {number} at
 * @param {string} kind of the file
 * @param {Word[]} words
 * @param {object | null} answer the newest answer of the server, for values
 * @returns {{from: number, to: number, title: string, lines: string[], example?: string, table?: string} | null}
 */
export function helpAt(text, at, kind, words, answer) {
  const tree = readTree(text);
  const path = pathAt(tree, at);
  const chain = [{ step: "", node: tree }, ...path];
  for (let index = chain.length - 1; index >= 0; index -= 1) {
    const entry = chain[index].node.entries?.find((each) => at >= each.from && at <= each.from + each.key.length + 1);
    if (!entry) continue;
    const found = wordIn(words, tableOf(path.slice(0, index), kind), entry.key);
    const span = { from: entry.from, to: entry.from + entry.key.length };
    return found ? { ...span, ...aboutWord(found) } : aboutName(entry.key, answer, span);
  }
  return aboutValue(text, at, path, answer);
}

function wordIn(words, table, word) {
  return words.find((each) => each.word === word && each.in === table) ?? null;
}

function aboutWord(word) {
  const lines = [word.help];
  const values = Array.isArray(word.values) ? word.values.join(", ") : word.values;
  if (values) lines.push(`May be: ${values}.`);
  if (word.default) lines.push(`Not said: ${word.default}.`);
  return { title: word.word, lines: lines.filter(Boolean), example: word.example, table: word.title };
}

/** What a name of the maker's own stands for now. */
export function aboutName(name, answer, span) {
  const size = answer?.sizes?.find((each) => each.name === name);
  if (size) {
    const lines = [`Now ${size.shown}.`];
    if (size.low_shown && size.high_shown) lines.push(`May be from ${size.low_shown} to ${size.high_shown}.`);
    if (size.note) lines.push(size.note);
    return { ...span, title: name, lines };
  }
  const parts = (answer?.parts ?? []).filter((each) => each.name === name || each.id === name || each.kind === name);
  if (parts.length) return { ...span, title: name, lines: [`A part: ${parts[0].shown}.`] };
  if (answer?.places?.includes(name)) return { ...span, title: name, lines: ["A named place of this piece."] };
  return null;
}

function aboutValue(text, at, path, answer) {
  const node = path.at(-1)?.node;
  if (!node || node.kind !== "text" || at > node.to) return null;
  const inside = said(node);
  const words = [...inside.matchAll(/[\p{L}][\p{L}\d]*(?: [\p{L}\d]+)*/gu)];
  const phrase = words.find((each) => at >= node.from + each.index && at <= node.from + each.index + each[0].length);
  if (!phrase) return null;
  return longest(phrase[0], node.from + phrase.index, at, answer);
}

/** The longest run of words round an offset that is a name. */
function longest(phrase, start, at, answer) {
  const words = [...phrase.matchAll(/\S+/g)].map((each) => [start + each.index, start + each.index + each[0].length]);
  for (let count = words.length; count > 0; count -= 1)
    for (let first = 0; first + count <= words.length; first += 1) {
      const span = { from: words[first][0], to: words[first + count - 1][1] };
      if (at < span.from || at > span.to) continue;
      const about = aboutName(phrase.slice(span.from - start, span.to - start), answer, span);
      if (about) return about;
    }
  return null;
}

/** A small page about a word. @returns {HTMLElement} */
export function helpElement(about) {
  const box = document.createElement("div");
  box.className = "word-help";
  const title = box.appendChild(document.createElement("strong"));
  title.textContent = about.title;
  for (const line of about.lines) box.appendChild(withCode(document.createElement("p"), line));
  if (about.example) {
    const example = box.appendChild(document.createElement("code"));
    example.className = "word-example";
    example.textContent = about.example;
  }
  return box;
}

/** Text whose `quoted` stretches are shown as code. */
export function withCode(element, text) {
  text.split("`").forEach((stretch, index) => {
    const piece = index % 2 ? element.appendChild(document.createElement("code")) : null;
    if (piece) piece.textContent = stretch;
    else element.append(stretch);
  });
  return element;
}
