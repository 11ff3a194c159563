// A forgiving reader of the files' text: what stands where, for help, for going to a line and for filling in a form.
// It takes any text, finds what it can, and judges nothing: what is wrong is the server's to say.

/**
 * @typedef {{kind: "text" | "map" | "list", from: number, to: number, text?: string, raw?: string,
 *   entries?: {key: string, from: number, to: number, value: Node}[], items?: Node[]}} Node
 */

const SPACE = /[ \t\r\n]*/y;
const BLOCK_KEY = // prettier-ignore
  /("(?:[^"\\\n]|\\.)*"|'(?:[^'\n]|'')*'|[^\s{}[\],#:"'\n-][^\n:#{}[\],]*?|-[^\s\n:][^\n:#]*?)[ \t]*:(?=[ \t\r\n]|$)/y;
const QUOTED = /"(?:[^"\\]|\\.)*"?|'(?:[^']|'')*'?/y;
const PLAIN_BLOCK = /(?:[^\n#]|(?<=\S)#)+/y;
const FLOW_STOP = /[,\]}\n]|:(?=[ \t\n{["])|(?<=\s)#/g;

/**
 * What a text holds.
 * @param {string} text
 * @returns {Node} a map, empty where the text holds none
 */
export function readTree(text) {
  const node = new Reader(text).whole();
  return node && node.kind === "map" ? node : { kind: "map", from: 0, to: text.length, entries: [] };
}

/** The value at a path of keys and item numbers, or null. */
export function valueAt(node, path) {
  let found = node;
  for (const step of path) {
    if (!found) return null;
    if (typeof step === "number") found = found.items?.[step] ?? null;
    else found = found.entries?.find((entry) => entry.key === step)?.value ?? null;
  }
  return found;
}

/** The keys and item numbers that lead to an offset, with the nodes met: `[{step, node}]`, from the top down. */
export function pathAt(node, at) {
  const path = [];
  let here = node;
  while (here) {
    const list = here.entries ?? here.items ?? [];
    const index = lastBefore(list, at);
    if (index < 0 || (at > list[index].to && here.flow)) break;
    const step = here.entries ? here.entries[index].key : index;
    here = here.entries ? here.entries[index].value : here.items[index];
    path.push({ step, node: here });
  }
  return path;
}

function lastBefore(list, at) {
  let found = -1;
  list.forEach((each, index) => {
    if (each.from <= at) found = index;
  });
  return found;
}

/** What a scalar says, without its quotes; for a list or a table the text as it stands. */
export function said(node) {
  return node ? (node.kind === "text" ? node.text : node.raw) : "";
}

class Reader {
  constructor(text) {
    this.text = text;
    this.at = 0;
    this.depth = 0;
  }

  whole() {
    this.skip();
    if (this.text.startsWith("---", this.at)) {
      this.at += 3;
      this.skip();
    }
    return this.at < this.text.length ? this.block(this.column()) : null;
  }

  match(pattern) {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at = pattern.lastIndex;
    return found;
  }

  /** Past spaces, line ends and remarks. */
  skip() {
    for (;;) {
      this.match(SPACE);
      if (this.text[this.at] !== "#") return;
      this.lineEnd();
    }
  }

  lineEnd() {
    const end = this.text.indexOf("\n", this.at);
    this.at = end < 0 ? this.text.length : end;
  }

  column() {
    return this.at - (this.text.lastIndexOf("\n", this.at - 1) + 1);
  }

  dash() {
    return this.text[this.at] === "-" && /[\s]|^$/.test(this.text[this.at + 1] ?? "");
  }

  keyHere() {
    const before = this.at;
    const found = this.match(BLOCK_KEY);
    this.at = before;
    return found !== null;
  }

  block(column) {
    if (this.depth > 60) return this.scalar(column);
    this.depth += 1;
    const node = this.dash() ? this.list(column) : this.keyHere() ? this.map(column) : this.inline(column - 1);
    this.depth -= 1;
    return node;
  }

  map(column) {
    const node = { kind: "map", from: this.at, to: this.at, entries: [] };
    while (this.at < this.text.length && this.column() === column && !this.dash()) {
      const from = this.at;
      const found = this.match(BLOCK_KEY);
      if (!found) {
        this.lineEnd(); // not a key: left to the server to tell
        this.skip();
        continue;
      }
      const value = this.after(column, true);
      node.entries.push({ key: bare(found[1]), from, to: value.to, value });
      node.to = value.to;
      this.skip();
    }
    return this.closed(node);
  }

  list(column) {
    const node = { kind: "list", from: this.at, to: this.at, items: [] };
    while (this.at < this.text.length && this.column() === column && this.dash()) {
      this.at += 1;
      const item = this.after(column, false);
      node.items.push(item);
      node.to = item.to;
      this.skip();
    }
    return this.closed(node);
  }

  /** What follows a colon or a dash that stands in `column`. */
  after(column, key) {
    const end = this.at;
    this.match(/[ \t]*/y);
    const next = this.text[this.at];
    if (next !== undefined && next !== "\n" && next !== "\r" && next !== "#")
      return key ? this.inline(column) : this.block(this.column());
    this.skip();
    const deeper = this.column() > column || (key && this.column() === column && this.dash());
    if (this.at < this.text.length && deeper) return this.block(this.column());
    return { kind: "text", text: "", raw: "", from: end, to: end };
  }

  inline(column) {
    const next = this.text[this.at];
    if (next === "{" || next === "[") return this.flow();
    return this.scalar(column);
  }

  scalar(column) {
    const from = this.at;
    if (/^[|>]/.test(this.text[this.at] ?? "")) return this.folded(column);
    const quoted = /["']/.test(this.text[this.at] ?? "") && this.match(QUOTED);
    if (!quoted) {
      this.match(PLAIN_BLOCK);
      if (this.at === from) this.at += 1;
    }
    const raw = this.text.slice(from, this.at).trimEnd();
    return { kind: "text", text: bare(raw), raw, from, to: from + raw.length };
  }

  folded(column) {
    const from = this.at;
    this.lineEnd();
    for (;;) {
      const before = this.at;
      this.at += 1;
      this.match(/[ \t]*/y);
      const empty = this.text[this.at] === "\n";
      if (before >= this.text.length || (!empty && this.column() <= column)) {
        this.at = before;
        break;
      }
      this.lineEnd();
    }
    const raw = this.text.slice(from, this.at).trimEnd();
    return { kind: "text", text: raw, raw, from, to: from + raw.length };
  }

  flow() {
    const open = this.text[this.at];
    const node = { kind: open === "{" ? "map" : "list", from: this.at, to: this.at, flow: true };
    const found = (node[open === "{" ? "entries" : "items"] = []);
    this.at += 1;
    this.depth += 1;
    for (;;) {
      this.skip();
      const next = this.text[this.at];
      if (next === undefined || next === "}" || next === "]" || this.depth > 60) {
        this.at = Math.min(this.text.length, this.at + 1);
        break;
      }
      if (next === ",") this.at += 1;
      else found.push(node.entries ? this.pair() : this.item());
    }
    this.depth -= 1;
    node.to = this.at;
    return this.closed(node);
  }

  pair() {
    const from = this.at;
    const key = this.flowScalar();
    this.skip();
    let value = { kind: "text", text: "", raw: "", from: this.at, to: this.at };
    if (this.text[this.at] === ":") {
      this.at += 1;
      this.skip();
      if (!/[,}\]]/.test(this.text[this.at] ?? ",")) value = this.flowValue();
    }
    return { key: key.text, from, to: Math.max(value.to, key.to), value };
  }

  /** An item of a list in brackets; `[curve: x]` is a table of one. */
  item() {
    const value = this.flowValue();
    if (value.kind !== "text" || this.text[this.at] !== ":") return value;
    this.at = value.from;
    const entry = this.pair();
    return this.closed({ kind: "map", from: entry.from, to: entry.to, entries: [entry] });
  }

  flowValue() {
    return /[{[]/.test(this.text[this.at]) ? this.flow() : this.flowScalar();
  }

  flowScalar() {
    const from = this.at;
    if (/["']/.test(this.text[this.at])) this.match(QUOTED);
    else {
      FLOW_STOP.lastIndex = this.at;
      this.at = FLOW_STOP.exec(this.text)?.index ?? this.text.length;
    }
    if (this.at === from) this.at += 1;
    const raw = this.text.slice(from, this.at).trimEnd();
    return { kind: "text", text: bare(raw), raw, from, to: from + raw.length };
  }

  closed(node) {
    node.raw = this.text.slice(node.from, node.to);
    return node;
  }
}

function bare(text) {
  if (/^".*"$/s.test(text) && text.length > 1) return text.slice(1, -1).replace(/\\(["\\])/g, "$1");
  if (/^'.*'$/s.test(text) && text.length > 1) return text.slice(1, -1).replace(/''/g, "'");
  return text;
}
