/** keys.js: the keys of the page, and the sheet that tells them. */
import { button, el } from "./dom.js";

const KEYS = [
  ["Ctrl + Z", "undo the last change"],
  ["Ctrl + Shift + Z", "do it again"],
  ["Ctrl + S", "save"],
  ["[  and  ]", "sheet before, sheet after"],
  ["Arrow keys", "on a size: one step less or more; Page Up, Page Down: ten steps"],
  ["Enter", "in a size: take what is typed"],
  ["Escape", "on a size: back to what the file says"],
  ["Ctrl + P", "print the sheet in view, at true size"],
  ["?", "this list"],
];

/** Tells every field that holds something tried or typed to hand it over now. */
export function settle() {
  document.dispatchEvent(new Event("settle"));
}

/** @param {Element} target @returns {boolean} whether keys belong to what is being typed */
function isTyping(target) {
  if (!(target instanceof Element)) return false;
  if (target.closest("[contenteditable='true'], textarea, select")) return true;
  const input = target.closest("input");
  return Boolean(input) && !["range", "checkbox", "radio", "button"].includes(input.type);
}

/** @param {Element} target @returns {boolean} the text editor has undo keys of its own */
function isEditor(target) {
  return target instanceof Element && Boolean(target.closest("[contenteditable='true'], textarea"));
}

/** @param {import("../store.js").Store} store */
export function mountKeys(store) {
  const dialog = keysDialog(store);
  document.body.append(dialog);
  window.addEventListener("pagehide", settle); // a number that is typed and not yet entered is kept
  store.watch((state) => state.view.help, (help) => {
    if (help && !dialog.open) dialog.showModal();
    if (!help && dialog.open) dialog.close();
  });
  document.addEventListener("keydown", (event) => {
    if (store.get().phase !== "desk" || event.defaultPrevented) return;
    if (event.ctrlKey || event.metaKey) return withControl(event, store);
    if (event.altKey || isTyping(event.target) || dialog.open) return;
    if (event.key === "[" || event.key === "]") store.dispatch("openSheet", { step: event.key === "[" ? -1 : 1 });
    else if (event.key === "?") store.dispatch("show", { help: true });
    else return;
    event.preventDefault();
  });
}

function withControl(event, store) {
  const key = event.key.toLowerCase();
  if (key === "s") {
    event.preventDefault();
    settle();
    store.dispatch("save");
    return;
  }
  const redo = (key === "z" && event.shiftKey) || key === "y";
  if (!(redo || key === "z") || isEditor(event.target) || isTyping(event.target)) return;
  event.preventDefault();
  settle();
  const label = store.get().desk[redo ? "redo" : "undo"];
  if (label) store.dispatch(redo ? "redo" : "undo");
}

function keysDialog(store) {
  const rows = KEYS.map(([key, does]) => el("tr", {}, el("th", { scope: "row" }, el("kbd", {}, key)), el("td", {}, does)));
  const dialog = el("dialog.keys", { "aria-labelledby": "keys-title" },
    el("h2", { id: "keys-title" }, "Keys"),
    el("table", {}, el("tbody", {}, ...rows)),
    button("Close", () => dialog.close(), { kind: "main" }),
  );
  dialog.addEventListener("close", () => store.dispatch("show", { help: false }));
  return dialog;
}
