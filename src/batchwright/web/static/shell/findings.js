/** findings.js: faults and findings by how bad they are, each with what, why, and mends that one press tries. */
import { isOld, mainFile } from "../store.js";
import { attribute, button, counted, el, enable, keyed, mark, plain, write } from "./dom.js";

const GROUPS = [
  { key: "fault", title: "Wrong in the text", mark: "fails" },
  { key: "fails", title: "Fails", mark: "fails" },
  { key: "near the limit", title: "Near a limit", mark: "near" },
  { key: "note", title: "Notes", mark: "note" },
];

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountFindings(element, store) {
  const tried = el("div.tried", { hidden: true });
  const groups = el("div.findings");
  element.append(el("h2", { id: "findings", tabindex: "-1" }, "What the checks found"), tried, groups);

  store.subscribe((now, before) => {
    if (now.phase !== "desk" || !now.answer) return;
    refreshTried(tried, now, store);
    if (now.answer === before.answer && now.asking === before.asking && now.selection === before.selection) return;
    const { faults = [], findings = [] } = now.answer;
    const all = [...faults.map((fault) => ({ ...fault, grade: "fault" })), ...findings];
    const shown = GROUPS.map((group) => ({ ...group, list: all.filter((each) => each.grade === group.key) }));
    keyed(groups, shown.filter((group) => group.list.length), (group) => group.key, buildGroup, (node, group) =>
      refreshGroup(node, group, now, store));
  });
}

function buildGroup(group) {
  return el("details.finding-group", { open: group.key !== "note" },
    el("summary", {}, mark(group.mark), el("span.group-title"), el("span.old-word", { "aria-hidden": "true" }, " old")),
    el("ul"));
}

/** What was found in a piece that no longer stands is old, and its mends are not to be tried. */
function refreshGroup(node, group, now, store) {
  const fallen = group.key !== "fault" && Boolean(now.answer.stopped);
  const old = group.key === "fault" ? now.asking : isOld(now);
  node.classList.toggle("old", old);
  attribute(node, "aria-busy", now.asking ? "true" : null);
  attribute(node.querySelector(".old-word"), "aria-hidden", String(!old));
  write(node.querySelector(".group-title"), `${group.title} (${group.list.length})`);
  const key = (finding) => `${finding.code} ${finding.what} ${finding.line} ${(finding.mends || []).length}`;
  keyed(node.querySelector("ul"), group.list, key, (finding) => buildFinding(finding, store), (item, finding) => {
    const lit = now.selection.from === "finding" && now.selection.what === finding.what;
    attribute(item.querySelector(".finding-what"), "aria-pressed", String(lit));
    for (const mend of item.querySelectorAll(".try, .form")) enable(mend, !fallen);
  });
}

function buildFinding(finding, store) {
  const what = el("button.finding-what", { type: "button", "aria-pressed": "false" }, plain(finding.what));
  what.addEventListener("click", () => showFinding(finding, store));
  const mends = (finding.mends || []).map((mend) =>
    button(`Try it: ${strip(mend.say)}`, () => store.dispatch("edit", { label: strip(mend.say), changes: mend.changes, mend: true }), { kind: "try" }));
  const joints = (finding.mends || []).flatMap((mend) => mend.changes.filter((change) => change.do === "add joint"));
  const form = joints.length
    ? button("Say it by form", () => store.dispatch("byForm", { joint: joints[0].text }), { kind: "bare.form" })
    : null;
  const line = finding.line
    ? button(`line ${finding.line}`, () => store.dispatch("goTo", finding), { kind: "bare", label: `line ${finding.line} of ${finding.file}` })
    : null;
  return el("li.finding", {}, what,
    finding.why ? el("p.small.soft", {}, plain(finding.why)) : null,
    finding.mend ? el("p.small", {}, el("b", {}, "Mend: "), plain(finding.mend)) : null,
    mends.length || line ? el("div.finding-acts", {}, ...mends, form, line) : null);
}

const strip = (say) => String(say).replace(/`/g, "");

/** @returns {object|undefined} the sheet that speaks of least beside it: of its joint, else of one of its parts */
function sheetOf(now, about, parts) {
  const sheets = ((now.sheets && now.sheets.sheets) || []).filter((each) => !["cover", "findings", "notes"].includes(each.key));
  const size = (each) => (each.parts || []).length + (each.joints || []).length;
  const least = [...sheets].sort((one, other) => size(one) - size(other));
  const names = (list, ids) => (list || []).some((id) => ids.has(id));
  const ofJoint = least.filter((each) => names(each.joints, about));
  return ofJoint.find((each) => each.key.startsWith("joint-")) || ofJoint[0] || least.find((each) => names(each.parts, parts));
}

/** Lights up what a finding speaks of, opens its sheet, and puts the text at its line. */
function showFinding(finding, store) {
  const now = store.get();
  const about = new Set(finding.about || []);
  const joints = now.answer.joints.filter((joint) => about.has(joint.id));
  const parts = new Set(now.answer.parts.filter((part) => about.has(part.id)).map((part) => part.id));
  for (const joint of joints) parts.add(joint.part).add(joint.into);
  const sheet = sheetOf(now, about, parts);
  const tab = now.view.tab;
  if (sheet && tab !== "text") store.dispatch("openSheet", { key: sheet.key, keepColumn: true });
  store.dispatch("select", { parts: [...parts], joints: joints.map((joint) => joint.id), from: "finding", what: finding.what });
  if (finding.line) store.dispatch("goTo", { file: finding.file || mainFile(now), line: finding.line, column: finding.column, quiet: true });
  store.dispatch("say", { text: `${counted(parts.size, "part")} lit up${sheet ? `; sheet ${sheet.title}` : ""}` });
}

function refreshTried(node, now, store) {
  const stands = now.lastMend && now.desk.undo && now.desk.revision === now.lastMend.revision;
  if (!stands && node.contains(document.activeElement)) document.getElementById("findings").focus();
  node.hidden = !stands;
  if (!stands || node.told === now.lastMend) return;
  node.told = now.lastMend;
  const undo = button("Undo it", () => store.dispatch("undo"), { mark: "undo" });
  node.replaceChildren(el("p", {}, el("b", {}, "Tried: "), plain(now.lastMend.say)), undo);
  undo.focus(); // the button that was pressed goes with its finding
}
