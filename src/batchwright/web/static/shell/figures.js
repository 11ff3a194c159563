/** figures.js: the key figures of the piece, large, with the word "old" where a newer one is being worked out. */
import { isBare, isBehind, isOld } from "../store.js";
import { attribute, counted, el, keyed, write } from "./dom.js";

/** @param {object} now @returns {{key: string, label: string, value: string, note: string, old: boolean}[]} */
export function figures(now) {
  const { answer, sheets } = now;
  if (!answer) return [];
  const old = isOld(now);
  const list = [];
  const boards = (sheets && sheets.boards) || {};
  if (!isBare(now)) list.push(boardFigure(boards, Boolean(boards.words) && isBehind(now, boards.revision)));
  const count = (key, label, things) => things && things.length && list.push({ key, label, value: String(things.length), note: "", old });
  count("parts", "parts in each", answer.parts);
  count("joints", "joints in each", answer.joints);
  count("fixings", "fixings in each", answer.fixings);
  for (const [key, label] of [["weight", "weight of each"], ["glue_area", "glue area of each"], ["size", "overall"]]) {
    const shown = answer[key] && (answer[key].shown || answer[key]);
    if (typeof shown === "string") list.push({ key, label, value: shown, note: "", old });
  }
  return list;
}

function boardFigure(boards, old) {
  const money = boards.cost_shown || (typeof boards.cost === "string" ? boards.cost : null);
  const shown = money || (boards.cost ? String(boards.cost) : boards.shown || "…");
  return { key: "boards", label: "price of the boards", value: shown, note: boardNote(boards), old };
}

function boardNote({ bound_shown: least, bound, gap, why, words }) {
  if (words || why) return words || why;
  if (bound === undefined && gap === undefined) return "being worked out";
  if (gap === null || gap === undefined) return "";
  const share = typeof gap === "number" ? `${(gap * 100).toFixed(1)}%` : gap;
  const floor = least || (typeof bound === "string" ? bound : null);
  return `at most ${share} more than the least possible${floor ? `, ${floor}` : ""}`;
}

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountFigures(element, store) {
  const list = el("dl.figures");
  const jump = el("button.figures-found", { type: "button" });
  jump.addEventListener("click", () => {
    const head = document.getElementById("findings");
    head.scrollIntoView({ block: "start" });
    head.focus({ preventScroll: true });
  });
  element.append(el("h2.unseen", {}, "Key figures"), list, jump);
  store.subscribe((now) => {
    if (now.phase !== "desk") return;
    keyed(list, figures(now), (figure) => figure.key, build, refresh);
    const found = tally(now);
    write(jump, found);
    jump.classList.toggle("old", isOld(now));
    attribute(jump, "aria-busy", now.asking ? "true" : null);
  });
}

function build({ key }) {
  return el(`div.figure.figure-${key}`, {}, el("dt.small"), el("dd.figure-value"), el("dd.figure-note.small.soft"));
}

function refresh(node, { label, value, note, old }) {
  const [name, number, words] = node.children;
  write(name, label);
  if (number.dataset.value !== value) {
    number.dataset.value = value;
    number.replaceChildren(el("span", {}, value), el("span.old-word", { "aria-hidden": String(!old) }, " old"));
  }
  attribute(number.lastChild, "aria-hidden", String(!old));
  write(words, note);
  words.hidden = !note;
  node.classList.toggle("old", old);
  attribute(node, "aria-busy", old ? "true" : null);
}

/** @param {object} now @returns {string} "2 fail, 9 near a limit, 7 notes" */
export function tally(now) {
  const { findings = [], faults = [] } = now.answer || {};
  const of = (grade) => findings.filter((finding) => finding.grade === grade).length;
  const words = [];
  const errors = faults.filter((fault) => fault.level !== "warning").length;
  if (errors) words.push(counted(errors, "fault"));
  const old = errors && (now.answer.stopped || now.answer.grey) ? "old: " : ""; // of the piece that stood before
  const found = [];
  if (of("fails")) found.push(counted(of("fails"), "check fails", "checks fail"));
  if (of("near the limit")) found.push(`${of("near the limit")} near a limit`);
  if (of("note")) found.push(counted(of("note"), "note"));
  if (found.length) words.push(`${old}${found.join(", ")}`);
  return words.length ? words.join(", ") : "nothing found wrong";
}
