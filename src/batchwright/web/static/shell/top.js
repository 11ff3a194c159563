/** top.js: the head of the page: name of the piece, state of the work, undo, redo, save; and the notices below it. */
import { isBare, isBehind, isDirty, whyBare } from "../store.js";
import { getJson } from "../api.js";
import { settle } from "./keys.js";
import { attribute, button, el, enable, keyed, mark, plain, write } from "./dom.js";

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountTop(element, store) {
  const job = el("p.top-job.small.soft");
  const title = el("h1.top-name", {}, "Batchwright");
  const home = button("Pieces", () => store.dispatch("leave"), { mark: "start", kind: "bare" });
  const revision = el("p.top-revision.small.soft");
  const state = el("p.top-state");
  const undo = stepButton("Undo", "undo", store);
  const redo = stepButton("Redo", "redo", store);
  const save = button("Save", () => settle() || store.dispatch("save"), { mark: "save", kind: "main" });
  const unsaved = el("span.top-unsaved.small.soft");
  const keys = button("?", () => store.dispatch("show", { help: true }), { kind: "bare", label: "Keys" });
  const row = el("div.top-row", {},
    home,
    el("div.top-title", {}, job, title),
    el("div.top-words", {}, state, revision),
    el("div.top-buttons", { role: "group", "aria-label": "Changes" }, undo.node, redo.node, save, unsaved, keys),
  );
  const notices = el("div.notices");
  element.append(row, notices);

  store.subscribe((now, before) => {
    const onDesk = now.phase === "desk";
    for (const node of [home, revision, state, undo.node, redo.node, save, unsaved, keys]) node.hidden = !onDesk;
    const piece = now.answer && now.answer.piece;
    write(title, onDesk ? (piece ? piece.name : shortName(now.desk.file)) : "Batchwright");
    document.title = onDesk && piece ? `${isDirty(now) ? "• " : ""}${piece.name} · Batchwright` : "Batchwright";
    write(job, onDesk ? jobWords(now) : "From a drawing to a short run");
    if (!onDesk) return;
    const issue = now.answer && !now.answer.stopped && now.answer.mark ? ` · issue ${now.answer.mark}` : "";
    write(revision, `change ${now.desk.change}${issue}`);
    write(state, stateWords(now));
    attribute(state, "class", `top-state ${busy(now) ? "is-busy" : ""}`);
    undo.refresh(now.desk.undo);
    redo.refresh(now.desk.redo);
    enable(save, isDirty(now) && now.working !== "save");
    write(unsaved, isDirty(now) ? "not saved" : "saved");
    attribute(unsaved, "class", `top-unsaved small ${isDirty(now) ? "is-dirty" : "soft"}`);
    refreshNotices(notices, now, store);
    answerHere(notices, now, before);
  });
}

function stepButton(word, action, store) {
  const what = el("span.step-what.small", {}, el("span.step-name"), el("span.step-number"));
  const node = el("button.step", { type: "button" }, mark(action), el("span.step-words", {}, el("span", {}, word), what));
  node.addEventListener("click", () => {
    if (node.getAttribute("aria-disabled") === "true") return;
    settle();
    store.dispatch(action);
  });
  return {
    node,
    refresh(label) {
      const [, name, number] = /^(.*?)( -?[\d.][^ ]*(?: \d+\/\d+)?(?: deg)?)?$/.exec(label || "nothing");
      write(what.firstChild, name); // where there is no room, the name is cut and the number stays
      write(what.lastChild, number || "");
      attribute(node, "title", label ? `${word}: ${label}` : null);
      enable(node, Boolean(label));
    },
  };
}

/** @param {string} file @returns {string} its name without folder and ending */
function shortName(file) {
  return file.replace(/^.*\//, "").replace(/\.(job|piece)\.yaml$/, "");
}

function jobWords(now) {
  const { piece, job } = now.answer || {};
  const same = !job || !job.own || !piece || job.name === piece.name; // the piece's name stands below
  const name = same ? now.desk.file.replace(/^.*\//, "") : job.name;
  if (!piece) return name;
  const copies = piece.copies > 1 ? `${piece.copies} copies` : "one copy";
  return `${name} · ${copies}${piece.wood ? ` in ${piece.wood}` : ""}`;
}

const DONE = "all worked out";

/** @param {object} now @returns {boolean} */
function busy(now) {
  return now.asking || Boolean(now.working) || !now.line || stateWords(now) !== DONE;
}

/** @param {object} now @returns {string} what is going on, in a few words */
export function stateWords(now) {
  if (!now.line) return "the server does not answer: is it still running?";
  if (now.working === "save") return "saving …";
  if (isBare(now)) return whyBare(now);
  if (now.answer && now.answer.stopped) return "the text has faults";
  if (Object.keys(now.tried).length) return "trying a size";
  if (now.asking) return "working out the piece …";
  const { sheets } = now;
  if (!sheets || isBehind(now, sheets.revision)) return "working on the drawings …";
  const { working, words } = sheets.boards || {};
  if (sheets.working || working) return words ? "looking for better boards …" : "laying out the boards …";
  return DONE;
}

function notices(now) {
  const list = [];
  const outside = (now.desk.changed_outside || []).join(", ");
  const elsewhere = now.faults.find((fault) => fault.code === "edited-elsewhere");
  if (outside || elsewhere) {
    list.push({
      key: "elsewhere",
      words: outside ? `${outside} was changed outside this page.` : elsewhere.what,
      more: "Take theirs: their text comes in as one step, and undo brings yours back. Write mine: your text replaces theirs in the file.",
      acts: [["Take theirs", "reload", {}], ["Write mine over theirs", "save", { over: true }]],
      differs: outside,
    });
  }
  if (now.desk.restored && !now.view.restoredSeen) {
    list.push({
      key: "restored",
      words: "Your last changes were not saved; they have been kept and are back.",
      more: "",
      acts: [["Save them", "save", {}], ["Take the file as it was saved", "reload", {}], ["Go on with them", "show", { restoredSeen: true }]],
    });
  }
  const others = now.faults.filter((fault) => fault.code !== "edited-elsewhere");
  for (const fault of others) {
    const acts = [["Close", "clearFaults", {}]];
    list.push({ key: `fault-${fault.code}-${fault.what}`, words: fault.what, more: fault.mend, why: fault.why, acts });
  }
  return list;
}

function refreshNotices(container, now, store) {
  const build = (notice) =>
    el("section.banner", { "aria-label": "Notice", role: "group" },
      el("div", { role: "alert" },
        el("p.banner-words", {}, plain(notice.words)),
        notice.why ? el("p.small.soft", {}, plain(notice.why)) : null,
        notice.more ? el("p.small", {}, plain(notice.more)) : null,
      ),
      el("div.banner-acts", {}, ...notice.acts.map(([text, action, what]) => button(text, () => store.dispatch(action, what)))),
      notice.differs ? differences(store) : null,
    );
  keyed(container, notices(now), (notice) => `${notice.key} ${notice.words}`, build);
}

/** What differs between the text here and the one on the disk, fetched anew each time it is opened. */
function differences(store) {
  const box = el("div.banner-differs");
  const fold = el("details.banner-fold", {}, el("summary", {}, "Show what differs"), box);
  fold.addEventListener("toggle", async () => {
    if (!fold.open) return;
    write(box, "Being read …");
    try {
      const [{ files }, { Preview }] = await Promise.all([getJson("/api/outside"), import("../forms/preview.js")]);
      const preview = new Preview("Yours struck out, theirs marked");
      const here = new Map(store.get().desk.files.map((file) => [file.name, file.text]));
      const pairs = files.filter((file) => file.text !== null).map((file) => ({ name: file.name, text: here.get(file.name) || "" }));
      preview.show(pairs, Object.fromEntries(files.map((file) => [file.name, file.text ?? undefined])));
      const gone = files.filter((file) => file.text === null).map((file) => el("p", {}, `${file.name} is no longer on the disk, or is no text.`));
      box.replaceChildren(...gone, ...(pairs.length ? [preview.element] : []));
    } catch (error) {
      write(box, `This cannot be read now: ${error.message}`);
    }
  });
  return fold;
}

/** A save that was refused is told where it can be decided: the notice comes into view with its first choice. */
function answerHere(notices, now, before) {
  if (now.faults === before.faults || !now.faults.some((fault) => fault.code === "edited-elsewhere")) return;
  const first = notices.querySelector(".banner-acts button");
  if (first) first.focus();
}
