/** rail.js: the order of the work: groups and sheets of the packet as a quiet list, with what was found beside each. */
import { isBare, isBehind, whyBare } from "../store.js";
import { attribute, counted, el, keyed, write } from "./dom.js";

/** @param {object[]} sheets @returns {{group: string, sheets: object[]}[]} runs of one group, in the order given */
export function grouped(sheets) {
  const groups = []; // sheets of no group stand under "Others"
  for (const sheet of sheets) {
    const last = groups[groups.length - 1];
    if (last && last.group === (sheet.group || "Others")) last.sheets.push(sheet);
    else groups.push({ group: sheet.group || "Others", sheets: [sheet] });
  }
  return groups;
}

/**
 * @param {object} sheet @param {object[]} findings
 * @returns {number} findings (not notes) about a part or a joint that the sheet names; sheets that name the whole
 *   piece get none, or every sheet would carry every finding
 */
export function foundOn(sheet, findings) {
  const named = new Set([...(sheet.parts || []), ...(sheet.joints || [])]);
  if (sheet.key === "findings") return findings.filter((finding) => finding.grade !== "note").length;
  if (!named.size || named.size > 12) return 0;
  return findings.filter((finding) => finding.grade !== "note" && (finding.about || []).some((id) => named.has(id))).length;
}

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountRail(element, store) {
  const head = el("h2.rail-head.small", { id: "rail-head" }, "Order of the work");
  const list = el("div.rail-groups");
  const waiting = el("p.rail-waiting.small.soft", {}, "The sheets are being drawn …");
  element.append(head, waiting, list);
  let current = null;

  store.subscribe((now, before) => {
    const changed = ["sheets", "view", "answer", "desk", "tried", "asking"].some((field) => now[field] !== before[field]);
    if (!changed || now.phase !== "desk") return;
    const sheets = (now.sheets && now.sheets.sheets) || [];
    waiting.hidden = sheets.length > 0;
    write(waiting, isBare(now) ? BARE[whyBare(now)] : "The sheets are being drawn …");
    const findings = (now.answer && now.answer.findings) || [];
    keyed(list, grouped(sheets), (each) => each.group, buildGroup, (node, each) => refreshGroup(node, each, now, findings, store));
    if (current !== now.view.sheet && sheets.length) {
      current = now.view.sheet;
      const here = list.querySelector("[aria-current='page']");
      if (!here) return;
      here.closest("details").open = true;
      here.scrollIntoView({ block: "nearest" });
    }
  });
}

const BARE = {
  "nothing is drawn yet": "The sheets come with the first part.",
  "the text has faults": "The sheets come once the text is whole.",
};
const FEW = 8; // a group of more sheets starts folded

function buildGroup({ group, sheets }) {
  return el("details.rail-group", { open: sheets.length <= FEW },
    el("summary", {}, el("h3.small", {}, group), el("span.rail-sum.small")),
    el("ol"));
}

/** What every title of a group begins with need not be told at each. */
function titleIn(sheet, sheets) {
  const head = /^[^:]+: /.exec(sheet.title);
  if (!head || sheets.length < 2 || !sheets.every((each) => each.title.startsWith(head[0]))) return sheet.title;
  return sheet.title.slice(head[0].length);
}

function refreshGroup(node, { sheets }, now, findings, store) {
  const list = node.querySelector("ol");
  let sum = 0;
  keyed(list, sheets, (sheet) => sheet.key, (sheet) => buildSheet(sheet, store), (item, sheet) => {
    const found = foundOn(sheet, findings);
    sum += found;
    refreshSheet(item, { ...sheet, title: titleIn(sheet, sheets) }, now, found);
  });
  write(node.querySelector(".rail-sum"), sheets.length > FEW ? String(sheets.length) : "");
}

function buildSheet(sheet, store) {
  const link = el("button.rail-sheet", { type: "button" },
    el("span.rail-title"), el("span.rail-count", { "aria-hidden": "true" }), el("span.rail-said.unseen"));
  link.addEventListener("click", () => store.dispatch("openSheet", { key: sheet.key }));
  return el("li", {}, link);
}

function refreshSheet(item, sheet, now, found) {
  const link = item.firstChild;
  const behind = isBehind(now, sheet.revision);
  write(link.querySelector(".rail-title"), sheet.title);
  write(link.querySelector(".rail-count"), found || "");
  write(link.querySelector(".rail-said"), [found ? `, ${counted(found, "finding")}` : "", behind ? ", old" : ""].join(""));
  attribute(link, "aria-current", sheet.key === now.view.sheet ? "page" : null);
  link.classList.toggle("old", behind);
}
