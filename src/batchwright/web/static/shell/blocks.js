/** blocks.js: a sheet's content as headings, paragraphs and tables: for a screen reader, and for reading without pictures. */
import { el } from "./dom.js";

/** @param {object[]} blocks of /api/sheet @param {number} level of the highest heading @returns {HTMLElement} */
export function renderBlocks(blocks, level = 3) {
  const box = el("div.blocks");
  for (const block of blocks) {
    const node = (RENDER[block.kind] || RENDER.paragraph)(block, level);
    if (node) box.append(node);
  }
  return box;
}

const said = (value) => (value === null || value === undefined ? "" : String(value.text ?? value.value ?? value));

const RENDER = {
  heading: (block, level) => el(`h${Math.min(6, level)}`, {}, said(block.text)),
  paragraph: (block) => (said(block.text || block.words) ? el("p", {}, said(block.text || block.words)) : null),
  caution: (block) => el("p.caution", { role: "note" }, el("b", {}, "Take care: "), said(block.text)),
  table: (block) => table(block),
  "key-numbers": (block) =>
    el("dl.key-numbers", {}, ...block.numbers.map((number) =>
      el("div", {}, el("dt", {}, number.label), el("dd", {}, el("b", {}, said(number.value)), number.note ? el("span.small.soft", {}, ` ${number.note}`) : null)))),
  ticks: (block) => el(block.numbered ? "ol.ticks" : "ul.ticks", {}, ...block.items.map((item) => el("li", {}, said(item)))),
  blanks: (block) => el("ul.ticks", {}, ...block.labels.map((label) => el("li", {}, `${said(label)}: to be written in`))),
  drawing: (block) => drawing(block),
  columns: (block, level) => el("div", {}, ...(block.columns || block.parts || []).map((each) => renderBlocks(each.blocks || each.parts || each, level))),
};

function drawing(block) {
  const title = block.title || block.caption || block.alt || "drawing";
  const address = block.svg || block.url;
  return el("figure", {},
    address ? el("img", { src: address, alt: block.alt || title, loading: "lazy" }) : null,
    el("figcaption.small", {}, title));
}

function table(block) {
  const heads = (block.columns || []).map((column) => (typeof column === "string" ? { title: column } : column));
  const body = el("tbody");
  const width = Math.max(1, heads.length);
  for (const row of block.rows || []) {
    const cells = Array.isArray(row) ? row : row.cells;
    const group = Array.isArray(row) ? null : row.group;
    if (group) body.append(el("tr", {}, el("th", { colspan: width, scope: "colgroup" }, said(group))));
    if (cells && !group) body.append(el("tr", {}, ...cells.map((cell, at) => el(`td${(heads[at] || {}).number ? ".number" : ""}`, {}, said(cell) || "☐".repeat((heads[at] || {}).ticks || 0)))));
  }
  const head = heads.map(({ title, number }) => (title ? el(`th${number ? ".number" : ""}`, { scope: "col" }, title) : el("td")));
  const caption = said(block.caption);
  const label = caption || "table";
  return el("div.table-box", { tabindex: "0", role: "group", "aria-label": label },
    el("table", {}, caption ? el("caption", {}, caption) : null, el("thead", {}, el("tr", {}, ...head)), body));
}
