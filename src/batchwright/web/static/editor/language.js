// How the text of a piece, job or shop file is told apart while it is shown: words of the language, the maker's own
// names, numbers with their units, remarks. It only colours; what the text means is the server's to say.

import { LanguageSupport, StreamLanguage, Tag, syntaxHighlighting, tagHighlighter } from "../vendor/editor.min.js";

const TAGS = Object.fromEntries(
  ["word", "own", "name", "number", "unit", "sign", "mark", "remark", "text"].map((key) => [key, Tag.define(key)]),
);

const NUMBER = /^(?:\d+[ \t]+\d+\/\d+|\d+\/\d+|\d+\.\d+|\.\d+|\d+)(?:['"′″]+)?(?![\p{L}\d])/u;
const UNIT = /^(?:in|ft|mm|cm|m|deg|%)(?![\p{L}\d])/u;
const KEY = /^[^\s{}[\],:#"'][^{}[\],:#"'\n]*?(?=[ \t]*:(?:[ \t\n{[]|$))/u;
const PHRASE = /^[\p{L}][\p{L}\p{M}\d]*(?: [\p{L}\d][\p{L}\p{M}\d]*)*/u;
const FUNCTIONS = new Set(["min", "max", "abs", "round", "floor", "ceil", "sqrt", "sin", "cos", "tan", "atan"]);

/** The classes that the style sheet colours. */
const highlighter = tagHighlighter(Object.entries(TAGS).map(([key, tag]) => ({ tag, class: `say-${key}` })));

/**
 * The language of a file that is written in words and values.
 * @param {Set<string>} words the words of the language
 * @param {Set<string>} names the names that this file's sizes, places and parts bear
 */
export function pieceLanguage(words, names) {
  const language = StreamLanguage.define({
    name: "piece",
    tokenTable: TAGS,
    languageData: { commentTokens: { line: "#" }, closeBrackets: { brackets: ["(", "[", "{", '"'] } },
    startState: () => ({ depth: 0, key: true, open: false }),
    copyState: (state) => ({ ...state }),
    token: (stream, state) => token(stream, state, words, names),
    indent: (state, after, context) => {
      const step = context.unit;
      const closing = /^[}\]]/.test(after) ? 1 : 0;
      if (!state.depth) return state.open ? base(state) + step : null; // under `leg:` its words are set in
      return Math.max(0, state.depth - closing) * step + base(state);
    },
  });
  return new LanguageSupport(language, [syntaxHighlighting(highlighter)]);
}

function base(state) {
  return state.indent ?? 0;
}

function token(stream, state, words, names) {
  if (stream.sol()) {
    if (!state.depth) {
      state.key = true;
      state.indent = stream.indentation();
    }
  }
  const spaced = stream.sol() || /\s/.test(stream.string[stream.pos - 1] ?? " ");
  if (stream.eatSpace()) return null;
  const opened = state.open;
  state.open = false;
  if (stream.peek() === "#" && (spaced || stream.pos === 0 || /\s/.test(stream.string[stream.pos - 1]))) {
    stream.skipToEnd();
    state.open = opened;
    return "remark";
  }
  return bracket(stream, state) ?? value(stream, state, words, names);
}

function bracket(stream, state) {
  const next = stream.peek();
  if (next === "{" || next === "[") {
    stream.next();
    state.depth += 1;
    state.key = next === "{";
    return "mark";
  }
  if (next === "}" || next === "]") {
    stream.next();
    state.depth = Math.max(0, state.depth - 1);
    return "mark";
  }
  if (next === ",") {
    stream.next();
    state.key = true;
    return "mark";
  }
  if (next === "-" && state.key && !state.depth && stream.match(/^-(?=\s|$)/)) return "mark";
  if (next === ":" && stream.match(/^:(?=[\s{[]|$)/)) {
    state.key = false;
    state.open = !state.depth;
    return "mark";
  }
  return null;
}

function value(stream, state, words, names) {
  if (state.key) {
    const key = stream.match(KEY);
    if (key) {
      state.key = false;
      return words.has(key[0].trim()) ? "word" : "own";
    }
    if (state.depth === 0) state.key = false;
  }
  if (stream.match(/^"(?:[^"\\]|\\.)*"?/) || (!state.quoted && stream.match(/^'(?:[^']|'')*'(?!\w)/))) return "text";
  if (stream.match(NUMBER)) return "number";
  if (/[\d\s'"]/.test(stream.string[stream.pos - 1] ?? "") && stream.match(UNIT)) return "unit";
  const said = stream.match(PHRASE, false);
  if (said) return phrase(stream, said[0], words, names);
  if (stream.match(/^[-+*/().;]/)) return "sign";
  stream.next();
  return null;
}

/** The longest run of words from here that is a name of this file. */
function phrase(stream, said, words, names) {
  const parts = said.split(" ");
  for (let count = parts.length; count > 0; count -= 1) {
    const name = parts.slice(0, count).join(" ");
    if (names.has(name)) {
      stream.match(name);
      return "name";
    }
  }
  stream.match(parts[0]);
  return FUNCTIONS.has(parts[0]) || parts[0] === "at" ? "sign" : null;
}
