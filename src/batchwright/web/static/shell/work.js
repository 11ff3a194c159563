/** work.js: what lies below the piece: the sheet, the text, parts and joints, lists, files, guide; one at a time. */
import { button, el, write } from "./dom.js";
import { mountBench } from "./bench.js";
import { mountFiles } from "./files.js";
import { mountGuide } from "./guide.js";
import { mountLists } from "./lists.js";
import { mountSheet } from "./sheet.js";

const TABS = [
  { key: "sheet", title: "Sheet", mount: mountSheet },
  { key: "text", title: "Text", module: "../editor/mount.js", missing: "The text editor is missing from this installation; open the piece file in any editor." },
  { key: "parts", title: "Parts and joints", module: "../forms/mount.js", missing: "The forms are missing from this installation; write parts and joints in the text." },
  { key: "lists", title: "Lists", mount: mountLists },
  { key: "bench", title: "At the bench", mount: mountBench },
  { key: "files", title: "Files", mount: mountFiles },
  { key: "guide", title: "Guide", mount: mountGuide },
];

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountWork(element, store) {
  const tabs = TABS.map((tab) => tabOf(tab, store));
  const bar = el("div.tabs", { role: "tablist", "aria-label": "Below the piece" }, ...tabs.map((tab) => tab.button));
  bar.addEventListener("keydown", (event) => roam(event, tabs.filter((tab) => tab.button.offsetParent)));
  const tall = button("Whole height", () => {
    const now = !document.body.hasAttribute("data-tall");
    document.body.toggleAttribute("data-tall", now);
    tall.setAttribute("aria-pressed", String(now));
  }, { "aria-pressed": "false" });
  element.append(el("div.tabs-row", {}, bar, el("div.tabs-end", {}, tall)), ...tabs.map((tab) => tab.panel));
  store.watch((state) => (state.phase === "desk" ? state.view.tab : ""), (key) => {
    document.body.dataset.tab = key; // text and forms get the height, the piece stays small above them
    for (const tab of tabs) {
      const shown = tab.key === key;
      tab.button.setAttribute("aria-selected", String(shown));
      tab.button.tabIndex = shown ? 0 : -1;
      tab.panel.classList.toggle("is-shown", shown);
      tab.panel.inert = !shown;
      if (shown || tab.key === "sheet") tab.open();
    }
  });
}

function tabOf(tab, store) {
  const handle = el("button.tab", { type: "button", role: "tab", id: `tab-${tab.key}`, "aria-controls": `panel-${tab.key}` }, tab.title);
  const panel = el(`div.panel.panel-${tab.key}`, { role: "tabpanel", id: `panel-${tab.key}`, "aria-labelledby": `tab-${tab.key}` });
  if (tab.key === "sheet") panel.classList.add("print-chain");
  handle.addEventListener("click", () => store.dispatch("show", { tab: tab.key }));
  let opened = false;
  return { key: tab.key, button: handle, panel, open: () => !opened && (opened = true) && fill(tab, panel, store) };
}

async function fill(tab, panel, store) {
  if (tab.mount) {
    tab.mount(panel, store);
    return;
  }
  panel.append(el("h2.unseen", {}, tab.title));
  const waiting = el("p.soft", {}, "Opening …");
  panel.append(waiting);
  try {
    const { mount } = await import(tab.module);
    waiting.remove();
    await mount(panel, store);
  } catch (error) {
    console.warn(`${tab.title}: ${error.message}`);
    panel.append(waiting);
    write(waiting, tab.missing);
  }
}

function roam(event, tabs) {
  const step = { ArrowRight: 1, ArrowLeft: -1, Home: -99, End: 99 }[event.key];
  if (!step) return;
  event.preventDefault();
  const at = tabs.findIndex((tab) => tab.button === document.activeElement);
  const next = Math.abs(step) === 1 ? (at + step + tabs.length) % tabs.length : step < 0 ? 0 : tabs.length - 1;
  tabs[next].button.focus();
  tabs[next].button.click();
}
