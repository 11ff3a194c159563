/** bench.js: the wood as it is: what each thickness was planed to, what parts measure, and which of them are cut. */
import { isOld } from "../store.js";
import { attribute, button, el, keyed, plain, write } from "./dom.js";

let count = 0;

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountBench(element, store) {
  const note = el("p.soft.bench-note");
  const families = el("tbody");
  const parts = el("div.bench-parts");
  const planed = el("section", { "aria-labelledby": "bench-planed" },
    el("h3", { id: "bench-planed" }, "Planed to"),
    el("table.bench-families", {},
      el("thead", {}, el("tr", {}, ...["Drawn", "Planed to", "Parts"].map((words) => el("th", { scope: "col" }, words)))), families));
  const made = el("section", { "aria-labelledby": "bench-parts" },
    el("h3", { id: "bench-parts" }, "Parts"),
    el("p.small.soft", {}, "Tick what is cut. Its sizes and joints then stay as they are; what the plan changes later is told here."), parts);
  element.append(el("h2", {}, "At the bench"), note, planed, made);
  store.watch((state) => state.answer, (answer, now) => {
    if (now.phase !== "desk" || !answer) return;
    const { bench, piece } = now.answer;
    const job = bench && bench.job;
    planed.hidden = made.hidden = !job;
    note.replaceChildren(plain(job ? withJob(job) : withoutJob(now, piece)));
    if (!job) return;
    keyed(families, bench.families, (family) => family.name, (family) => buildFamily(family, store), refreshFamily);
    keyed(parts, drawnParts(now.answer), (part) => part.name, (part) => buildPart(part, store), refreshPart);
  });
  store.watch(isOld, (grey) => {
    element.classList.toggle("old", grey);
    attribute(element, "aria-busy", grey ? "true" : null);
  });
}

const withJob = (job) => `What came out of the planer, and what is cut already: joints, shoulders and lists follow. It is written into \`${job}\`, and undone like any change.`;

function withoutJob(now, piece) {
  const file = now.desk.file.replace(/^.*\//, "");
  const name = file.replace(/\.piece\.yaml$/, ".job.yaml");
  return piece
    ? `What is milled and cut belongs to a job, and this piece stands alone. Write a file \`${name}\` beside it that says \`job: ${piece.name}\`, \`piece: ${file}\` and \`copies: 1\`, and open that under Pieces.`
    : "What is milled and cut belongs to a job.";
}

/** @param {object} answer @returns {object[]} the parts by the name they are drawn under, with what is said of each */
function drawnParts({ parts, bench, findings }) {
  const groups = new Map();
  for (const part of parts) groups.set(part.drawn, [...(groups.get(part.drawn) || []), part]);
  const cut = new Set(bench.cut);
  return [...groups].map(([name, copies]) => ({
    name,
    job: bench.job,
    copies: copies.map((part) => ({ ...part, cut: cut.has(part.id), said: bench.said[part.id] || null })),
    said: bench.said[name] || null,
    told: findings.filter((each) => /^cut-part/.test(each.code) && copies.some((part) => (each.about || [])[0] === part.id)),
  }));
}

function buildFamily(family, store) {
  const names = el("td.small");
  const field = new Measure(store, `${family.name} planed to`, (text) => [setting(store, family.name, text)]);
  const row = el("tr", {}, el("th.number", { scope: "row" }), el("td", {}, field.node), names);
  row.field = field;
  return row;
}

function refreshFamily(row, family) {
  const parts = row.field.store.get().answer.parts.filter((part) => family.parts.includes(part.id));
  write(row.firstChild, family.name);
  write(row.lastChild, [...new Set(parts.map((part) => part.drawn))].join(", "));
  row.field.show(family.planed, "as drawn");
}

/** The change that says what something was milled to; an empty text takes it out. */
function setting(store, name, text) {
  return { do: "set", file: store.get().answer.bench.job, path: ["as milled", name], text: text || null };
}

/** One thickness and one width as the job says them: a length alone is the thickness. */
function measured({ thickness, width }) {
  if (!width) return thickness;
  return thickness ? `{thickness: ${thickness}, width: ${width}}` : `{width: ${width}}`;
}

function buildPart({ name, copies }, store) {
  const one = new Copy(store, name, () => copies.map((part) => part.id));
  const more = copies.length > 1 ? el("details.bench-copies", {}, el("summary.small", {}, "Each copy"), el("div")) : null;
  const told = el("div.bench-told");
  const row = el("div.bench-part", { role: "group", "aria-label": name }, one.node, told, more);
  Object.assign(row, { one, told, more, store });
  return row;
}

function refreshPart(row, part) {
  const cut = part.copies.filter((each) => each.cut).length;
  row.one.ids = part.copies.map((each) => each.id);
  row.one.show({ copies: part.copies, said: part.said, cut });
  keyed(row.told, toldOf(part.told), (each) => each.key, (each) => buildTold(each, row.store));
  if (!row.more) return;
  const build = (each) => {
    const copy = new Copy(row.store, each.id);
    copy.node.copy = copy;
    return copy.node;
  };
  keyed(row.more.lastChild, part.copies, (each) => each.id, build, (node, each) => {
    node.copy.ids = [each.id];
    node.copy.show({ copies: [each], said: each.said, cut: each.cut ? 1 : 0 });
  });
}

const MOST = 3; // so many are told beside their part; the checks tell them all

/** What no longer fits the copies of a part, and each mend of it once. */
function toldOf(list) {
  if (!list.length) return [];
  const mends = new Map(list.flatMap((finding) => finding.mends || []).map((mend) => [mend.say, mend]));
  return [{ key: JSON.stringify(list.map((each) => each.what)), list, mends: [...mends.values()] }];
}

function buildTold({ list, mends }, store) {
  const strip = (say) => String(say).replace(/`/g, "");
  const more = list.length - MOST;
  const tries = mends.map((mend) =>
    button(`Try it: ${strip(mend.say)}`, () => store.dispatch("edit", { label: strip(mend.say), changes: mend.changes, mend: true }), { kind: "try" }));
  return el("div.bench-finding", {},
    ...list.slice(0, MOST).map((finding) => el("p", {}, plain(finding.what))),
    more > 0 ? el("p.small.soft", {}, `and ${more} more, among what the checks found`) : null,
    el("div.finding-acts", {}, ...tries));
}

/** A part or one copy of it: its name, what it measures, and whether it is cut. */
class Copy {
  constructor(store, name) {
    this.ids = [];
    this.said = { thickness: "", width: "" };
    const label = el("button.bare.bench-name", { type: "button" });
    label.addEventListener("click", () => store.dispatch("select", { parts: this.ids, from: "list", what: name }));
    const id = `bench-${(count += 1)}`;
    this.tick = el("input", { type: "checkbox", id });
    this.words = el("span", {}, "cut");
    this.tick.addEventListener("change", () => this.mark(store, name));
    const field = (which) => new Measure(store, `${name}: ${which}`, (text) => [setting(store, name, measured({ ...this.said, [which]: text }))]);
    this.fields = { thickness: field("thickness"), width: field("width") };
    this.label = label;
    this.node = el("div.bench-row", {}, label,
      el("label.bench-measure", {}, el("span.small.soft", {}, "thick"), this.fields.thickness.node),
      el("label.bench-measure", {}, el("span.small.soft", {}, "wide"), this.fields.width.node),
      el("label.check.bench-cut", { for: id }, this.tick, this.words));
    this.name = name;
  }

  async mark(store, name) {
    const undo = !this.tick.checked;
    const { ok } = await store.dispatch("cut", { parts: [name], undo });
    if (!ok) this.tick.checked = undo;
  }

  /** @param {{copies: object[], said: object|null, cut: number}} part */
  show({ copies, said, cut }) {
    this.said = said || { thickness: "", width: "" };
    write(this.label, copies.length > 1 ? `${this.name} (${copies.length})` : this.name);
    const alike = (which) => (copies.every((each) => each[which] === copies[0][which]) ? copies[0][which] : "several");
    this.fields.thickness.show(this.said.thickness, alike("thick"));
    this.fields.width.show(this.said.width, alike("wide"));
    this.tick.checked = cut === copies.length;
    this.tick.indeterminate = cut > 0 && cut < copies.length;
    write(this.words, cut > 0 && cut < copies.length ? `cut ${cut} of ${copies.length}` : "cut");
    attribute(this.tick, "aria-label", `${this.name}: ${this.words.textContent}`);
  }
}

/** A field for a length that was measured. What cannot be is told beside it, and nothing is written. */
class Measure {
  constructor(store, name, changes) {
    Object.assign(this, { store, name, changes, text: "" });
    const id = `measure-${(count += 1)}`;
    this.input = el("input.bench-field", { type: "text", autocomplete: "off", spellcheck: "false", "aria-label": name, "aria-describedby": id });
    this.fault = el("span.size-fault.small", { id, role: "alert" });
    this.node = el("span.bench-measured", {}, this.input, this.fault);
    this.input.addEventListener("change", () => this.say());
    this.input.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.back();
    });
  }

  back() {
    this.input.value = this.text;
    this.tell([]);
  }

  async say() {
    const text = this.input.value.trim();
    if (text === this.text) {
      this.tell([]);
      return;
    }
    const changes = this.changes(text);
    const known = new Set(this.store.get().answer.faults.map((fault) => fault.what));
    const { faults = [] } = await this.store.dispatch("preview", { changes });
    const wrong = faults.filter((fault) => fault.level !== "warning" && !known.has(fault.what));
    if (wrong.length) {
      this.tell(wrong.slice(0, 2));
      return;
    }
    const label = text ? `${this.name} ${text}` : `${this.name}: as drawn`;
    const { ok, faults: refused } = await this.store.dispatch("edit", { label, changes });
    this.tell(ok ? [] : refused || []);
  }

  tell(faults) {
    attribute(this.input, "aria-invalid", faults.length ? "true" : null);
    this.fault.replaceChildren(...faults.map((each) => el("span", {}, plain(`${each.what} ${each.mend ? `Mend: ${each.mend}` : ""}`))));
  }

  /** @param {string} text what is said @param {string} otherwise what holds where nothing is */
  show(text, otherwise) {
    const untouched = this.input.value.trim() === this.text && document.activeElement !== this.input;
    const taken = this.input.value.trim() === text;
    this.text = text;
    attribute(this.input, "placeholder", otherwise);
    if (untouched || taken) this.back();
  }
}
