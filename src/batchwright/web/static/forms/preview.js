// What a form would write, before it is written: the lines of the text that change, and the faults that would follow.

import { difference } from "../editor/difference.js";
import { make } from "./fields.js";

/** Shows what would be written. */
export class Preview {
  constructor(title = "What will be written") {
    this.element = make("section", "preview");
    this.element.setAttribute("aria-label", title);
    this.title = make("h4", "", title);
    this.body = make("div", "preview-body");
    this.element.append(this.title, this.body);
    this.say("Being worked out …");
  }

  /** Words instead of text. */
  say(text) {
    this.body.replaceChildren(make("p", "soft", text));
  }

  /**
   * @param {{name: string, text: string}[]} before the files as they are
   * @param {Record<string, string>} after the files as they would be
   */
  show(before, after) {
    const blocks = [];
    for (const { name, text } of before) {
      if (after[name] === undefined || after[name] === text) continue;
      blocks.push(make("p", "preview-file", name), block(text, after[name]));
    }
    if (blocks.length) this.body.replaceChildren(...blocks);
    else this.say("Nothing changes in the text.");
  }
}

/** Lines with what goes struck out and what comes marked; two lines round each stretch. */
function block(before, after) {
  const pre = make("pre", "preview-text");
  pre.tabIndex = 0;
  pre.setAttribute("role", "group");
  pre.setAttribute("aria-label", "Text, old lines struck out and new lines marked");
  const old = before.split("\n");
  const now = after.split("\n");
  const spans = difference(before, after).map((span) => lineSpan(before, span));
  let shown = -1;
  let shift = 0;
  for (const { first, last, grown } of merged(spans)) {
    const from = Math.max(0, first - 2, shown + 1);
    if (shown >= 0 && from > shown + 1) pre.append(make("span", "preview-gap", "…\n"));
    for (let line = from; line < first; line += 1) pre.append(`${old[line]}\n`);
    const gone = old.slice(first, last + 1);
    const come = now.slice(first + shift, last + 1 + shift + grown);
    const [head, tail] = common(gone, come);
    for (const line of gone.slice(0, head)) pre.append(`${line}\n`);
    pre.append(...changedLines(gone.slice(head, gone.length - tail), come.slice(head, come.length - tail)));
    for (const line of gone.slice(gone.length - tail)) pre.append(`${line}\n`);
    shift += grown;
    shown = last;
  }
  for (let line = shown + 1; line < Math.min(old.length, shown + 3); line += 1) pre.append(`${old[line]}\n`);
  return pre;
}

/** Lines that are changed one for one show only the words that change; others are struck out and written whole. */
function changedLines(gone, come) {
  if (gone.length === come.length)
    return gone.flatMap((line, index) => {
      const shown = make("span", "preview-line");
      shown.append(...changedWords(line, come[index]));
      return [shown, "\n"];
    });
  const old = gone.flatMap((line) => [make("del", "", line), "\n"]);
  return [...old, ...come.flatMap((line) => [make("ins", "", line), "\n"])];
}

function changedWords(before, after) {
  const each = (line) => `${line.match(/\d+(?: \d+\/\d+|\/\d+|\.\d+)?|[\p{L}\p{N}]+|\s+|./gu)?.join("\n") ?? ""}\n`;
  const old = each(before);
  const out = [];
  let at = 0;
  for (const { from, to, insert } of difference(old, each(after)).map((span) => wholeWords(old, span))) {
    out.push(unsplit(old.slice(at, from)));
    if (to > from) out.push(make("del", "", unsplit(old.slice(from, to))));
    if (insert) out.push(make("ins", "", unsplit(insert)));
    at = to;
  }
  out.push(unsplit(old.slice(at)));
  return out.filter((part) => part !== "");
}

/** A span of a text with one word to a line, widened to whole words. */
function wholeWords(text, { from, to, insert }) {
  const first = text.lastIndexOf("\n", from - 1) + 1;
  const end = to > from && text[to - 1] === "\n" && insert.endsWith("\n") ? to : text.indexOf("\n", to) + 1;
  const clean = from === to && first === from;
  const last = clean ? to : end;
  return { from: first, to: last, insert: text.slice(first, from) + insert + text.slice(to, last) };
}

function unsplit(text) {
  return text.replaceAll("\n", "");
}

function lineSpan(text, { from, to, insert }) {
  const first = text.slice(0, from).split("\n").length - 1;
  const last = first + text.slice(from, to).split("\n").length - 1;
  return { first, last, grown: insert.split("\n").length - 1 - (last - first) };
}

function merged(spans) {
  const found = [];
  for (const span of spans) {
    const before = found.at(-1);
    if (before && span.first <= before.last) {
      before.last = Math.max(before.last, span.last);
      before.grown += span.grown;
    } else found.push({ ...span });
  }
  return found;
}

function common(gone, come) {
  const most = Math.min(gone.length, come.length);
  let head = 0;
  while (head < most && gone[head] === come[head]) head += 1;
  let tail = 0;
  while (tail < most - head && gone.at(-1 - tail) === come.at(-1 - tail)) tail += 1;
  return [head, tail];
}
