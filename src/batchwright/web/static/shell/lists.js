/** lists.js: the cutting list, live. */
import { isOld } from "../store.js";
import { attribute, el, keyed, write } from "./dom.js";

const COLUMNS = ["No.", "Part", "In each", "To make", "Finished", "Shoulder to shoulder", "Rough"];

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountLists(element, store) {
  const body = el("tbody");
  const old = el("span.old-word", {}, " old");
  const title = el("h2", {}, "Cutting list", old);
  const head = el("tr", {}, ...COLUMNS.map((words, at) => el(`th${[0, 2, 3].includes(at) ? ".number" : ""}`, { scope: "col" }, words)));
  const table = el("table", {}, el("thead", {}, head), body);
  const note = el("p.small.soft");
  element.append(title, note, el("div.table-box", { tabindex: "0", role: "group", "aria-label": "Cutting list" }, table));
  store.watch((state) => state.answer, (answer) => {
    if (!answer) return;
    const rows = answer.cutting || [];
    const copies = answer.piece && answer.piece.copies;
    const units = answer.piece ? { in: "inches", mm: "millimetres" }[answer.piece.units] : "";
    write(note, `Thickness × width × length in ${units || "the file's units"}${copies ? `, ${copies} ${copies === 1 ? "copy" : "copies"}` : ""}. A press on a row lights its parts up.`);
    keyed(body, rows, (row) => `${row.kind} ${row.hand}`, (row) => buildRow(row, store), refreshRow);
  });
  store.watch(isOld, (grey) => {
    element.classList.toggle("old", grey);
    attribute(element, "aria-busy", grey ? "true" : null);
  });
}

function buildRow(row, store) {
  const name = el("button.row-name.bare", { type: "button" });
  name.addEventListener("click", () => {
    const parts = store.get().answer.parts.filter((part) => part.kind === row.kind).map((part) => part.id);
    store.dispatch("select", { parts, from: "list", what: row.name });
  });
  return el("tr", {}, el("td.number"), el("th", { scope: "row" }, name, el("span.row-words.small.soft")), el("td.number"), el("td.number"), el("td.whole"), el("td.whole"), el("td.whole"));
}

function refreshRow(node, row) {
  const cells = node.children;
  const size = (words) => String(words ?? "").replace(/ x /g, " × ");
  write(cells[0], row.number ?? "");
  write(cells[1].firstChild, row.name);
  write(cells[1].lastChild, row.note || "");
  write(cells[2], row.count);
  write(cells[3], row.spares ? `${row.make} (+${row.spares} spare)` : row.make);
  write(cells[4], size(row.finished));
  write(cells[5], row.shoulder ?? "");
  write(cells[6], size(row.rough));
}
